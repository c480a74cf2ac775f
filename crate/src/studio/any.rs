//! A record of any list, and the lists by name: what edits, merging and single storage work on.
//!
//! Takes a list; gives its records one way for all of them.

use super::document::{Body, Entry, Firing, Form, Glaze, Hand, Id, List, Photo, Studio, WeighIn};
use super::file;
use super::walk::{Items, Record, blank};

/// What every record of a list has.
pub trait Listed: Record {
    /// Its identifier.
    fn id(&self) -> &Id;
    /// Its name; empty where such records have none.
    fn name(&self) -> &str;
    /// When it was last changed, ms since 1970 UTC.
    fn changed_ms(&self) -> u64;
    /// Says when it was last changed, ms since 1970 UTC.
    fn stamp(&mut self, changed_ms: u64);
    /// A copy of it.
    fn copy(&self) -> AnyRecord;
}

/// A record of any list, small to hand on.
#[derive(Debug, PartialEq)]
#[allow(missing_docs, reason = "each variant is the record it is named for")]
pub enum AnyRecord {
    Glaze(Box<Glaze>),
    Hand(Box<Hand>),
    Body(Box<Body>),
    Firing(Box<Firing>),
    Form(Box<Form>),
    Entry(Box<Entry>),
    WeighIn(Box<WeighIn>),
    Photo(Box<Photo>),
}

/// A kind of record within [`AnyRecord`].
trait Within: Sized {
    /// The record inside, where it is of this kind.
    fn within(any: &mut AnyRecord) -> Option<&mut Self>;
}

macro_rules! listed {
    ($($record:ident: |$one:ident| $name:expr),+ $(,)?) => {
        $(impl Listed for $record {
            fn id(&self) -> &Id {
                &self.id
            }

            fn name(&self) -> &str {
                let $one = self;
                $name
            }

            fn changed_ms(&self) -> u64 {
                self.changed_ms
            }

            fn stamp(&mut self, changed_ms: u64) {
                self.changed_ms = changed_ms;
            }

            fn copy(&self) -> AnyRecord {
                AnyRecord::$record(Box::new(self.clone()))
            }
        }

        impl Within for $record {
            fn within(any: &mut AnyRecord) -> Option<&mut Self> {
                match any {
                    AnyRecord::$record(record) => Some(record),
                    _ => None,
                }
            }
        })+

        impl AnyRecord {
            /// What every record has.
            pub fn listed(&self) -> &dyn Listed {
                match self {
                    $(Self::$record(record) => record.as_ref(),)+
                }
            }

            /// What every record has, to be changed.
            pub fn listed_mut(&mut self) -> &mut dyn Listed {
                match self {
                    $(Self::$record(record) => record.as_mut(),)+
                }
            }
        }
    };
}
listed!(
    Glaze: |one| &one.name,
    Hand: |one| &one.name,
    Body: |one| &one.name,
    Firing: |one| &one.name,
    Form: |one| &one.name,
    Entry: |_one| "",
    WeighIn: |_one| "",
    Photo: |_one| "",
);

impl Clone for AnyRecord {
    fn clone(&self) -> Self {
        self.listed().copy()
    }
}

impl AnyRecord {
    /// One of a list with nothing in it yet.
    pub fn blank(list: List) -> Self {
        match list {
            List::Glazes => Self::Glaze(blank()),
            List::Hands => Self::Hand(blank()),
            List::Bodies => Self::Body(blank()),
            List::Firings => Self::Firing(blank()),
            List::Forms => Self::Form(blank()),
            List::Entries => Self::Entry(blank()),
            List::WeighIns => Self::WeighIn(blank()),
            List::Photos => Self::Photo(blank()),
        }
    }

    /// Its list.
    pub fn list(&self) -> List {
        match self {
            Self::Glaze(_) => List::Glazes,
            Self::Hand(_) => List::Hands,
            Self::Body(_) => List::Bodies,
            Self::Firing(_) => List::Firings,
            Self::Form(_) => List::Forms,
            Self::Entry(_) => List::Entries,
            Self::WeighIn(_) => List::WeighIns,
            Self::Photo(_) => List::Photos,
        }
    }

