//! Reads a record from JSON: structure and kinds, key by key. Bounds are the checker's.
//!
//! Takes a checked [`Value`]; fills a record through its walk and gives the first refusal, with its place.

use std::borrow::Cow;

use crate::studio::bounds::Bounds;
use crate::studio::error::{Cause, Refusal, cut};
use crate::studio::json::{Kind, Value};
use crate::studio::place::{Place, Step};
use crate::studio::walk::{Fields, Need, Record, TextRule};

/// More keys than any record has; an object with more is refused without being searched.
const MOST_KEYS: usize = 64;

/// Fills `record` from `value`; places start with `place`.
pub fn read_into(record: &mut dyn Record, value: Value<'_>, place: Place) -> Result<(), Refusal> {
    let mut reader = Reader {
        scopes: Vec::new(),
        place,
        refusal: None,
        found: None,
    };
    reader.enter_object(value);
    if reader.refusal.is_none() {
        record.walk(&mut reader);
        reader.leave_object();
    }
    match reader.refusal {
        Some(refusal) => Err(refusal),
        None => Ok(()),
    }
}

enum Scope<'a> {
    Object {
        members: Vec<(Cow<'a, str>, Value<'a>)>,
        taken: u64,
        asked: Vec<&'static str>,
    },
    List {
        items: Vec<Value<'a>>,
    },
}

struct Reader<'a> {
    scopes: Vec<Scope<'a>>,
    place: Place,
    refusal: Option<Refusal>,
    /// The value of the key just asked for.
    found: Option<Value<'a>>,
}

impl<'a> Reader<'a> {
    fn refuse(&mut self, key: &str, cause: Cause) {
        if self.refusal.is_none() {
            self.refusal = Some(Refusal::new(self.place.with(key), cause));
        }
    }

    fn wrong_kind(&mut self, key: &str, expected: &'static str, value: Value<'a>) {
        self.refuse(
            key,
            Cause::WrongKind {
                expected,
                found: shown(value),
            },
        );
    }

    fn enter_object(&mut self, value: Value<'a>) {
        if value.kind() != Kind::Object {
            return self.wrong_kind("", "A group of named values in { }", value);
        }
        let members = value.members(MOST_KEYS);
        if members.len() > MOST_KEYS {
            return self.refuse(
                "",
                Cause::TooMany {
                    count: members.len(),
                    limit: MOST_KEYS,
                },
            );
        }
        for (at, (key, _)) in members.iter().enumerate() {
            if members[..at].iter().any(|(before, _)| before == key) {
                let key = key.clone().into_owned();
                return self.refuse(&cut(&key), Cause::DuplicateKey { key });
            }
        }
        self.scopes.push(Scope::Object {
            members,
            taken: 0,
            asked: Vec::new(),
        });
    }

    fn leave_object(&mut self) {
        if let Some(Scope::Object {
            members,
            taken,
            asked,
        }) = self.scopes.pop()
            && self.refusal.is_none()
        {
            let left = members
                .iter()
                .enumerate()
                .find(|(at, _)| taken >> *at & 1 == 0);
            if let Some((_, (key, _))) = left {
                let key = key.clone().into_owned();
                self.refuse(&cut(&key), Cause::UnknownKey { key, known: asked });
            }
        }
    }

    /// Looks a key up; an absent value and an optional `null` are none.
    fn look(&mut self, key: &'static str, must: bool, may_be_null: bool) -> bool {
        self.found = None;
        if self.refusal.is_some() {
            return false;
        }
        if let Some(Scope::Object {
            members,
            taken,
            asked,
        }) = self.scopes.last_mut()
        {
            asked.push(key);
            if let Some(at) = members.iter().position(|(name, _)| name == key) {
                *taken |= 1 << at;
                let value = members[at].1;
                if !(may_be_null && value.kind() == Kind::Null) {
                    self.found = Some(value);
                }
            }
        }
        if self.found.is_none() && must {
            self.refuse(key, Cause::MissingKey { key });
        }
        self.found.is_some()
    }

