//! One row of a table by the names of its columns, and the names of what it refers to.
//!
//! Takes cells; sets what a column says, leaves alone what no column says, and keeps what was not understood.

use super::cells::Cells;
use super::{Column, LineProblem};
use crate::order;
use crate::studio::any;
use crate::studio::check::Index;
use crate::studio::codes;
use crate::studio::decimal;
use crate::studio::document::{Id, List, Studio};
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
pub fn match_headers(headers: &[String], known: &[String]) -> Vec<Column> {
    let tidied: Vec<String> = known.iter().map(|name| tidy(name)).collect();
    let mut columns = Vec::with_capacity(headers.len());
    for header in headers {
        let found = tidied.iter().position(|name| *name == tidy(header));
        columns.push(Column {
            header: header.clone(),
            taken_for: found.map(|at| known[at].clone()),
        });
    }
    columns
}

/// Records by name, for reading, and names of records, for writing.
pub struct Names<'a> {
    index: Index<'a>,
    /// For each list: name, identifier.
    names: [Vec<(&'a str, &'a str)>; 8],
}

/// What a name stands for.
enum Named<'a> {
    Nothing,
    One(&'a str),
    Several,
}

impl<'a> Names<'a> {
    /// The names of a studio.
    pub fn of(studio: &'a Studio) -> Self {
        let mut names: [Vec<(&'a str, &'a str)>; 8] = Default::default();
        for list in List::ALL {
            names[list.place()] = any::names(studio, *list);
        }
        Self {
            index: Index::of(studio),
            names,
        }
    }

    fn named(&self, list: List, text: &str) -> Named<'a> {
        if let Some(id) = self.index.id(list, text) {
            return Named::One(id);
        }
        let mut found = Named::Nothing;
        for (name, id) in &self.names[list.place()] {
            if name.eq_ignore_ascii_case(text.trim()) {
                found = match found {
                    Named::Nothing => Named::One(id),
                    _ => return Named::Several,
                };
            }
        }
        found
    }

    /// How a record is written: by its name where that says which one, else by its identifier.
    pub fn write(&self, list: List, id: &'a str) -> &'a str {
        for (name, known) in &self.names[list.place()] {
            if *known == id && matches!(self.named(list, name), Named::One(found) if found == id) {
                return name;
            }
        }
        id
    }

    /// The same for one that may be absent.
    pub fn write_maybe(&self, list: List, id: &'a Option<Id>) -> &'a str {
        id.as_ref().map_or("", |id| self.write(list, id))
    }
}

/// Identifiers of a list that is being read into.
pub struct Fresh<'a> {
    studio: &'a Studio,
    list: List,
    now_ms: u64,
    index: Index<'a>,
    made: u64,
}

impl<'a> Fresh<'a> {
    /// Ready to read records into a list.
    pub fn new(studio: &'a Studio, list: List, now_ms: u64) -> Self {
        Self {
            studio,
            list,
            now_ms,
            index: Index::of(studio),
            made: 0,
        }
    }

    /// Where in the studio's list a record of this identifier stands.
    pub fn before(&self, id: &str) -> Option<usize> {
        self.index.find(self.list, id)
    }

    /// The identifier of a row: the one it gives, else that of its code, else a new one.
    pub fn id_of(&mut self, id: &str, code: &str) -> Id {
        if !id.is_empty() {
            return id.to_owned();
        }
        if !code.is_empty() && self.list == List::Entries {
            for entry in &self.studio.entries {
                if entry.code.eq_ignore_ascii_case(code) {
                    return entry.id.clone();
                }
            }
        }
        let stem = codes::fresh_id(self.studio, self.list, "", self.now_ms);
        loop {
            self.made += 1;
            let id = format!("{stem}-{}", self.made);
            if self.before(&id).is_none() {
                return id;
            }
        }
    }
}

/// Where each column stands, by the name it is taken for; sorted.
pub fn lookup(columns: &[Column]) -> Vec<(String, usize)> {
    let mut lookup: Vec<(String, usize)> = columns
        .iter()
        .enumerate()
        .filter_map(|(at, column)| Some((column.taken_for.clone()?, at)))
        .collect();
    order::sort(&mut lookup);
    lookup
}

/// One row with what was not understood in it.
pub struct Row<'a> {
    lookup: &'a [(String, usize)],
    cells: &'a Cells,
    names: &'a Names<'a>,
    problems: Vec<LineProblem>,
}

