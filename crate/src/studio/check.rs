//! Checks a studio: every number and text within its bounds, every reference there, everything that must fit fits.
//!
//! Takes a document of any origin; gives all refusals, each with its place, up to a hundred.

use super::any::{self, AnyRecord};
use super::bounds::{self, Bounds};
use super::case::Cases;
use super::document::{Entry, FORMAT, List, Studio};
use super::error::{Cause, Refusal};
use super::file;
use super::place::{Place, Step};
use super::walk::{Fields, Need, Record, TextRule, Word};
use crate::order;

mod fits;
mod text;

/// More refusals than anybody reads.
const MOST_REFUSALS: usize = 100;

/// Checks a whole studio.
///
/// # Errors
/// What is wrong, in the order of the document; never an empty list.
pub fn check(studio: &Studio) -> Result<(), Vec<Refusal>> {
    check_up_to(studio, MOST_REFUSALS)
}

/// As [`check`], with up to `most` refusals.
///
/// # Errors
/// See [`check`].
pub fn check_up_to(studio: &Studio, most: usize) -> Result<(), Vec<Refusal>> {
    let mut cases = Cases::new(studio);
    let mut checker = Checker::new(cases.index(), most);
    twice(studio, &mut checker);
    // The walk is one and the same for reading, and so takes what it could change.
    studio.clone().walk(&mut checker);
    let mut refusals = checker.refusals;
    if refusals.is_empty() {
        fits::studio(&mut cases, most, &mut refusals);
    }
    done(refusals)
}

/// Checks one record where it stands in a studio; places are within the record.
///
/// # Errors
/// What is wrong; never an empty list.
pub fn check_one(studio: &Studio, list: List, id: &str) -> Result<(), Vec<Refusal>> {
    let mut checks = Checks::new(studio);
    let at = checks.cases.index().find(list, id);
    let Some(mut record) = at.and_then(|at| AnyRecord::copy_of(studio, list, at)) else {
        let id = super::error::cut(id);
        return Err(vec![Refusal::new("id", Cause::NoSuchRecord { list, id })]);
    };
    let mut refusals = checks.one(&mut record);
    if let AnyRecord::Entry(entry) = &record {
        same_code(studio, entry, &mut refusals);
    }
    let most = bounds::most_of(list);
    if any::ids(studio, list).len() > most {
        refusals.push(Refusal::new(
            "",
            Cause::TooMany {
                count: most + 1,
                limit: most,
            },
        ));
    }
    done(refusals)
}

/// Checks of single records against one studio, looked up once for many.
pub struct Checks<'a> {
    cases: Cases<'a>,
}

impl<'a> Checks<'a> {
    /// Ready for records that are to stand in a studio.
    pub fn new(studio: &'a Studio) -> Self {
        Self {
            cases: Cases::new(studio),
        }
    }

    /// What is wrong with a record by itself; places are within the record. Whether its identifier or its code
    /// stand twice is not looked at.
    pub fn one(&mut self, record: &mut AnyRecord) -> Vec<Refusal> {
        let mut checker = Checker::new(self.cases.index(), MOST_REFUSALS);
        record.listed_mut().walk(&mut checker);
        let mut refusals = checker.refusals;
        if refusals.is_empty() {
            fits::one(&mut self.cases, record, String::new(), &mut refusals);
        }
        refusals
    }
}

/// Checks what is not in a record of a list: name, settings, marks of what was removed.
///
/// # Errors
/// What is wrong; never an empty list.
pub fn check_head(studio: &Studio) -> Result<(), Vec<Refusal>> {
    let index = Index::of(studio);
    let mut checker = Checker::new(&index, MOST_REFUSALS);
    let mut head = file::head_of(studio);
    head.walk(&mut checker);
    let mut refusals = checker.refusals;
    fits::settings(&studio.settings, &mut refusals);
    done(refusals)
}

/// Checks the bounds of a record that refers to nothing: a document that is no studio, walked all the same.
///
/// # Errors
/// What is wrong, in the order of its keys; never an empty list.
pub fn check_values(record: &mut dyn Record) -> Result<(), Vec<Refusal>> {
    let studio = Studio::default();
    let index = Index::of(&studio);
    let mut checker = Checker::new(&index, MOST_REFUSALS);
    record.walk(&mut checker);
    done(checker.refusals)
}

/// A code that another entry has already.
fn same_code(studio: &Studio, entry: &Entry, refusals: &mut Vec<Refusal>) {
    let same = |other: &Entry| other.id != entry.id && other.code.eq_ignore_ascii_case(&entry.code);
    if !entry.code.is_empty()
        && let Some(at) = studio.entries.iter().position(same)
    {
        let first = format!("entries[{at}]");
        refusals.push(Refusal::new(
            "code",
            Cause::Twice {
                text: entry.code.clone(),
                first,
            },
        ));
    }
}

fn done(refusals: Vec<Refusal>) -> Result<(), Vec<Refusal>> {
    if refusals.is_empty() {
        Ok(())
    } else {
        Err(refusals)
    }
}

