//! Reading and writing a studio document: format and version first, then every key, then every bound.
//!
//! Takes JSON text; gives a checked [`Studio`] or the first refusal. Writing gives text that reads back to the same.

use super::bounds::FILE_BYTES;
use super::check;
use super::document::{FORMAT, Studio, VERSION};
use super::error::{Cause, Refusal, cut};
use super::json::{self, Kind, Value};
use super::place::Place;
use super::walk::Record;

mod assemble;
mod reader;
mod writer;

pub use assemble::{Assembled, LeftOut, assemble, read_any};

/// Reads a studio document.
///
/// # Errors
/// The first refusal: not JSON, not a studio, from the future, a key or a kind that does not belong, a bound broken.
pub fn read(text: &str) -> Result<Studio, Refusal> {
    let studio = read_unchecked(text)?;
    match check::check(&studio) {
        Ok(()) => Ok(studio),
        Err(refusals) => Err(first(refusals)),
    }
}

/// Reads a studio document without checking bounds and references, to tell all of what is wrong with them.
///
/// # Errors
/// The first refusal of structure.
pub fn read_unchecked(text: &str) -> Result<Studio, Refusal> {
    let value = parse(text)?;
    format_and_version(value)?;
    let mut studio = Studio::default();
    reader::read_into(&mut studio, value, Place::default())?;
    Ok(studio)
}

/// Writes a studio document: one record a line, stable, nothing left to chance.
pub fn write(studio: &Studio) -> String {
    // The walk is one and the same for reading, and so takes what it could change.
    let mut text = writer::write_record(&mut studio.clone(), true);
    text.push('\n');
    text
}

/// Reads one record by itself, without its bounds: an entry, a glaze, an edit.
///
/// # Errors
/// The first refusal of structure.
pub fn read_record<R: Record + Default>(text: &str) -> Result<R, Refusal> {
    let value = parse(text)?;
    let mut record = R::default();
    reader::read_into(&mut record, value, Place::default())?;
    Ok(record)
}

/// Writes one record by itself, on one line.
pub fn write_record<R: Record + Clone>(record: &R) -> String {
    writer::write_record(&mut record.clone(), false)
}

/// Writes one record of any list by itself, on one line.
pub(crate) fn write_walked(record: &mut dyn Record) -> String {
    writer::write_record(record, false)
}

/// All of a studio that is not a record of a list.
pub(super) fn head_of(studio: &Studio) -> Studio {
    Studio {
        format: studio.format.clone(),
        version: studio.version,
        id: studio.id.clone(),
        name: studio.name.clone(),
        invented: studio.invented,
        settings: studio.settings.clone(),
        removed: studio.removed.clone(),
        ..Studio::default()
    }
}

/// Writes all of a studio that is not a record of a list, on one line.
pub fn write_head(studio: &Studio) -> String {
    let mut head = head_of(studio);
    (head.format, head.version) = (FORMAT.into(), VERSION);
    writer::write_record(&mut head, false)
}

/// The first of what was refused.
pub(super) fn first(refusals: Vec<Refusal>) -> Refusal {
    refusals
        .into_iter()
        .next()
        .unwrap_or_else(|| Refusal::new("", Cause::NotAStudio))
}

/// Refuses a text longer than is read.
///
/// # Errors
/// [`Cause::FileTooLong`].
pub(super) fn not_too_long(text: &str) -> Result<(), Refusal> {
    let (bytes, limit) = (text.len(), FILE_BYTES);
    if bytes > limit {
        return Err(Refusal::new("", Cause::FileTooLong { bytes, limit }));
    }
    Ok(())
}

/// The text as a JSON value, within the size that is read.
///
/// # Errors
/// Not JSON, with line and letter; or too long.
pub fn parse(text: &str) -> Result<Value<'_>, Refusal> {
    not_too_long(text)?;
    json::checked(text).map_err(|(at, fault)| {
        let before = text.as_bytes().get(..at).unwrap_or_default();
        let line_start = before
            .iter()
            .rposition(|byte| *byte == b'\n')
            .map_or(0, |place| place + 1);
        // Bytes that start a letter, so that a column counts letters.
        let column = before[line_start..]
            .iter()
            .filter(|byte| **byte & 0xc0 != 0x80)
            .count()
            + 1;
        let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
        Refusal::new(
            "",
            Cause::NotJson {
                line,
                column,
                fault,
            },
        )
    })
}

/// Format and version come before everything else, so that a file from the future is told as such
/// whatever else it holds.
fn format_and_version(value: Value<'_>) -> Result<(), Refusal> {
    if value.kind() != Kind::Object {
        return Err(Refusal::new("", Cause::NotAStudio));
    }
    let members = value.members(64);
    let find = |name: &str| {
        members
            .iter()
            .find(|(key, _)| key == name)
            .map(|(_, value)| *value)
    };
    if find("format").and_then(Value::text).as_deref() != Some(FORMAT) {
        return Err(Refusal::new("format", Cause::NotAStudio));
    }
    let Some(version) = find("version") else {
        return Err(Refusal::new(
            "version",
            Cause::MissingKey { key: "version" },
        ));
    };
    match version.number() {
        Some(found) if found == f64::from(VERSION) => Ok(()),
        Some(found) if found > f64::from(VERSION) => Err(Refusal::new(
            "version",
            Cause::FromTheFuture {
                found,
                newest: VERSION,
            },
        )),
        _ => Err(Refusal::new(
            "version",
            Cause::NoSuchVersion {
                found: cut(version.raw()),
            },
        )),
    }
}
