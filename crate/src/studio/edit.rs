//! Changes to a studio: all or none, each with what undoes it, and with the records that changed.
//!
//! Takes a studio, an edit and the time; gives the changed records as text, so that each can be stored by itself,
//! and the edit that takes it back. A studio that passed its checks passes them afterwards.

use crate::order;
use serde::Serialize;

use super::any::{self, AnyRecord};
use super::bounds;
use super::check;
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
        record: Box<AnyRecord>,
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
                    record: Box::new(AnyRecord::blank(List::default())),
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
                    **record = AnyRecord::blank(list);
                }
                walk::record(fields, "record", record.as_record());
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

/// What is to stand under an identifier.
struct Change {
    list: List,
    id: Id,
    record: Option<AnyRecord>,
    at: Option<usize>,
}

/// All changes of an edit, one for each identifier, the last said.
#[derive(Default)]
struct Batch {
    changes: Vec<Change>,
    settings: Option<Settings>,
    name: Option<String>,
}

impl Batch {
    fn gather(&mut self, edit: Edit) {
        match edit {
            Edit::Put { record, at } => self.changes.push(Change {
                list: record.list(),
                id: record.id().clone(),
                record: Some(*record),
                at: at.map(|at| usize::try_from(at).unwrap_or(usize::MAX)),
            }),
            Edit::Remove { list, id } => self.changes.push(Change {
                list,
                id,
                record: None,
                at: None,
            }),
            Edit::Settings(settings) => self.settings = Some(settings),
            Edit::Name(name) => self.name = Some(name),
            Edit::Many(edits) => edits.into_iter().for_each(|edit| self.gather(edit)),
        }
    }