impl<'a> Row<'a> {
    /// The row, nothing read yet.
    pub fn new(lookup: &'a [(String, usize)], cells: &'a Cells, names: &'a Names<'a>) -> Self {
        Self {
            lookup,
            cells,
            names,
            problems: Vec::new(),
        }
    }

    /// What was not understood.
    pub fn into_problems(self) -> Vec<LineProblem> {
        self.problems
    }

    /// What a column says; none where there is no such column.
    pub fn cell(&self, key: &str) -> Option<&'a str> {
        let at = self
            .lookup
            .binary_search_by(|(name, _)| name.as_str().cmp(key))
            .ok()?;
        let at = self.lookup[at].1;
        Some(self.cells.cells.get(at).map_or("", String::as_str))
    }

    /// Keeps that a cell was not understood.
    pub fn problem(&mut self, key: &str, cause: Cause) {
        self.problems.push(LineProblem {
            line: self.cells.line,
            column: key.to_owned(),
            message: Refusal::new(key, cause).message(),
        });
    }

    /// Sets a text.
    pub fn text(&mut self, key: &str, value: &mut String) {
        if let Some(cell) = self.cell(key) {
            cell.clone_into(value);
        }
    }

    /// Sets a text that may be absent.
    pub fn maybe_text(&mut self, key: &str, value: &mut Option<String>) {
        if let Some(cell) = self.cell(key) {
            *value = (!cell.is_empty()).then(|| cell.to_owned());
        }
    }

    /// Sets a number that may be absent.
    pub fn maybe_number(&mut self, key: &str, value: &mut Option<f64>) {
        let Some(cell) = self.cell(key) else { return };
        if cell.is_empty() {
            *value = None;
        } else if let Some(number) = number(cell) {
            *value = Some(number);
        } else {
            self.problem(
                key,
                Cause::WrongKind {
                    expected: "A number",
                    found: format!("\"{}\"", cut(cell)),
                },
            );
        }
    }

    /// Sets a number; an empty cell leaves it as it is.
    pub fn number(&mut self, key: &str, value: &mut f64) {
        let mut found = None;
        self.maybe_number(key, &mut found);
        *value = found.unwrap_or(*value);
    }

    /// Sets a word that may be absent.
    pub fn maybe_word<W: Word>(&mut self, key: &str, value: &mut Option<W>) {
        let mut place = value.map(W::place);
        self.place_of_word(key, W::WORDS, &mut place);
        *value = place.and_then(W::at);
    }

    fn place_of_word(
        &mut self,
        key: &str,
        words: &'static [&'static str],
        place: &mut Option<usize>,
    ) {
        let Some(cell) = self.cell(key) else { return };
        let tidied = tidy(cell);
        *place = words.iter().position(|word| tidy(word) == tidied);
        if place.is_none() && !cell.is_empty() {
            self.problem(
                key,
                Cause::UnknownWord {
                    found: cut(cell),
                    known: words,
                },
            );
        }
    }

    /// Sets a reference that may be absent, given by name or identifier.
    pub fn maybe_reference(&mut self, key: &str, list: List, value: &mut Option<Id>) {
        let Some(cell) = self.cell(key) else { return };
        if cell.is_empty() {
            *value = None;
            return;
        }
        match self.names.named(list, cell) {
            Named::One(id) => *value = Some(id.to_owned()),
            Named::Nothing => self.problem(
                key,
                Cause::NoSuchRecord {
                    list,
                    id: cut(cell),
                },
            ),
            Named::Several => self.problem(
                key,
                Cause::NameOfSeveral {
                    list,
                    name: cut(cell),
                },
            ),
        }
    }

    /// Sets a reference that must be there; an empty cell leaves it as it is.
    pub fn reference(&mut self, key: &'static str, list: List, value: &mut Id) {
        if self.cell(key).unwrap_or("").is_empty() {
            if value.is_empty() {
                self.problem(key, Cause::MissingKey { key });
            }
            return;
        }
        let mut found = None;
        self.maybe_reference(key, list, &mut found);
        *value = found.unwrap_or_default();
    }
}

/// A number with comma or point; nothing else beside it.
pub fn number(cell: &str) -> Option<f64> {
    let text = cell.trim();
    // Both, or one of them twice, can be thousands or not: better asked than guessed.
    if text.matches(['.', ',']).count() > 1 || text.len() > 30 {
        return None;
    }
    let fine = |letter: char| {
        letter.is_ascii_digit() || matches!(letter, '.' | ',' | '-' | '+' | 'e' | 'E')
    };
    if !text.chars().all(fine) {
        return None;
    }
    decimal::parse(&text.replace(',', ".")).filter(|value| value.is_finite())
}
