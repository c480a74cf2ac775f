//! What has changed in a studio since its log was last learned from.
//!
//! Takes edits by what takes them back; gives the lines of the log that differ, as they were, and whether anything that other lines rest on has changed.

use crate::studio::any::{self, AnyRecord};
use crate::studio::document::{FiringState, Id, List, Studio};
use crate::studio::edit::Edit;

/// Lines up to which a change is one of few lines.
const MOST_LINES: usize = 64;
/// Records up to which an edit is looked at one by one.
const MOST_EDITS: usize = 1000;

/// Changes since then.
#[derive(Clone, Debug, Default)]
pub struct Changes {
    lines: Vec<Line>,
    /// More than a few lines.
    more: bool,
}

/// A line of the log that says something else now.
#[derive(Clone, Debug)]
struct Line {
    list: List,
    id: Id,
    /// As it was; none: it said nothing.
    was: Option<AnyRecord>,
}

impl Changes {
    /// Notes an edit that `studio` has taken, by what takes it back; gives whether it bears on what the log teaches.
    pub fn note(&mut self, studio: &Studio, inverse: Edit) -> bool {
        match inverse {
            Edit::Many(edits) => {
                self.more |= edits.len() > MOST_EDITS;
                let mut teaches = false;
                for edit in edits {
                    teaches |= self.more || self.note(studio, edit);
                }
                teaches
            }
            Edit::Name(_) => false,
            Edit::Settings(was) => {
                let now = &studio.settings;
                let other = was.recess_share != now.recess_share
                    || is_other(&was.usual_body, &now.usual_body)
                    || is_other(&was.usual_firing, &now.usual_firing);
                self.more |= other;
                other
            }
            Edit::Put { record, .. } => {
                let (list, id) = (record.list(), record.id().clone());
                self.record(studio, list, id, Some(record))
            }
            Edit::Remove { list, id } => self.record(studio, list, id, None),
        }
    }

    /// How many lines differ.
    pub fn lines(&self) -> usize {
        self.lines.len()
    }

    /// Whether only a few lines differ, if any.
    pub fn few(&self) -> bool {
        !self.more && self.lines.len() <= MOST_LINES
    }

    /// Whether the line of that identifier differs.
    pub(super) fn has(&self, list: List, id: &str) -> bool {
        self.place(list, id).is_some()
    }

    /// Lines as they were.
    pub(super) fn as_they_were(&self) -> impl Iterator<Item = &AnyRecord> {
        self.lines.iter().filter_map(|line| line.was.as_ref())
    }

    fn place(&self, list: List, id: &str) -> Option<usize> {
        let mut lines = self.lines.iter();
        lines.position(|line| line.list == list && line.id == id)
    }

    /// Notes what a record was; none: it is new.
    fn record(&mut self, studio: &Studio, list: List, id: Id, was: Option<AnyRecord>) -> bool {
        if list == List::Photos {
            return false;
        }
        let now = any::ids(studio, list)
            .iter()
            .position(|known| *known == id)
            .and_then(|at| AnyRecord::copy_of(studio, list, at));
        let (said, says) = (said(was.as_ref()), said(now.as_ref()));
        if said == says {
            return false;
        }
        if list != List::Entries && list != List::WeighIns {
            // On what is new no line rests that stood before.
            self.more |= !said.is_empty();
            return true;
        }
        match self.place(list, &id) {
            Some(at) => {
                if self::said(self.lines[at].was.as_ref()) == says {
                    self.lines.swap_remove(at);
                }
            }
            None => {
                let was = was.filter(|_| !said.is_empty());
                self.lines.push(Line { list, id, was });
            }
        }
        true
    }
}

fn is_other(one: &Option<Id>, other: &Option<Id>) -> bool {
    one.as_deref().unwrap_or_default() != other.as_deref().unwrap_or_default()
}

/// A record as text, without what teaches nothing; empty where all of it does.
fn said(record: Option<&AnyRecord>) -> String {
    let Some(mut bare) = record.cloned() else {
        return String::new();
    };
    bare.listed_mut().stamp(0);
    match &mut bare {
        AnyRecord::Entry(entry) => {
            let read = entry.outcome.as_ref();
            if !read.is_some_and(|o| o.run.is_some() || o.look.is_some() || o.texture.is_some()) {
                return String::new();
            }
            entry.note.clear();
            entry.photo = None;
            entry.kept = false;
        }
        AnyRecord::Firing(firing) => {
            firing.name.clear();
            firing.note.clear();
            firing.day = None;
            firing.state = FiringState::Planned;
        }
        AnyRecord::Glaze(glaze) => {
            glaze.name.clear();
            glaze.note.clear();
            glaze.look.clear();
            glaze.colour = None;
        }
        AnyRecord::Hand(hand) => {
            hand.name.clear();
            hand.note.clear();
        }
        _ => {}
    }
    bare.text()
}
