//! What the doors share: a document in, an answer out.
//!
//! Takes the file named as argument, or standard input; prints the answer, or ends with status 2 and its words on standard error.

use std::io::{Read, Write};
use std::process::ExitCode;

/// Reads the document and prints what `answer` makes of it.
pub fn open(answer: fn(&str) -> Result<String, String>) -> ExitCode {
    match text().and_then(|text| answer(&text)) {
        Ok(answer) => {
            // Whoever reads only the first lines has had enough; that is no fault of the document.
            _ = writeln!(std::io::stdout(), "{answer}");
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
        Some(path) => std::fs::read_to_string(&path).map_err(|why| {
            format!("{path}: It cannot be read ({why}). Name a text file that is there.")
        }),
        None => std::io::stdin()
            .read_to_string(&mut text)
            .map(|_| text)
            .map_err(|why| {
                format!(
                    "Standard input: It cannot be read ({why}). Give a document as text in UTF-8."
                )
            }),
    }
}
