//! What the doors share: a document in, an answer out.
//!
//! Takes the file named as argument, or standard input; prints the answer, or ends with status 2 and its words on standard error.

use glazefall::studio::error::{Cause, Refusal, cut};
use glazefall::studio::file;
use glazefall::studio::json::{Kind, Value};
use std::borrow::Cow;
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

/// The document's own keys with their values, none twice and none but the `known`.
#[allow(
    dead_code,
    reason = "the door to a film reads its document along the keys"
)]
pub fn members<'a>(
    text: &'a str,
    known: &[&'static str],
) -> Result<Vec<(Cow<'a, str>, Value<'a>)>, String> {
    let document = file::parse(text).map_err(|refusal| refusal.to_string())?;
    let members = document.members(64);
    for (at, (key, _)) in members.iter().enumerate() {
        let key = key.as_ref();
        let cause = if members[..at].iter().any(|(before, _)| before == key) {
            Cause::DuplicateKey { key: key.into() }
        } else if !known.is_empty() && !known.contains(&key) {
            Cause::UnknownKey {
                key: key.into(),
                known: known.to_vec(),
            }
        } else {
            continue;
        };
        return Err(Refusal::new(cut(key), cause).to_string());
    }
    Ok(members)
}

/// The items of a list of at most `most`.
#[allow(dead_code, reason = "only plans are a list here")]
pub fn items<'a>(key: &str, value: Value<'a>, most: usize) -> Result<Vec<Value<'a>>, String> {
    let items = value.items(most);
    let cause = if value.kind() != Kind::List {
        Cause::WrongKind {
            expected: "A list in [ ]",
            found: cut(value.raw()),
        }
    } else if items.len() > most {
        Cause::TooMany {
            count: items.len(),
            limit: most,
        }
    } else {
        return Ok(items);
    };
    Err(Refusal::new(key, cause).to_string())
}

/// A key that must be there.
#[allow(
    dead_code,
    reason = "the door to a film reads its document along the keys"
)]
pub fn must<T>(key: &'static str, value: Option<T>) -> Result<T, String> {
    value.ok_or_else(|| Refusal::new(key, Cause::MissingKey { key }).to_string())
}

/// A whole number under `key` from `least` to `most`.
#[allow(dead_code, reason = "a film has no draws")]
pub fn whole(raw: &str, key: &str, least: u64, most: u64) -> Result<u64, String> {
    raw.parse()
        .ok()
        .filter(|n| (least..=most).contains(n))
        .ok_or_else(|| {
            format!(
                "{key}: {} is not a whole number from {least} to {most}. Give one that is.",
                cut(raw)
            )
        })
}