/// What is there to refer to: the identifiers of each list, sorted, each with its place in the list.
pub(crate) struct Index<'a> {
    ids: [Vec<(&'a str, usize)>; 8],
}

impl<'a> Index<'a> {
    /// The index of a studio.
    pub fn of(studio: &'a Studio) -> Self {
        let mut ids: [Vec<(&str, usize)>; 8] = Default::default();
        for list in List::ALL {
            let sorted = &mut ids[list.place()];
            sorted.extend(any::ids(studio, *list).into_iter().zip(0..));
            order::sort(sorted);
        }
        Self { ids }
    }

    /// The identifiers of a list in order, each with its place in it.
    pub fn in_order(&self, list: List) -> &[(&'a str, usize)] {
        &self.ids[list.place()]
    }

    /// An identifier as it stands in a list.
    pub fn id(&self, list: List, id: &str) -> Option<&'a str> {
        let ids = &self.ids[list.place()];
        let at = ids.binary_search_by(|(known, _)| (*known).cmp(id)).ok()?;
        ids.get(at).map(|(id, _)| *id)
    }

    /// Where in its list a record stands; none where there is none of that name.
    pub fn find(&self, list: List, id: &str) -> Option<usize> {
        let ids = &self.ids[list.place()];
        let at = ids.binary_search_by(|(known, _)| (*known).cmp(id)).ok()?;
        ids.get(at).map(|(_, place)| *place)
    }
}

/// Identifiers and codes that stand twice.
fn twice(studio: &Studio, checker: &mut Checker<'_>) {
    let mut found = Vec::new();
    for (list, ids) in List::WORDS.iter().zip(&checker.index.ids) {
        for pair in ids.windows(2) {
            if pair[0].0 == pair[1].0 {
                found.push((
                    format!("{list}[{}].id", pair[1].1),
                    pair[0].0.to_owned(),
                    format!("{list}[{}]", pair[0].1),
                ));
            }
        }
    }
    let mut codes: Vec<(String, usize)> = studio
        .entries
        .iter()
        .enumerate()
        .filter(|(_, entry)| !entry.code.is_empty())
        // Pencilled by hand, upper and lower case are one.
        .map(|(place, entry)| (entry.code.to_ascii_uppercase(), place))
        .collect();
    order::sort(&mut codes);
    for pair in codes.windows(2) {
        if pair[0].0 == pair[1].0 {
            found.push((
                format!("entries[{}].code", pair[1].1),
                pair[1].0.clone(),
                format!("entries[{}]", pair[0].1),
            ));
        }
    }
    found.truncate(checker.most);
    checker.refusals.extend(
        found
            .into_iter()
            .map(|(place, text, first)| Refusal::new(place, Cause::Twice { text, first })),
    );
}

/// Walks along every key and holds it against its rule.
struct Checker<'a> {
    index: &'a Index<'a>,
    place: Place,
    refusals: Vec<Refusal>,
    most: usize,
}

impl<'a> Checker<'a> {
    fn new(index: &'a Index<'a>, most: usize) -> Self {
        Self {
            index,
            place: Place::default(),
            refusals: Vec::new(),
            most,
        }
    }

    fn refuse(&mut self, key: &str, cause: Cause) {
        if self.refusals.len() < self.most {
            self.refusals
                .push(Refusal::new(self.place.with(key), cause));
        }
    }

    fn bound(&mut self, key: &str, value: f64, bounds: &'static Bounds) {
        // Written so that what is not a number is refused too.
        if !(value >= bounds.least && value <= bounds.most) {
            self.refuse(key, Cause::OutOfBounds { value, bounds });
        }
    }

    fn rule(&mut self, key: &str, value: &str, rule: TextRule) {
        match rule {
            TextRule::Reference(list) => {
                if self.index.find(list, value).is_none() {
                    let id = super::error::cut(value);
                    self.refuse(key, Cause::NoSuchRecord { list, id });
                }
            }
            TextRule::Format if value == FORMAT => {}
            TextRule::Format => self.refuse(key, Cause::NotAStudio),
            _ => {
                if let Some(cause) = text::wrong(value, rule) {
                    self.refuse(key, cause);
                }
            }
        }
    }
}

impl Fields for Checker<'_> {
    fn text(&mut self, key: &'static str, value: &mut String, need: Need, rule: TextRule) {
        if need == Need::Must || !value.is_empty() {
            self.rule(key, value, rule);
        }
    }

    fn maybe_text(&mut self, key: &'static str, value: &mut Option<String>, rule: TextRule) {
        if let Some(value) = value {
            self.rule(key, value, rule);
        }
    }

    fn number(&mut self, key: &'static str, value: &mut f64, _: Need, bounds: &'static Bounds) {
        self.bound(key, *value, bounds);
    }

    fn maybe_number(
        &mut self,
        key: &'static str,
        value: &mut Option<f64>,
        bounds: &'static Bounds,
    ) {
        if let Some(value) = *value {
            self.bound(key, value, bounds);
        }
    }

    fn whole(&mut self, key: &'static str, value: &mut u64, _: Need, bounds: &'static Bounds) {
        self.bound(key, *value as f64, bounds);
    }

    fn maybe_whole(&mut self, key: &'static str, value: &mut Option<u64>, bounds: &'static Bounds) {
        if let Some(value) = *value {
            self.bound(key, value as f64, bounds);
        }
    }

    fn flag(&mut self, _: &'static str, _: &mut bool) {}

    fn word(
        &mut self,
        _: &'static str,
        _: &mut usize,
        _: Option<usize>,
        _: &'static [&'static str],
    ) {
    }

    fn maybe_word(&mut self, _: &'static str, _: &mut Option<usize>, _: &'static [&'static str]) {}

    fn open(&mut self, key: &'static str, present: bool, _: bool) -> bool {
        if present {
            self.place.enter(Step::Key(key));
        }
        present
    }

    fn open_list(
        &mut self,
        key: &'static str,
        length: usize,
        least: usize,
        most: usize,
        _: bool,
    ) -> usize {
        self.place.enter(Step::Key(key));
        if length > most {
            self.refuse(
                "",
                Cause::TooMany {
                    count: length,
                    limit: most,
                },
            );
        }
        if length < least {
            self.refuse(
                "",
                Cause::TooFew {
                    count: length,
                    least,
                },
            );
        }
        length
    }

    fn open_item(&mut self, index: usize) -> bool {
        self.place.enter(Step::Item(index));
        true
    }

    fn close(&mut self) {
        self.place.leave();
    }
}
