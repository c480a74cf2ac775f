//! A door's own keys beside a studio: read one by one, refused in the page's words.
//!
//! Takes a document's text; gives its keys with their values, or the first refusal.

use glazefall::studio::error::{Cause, Refusal, cut};
use glazefall::studio::file;
use glazefall::studio::json::Value;
use std::borrow::Cow;

/// The document's own keys with their values, none twice and none but the `known`.
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

/// A key that must be there.
pub fn must<T>(key: &'static str, value: Option<T>) -> Result<T, String> {
    value.ok_or_else(|| Refusal::new(key, Cause::MissingKey { key }).to_string())
}

/// A whole number under `key` from `least` to `most`.
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
