//! What has changed in a studio since its log was last learned from.
//!
//! Takes edits by what takes them back; gives the lines of the log that differ, as they were, and whether anything that the other lines rest on has changed.

use crate::studio::any::AnyRecord;
use crate::studio::document::{Entry, Id, List, Settings, Studio, WeighIn};
use crate::studio::edit::Edit;

/// Lines from which on a change is not one of few lines.
const MOST_LINES: usize = 64;

/// Changes since then.
#[derive(Clone, Debug, Default)]
pub struct Changes {
    /// Entries that say something else now, as they were; none: they said nothing.
    entries: Vec<(Id, Option<Entry>)>,
    /// The same of weigh-ins.
    weigh_ins: Vec<(Id, Option<WeighIn>)>,
    /// More than a few lines.
    more: bool,
}

impl Changes {
    /// Notes an edit that `studio` has taken, by what takes it back; gives whether it bears on what the log teaches.
    pub fn note(&mut self, studio: &Studio, inverse: &Edit) -> bool {
        let teaches = self.note_one(studio, inverse);
        self.entries
            .retain(|(id, was)| match (was, entry(studio, id)) {
                (Some(was), Some(now)) => said(was) != said(now),
                (was, now) => was.is_some() != now.is_some(),
            });
        self.weigh_ins
            .retain(|(id, was)| match (was, weigh_in(studio, id)) {
                (Some(was), Some(now)) => weighed(was) != weighed(now),
                (was, now) => was.is_some() != now.is_some(),
            });
        teaches
    }

    /// How many lines differ.
    pub fn lines(&self) -> usize {
        self.entries.len() + self.weigh_ins.len()
    }

    /// Whether only a few lines differ, if any.
    pub fn few(&self) -> bool {
        !self.more && self.lines() <= MOST_LINES
    }

    /// Whether the entry of that identifier differs.
    pub(super) fn has(&self, id: &str) -> bool {
        self.entries.iter().any(|(known, _)| known == id)
    }

    /// Whether the weigh-in does.
    pub(super) fn has_weighed(&self, id: &str) -> bool {
        self.weigh_ins.iter().any(|(known, _)| known == id)
    }

    /// Lines as they were.
    pub(super) fn as_they_were(&self) -> (Vec<&Entry>, Vec<&WeighIn>) {
        let entries = self.entries.iter().filter_map(|(_, was)| was.as_ref());
        let weigh_ins = self.weigh_ins.iter().filter_map(|(_, was)| was.as_ref());
        (entries.collect(), weigh_ins.collect())
    }

    fn note_one(&mut self, studio: &Studio, inverse: &Edit) -> bool {
        if !self.few() {
            self.more = true;
        }
        match inverse {
            Edit::Many(edits) => {
                let mut teaches = false;
                for edit in edits {
                    // Nothing more can come of it.
                    if teaches && self.more {
                        return true;
                    }
                    teaches |= self.note_one(studio, edit);
                }
                teaches
            }
            Edit::Name(_) => false,
            Edit::Settings(was) => {
                let rests = |on: &Settings| {
                    (
                        on.recess_share.to_bits(),
                        on.usual_body.clone(),
                        on.usual_firing.clone(),
                    )
                };
                let other = rests(was) != rests(&studio.settings);
                self.more |= other;
                other
            }
            Edit::Put { record, .. } => self.was(studio, record),
            Edit::Remove { list, id } => match list {
                List::Photos => false,
                List::Entries => {
                    let teaches = entry(studio, id).is_some();
                    if teaches {
                        self.line(id, None);
                    }
                    teaches
                }
                List::WeighIns => {
                    if self.weigh_ins.iter().all(|(known, _)| known != id) {
                        self.weigh_ins.push((id.clone(), None));
                    }
                    true
                }
                // New, so no line that stood before rests on it.
                _ => true,
            },
        }
    }

    /// Notes a record that was otherwise or is gone.
    fn was(&mut self, studio: &Studio, record: &AnyRecord) -> bool {
        match record {
            AnyRecord::Photo(_) => false,
            AnyRecord::Entry(was) => {
                let was = says(was).then(|| Entry::clone(was));
                let teaches = was.is_some() || entry(studio, record.id()).is_some();
                if teaches {
                    self.line(record.id(), was);
                }
                teaches
            }
            AnyRecord::WeighIn(was) => {
                if self.weigh_ins.iter().all(|(known, _)| *known != was.id) {
                    self.weigh_ins.push((was.id.clone(), Some(was.clone())));
                }
                true
            }
            AnyRecord::Firing(was) => {
                // Its name, its day and where it stands say nothing about glaze.
                let same = studio.firings.iter().any(|now| {
                    now.id == was.id && now.kiln == was.kiln && now.schedule == was.schedule
                });
                self.more |= !same;
                !same
            }
            AnyRecord::Hand(was) if studio.hands.iter().any(|now| now.id == was.id) => false,
            _ => {
                self.more = true;
                true
            }
        }
    }

    fn line(&mut self, id: &Id, was: Option<Entry>) {
        if self.entries.iter().all(|(known, _)| known != id) {
            self.entries.push((id.clone(), was));
        }
    }
}

/// The entry of that identifier, if it says something.
fn entry<'a>(studio: &'a Studio, id: &str) -> Option<&'a Entry> {
    let found = studio.entries.iter().find(|entry| entry.id == id);
    found.filter(|entry| says(entry))
}

fn weigh_in<'a>(studio: &'a Studio, id: &str) -> Option<&'a WeighIn> {
    studio.weigh_ins.iter().find(|one| one.id == id)
}

fn says(entry: &Entry) -> bool {
    let read = entry.outcome.as_ref();
    read.is_some_and(|o| o.run.is_some() || o.look.is_some() || o.texture.is_some())
}

/// An entry as text, without what teaches nothing.
fn said(entry: &Entry) -> String {
    let mut bare = entry.clone();
    bare.name.clear();
    bare.code.clear();
    bare.note.clear();
    bare.photo = None;
    bare.kept = false;
    bare.changed_ms = 0;
    AnyRecord::Entry(Box::new(bare)).text()
}

/// The same of a weigh-in.
fn weighed(weigh_in: &WeighIn) -> String {
    let mut bare = weigh_in.clone();
    bare.note.clear();
    bare.changed_ms = 0;
    AnyRecord::WeighIn(bare).text()
}
