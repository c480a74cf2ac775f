//! One row of a table by the names of its columns, and the names of what it refers to.
//!
//! Takes cells; sets what a column says, leaves alone what no column says, and keeps what was not understood.

use super::cells::{Cells, Out};
use super::columns::{Slot, header, read_how, write_how};
use super::{Column, LineProblem};
use crate::order;
use crate::studio::any;
use crate::studio::check::Index;
use crate::studio::decimal;
use crate::studio::document::{List, Studio};
use crate::studio::error::{Cause, Refusal, cut};
use crate::studio::walk::Word;

/// Letters and digits of a header, small: `Run (mm)` is `run mm`.
fn tidy(header: &str) -> String {
    let mut tidied = String::new();
    for letter in header.chars() {
        if letter.is_ascii_alphanumeric() || !letter.is_ascii() {
            tidied.push(letter.to_ascii_lowercase());
        }
    }
    tidied
}

/// What each header is taken for.
pub fn match_headers(headers: Vec<String>, known: &[String]) -> Vec<Column> {
    let mut columns = Vec::with_capacity(headers.len());
    for header in headers {
        let tidied = tidy(&header);
        let mut taken_for = None;
        for name in known {
            if tidy(name) == tidied {
                taken_for = Some(name.clone());
            }
        }
        columns.push(Column { header, taken_for });
    }
    columns
}

/// Records by name, for reading, and names of records, for writing.
pub struct Names<'a> {
    /// What is there to refer to.
    pub index: Index<'a>,
    /// For each list: name, identifier.
    names: Vec<Vec<(&'a str, &'a str)>>,
}

impl<'a> Names<'a> {
    /// The names of a studio.
    pub fn of(studio: &'a Studio) -> Self {
        let mut names = Vec::new();
        for list in List::ALL {
            names.push(any::names(studio, *list));
        }
        Self {
            index: Index::of(studio),
            names,
        }
    }

    /// The identifier of the record that a text names.
    ///
    /// # Errors
    /// There is none, or more than one.
    fn named(&self, list: List, text: &str) -> Result<&'a str, Cause> {
        if let Some(id) = self.index.id(list, text) {
            return Ok(id);
        }
        let mut found = None;
        for (name, id) in &self.names[list.place()] {
            if name.eq_ignore_ascii_case(text.trim()) {
                if found.is_some() {
                    let name = cut(text);
                    return Err(Cause::NameOfSeveral { list, name });
                }
                found = Some(*id);
            }
        }
        found.ok_or_else(|| Cause::NoSuchRecord {
            list,
            id: cut(text),
        })
    }

    /// How a record is written: by its name where that says which one, else by its identifier.
    fn name<'b>(&'b self, list: List, id: &'b str) -> &'b str {
        for (name, known) in &self.names[list.place()] {
            if *known == id && self.named(list, name).is_ok_and(|found| found == id) {
                return name;
            }
        }
        id
    }

    /// Writes what stands in a record as the next cell.
    pub fn write(&self, slot: Slot<'_>, out: &mut Out) {
        match slot {
            Slot::Nothing => out.text(""),
            Slot::Text(text) => out.text(text),
            Slot::MaybeText(text) => out.text(text.as_deref().unwrap_or("")),
            Slot::Number(value) => out.number(Some(*value)),
            Slot::MaybeNumber(value) => out.number(*value),
            Slot::MaybeCount(value) => out.number(value.map(f64::from)),
            Slot::Flag(yes) => out.text(if *yes { "yes" } else { "" }),
            Slot::Word(place, words) => {
                let word = place.and_then(|at| words.get(at)).unwrap_or(&"");
                out.text(&word.replace('_', " "));
            }
            Slot::Reference(list, id) => out.text(self.name(list, id)),
            Slot::MaybeReference(list, id) => {
                out.text(id.as_ref().map_or("", |id| self.name(list, id)));
            }
            Slot::How(how) => out.text(&write_how(*how)),
        }
    }
}

/// Where each column stands, by the name it is taken for; sorted.
pub fn lookup(columns: &[Column]) -> Vec<(&str, usize)> {
    let mut lookup = Vec::new();
    for (at, column) in columns.iter().enumerate() {
        if let Some(name) = &column.taken_for {
            lookup.push((name.as_str(), at));
        }
    }
    order::sort(&mut lookup);
    lookup
}

/// One row with what was not understood in it.
pub struct Row<'a> {
    lookup: &'a [(&'a str, usize)],
    cells: &'a Cells,
    names: &'a Names<'a>,
    layer: usize,
    /// What was not understood.
    pub problems: Vec<LineProblem>,
}