    fn get_text(&mut self, key: &'static str) -> Option<Cow<'a, str>> {
        let value = self.found?;
        let text = value.text();
        if text.is_none() {
            self.wrong_kind(key, "A text in quotes", value);
        }
        text
    }

    fn get_number(&mut self, key: &'static str) -> Option<f64> {
        let value = self.found?;
        let number = value.number();
        if number.is_none() {
            self.wrong_kind(key, "A number", value);
        }
        number
    }

    fn get_whole(&mut self, key: &'static str) -> Option<u64> {
        let number = self.get_number(key)?;
        // The largest whole number that every program reading JSON keeps exactly.
        if number.fract() != 0.0 || !(0.0..=9_007_199_254_740_992.0).contains(&number) {
            self.refuse(key, Cause::NotWhole { value: number });
            return None;
        }
        Some(number as u64)
    }

    fn get_word(&mut self, key: &'static str, words: &'static [&'static str]) -> Option<usize> {
        let text = self.get_text(key)?;
        let place = words.iter().position(|word| *word == text);
        if place.is_none() {
            self.refuse(
                key,
                Cause::UnknownWord {
                    found: cut(&text),
                    known: words,
                },
            );
        }
        place
    }
}

/// A value as a refusal shows it.
fn shown(value: Value<'_>) -> String {
    match value.kind() {
        Kind::Null => "nothing (null)".into(),
        Kind::Flag => format!("\"{}\"", value.raw()),
        Kind::Number => format!("the number {}", cut(value.raw())),
        Kind::Text => format!("the text \"{}\"", cut(&value.text().unwrap_or_default())),
        Kind::List => "a list".into(),
        Kind::Object => "a group of named values".into(),
    }
}

impl Fields for Reader<'_> {
    fn text(&mut self, key: &'static str, value: &mut String, need: Need, _: TextRule) {
        self.look(key, need == Need::Must, false);
        *value = self.get_text(key).unwrap_or_default().into_owned();
    }

    fn maybe_text(&mut self, key: &'static str, value: &mut Option<String>, _: TextRule) {
        self.look(key, false, true);
        *value = self.get_text(key).map(Cow::into_owned);
    }

    fn number(&mut self, key: &'static str, value: &mut f64, need: Need, _: &'static Bounds) {
        self.look(key, need == Need::Must, false);
        let or = if let Need::Or(or) = need { or } else { 0.0 };
        *value = self.get_number(key).unwrap_or(or);
    }

    fn maybe_number(&mut self, key: &'static str, value: &mut Option<f64>, _: &'static Bounds) {
        self.look(key, false, true);
        *value = self.get_number(key);
    }

    fn whole(&mut self, key: &'static str, value: &mut u64, need: Need, _: &'static Bounds) {
        self.look(key, need == Need::Must, false);
        *value = self.get_whole(key).unwrap_or(0);
    }

    fn maybe_whole(&mut self, key: &'static str, value: &mut Option<u64>, _: &'static Bounds) {
        self.look(key, false, true);
        *value = self.get_whole(key);
    }

    fn flag(&mut self, key: &'static str, value: &mut bool) {
        *value = false;
        if self.look(key, false, false)
            && let Some(found) = self.found
        {
            match found.raw() {
                "true" => *value = true,
                "false" => {}
                _ => self.wrong_kind(key, "True or false", found),
            }
        }
    }

    fn word(
        &mut self,
        key: &'static str,
        value: &mut usize,
        or: Option<usize>,
        words: &'static [&'static str],
    ) {
        self.look(key, or.is_none(), false);
        if let Some(place) = self.get_word(key, words).or(or) {
            *value = place;
        }
    }

    fn maybe_word(
        &mut self,
        key: &'static str,
        value: &mut Option<usize>,
        words: &'static [&'static str],
    ) {
        self.look(key, false, true);
        *value = self.get_word(key, words);
    }

    fn open(&mut self, key: &'static str, _: bool, must: bool) -> bool {
        if !self.look(key, must, !must) {
            return false;
        }
        self.place.enter(Step::Key(key));
        if let Some(value) = self.found {
            self.enter_object(value);
        }
        self.refusal.is_none()
    }

    fn open_list(
        &mut self,
        key: &'static str,
        _: usize,
        least: usize,
        most: usize,
        must: bool,
    ) -> usize {
        let there = self.look(key, must, false);
        self.place.enter(Step::Key(key));
        let mut items = Vec::new();
        if there && let Some(value) = self.found {
            if value.kind() == Kind::List {
                items = value.items(most);
            } else {
                self.wrong_kind("", "A list in [ ]", value);
            }
        }
        if items.len() > most {
            self.refuse(
                "",
                Cause::TooMany {
                    count: items.len(),
                    limit: most,
                },
            );
        }
        if items.len() < least {
            self.refuse(
                "",
                Cause::TooFew {
                    count: items.len(),
                    least,
                },
            );
        }
        let length = if self.refusal.is_none() {
            items.len()
        } else {
            0
        };
        self.scopes.push(Scope::List { items });
        length
    }

    fn open_item(&mut self, index: usize) -> bool {
        if self.refusal.is_some() {
            return false;
        }
        let Some(Scope::List { items }) = self.scopes.last() else {
            return false;
        };
        let Some(value) = items.get(index).copied() else {
            return false;
        };
        self.place.enter(Step::Item(index));
        self.enter_object(value);
        self.refusal.is_none()
    }

    fn close(&mut self) {
        match self.scopes.last() {
            Some(Scope::Object { .. }) => self.leave_object(),
            _ => _ = self.scopes.pop(),
        }
        self.place.leave();
    }
}