    /// Keeps the last change of each record, in the order in which they were said.
    fn settle(&mut self) {
        let mut order: Vec<usize> = (0..self.changes.len()).collect();
        let changes = &self.changes;
        let key = |at: usize| (changes[at].list.place(), changes[at].id.as_str());
        order::by(&mut order, |a, b| key(*a).cmp(&key(*b)).then(a.cmp(b)));
        let mut keep = vec![true; changes.len()];
        for pair in order.windows(2) {
            if key(pair[0]) == key(pair[1]) {
                keep[pair[0]] = false;
            }
        }
        let mut keep = keep.into_iter();
        self.changes.retain(|_| keep.next().unwrap_or(true));
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
    let mut batch = Batch::default();
    batch.gather(edit);
    batch.settle();
    let whole = batch.changes.len() > 8 || batch.settings.is_some();
    let removed_before = studio.removed.clone();
    let (settings_before, name_before) = (studio.settings.clone(), studio.name.clone());

    let mut touched = Vec::with_capacity(batch.changes.len());
    let mut removals = Vec::new();
    let mut recheck = whole;
    let mut head = batch.settings.is_some() || batch.name.is_some();
    let places = find_all(studio, &batch.changes);
    for (change, was_at) in batch.changes.iter_mut().zip(&places) {
        let mut before = was_at.and_then(|at| AnyRecord::copy_of(studio, change.list, at));
        let since = before.as_mut().map_or(0, |record| *record.changed_ms() + 1);
        let stamped = match (stamp, &mut change.record) {
            (Stamp::Now(now_ms), _) => now_ms.max(since).min(bounds::MOMENT.most as u64),
            (Stamp::Keep(_), Some(record)) => *record.changed_ms(),
            (Stamp::Keep(marks), None) => {
                let mark = marks
                    .iter()
                    .find(|mark| mark.list == change.list && mark.id == change.id);
                mark.map_or(since, |mark| mark.at_ms)
            }
        };
        match &mut change.record {
            Some(record) => {
                *record.changed_ms() = stamped;
                // Others may rest on what it was.
                recheck |= before.is_some()
                    && !matches!(change.list, List::Entries | List::WeighIns | List::Photos);
            }
            None if before.is_none() => {
                let (list, id) = (change.list, cut(&change.id));
                return Err(Refusal::new("", Cause::NoSuchRecord { list, id }));
            }
            None => removals.push(Removed {
                list: change.list,
                id: change.id.clone(),
                at_ms: stamped,
            }),
        }
        let json = change.record.as_mut().map(AnyRecord::text);
        touched.push(Touched {
            list: change.list,
            id: change.id.clone(),
            was_at: *was_at,
            before,
            json,
        });
    }
    head |= remember(studio, &touched, removals);
    let settings_changed = batch.settings.is_some();
    let name_changed = batch.name.is_some();
    if let Some(settings) = batch.settings.take() {
        studio.settings = settings;
    }
    if let Some(name) = batch.name.take() {
        studio.name = name;
    }
    carry_out(studio, batch.changes, &places);

    let inverse = take_back(
        &touched,
        settings_changed.then(|| settings_before.clone()),
        name_changed.then(|| name_before.clone()),
    );
    if let Err(refusal) = still_sound(studio, &touched, recheck, head) {
        // Back to what it was, record by record and in its place.
        let mut back = Batch::default();
        back.gather(inverse);
        let places = find_all(studio, &back.changes);
        carry_out(studio, back.changes, &places);
        (studio.removed, studio.settings, studio.name) =
            (removed_before, settings_before, name_before);
        return Err(refusal);
    }
    let changed = touched.into_iter().map(|one| Changed {
        list: one.list,
        id: one.id,
        json: one.json,
    });
    Ok(Applied {
        changed: changed.collect(),
        head: head.then(|| file::write_head(studio)),
        inverse,
    })
}

/// A record as text, to be stored by itself.
pub fn record_text(studio: &Studio, list: List, id: &str) -> Option<String> {
    let at = any::ids(studio, list)
        .iter()
        .position(|known| *known == id)?;
    AnyRecord::copy_of(studio, list, at).map(|mut record| record.text())
}

/// Where each changed record stands now.
fn find_all(studio: &Studio, changes: &[Change]) -> Vec<Option<usize>> {
    let mut sorted: [Option<Vec<(&str, usize)>>; 8] = Default::default();
    let mut places = Vec::with_capacity(changes.len());
    for change in changes {
        let list = sorted[change.list.place()].get_or_insert_with(|| {
            let mut ids: Vec<_> = any::ids(studio, change.list).into_iter().zip(0..).collect();
            order::sort(&mut ids);
            ids
        });
        let found = list.binary_search_by(|(id, _)| (*id).cmp(change.id.as_str()));
        places.push(found.ok().map(|at| list[at].1));
    }
    places
}

/// Puts and takes out; `places`: where each stood before.
fn carry_out(studio: &mut Studio, changes: Vec<Change>, places: &[Option<usize>]) {
    let mut new = Vec::new();
    let mut gone: Vec<(List, usize)> = Vec::new();
    for (change, was_at) in changes.into_iter().zip(places) {
        match (change.record, was_at) {
            (Some(record), Some(at)) => record.put_into(studio, *at, true),
            (Some(record), None) => new.push((change.at, record)),
            (None, Some(at)) => gone.push((change.list, *at)),
            (None, None) => {}
        }
    }
    for list in List::ALL {
        let mut out = Vec::new();
        for (_, at) in gone.iter().filter(|(from, _)| from == list) {
            if out.len() <= *at {
                out.resize(at + 1, false);
            }
            out[*at] = true;
        }
        if !out.is_empty() {
            any::take_out(studio, *list, &out);
        }
    }
    // Rising places, so that each lands where it is said; the sort keeps the order of those that go last.
    order::by(&mut new, |(a, _), (b, _)| {
        a.unwrap_or(usize::MAX).cmp(&b.unwrap_or(usize::MAX))
    });
    for (at, record) in new {
        record.put_into(studio, at.unwrap_or(usize::MAX), false);
    }
}

/// Keeps marks of what is removed, and forgets those of what is back. Whether there was anything to do.
fn remember(studio: &mut Studio, touched: &[Touched], removals: Vec<Removed>) -> bool {
    let before = studio.removed.len();
    if before > 0 {
        let mut back: Vec<(usize, &str)> = touched
            .iter()
            .map(|one| (one.list.place(), one.id.as_str()))
            .collect();
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

/// What stood under an identifier, and what stands there now.
struct Touched {
    list: List,
    id: Id,
    was_at: Option<usize>,
    before: Option<AnyRecord>,
    /// The new record as text; none: removed.
    json: Option<String>,
}

fn take_back(touched: &[Touched], settings: Option<Settings>, name: Option<String>) -> Edit {
    let mut edits: Vec<Edit> = touched
        .iter()
        .map(|one| match &one.before {
            Some(record) => Edit::Put {
                record: Box::new(record.clone()),
                at: one.was_at.map(|at| at as u64),
            },
            None => Edit::Remove {
                list: one.list,
                id: one.id.clone(),
            },
        })
        .collect();
    edits.extend(settings.map(Edit::Settings));
    edits.extend(name.map(Edit::Name));
    if edits.len() == 1 {
        edits.remove(0)
    } else {
        Edit::Many(edits)
    }
}

fn still_sound(
    studio: &Studio,
    touched: &[Touched],
    whole: bool,
    head: bool,
) -> Result<(), Refusal> {
    let removed: Vec<(List, &str)> = touched
        .iter()
        .filter(|one| one.json.is_none())
        .map(|one| (one.list, one.id.as_str()))
        .collect();
    if !removed.is_empty() {
        uses::none_left(studio, &removed)?;
    }
    let first = |refusals: Vec<Refusal>| {
        refusals
            .into_iter()
            .next()
            .unwrap_or_else(|| Refusal::new("", Cause::NotAStudio))
    };
    if whole {
        return check::check(studio).map_err(first);
    }
    if head {
        check::check_head(studio).map_err(first)?;
    }
    for one in touched.iter().filter(|one| one.json.is_some()) {
        check::check_one(studio, one.list, &one.id).map_err(first)?;
    }
    Ok(())
}
