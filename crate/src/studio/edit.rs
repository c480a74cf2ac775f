//! Changes to a studio: all or none, each with what undoes it, and with the records that changed.
//!
//! Takes a studio, an edit and the time; gives the changed records as text, so that each can be stored by itself,
//! and the edit that takes it back. A studio that passed its checks passes them afterwards.

use crate::order;
use serde::Serialize;

use super::any::{self, AnyRecord};
use super::bounds;
use super::check::{self, Index};
use super::document::{Id, List, Removed, Settings, Studio};
use super::error::{Cause, Refusal, cut};
use super::file;
use super::walk::{self, Fields, Need, Record, TextRule, Word};

pub(crate) mod uses;

/// One change.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Puts a record in its list: over the one of the same identifier, or new (`at`: before that place, else last).
    Put {
        /// The record.
        record: AnyRecord,
        /// Place for a new one.
        at: Option<u64>,
    },
    /// Takes a record out.
    Remove {
        /// From which list.
        list: List,
        /// Which one.
        id: Id,
    },
    /// Other settings.
    Settings(Settings),
    /// Another name for the studio.
    Name(String),
    /// Several at once, taken back at once.
    Many(Vec<Edit>),
}

/// What an edit did.
#[derive(Clone, Debug, PartialEq)]
pub struct Applied {
    /// Records to store or to delete.
    pub changed: Vec<Changed>,
    /// All that is not in a record, as text, where that changed.
    pub head: Option<String>,
    /// The edit that takes it back.
    pub inverse: Edit,
}

/// One record to store or to delete.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Changed {
    /// Its list.
    pub list: List,
    /// Its identifier.
    pub id: Id,
    /// The record as text; none: it is gone.
    pub json: Option<String>,
}

/// More edits at once than any import or merge needs.
const MOST_EDITS: usize = 200_000;
/// Stands as the place of what goes out.
const OUT: usize = usize::MAX - 1;

impl Default for Edit {
    fn default() -> Self {
        Self::Many(Vec::new())
    }
}

impl Record for Edit {
    fn walk(&mut self, fields: &mut dyn Fields) {
        const KINDS: &[&str] = &["put", "remove", "settings", "name", "many"];
        let was = match self {
            Self::Put { .. } => 0,
            Self::Remove { .. } => 1,
            Self::Settings(_) => 2,
            Self::Name(_) => 3,
            Self::Many(_) => 4,
        };
        let mut kind = was;
        fields.word("kind", &mut kind, None, KINDS);
        if kind != was {
            *self = match kind {
                0 => Self::Put {
                    record: AnyRecord::blank(List::default()),
                    at: None,
                },
                1 => Self::Remove {
                    list: List::default(),
                    id: Id::new(),
                },
                2 => Self::Settings(Settings::default()),
                3 => Self::Name(String::new()),
                _ => Self::default(),
            };
        }
        match self {
            Self::Put { record, at } => {
                let mut list = record.list();
                walk::word(fields, "list", &mut list, None);
                if list != record.list() {
                    *record = AnyRecord::blank(list);
                }
                walk::record(fields, "record", record.listed_mut());
                fields.maybe_whole("at", at, &bounds::MOMENT);
            }
            Self::Remove { list, id } => {
                walk::word(fields, "list", list, None);
                fields.text("id", id, Need::Must, TextRule::StudioId);
            }
            Self::Settings(settings) => walk::record(fields, "settings", settings),
            Self::Name(name) => fields.text("name", name, Need::Must, TextRule::Name),
            Self::Many(edits) => walk::list(fields, "edits", edits, 0, MOST_EDITS),
        }
    }
}

/// Reads an edit: `{"kind":"put","list":"entries","record":{…}}`, `{"kind":"remove","list":…,"id":…}`,
/// `{"kind":"settings","settings":{…}}`, `{"kind":"name","name":…}`, `{"kind":"many","edits":[…]}`.
///
/// # Errors
/// The first refusal of structure; bounds are checked when it is applied.
pub fn read(text: &str) -> Result<Edit, Refusal> {
    file::read_record(text)
}

/// Writes an edit, as [`read`] takes it.
pub fn write(edit: &Edit) -> String {
    file::write_record(edit)
}

/// What is to stand under an identifier; once carried out, what stood there.
struct Change {
    list: List,
    id: Id,
    /// None: nothing.
    record: Option<AnyRecord>,
    /// Where a new record goes.
    at: usize,
    /// Where the record stood before; none: it was not there.
    was_at: Option<usize>,
}

/// All changes of an edit, one for each identifier, the last said.
#[derive(Default)]
struct Batch {
    changes: Vec<Change>,
    settings: Option<Settings>,
    name: Option<String>,
}

