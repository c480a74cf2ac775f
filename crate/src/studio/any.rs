//! A record of any list, and the lists by name: what edits, merging and single storage work on.
//!
//! Takes a list; gives its records one way for all of them.

use super::document::{Body, Entry, Firing, Form, Glaze, Hand, Id, List, Photo, Studio, WeighIn};
use super::file;
use super::walk::{Items, Record};

/// What every record of a list has.
pub trait Listed: Record + Default + Clone {
    /// Its identifier.
    fn id(&self) -> &Id;
    /// Its name; empty where such records have none.
    fn name(&self) -> &str;
    /// When it was last changed, ms since 1970 UTC.
    fn changed_ms(&mut self) -> &mut u64;
}

/// A record of any list.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs, reason = "each variant is the record it is named for")]
pub enum AnyRecord {
    Glaze(Glaze),
    Hand(Hand),
    Body(Body),
    Firing(Firing),
    Form(Form),
    Entry(Box<Entry>),
    WeighIn(WeighIn),
    Photo(Photo),
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

            fn changed_ms(&mut self) -> &mut u64 {
                &mut self.changed_ms
            }
        })+
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

/// Does the same with the record inside, whichever it is.
macro_rules! each {
    ($any:expr, $record:ident => $do:expr) => {
        match $any {
            AnyRecord::Glaze($record) => $do,
            AnyRecord::Hand($record) => $do,
            AnyRecord::Body($record) => $do,
            AnyRecord::Firing($record) => $do,
            AnyRecord::Form($record) => $do,
            AnyRecord::Entry($record) => $do,
            AnyRecord::WeighIn($record) => $do,
            AnyRecord::Photo($record) => $do,
        }
    };
}

impl AnyRecord {
    /// One of a list with nothing in it yet.
    pub fn blank(list: List) -> Self {
        match list {
            List::Glazes => Self::Glaze(Glaze::default()),
            List::Hands => Self::Hand(Hand::default()),
            List::Bodies => Self::Body(Body::default()),
            List::Firings => Self::Firing(Firing::default()),
            List::Forms => Self::Form(Form::default()),
            List::Entries => Self::Entry(Box::default()),
            List::WeighIns => Self::WeighIn(WeighIn::default()),
            List::Photos => Self::Photo(Photo::default()),
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
        each!(self, record => record.id())
    }

    /// When it was last changed, ms since 1970 UTC.
    pub fn changed_ms(&mut self) -> &mut u64 {
        each!(self, record => record.changed_ms())
    }

    /// Its keys.
    pub fn as_record(&mut self) -> &mut dyn Record {
        match self {
            Self::Glaze(record) => record,
            Self::Hand(record) => record,
            Self::Body(record) => record,
            Self::Firing(record) => record,
            Self::Form(record) => record,
            Self::Entry(record) => record.as_mut(),
            Self::WeighIn(record) => record,
            Self::Photo(record) => record,
        }
    }

    /// It as text on one line: two records are the same where their texts are, and comparing those takes no code for each
    /// kind of record.
    pub fn text(&mut self) -> String {
        file::write_walked(self.as_record())
    }

    /// A copy of the record at a place of a list.
    pub fn copy_of(studio: &Studio, list: List, at: usize) -> Option<Self> {
        Some(match list {
            List::Glazes => Self::Glaze(studio.glazes.get(at)?.clone()),
            List::Hands => Self::Hand(studio.hands.get(at)?.clone()),
            List::Bodies => Self::Body(studio.bodies.get(at)?.clone()),
            List::Firings => Self::Firing(studio.firings.get(at)?.clone()),
            List::Forms => Self::Form(studio.forms.get(at)?.clone()),
            List::Entries => Self::Entry(Box::new(studio.entries.get(at)?.clone())),
            List::WeighIns => Self::WeighIn(studio.weigh_ins.get(at)?.clone()),
            List::Photos => Self::Photo(studio.photos.get(at)?.clone()),
        })
    }

    /// Puts it into its list: over the record at `at` (`over`), or in before it, or last.
    pub fn put_into(self, studio: &mut Studio, at: usize, over: bool) {
        match self {
            Self::Glaze(record) => put(&mut studio.glazes, record, at, over),
            Self::Hand(record) => put(&mut studio.hands, record, at, over),
            Self::Body(record) => put(&mut studio.bodies, record, at, over),
            Self::Firing(record) => put(&mut studio.firings, record, at, over),
            Self::Form(record) => put(&mut studio.forms, record, at, over),
            Self::Entry(record) => put(&mut studio.entries, *record, at, over),
            Self::WeighIn(record) => put(&mut studio.weigh_ins, record, at, over),
            Self::Photo(record) => put(&mut studio.photos, record, at, over),
        }
    }
}

fn put<R>(records: &mut Vec<R>, record: R, at: usize, over: bool) {
    match records.get_mut(at) {
        Some(old) if over => *old = record,
        Some(_) => records.insert(at, record),
        None => records.push(record),
    }
}

/// A list looked at one way for all kinds of records.
trait Records {
    /// How many there are.
    fn count(&self) -> usize;
    /// The identifier and the name of one; an empty name where it has none.
    fn one(&self, at: usize) -> (&str, &str);
}

impl<R: Listed> Records for Vec<R> {
    fn count(&self) -> usize {
        self.len()
    }

    fn one(&self, at: usize) -> (&str, &str) {
        let one = &self[at];
        (one.id(), one.name())
    }
}

fn records(studio: &Studio, list: List) -> &dyn Records {
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

/// The identifiers of a list, in order.
pub fn ids(studio: &Studio, list: List) -> Vec<&str> {
    let records = records(studio, list);
    let mut ids = Vec::with_capacity(records.count());
    for at in 0..records.count() {
        ids.push(records.one(at).0);
    }
    ids
}

/// Name and identifier of each record of a list that has a name, in order.
pub fn names(studio: &Studio, list: List) -> Vec<(&str, &str)> {
    let records = records(studio, list);
    let mut names = Vec::new();
    for at in 0..records.count() {
        let (id, name) = records.one(at);
        let name = name.trim();
        if !name.is_empty() {
            names.push((name, id));
        }
    }
    names
}

/// Takes out of a list what stands at the places where `out` is true.
pub fn take_out(studio: &mut Studio, list: List, out: &[bool]) {
    let items: &mut dyn Items = match list {
        List::Glazes => &mut studio.glazes,
        List::Hands => &mut studio.hands,
        List::Bodies => &mut studio.bodies,
        List::Firings => &mut studio.firings,
        List::Forms => &mut studio.forms,
        List::Entries => &mut studio.entries,
        List::WeighIns => &mut studio.weigh_ins,
        List::Photos => &mut studio.photos,
    };
    let mut kept = 0;
    for at in 0..items.count() {
        if !out.get(at).copied().unwrap_or(false) {
            items.swap(kept, at);
            kept += 1;
        }
    }
    items.resize(kept);
}
