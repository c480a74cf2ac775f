//! The log and the weigh-ins as CSV, out and in again to the same.
//!
//! Takes a studio (out), or the text of a table and a studio (in); gives text, or an edit with all that was understood
//! and, line by line, what was not. Nothing is taken by reading: the edit is applied only if nothing is wrong.

use serde::Serialize;

use super::any::AnyRecord;
use super::bounds;
use super::check::Checks;
use super::codes;
use super::document::{Id, List, Studio};
use super::edit::Edit;
use super::error::{Cause, Message, Refusal, cut};
use super::file;
use crate::order;

mod cells;
mod columns;
mod row;

pub use cells::{Separator, Style};
use row::{Names, Row};

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

impl Table {
    fn list(self) -> List {
        match self {
            Self::Log => List::Entries,
            Self::WeighIns => List::WeighIns,
        }
    }

    /// The names of all columns, for so many layers.
    fn columns(self, layers: usize) -> Vec<String> {
        let mut names = Vec::new();
        let mut blank = AnyRecord::blank(self.list());
        columns::walk(&mut blank, layers, &mut |layer, name, _| {
            names.push(columns::header(layer, name));
        });
        names
    }
}

/// Writes a table: the log with as many layers as the highest pile has.
pub fn write(studio: &Studio, table: Table, style: Style) -> String {
    let mut layers = usize::from(studio.entries.is_empty());
    for entry in &studio.entries {
        layers = layers.max(entry.layers.len());
    }
    let names = Names::of(studio);
    let mut out = cells::Out::new(style);
    for name in table.columns(layers) {
        out.text(&name);
    }
    out.end_row();
    let mut at = 0;
    while let Some(mut record) = AnyRecord::copy_of(studio, table.list(), at) {
        columns::walk(&mut record, layers, &mut |_, _, slot| {
            names.write(slot, &mut out);
        });
        out.end_row();
        at += 1;
    }
    out.finish()
}

/// Reads a table for a studio. Records are matched by identifier, else by code; what is in neither is new.
///
/// # Errors
/// A refusal where it is no table at all: too long, empty, a quote that is never closed, no column that is known.
pub fn read(text: &str, studio: &Studio, table: Table, now_ms: u64) -> Result<Understood, Refusal> {
    file::not_too_long(text)?;
    let list = table.list();
    let (separator, mut rows) = cells::read(text, bounds::most_of(list))?;
    let headers = std::mem::take(&mut rows[0].cells);
    let known = table.columns(bounds::LAYERS);
    let columns = row::match_headers(headers, &known);
    let lookup = row::lookup(&columns);
    if lookup.is_empty() {
        return Err(Refusal::new("line 1", Cause::NoKnownColumn { known }));
    }
    let names = Names::of(studio);
    let mut checks = Checks::new(studio);
    let mut problems = twice(&columns);
    let (mut new, mut changed, mut same, mut made) = (0, 0, 0, 0);
    let mut edits = Vec::new();
    let mut lines: Vec<(Id, usize)> = Vec::new();
    for cells in &rows[1..] {
        if problems.len() >= MOST_PROBLEMS {
            break;
        }
        let mut row = Row::new(&lookup, cells, &names);
        let id = match known_id(&row, studio, list) {
            Some(id) => id,
            None => fresh_id(studio, &names, list, now_ms, &mut made),
        };
        let before = names.index.find(list, &id);
        let before = before.and_then(|at| AnyRecord::copy_of(studio, list, at));
        let mut record = match &before {
            Some(before) => before.clone(),
            None => AnyRecord::blank(list),
        };
        columns::read(&mut row, studio, &mut record, before.is_none());
        match &mut record {
            AnyRecord::Entry(entry) => entry.id.clone_from(&id),
            AnyRecord::WeighIn(one) => one.id.clone_from(&id),
            _ => {}
        }
        if row.problems.is_empty() {
            for refusal in checks.one(&mut record) {
                row.refused(column_of(&refusal.place, &known), &refusal);
            }
        }
        problems.append(&mut row.problems);
        lines.push((id, cells.line));
        match before {
            None => new += 1,
            Some(mut before) => {
                if before.text() == record.text() {
                    same += 1;
                    continue;
                }
                changed += 1;
            }
        }
        edits.push(Edit::Put { record, at: None });
    }
    order::sort(&mut lines);
    for pair in lines.windows(2) {
        if pair[0].0 == pair[1].0 {
            let text = cut(&pair[1].0);
            problems.push(LineProblem {
                line: pair[1].1,
                column: "id".into(),
                message: Refusal::new("id", Cause::TwiceInTable { text }).message(),
            });
        }
    }
    Ok(Understood {
        separator,
        columns,
        new,
        changed,
        same,
        problems,
        edit: Edit::Many(edits),
    })
}

/// The identifier that a row gives, else that of the entry of its code.
fn known_id(row: &Row<'_>, studio: &Studio, list: List) -> Option<Id> {
    if row.says("id") {
        return row.cell("id").map(str::to_owned);
    }
    if row.says("code") && list == List::Entries {
        for entry in &studio.entries {
            if entry.code.eq_ignore_ascii_case(row.cell("code")?) {
                return Some(entry.id.clone());
            }
        }
    }
    None
}

/// An identifier that is neither in the studio nor made already.
fn fresh_id(studio: &Studio, names: &Names<'_>, list: List, now_ms: u64, made: &mut u32) -> Id {
    let stem = codes::fresh_id(studio, list, "", now_ms);
    loop {
        *made += 1;
        let id = codes::numbered(&stem, *made);
        if names.index.find(list, &id).is_none() {
            return id;
        }
    }
}

/// The column that a place in a record comes from: `layers[0].zone.to_mm` from `layer 1 to mm`; empty where none does.
fn column_of(place: &str, known: &[String]) -> String {
    let (layer, rest) = match place
        .strip_prefix("layers[")
        .and_then(|rest| rest.split_once(']'))
    {
        Some((number, rest)) => (number.parse().map_or(0, |at: usize| at + 1), rest),
        None => (0, place),
    };
    let rest = rest.strip_prefix('.').unwrap_or(rest);
    let last = if rest.starts_with("how") {
        "how"
    } else {
        rest.rfind('.').map_or(rest, |at| &rest[at + 1..])
    };
    let column = columns::header(layer, &last.replace('_', " "));
    for name in known {
        if name.eq_ignore_ascii_case(&column) {
            return name.clone();
        }
    }
    String::new()
}

/// Columns that are taken for the same.
fn twice(columns: &[Column]) -> Vec<LineProblem> {
    let mut problems = Vec::new();
    for (at, column) in columns.iter().enumerate() {
        for first in &columns[..at] {
            if let Some(text) = &column.taken_for
                && first.taken_for.as_ref() == Some(text)
            {
                let cause = Cause::Twice {
                    text: text.clone(),
                    first: format!("\"{}\"", cut(&first.header)),
                };
                problems.push(LineProblem {
                    line: 1,
                    column: column.header.clone(),
                    message: Refusal::new("", cause).message(),
                });
                break;
            }
        }
    }
    problems
}