impl Batch {
    fn of(studio: &Studio, edit: Edit) -> Self {
        let mut batch = Self::default();
        batch.gather(edit);
        batch.settle(studio);
        batch
    }

    fn change(&mut self, list: List, id: Id, record: Option<AnyRecord>, at: Option<u64>) {
        let at = at.and_then(|at| usize::try_from(at).ok());
        self.changes.push(Change {
            list,
            id,
            record,
            at: at.unwrap_or(usize::MAX),
            was_at: None,
        });
    }

    fn gather(&mut self, edit: Edit) {
        match edit {
            Edit::Put { record, at } => {
                self.change(record.list(), record.id().clone(), Some(record), at);
            }
            Edit::Remove { list, id } => self.change(list, id, None, None),
            Edit::Settings(settings) => self.settings = Some(settings),
            Edit::Name(name) => self.name = Some(name),
            Edit::Many(edits) => {
                for edit in edits {
                    self.gather(edit);
                }
            }
        }
    }

    /// Keeps the last change of each record, in the order in which they were said, and finds where each stands.
    fn settle(&mut self, studio: &Studio) {
        let index = Index::of(studio);
        let mut order: Vec<usize> = (0..self.changes.len()).collect();
        let changes = &self.changes;
        let key = |at: usize| (changes[at].list.place(), changes[at].id.as_str());
        order::by(&mut order, |a, b| key(*a).cmp(&key(*b)).then(a.cmp(b)));
        let mut keep = vec![true; changes.len()];
        for pair in order.windows(2) {
            keep[pair[0]] = key(pair[0]) != key(pair[1]);
        }
        let mut at = 0;
        self.changes.retain_mut(|change| {
            change.was_at = index.find(change.list, &change.id);
            at += 1;
            keep[at - 1]
        });
    }

    /// Puts and takes out; each change then holds what stood there, the settings and the name what they were.
    fn carry_out(&mut self, studio: &mut Studio) {
        let mut new = Vec::new();
        for (number, change) in self.changes.iter_mut().enumerate() {
            match (&mut change.record, change.was_at) {
                (Some(record), Some(at)) => record.put_into(studio, at, true),
                (Some(_), None) => new.push((change.at, number)),
                (gone, Some(at)) => {
                    gone.insert(AnyRecord::blank(change.list))
                        .put_into(studio, at, true);
                    change.at = OUT;
                }
                (None, None) => {}
            }
        }
        for list in List::ALL {
            let mut out = Vec::new();
            for change in &self.changes {
                if let (OUT, Some(at)) = (change.at, change.was_at)
                    && change.list == *list
                {
                    out.resize(out.len().max(at + 1), false);
                    out[at] = true;
                }
            }
            if !out.is_empty() {
                any::take_out(studio, *list, &out);
            }
        }
        // Rising places, so that each lands where it is said, those that go last in the order in which they were said.
        order::sort(&mut new);
        for (at, number) in new {
            if let Some(mut record) = self.changes[number].record.take() {
                record.put_into(studio, at, false);
            }
        }
        if let Some(settings) = &mut self.settings {
            std::mem::swap(settings, &mut studio.settings);
        }
        if let Some(name) = &mut self.name {
            std::mem::swap(name, &mut studio.name);
        }
    }

    /// The edit that takes all of it back, once it is carried out.
    fn inverse(self) -> Edit {
        let mut edits = Vec::with_capacity(self.changes.len());
        for change in self.changes {
            edits.push(match change.record {
                Some(record) => Edit::Put {
                    record,
                    at: change.was_at.map(|at| at as u64),
                },
                None => Edit::Remove {
                    list: change.list,
                    id: change.id,
                },
            });
        }
        if let Some(settings) = self.settings {
            edits.push(Edit::Settings(settings));
        }
        if let Some(name) = self.name {
            edits.push(Edit::Name(name));
        }
        if edits.len() == 1 {
            edits.remove(0)
        } else {
            Edit::Many(edits)
        }
    }
}

/// What the changed records are stamped with.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Stamp<'a> {
    /// The time now, ms since 1970 UTC.
    Now(u64),
    /// The stamps that they bring along, and the marks of what is removed.
    Keep(&'a [Removed]),
}

/// Applies an edit at a time `now_ms` (ms since 1970 UTC).
///
/// Records are stamped with it, or with a little more where a clock was set back, so that of two copies the one
/// changed later has the later stamp. What is removed leaves a mark in [`Studio::removed`] for merging.
///
/// # Errors
/// The first refusal; the studio is then as it was. Something that is still used is not removed.
pub fn apply(studio: &mut Studio, edit: Edit, now_ms: u64) -> Result<Applied, Refusal> {
    apply_stamped(
        studio,
        edit,
        Stamp::Now(now_ms.min(bounds::MOMENT.most as u64)),
    )
}

