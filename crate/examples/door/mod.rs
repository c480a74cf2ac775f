//! What the doors to a studio share: a document in, an answer out.
//!
//! Takes the file named as argument, or standard input; prints the answer, or ends with status 2 and its words on standard error.

use std::io::Read;
use std::process::ExitCode;

/// Reads the document and prints what `answer` makes of it.
pub fn open(answer: fn(&str) -> Result<String, String>) -> ExitCode {
    match text().and_then(|text| answer(&text)) {
        Ok(answer) => {
            println!("{answer}");
            ExitCode::SUCCESS
        }
        Err(words) => {
            eprintln!("{words}");
            ExitCode::from(2)
        }
    }
}

fn text() -> Result<String, String> {
    let mut text = String::new();
    match std::env::args().nth(1) {
        Some(path) => std::fs::read_to_string(&path).map_err(|why| format!("{path}: {why}")),
        None => std::io::stdin()
            .read_to_string(&mut text)
            .map(|_| text)
            .map_err(|why| format!("Standard input: {why}")),
    }
}

/// A whole number under `key` from `least` to `most`.
pub fn whole(raw: &str, key: &str, least: u64, most: u64) -> Result<u64, String> {
    raw.parse()
        .ok()
        .filter(|n| (least..=most).contains(n))
        .ok_or_else(|| format!("{key}: {raw} is not a whole number from {least} to {most}."))
}