    /// Its identifier.
    pub fn id(&self) -> &Id {
        self.listed().id()
    }

    /// It as text on one line: two records are the same where their texts are, and comparing those takes no code for each
    /// kind of record.
    pub fn text(&mut self) -> String {
        file::write_walked(self.listed_mut())
    }

    /// A copy of the record at a place of a list.
    pub fn copy_of(studio: &Studio, list: List, at: usize) -> Option<Self> {
        Some(records(studio, list).one(at)?.copy())
    }

    /// Puts it into its list: over the record at `at` (`over`), or in before it, or last. What stood there is left in it.
    pub fn put_into(&mut self, studio: &mut Studio, at: usize, over: bool) {
        let records = records_mut(studio, self.list());
        let mut last = records.count();
        let at = at.min(last);
        if !over || at == last {
            records.grow();
            while last > at {
                records.swap(last, last - 1);
                last -= 1;
            }
        }
        records.trade(at, self);
    }
}

/// A list looked at one way for all kinds of records.
pub trait Records: Items {
    /// One of them.
    fn one(&self, at: usize) -> Option<&dyn Listed>;
    /// Puts a record of this kind in the place of one, and that one in its place.
    fn trade(&mut self, at: usize, with: &mut AnyRecord);
}

impl<R: Listed + Within + Default> Records for Vec<R> {
    fn one(&self, at: usize) -> Option<&dyn Listed> {
        match self.get(at) {
            Some(one) => Some(one),
            None => None,
        }
    }

    fn trade(&mut self, at: usize, with: &mut AnyRecord) {
        if let (Some(one), Some(other)) = (self.get_mut(at), R::within(with)) {
            std::mem::swap(one, other);
        }
    }
}

/// A list by its name.
pub fn records(studio: &Studio, list: List) -> &dyn Records {
    match list {
        List::Glazes => &studio.glazes,
        List::Hands => &studio.hands,
        List::Bodies => &studio.bodies,
        List::Firings => &studio.firings,
        List::Forms => &studio.forms,
        List::Entries => &studio.entries,
        List::WeighIns => &studio.weigh_ins,
        List::Photos => &studio.photos,
    }
}

/// A list by its name, to be changed.
fn records_mut(studio: &mut Studio, list: List) -> &mut dyn Records {
    match list {
        List::Glazes => &mut studio.glazes,
        List::Hands => &mut studio.hands,
        List::Bodies => &mut studio.bodies,
        List::Firings => &mut studio.firings,
        List::Forms => &mut studio.forms,
        List::Entries => &mut studio.entries,
        List::WeighIns => &mut studio.weigh_ins,
        List::Photos => &mut studio.photos,
    }
}

/// The identifiers of a list, in order.
pub fn ids(studio: &Studio, list: List) -> Vec<&str> {
    let records = records(studio, list);
    let mut ids = Vec::with_capacity(records.count());
    while let Some(one) = records.one(ids.len()) {
        ids.push(one.id().as_str());
    }
    ids
}

/// Where in its list a record stands, by looking through it.
pub fn place_of(studio: &Studio, list: List, id: &str) -> Option<usize> {
    let records = records(studio, list);
    let mut at = 0;
    while records.one(at)?.id() != id {
        at += 1;
    }
    Some(at)
}

/// Name and identifier of each record of a list that has a name, in order.
pub fn names(studio: &Studio, list: List) -> Vec<(&str, &str)> {
    let records = records(studio, list);
    let mut names = Vec::new();
    let mut at = 0;
    while let Some(one) = records.one(at) {
        let name = one.name().trim();
        if !name.is_empty() {
            names.push((name, one.id().as_str()));
        }
        at += 1;
    }
    names
}

/// Takes out of a list what stands at the places where `out` is true.
pub fn take_out(studio: &mut Studio, list: List, out: &[bool]) {
    let records = records_mut(studio, list);
    let mut kept = 0;
    for at in 0..records.count() {
        if !out.get(at).copied().unwrap_or(false) {
            records.swap(kept, at);
            kept += 1;
        }
    }
    records.truncate(kept);
}