/// As [`apply`], with stamps of one's own.
///
/// # Errors
/// See [`apply`].
pub(crate) fn apply_stamped(
    studio: &mut Studio,
    edit: Edit,
    stamp: Stamp<'_>,
) -> Result<Applied, Refusal> {
    let mut batch = Batch::of(studio, edit);
    let mut whole = batch.changes.len() > 8 || batch.settings.is_some();
    let mut removals = Vec::new();
    let mut changed = Vec::with_capacity(batch.changes.len());
    for change in &mut batch.changes {
        let (list, id) = (change.list, &change.id);
        let before = change
            .was_at
            .and_then(|at| any::records(studio, list).one(at));
        let since = before.map_or(0, |record| record.changed_ms() + 1);
        let stamped = match (stamp, &change.record) {
            (Stamp::Now(now_ms), _) => now_ms.max(since).min(bounds::MOMENT.most as u64),
            (Stamp::Keep(_), Some(record)) => record.listed().changed_ms(),
            (Stamp::Keep(marks), None) => marked_at(marks, list, id).unwrap_or(since),
        };
        let mut json = None;
        match &mut change.record {
            Some(record) => {
                record.listed_mut().stamp(stamped);
                json = Some(record.text());
                // Others may rest on what it was.
                whole |= before.is_some()
                    && !matches!(list, List::Entries | List::WeighIns | List::Photos);
            }
            None if before.is_none() => {
                let id = cut(id);
                return Err(Refusal::new("", Cause::NoSuchRecord { list, id }));
            }
            None => removals.push(Removed {
                list,
                id: id.clone(),
                at_ms: stamped,
            }),
        }
        let id = id.clone();
        changed.push(Changed { list, id, json });
    }
    let removed_before = studio.removed.clone();
    let head =
        remember(studio, &changed, removals) | batch.settings.is_some() | batch.name.is_some();
    batch.carry_out(studio);
    let inverse = batch.inverse();
    if let Err(refusal) = still_sound(studio, &changed, whole, head) {
        // Back to what it was, record by record and in its place.
        Batch::of(studio, inverse).carry_out(studio);
        studio.removed = removed_before;
        return Err(refusal);
    }
    Ok(Applied {
        changed,
        head: head.then(|| file::write_head(studio)),
        inverse,
    })
}

/// When a record was removed, by the marks of that.
pub(crate) fn marked_at(marks: &[Removed], list: List, id: &str) -> Option<u64> {
    for mark in marks {
        if mark.list == list && mark.id == id {
            return Some(mark.at_ms);
        }
    }
    None
}

/// A record as text, to be stored by itself.
pub fn record_text(studio: &Studio, list: List, id: &str) -> Option<String> {
    let at = any::place_of(studio, list, id)?;
    Some(AnyRecord::copy_of(studio, list, at)?.text())
}

/// Keeps marks of what is removed, and forgets those of what is back. Whether there was anything to do.
fn remember(studio: &mut Studio, changed: &[Changed], removals: Vec<Removed>) -> bool {
    let before = studio.removed.len();
    if before > 0 {
        let mut back = Vec::with_capacity(changed.len());
        for one in changed {
            back.push((one.list.place(), one.id.as_str()));
        }
        order::sort(&mut back);
        studio.removed.retain(|mark| {
            back.binary_search(&(mark.list.place(), mark.id.as_str()))
                .is_err()
        });
    }
    let any = studio.removed.len() != before || !removals.is_empty();
    studio.removed.extend(removals);
    let over = studio.removed.len().saturating_sub(bounds::REMOVED);
    studio.removed.drain(..over);
    any
}

fn still_sound(
    studio: &Studio,
    changed: &[Changed],
    whole: bool,
    head: bool,
) -> Result<(), Refusal> {
    let removed: Vec<(List, &str)> = changed
        .iter()
        .filter(|one| one.json.is_none())
        .map(|one| (one.list, one.id.as_str()))
        .collect();
    if !removed.is_empty() {
        uses::none_left(studio, &removed)?;
    }
    if whole {
        return check::check(studio).map_err(file::first);
    }
    if head {
        check::check_head(studio).map_err(file::first)?;
    }
    for one in changed {
        if one.json.is_some() {
            check::check_one(studio, one.list, &one.id).map_err(file::first)?;
        }
    }
    Ok(())
}
