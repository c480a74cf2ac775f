//! Who refers to what: nothing is removed that something else still needs.
//!
//! Takes a studio and what was taken out; refuses with the first place that still refers to it.

use crate::order;
use crate::studio::bounds::Bounds;
use crate::studio::document::{List, Studio};
use crate::studio::error::{Cause, Refusal};
use crate::studio::place::{Place, Step};
use crate::studio::walk::{Fields, Need, Record, TextRule, Word};

/// Whether nothing refers any more to what was `removed`.
pub fn none_left(studio: &Studio, removed: &[(List, &str)]) -> Result<(), Refusal> {
    let uses = Uses::of(studio, removed);
    match uses.first {
        Some((list, id, by)) => {
            let place = format!("{} \"{id}\"", List::WORDS[list]);
            Err(Refusal::new(
                place,
                Cause::StillUsed {
                    by,
                    count: uses.count,
                },
            ))
        }
        None => Ok(()),
    }
}

/// Which of some records something refers to, in the order of the list.
pub fn used(studio: &Studio, among: &[(List, &str)]) -> Vec<bool> {
    let uses = Uses::of(studio, among);
    let mut used = Vec::with_capacity(among.len());
    for (list, id) in among {
        let at = uses.wanted.binary_search(&(list.place(), *id));
        used.push(at.is_ok_and(|at| uses.met[at]));
    }
    used
}

struct Uses<'a> {
    wanted: Vec<(usize, &'a str)>,
    place: Place,
    first: Option<(usize, String, String)>,
    count: usize,
    /// Which of those wanted were met.
    met: Vec<bool>,
}

impl<'a> Uses<'a> {
    fn of(studio: &Studio, wanted: &[(List, &'a str)]) -> Self {
        let mut wanted: Vec<(usize, &str)> = wanted
            .iter()
            .map(|(list, id)| (list.place(), *id))
            .collect();
        order::sort(&mut wanted);
        let met = vec![false; wanted.len()];
        let mut uses = Self {
            wanted,
            place: Place::default(),
            first: None,
            count: 0,
            met,
        };
        // The walk is one and the same for reading, and so takes what it could change; pictures refer to nothing.
        let mut copy = Studio {
            photos: Vec::new(),
            ..studio.clone()
        };
        copy.walk(&mut uses);
        uses
    }
}

impl Fields for Uses<'_> {
    fn text(&mut self, key: &'static str, value: &mut String, _: Need, rule: TextRule) {
        let TextRule::Reference(list) = rule else {
            return;
        };
        let looked = (list.place(), value.as_str());
        let Ok(at) = self.wanted.binary_search(&looked) else {
            return;
        };
        self.met[at] = true;
        match &self.first {
            None => self.first = Some((list.place(), value.clone(), self.place.with(key))),
            // Counted for one thing, the one that is named.
            Some((list, id, _)) if (*list, id.as_str()) != looked => return,
            Some(_) => {}
        }
        self.count += 1;
    }

    fn maybe_text(&mut self, key: &'static str, value: &mut Option<String>, rule: TextRule) {
        if let Some(value) = value {
            self.text(key, value, Need::Must, rule);
        }
    }

    fn number(&mut self, _: &'static str, _: &mut f64, _: Need, _: &'static Bounds) {}
    fn maybe_number(&mut self, _: &'static str, _: &mut Option<f64>, _: &'static Bounds) {}
    fn whole(&mut self, _: &'static str, _: &mut u64, _: Need, _: &'static Bounds) {}
    fn maybe_whole(&mut self, _: &'static str, _: &mut Option<u64>, _: &'static Bounds) {}
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
        _: usize,
        _: usize,
        _: bool,
    ) -> usize {
        self.place.enter(Step::Key(key));
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
