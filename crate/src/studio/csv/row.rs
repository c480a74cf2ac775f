//! One row of a table by the names of its columns, and the names of what it refers to.
//!
//! Takes cells; sets what a column says, leaves alone what no column says, and keeps what was not understood.

use super::cells::Cells;
use super::{Column, LineProblem};
use crate::order;
use crate::studio::any;
use crate::studio::check::Index;
use crate::studio::document::{Id, List, Studio};
use crate::studio::error::{Cause, Refusal, cut};
use crate::studio::walk::Word;

/// Letters and digits of a header, small: `Run (mm)` is `run mm`.
fn tidy(header: &str) -> String {
    header
        .chars()
        .filter(|letter| letter.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

/// What each header is taken for.
pub fn match_headers(headers: &[String], known: &[String]) -> Vec<Column> {
    let known: Vec<(String, &String)> = known.iter().map(|name| (tidy(name), name)).collect();
    headers
        .iter()
        .map(|header| {
            let tidied = tidy(header);
            let found = known.iter().find(|(name, _)| *name == tidied);
            Column {
                header: header.clone(),
                taken_for: found.map(|(_, name)| (*name).clone()),
            }
        })
        .collect()
}

/// Records by name, for reading, and names of records, for writing.
pub struct Names<'a> {
    studio: &'a Studio,
    index: Index<'a>,
    /// For each list: name in small letters, identifier; sorted.
    names: [Vec<(String, &'a str)>; 8],
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
        let mut names: [Vec<(String, &'a str)>; 8] = Default::default();
        let mut add = |list: List, name: &str, id: &'a str| {
            if !name.trim().is_empty() {
                names[list.place()].push((name.trim().to_lowercase(), id));
            }
        };
        studio
            .glazes
            .iter()
            .for_each(|one| add(List::Glazes, &one.name, &one.id));
        studio
            .hands
            .iter()
            .for_each(|one| add(List::Hands, &one.name, &one.id));
        studio
            .bodies
            .iter()
            .for_each(|one| add(List::Bodies, &one.name, &one.id));
        studio
            .firings
            .iter()
            .for_each(|one| add(List::Firings, &one.name, &one.id));
        studio
            .forms
            .iter()
            .for_each(|one| add(List::Forms, &one.name, &one.id));
        names.iter_mut().for_each(|list| order::sort(list));
        Self {
            index: Index::of(studio),
            studio,
            names,
        }
    }

    fn named(&self, list: List, text: &str) -> Named<'a> {
        if let Some(id) = self.index.id(list, text) {
            return Named::One(id);
        }
        let name = text.trim().to_lowercase();
        let names = &self.names[list.place()];
        let from = names.partition_point(|(known, _)| *known < name);
        let mut same = names[from..].iter().take_while(|(known, _)| *known == name);
        match (same.next(), same.next()) {
            (None, _) => Named::Nothing,
            (Some((_, id)), None) => Named::One(id),
            _ => Named::Several,
        }
    }

    /// How a record is written: by its name where that says which one, else by its identifier.
    pub fn write(&self, list: List, id: &str) -> String {
        let name = self.names[list.place()]
            .iter()
            .find(|(_, known)| *known == id)
            .map(|(name, _)| name);
        match name.map(|name| self.named(list, name)) {
            Some(Named::One(found)) if found == id => self.full_name(list, id),
            _ => id.to_owned(),
        }
    }

    fn full_name(&self, list: List, id: &str) -> String {
        let studio = self.studio;
        let found = match list {
            List::Glazes => studio
                .glazes
                .iter()
                .find(|one| one.id == id)
                .map(|one| &one.name),
            List::Hands => studio
                .hands
                .iter()
                .find(|one| one.id == id)
                .map(|one| &one.name),
            List::Bodies => studio
                .bodies
                .iter()
                .find(|one| one.id == id)
                .map(|one| &one.name),
            List::Firings => studio
                .firings
                .iter()
                .find(|one| one.id == id)
                .map(|one| &one.name),
            List::Forms => studio
                .forms
                .iter()
                .find(|one| one.id == id)
                .map(|one| &one.name),
            List::Entries | List::WeighIns | List::Photos => None,
        };
        found.map_or_else(|| id.to_owned(), |name| name.trim().to_owned())
    }
}

/// Identifiers of a list that is being read into.
pub struct Fresh<'a> {
    list: List,
    now_ms: u64,
    /// Identifiers of the studio with their places, sorted.
    there: Vec<(&'a str, usize)>,
    /// Codes of the studio in capitals with their identifiers, sorted.
    codes: Vec<(String, &'a str)>,
    /// Identifiers of the table so far, sorted.
    taken: std::collections::BTreeSet<Id>,
    made: u64,
}

impl<'a> Fresh<'a> {
    /// Ready to read records into a list.
    pub fn new(studio: &'a Studio, list: List, now_ms: u64) -> Self {
        let mut there: Vec<_> = any::ids(studio, list).into_iter().zip(0..).collect();
        order::sort(&mut there);
        let mut codes: Vec<_> = match list {
            List::Entries => studio
                .entries
                .iter()
                .map(|one| (one.code.to_ascii_uppercase(), one.id.as_str()))
                .collect(),
            _ => Vec::new(),
        };
        order::sort(&mut codes);
        Self {
            list,
            now_ms,
            there,
            codes,
            taken: std::collections::BTreeSet::new(),
            made: 0,
        }
    }

    /// Where in the studio's list a record of this identifier stands.
    pub fn before(&self, id: &str) -> Option<usize> {
        let at = self
            .there
            .binary_search_by(|(known, _)| (*known).cmp(id))
            .ok()?;
        self.there.get(at).map(|(_, place)| *place)
    }

    /// Marks an identifier as read; false if it was already.
    pub fn take(&mut self, id: &str) -> bool {
        self.taken.insert(id.to_owned())
    }

    /// The identifier of a row: the one it gives, else that of its code, else a new one.
    pub fn id_of(&mut self, id: &str, code: &str) -> Id {
        if !id.is_empty() {
            return id.to_owned();
        }
        let capitals = code.to_ascii_uppercase();
        let at = self.codes.partition_point(|(known, _)| *known < capitals);
        if let Some((known, found)) = self.codes.get(at)
            && !code.is_empty()
            && *known == capitals
        {
            return (*found).to_owned();
        }
        loop {
            self.made += 1;
            let mark = if self.list == List::Entries { 'e' } else { 'w' };
            let id = format!("{mark}-{}-{}", self.now_ms, self.made);
            if self.before(&id).is_none() && !self.taken.contains(&id) {
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
        let Some(cell) = self.cell(key) else { return };
        if cell.is_empty() {
            *value = None;
            return;
        }
        let tidied = tidy(cell);
        match W::WORDS
            .iter()
            .position(|word| tidy(word) == tidied)
            .and_then(W::at)
        {
            Some(word) => *value = Some(word),
            None => self.problem(
                key,
                Cause::UnknownWord {
                    found: cut(cell),
                    known: W::WORDS,
                },
            ),
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
    text.replace(',', ".")
        .parse::<f64>()
        .ok()
        .filter(|value| value.is_finite())
}
