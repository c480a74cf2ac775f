//! What a reader is told to type exists.

use std::fs;

use crate::files::root;

/// What follows `before` in the text, up to a character that no chore or example has in its name.
fn words_after(text: &str, before: &str) -> Vec<String> {
    text.split(before)
        .skip(1)
        .map(|rest| {
            rest.chars()
                .take_while(|c| c.is_ascii_alphanumeric() || *c == '_')
                .collect()
        })
        .filter(|word: &String| !word.is_empty())
        .collect()
}

#[test]
fn every_command_that_a_page_shows_exists() {
    let chores = fs::read_to_string(root().join("xtask/src/main.rs")).unwrap();
    for page in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(root().join(page)).unwrap();
        for chore in words_after(&text, "cargo xtask ") {
            assert!(
                chores.contains(&format!("[\"{chore}\"")),
                "{page} shows `cargo xtask {chore}`, which is no chore"
            );
        }
        for example in words_after(&text, "--example ") {
            let file = |house: &str| root().join(format!("{house}/examples/{example}.rs"));
            assert!(
                file("crate").is_file() || file("tests").is_file(),
                "{page} shows `--example {example}`, which is no example"
            );
        }
    }
}

#[test]
fn the_readme_shows_the_two_commands() {
    let text = fs::read_to_string(root().join("README.md")).unwrap();
    for chore in ["serve", "test"] {
        assert!(
            text.contains(&format!("cargo xtask {chore}")),
            "README.md does not show `cargo xtask {chore}`"
        );
    }
}

#[test]
fn files_that_a_page_links_to_exist() {
    for page in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(root().join(page)).unwrap();
        for rest in text.split("](").skip(1) {
            let target = rest.split([')', '#', ' ']).next().unwrap_or("");
            if !target.is_empty() && !target.contains("://") {
                assert!(
                    root().join(target).exists(),
                    "{page} links to {target}, which does not exist"
                );
            }
        }
    }
}
