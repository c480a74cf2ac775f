//! The log and the weigh-ins as CSV, out and in again to the same.
//!
//! Takes a studio (out), or the text of a table and a studio (in); gives text, or an edit with all that was understood
//! and, line by line, what was not. Nothing is taken by reading: the edit is applied only if nothing is wrong.

use serde::Serialize;

use super::any::AnyRecord;
use super::bounds;
use super::check::Checks;
use super::document::{Id, List, Studio};
use super::edit::Edit;
use super::error::{Cause, Message, Refusal, cut};
use crate::order;

mod cells;
mod log;
mod row;
mod weighed;

pub use cells::{Separator, Style};
use row::Row;

/// Which table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Table {
    /// Plans and log entries.
    Log,
    /// Weigh-ins.
    WeighIns,
}

/// What a table was understood as.
#[derive(Clone, Debug, PartialEq)]
pub struct Understood {
    /// What separates its cells.
    pub separator: Separator,
    /// Its columns, each with what it is taken for.
    pub columns: Vec<Column>,
    /// Records that are new to the studio.
    pub new: usize,
    /// Records of the studio that it changes.
    pub changed: usize,
    /// Records that stand in the studio just so.
    pub same: usize,
    /// What was not understood.
    pub problems: Vec<LineProblem>,
    /// All new and changed records, to be applied as one if there is no problem.
    pub edit: Edit,
}

/// One column of a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Column {
    /// Its header.
    pub header: String,
    /// The column it is taken for; none: it is left out.
    pub taken_for: Option<String>,
}

/// One thing that was not understood.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct LineProblem {
    /// Line of the text, from 1.
    pub line: usize,
    /// The column's header; empty for the line as a whole.
    pub column: String,
    /// What is wrong and what to do.
    pub message: Message,
}

/// More problems than anybody mends by hand.
const MOST_PROBLEMS: usize = 1000;

/// Writes a table.
pub fn write(studio: &Studio, table: Table, style: Style) -> String {
    let mut out = cells::Out::new(style);
    match table {
        Table::Log => log::write(studio, &mut out),
        Table::WeighIns => weighed::write(studio, &mut out),
    }
    out.finish()
}

/// Reads a table for a studio. Records are matched by identifier, else by code; what is in neither is new.
///
/// # Errors
/// A refusal where it is no table at all: too long, empty, a quote that is never closed, no column that is known.
pub fn read(text: &str, studio: &Studio, table: Table, now_ms: u64) -> Result<Understood, Refusal> {
    if text.len() > bounds::FILE_BYTES {
        let cause = Cause::FileTooLong {
            bytes: text.len(),
            limit: bounds::FILE_BYTES,
        };
        return Err(Refusal::new("", cause));
    }
    let (list, most) = match table {
        Table::Log => (List::Entries, bounds::ENTRIES),
        Table::WeighIns => (List::WeighIns, bounds::WEIGH_INS),
    };
    let (separator, rows) = cells::read(text, most)?;
    let mut rows = rows.into_iter();
    let headers = rows.next().map(|row| row.cells).unwrap_or_default();
    let known = match table {
        Table::Log => log::columns(),
        Table::WeighIns => weighed::columns(),
    };
    let columns = row::match_headers(&headers, &known);
    if columns.iter().all(|column| column.taken_for.is_none()) {
        return Err(Refusal::new("line 1", Cause::NoKnownColumn { known }));
    }
    let names = row::Names::of(studio);
    let mut checks = Checks::new(studio);
    let mut fresh = row::Fresh::new(studio, list, now_ms);
    let mut understood = Understood {
        separator,
        columns,
        new: 0,
        changed: 0,
        same: 0,
        problems: Vec::new(),
        edit: Edit::default(),
    };
    twice(&headers, &mut understood);
    let lookup = row::lookup(&understood.columns);
    let mut edits = Vec::new();
    let mut lines: Vec<(Id, usize)> = Vec::new();
    for cells in rows {
        if understood.problems.len() >= MOST_PROBLEMS {
            break;
        }
        let mut row = Row::new(&lookup, &cells, &names);
        let mut record = match table {
            Table::Log => log::read(&mut row, studio, &mut fresh),
            Table::WeighIns => weighed::read(&mut row, studio, &mut fresh),
        };
        let before = fresh.before(record.id());
        let mut problems = row.into_problems();
        if problems.is_empty() {
            problems.extend(
                checks
                    .one(&mut record)
                    .into_iter()
                    .map(|refusal| LineProblem {
                        line: cells.line,
                        column: column_of(&refusal.place, &known),
                        message: refusal.message(),
                    }),
            );
        }
        lines.push((record.id().clone(), cells.line));
        understood.problems.append(&mut problems);
        match before.and_then(|at| AnyRecord::copy_of(studio, list, at)) {
            Some(mut old) => {
                if old.text() == record.text() {
                    understood.same += 1;
                    continue;
                }
                understood.changed += 1;
            }
            None => understood.new += 1,
        }
        edits.push(Edit::Put { record, at: None });
    }
    order::sort(&mut lines);
    for pair in lines.windows(2) {
        if pair[0].0 == pair[1].0 {
            let message = Refusal::new(
                "id",
                Cause::TwiceInTable {
                    text: cut(&pair[1].0),
                },
            )
            .message();
            understood.problems.push(LineProblem {
                line: pair[1].1,
                column: "id".into(),
                message,
            });
        }
    }
    understood.edit = Edit::Many(edits);
    Ok(understood)
}

/// The column that a place in a record comes from: `layers[0].zone.to_mm` from `layer 1 to mm`; empty where none does.
fn column_of(place: &str, known: &[String]) -> String {
    let (layer, rest) = match place
        .strip_prefix("layers[")
        .and_then(|rest| rest.split_once(']'))
    {
        Some((number, rest)) => (number.parse::<usize>().ok(), rest),
        None => (None, place),
    };
    let last = match rest.trim_start_matches('.') {
        how if how.starts_with("how") => "how",
        other => other.rfind('.').map_or(other, |at| &other[at + 1..]),
    };
    let column = last.replace('_', " ");
    let column = layer.map_or_else(|| column.clone(), |at| format!("layer {} {column}", at + 1));
    let same = known.iter().find(|name| name.eq_ignore_ascii_case(&column));
    same.cloned().unwrap_or_default()
}

/// Two columns that are taken for the same.
fn twice(headers: &[String], understood: &mut Understood) {
    for (at, column) in understood.columns.iter().enumerate() {
        let first = understood.columns[..at]
            .iter()
            .find(|other| other.taken_for == column.taken_for);
        if let (Some(taken_for), Some(first)) = (&column.taken_for, first) {
            let cause = Cause::Twice {
                text: taken_for.clone(),
                first: format!("\"{}\"", cut(&first.header)),
            };
            understood.problems.push(LineProblem {
                line: 1,
                column: headers.get(at).cloned().unwrap_or_default(),
                message: Refusal::new("", cause).message(),
            });
        }
    }
}