impl<'a> Row<'a> {
    /// The row, nothing read yet.
    pub fn new(lookup: &'a [(&'a str, usize)], cells: &'a Cells, names: &'a Names<'a>) -> Self {
        Self {
            lookup,
            cells,
            names,
            layer: 0,
            problems: Vec::new(),
        }
    }

    /// From here on columns are those of a layer, from 1; 0: of none.
    pub fn within(&mut self, layer: usize) {
        self.layer = layer;
    }

    /// What a column says; none where there is no such column.
    pub fn cell(&self, key: &str) -> Option<&'a str> {
        let key = header(self.layer, key);
        let at = self
            .lookup
            .binary_search_by(|(name, _)| (*name).cmp(&key))
            .ok()?;
        let cell = self.cells.cells.get(self.lookup[at].1);
        Some(cell.map_or("", String::as_str))
    }

    /// Whether a column says anything.
    pub fn says(&self, key: &str) -> bool {
        !self.cell(key).unwrap_or("").is_empty()
    }

    /// Keeps that a cell was not understood.
    pub fn problem(&mut self, key: &str, cause: Cause) {
        let column = header(self.layer, key);
        let refusal = Refusal::new(column.as_str(), cause);
        self.refused(column, &refusal);
    }

    /// Keeps what was refused of a column.
    pub fn refused(&mut self, column: String, refusal: &Refusal) {
        self.problems.push(LineProblem {
            line: self.cells.line,
            column,
            message: refusal.message(),
        });
    }

    /// Sets what a column says, or keeps why it was not understood.
    pub fn read(&mut self, key: &'static str, slot: Slot<'_>) {
        if let Err(cause) = self.set(key, slot) {
            self.problem(key, cause);
        }
    }

    fn set(&self, key: &'static str, slot: Slot<'_>) -> Result<(), Cause> {
        let found = self.cell(key);
        let cell = found.unwrap_or("");
        if let Slot::Reference(_, id) = &slot
            && cell.is_empty()
            && id.is_empty()
        {
            return Err(Cause::MissingKey { key });
        }
        if found.is_none() {
            return Ok(());
        }
        match slot {
            Slot::Nothing => {}
            Slot::Text(text) => cell.clone_into(text),
            Slot::MaybeText(text) => *text = (!cell.is_empty()).then(|| cell.to_owned()),
            Slot::Number(value) => *value = typed(cell)?.unwrap_or(*value),
            Slot::MaybeNumber(value) => *value = typed(cell)?,
            Slot::MaybeCount(count) => {
                let value = typed(cell)?;
                *count = None;
                if let Some(value) = value {
                    if value.fract() != 0.0 {
                        return Err(Cause::NotWhole { value });
                    }
                    // Beyond a byte it is out of its bounds anyway, and the check says so.
                    *count = Some(value.clamp(0.0, 255.0) as u8);
                }
            }
            Slot::Flag(yes) => match cell.to_ascii_lowercase().as_str() {
                "yes" | "true" | "1" => *yes = true,
                "" | "no" | "false" | "0" => *yes = false,
                _ => return Err(unknown(cell, &["yes", "no"])),
            },
            Slot::Word(place, words) => {
                let tidied = tidy(cell);
                *place = words.iter().position(|word| tidy(word) == tidied);
                if place.is_none() && !cell.is_empty() {
                    return Err(unknown(cell, words));
                }
            }
            Slot::Reference(list, id) => {
                if !cell.is_empty() {
                    *id = self.names.named(list, cell)?.to_owned();
                }
            }
            Slot::MaybeReference(list, id) => {
                *id = None;
                if !cell.is_empty() {
                    *id = Some(self.names.named(list, cell)?.to_owned());
                }
            }
            Slot::How(how) => {
                *how = read_how(cell).ok_or_else(|| Cause::WrongForm {
                    found: cut(cell),
                    what: "a number of coats, dips or passes",
                    how: "Write 3 coats, 1 dip 2 s, or 4 passes",
                })?;
            }
        }
        Ok(())
    }
}

fn unknown(cell: &str, known: &'static [&'static str]) -> Cause {
    Cause::UnknownWord {
        found: cut(cell),
        known,
    }
}

/// The number in a cell; none where it is empty.
fn typed(cell: &str) -> Result<Option<f64>, Cause> {
    if cell.is_empty() {
        return Ok(None);
    }
    let value = number(cell).ok_or_else(|| Cause::WrongKind {
        expected: "A number",
        found: format!("\"{}\"", cut(cell)),
    })?;
    Ok(Some(value))
}

/// A number with comma or point; nothing else beside it.
pub fn number(cell: &str) -> Option<f64> {
    let text = cell.trim();
    let (mut plain, mut marks) = (String::new(), 0);
    for letter in text.chars() {
        match letter {
            '.' | ',' => {
                plain.push('.');
                marks += 1;
            }
            '0'..='9' | '-' | '+' | 'e' | 'E' => plain.push(letter),
            _ => return None,
        }
    }
    // Both, or one of them twice, can be thousands or not: better asked than guessed.
    if marks > 1 || plain.len() > 30 {
        return None;
    }
    decimal::parse(&plain).filter(|value| value.is_finite())
}
