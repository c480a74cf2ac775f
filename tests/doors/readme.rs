//! What the README shows is run.

use crate::run::{answer, top};

/// Every line of the README that runs an example on a file, `cargo run --release --example <door> < <file>` or with the file as
/// argument, gives JSON.
#[test]
fn every_door_in_the_readme_opens() {
    let readme = std::fs::read_to_string(top().join("README.md")).unwrap();
    for line in readme
        .lines()
        .map(str::trim)
        .filter(|line| line.starts_with("cargo run") && line.contains("--example "))
    {
        let words: Vec<&str> = line
            .split('#')
            .next()
            .unwrap_or(line)
            .split_whitespace()
            .collect();
        let after = |word: &str| {
            words
                .iter()
                .position(|w| *w == word)
                .and_then(|at| words.get(at + 1))
        };
        let name = after("--example").expect("the example's name");
        let file = words
            .iter()
            .find(|w| w.ends_with(".json"))
            .unwrap_or_else(|| panic!("{line}: no file"));
        let input =
            std::fs::read_to_string(top().join(file)).unwrap_or_else(|why| panic!("{file}: {why}"));
        answer(name, &input);
    }
}
