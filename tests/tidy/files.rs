//! The project's own files.
//!
//! Takes nothing; gives every text file that is kept, without what is generated or installed.

use std::fs;
use std::path::{Path, PathBuf};

/// Folders that hold what is made or installed.
const MADE: [&str; 7] = [
    "target",
    "node_modules",
    "dist",
    ".git",
    ".venv",
    "shots",
    "__pycache__",
];

/// The top folder.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .unwrap()
        .to_path_buf()
}

/// A kept file: its path from the top folder, with `/` between folders, and its text.
pub struct Text {
    pub path: String,
    pub text: String,
}

/// Every kept text file under `folder` (from the top; "" for all) whose name ends with one of `endings`.
pub fn texts(folder: &str, endings: &[&str]) -> Vec<Text> {
    let root = root();
    let mut found = Vec::new();
    gather(&root.join(folder), &root, endings, &mut found);
    found.sort_by(|a, b| a.path.cmp(&b.path));
    assert!(
        !found.is_empty(),
        "no file in {folder:?} ends with any of {endings:?}"
    );
    found
}

fn gather(folder: &Path, root: &Path, endings: &[&str], found: &mut Vec<Text>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            if !MADE.contains(&name.as_str()) {
                gather(&path, root, endings, found);
            }
        } else if endings.iter().any(|ending| name.ends_with(ending))
            && !name.starts_with("glazefall.")
        {
            // A picture or another binary file is no text.
            if let Ok(text) = fs::read_to_string(&path) {
                let path = path
                    .strip_prefix(root)
                    .unwrap()
                    .to_string_lossy()
                    .replace('\\', "/");
                found.push(Text { path, text });
            }
        }
    }
}

/// A Rust file's lines without comments, numbered from 1.
pub fn code_lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line.split("//").next().unwrap_or("")))
}
