//! Words that must not stand in any kept file.

use crate::files::{root, texts};

const ALL: [&str; 14] = [
    ".rs",
    ".ts",
    ".mjs",
    ".css",
    ".html",
    ".md",
    ".toml",
    ".json",
    ".py",
    ".yml",
    ".svg",
    ".npmrc",
    ".webmanifest",
    "run",
];

#[test]
fn no_registry_is_named() {
    // Whoever builds this may reach packages through a mirror. Joined here, or this file would name them too.
    let hosts = [
        ["crates", ".io"],
        ["npm", "js."],
        ["pypi", ".org"],
        ["python", "hosted."],
        ["debian", ".org"],
    ];
    let mut wrong = Vec::new();
    for file in texts("", &ALL) {
        for host in hosts.map(|parts| parts.concat()) {
            if file.text.contains(&host) {
                wrong.push(format!("{} names {host}", file.path));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "a registry's host is named:\n{}",
        wrong.join("\n")
    );
    let lock = std::fs::read_to_string(root().join("www/package-lock.json")).unwrap();
    assert!(
        !lock.contains("\"resolved\""),
        "www/package-lock.json names where its packages came from; see www/.npmrc"
    );
}

#[test]
fn no_machine_is_named() {
    // Folders that only one person's machine has. Joined for the reason given above.
    let folders = ["home", "root", "Users", "work"].map(|name| ["/", name, "/"].concat());
    let mut wrong = Vec::new();
    for file in texts("", &ALL) {
        for (index, line) in file.text.lines().enumerate() {
            let names = |folder: &String| {
                line.find(folder.as_str()).is_some_and(|at| {
                    !line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '.')
                })
            };
            if folders.iter().any(names) {
                wrong.push(format!("{}:{} {}", file.path, index + 1, line.trim()));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "a folder of one machine is named:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn no_test_is_left_out() {
    let marks = [
        ["#[ign", "ore"],
        ["test.", "skip("],
        ["it.", "skip("],
        ["test.", "only("],
        ["it.", "only("],
    ];
    let mut wrong = Vec::new();
    for file in texts("", &[".rs", ".mjs", ".ts"]) {
        for mark in marks.map(|parts| parts.concat()) {
            if file.text.contains(&mark) {
                wrong.push(format!("{} holds {mark}", file.path));
            }
        }
    }
    assert!(wrong.is_empty(), "a test is skipped:\n{}", wrong.join("\n"));
}
