//! Two files of one studio made one: laptop and tablet, each with a log of its own since they parted.
//!
//! Takes the studio and another copy of it; changes the studio record by record, the newer copy of each winning, and
//! says where the two differed. Merged either way round, the records come out the same; nothing stands twice.

use crate::order;
use serde::Serialize;

use super::any::{self, AnyRecord};
use super::codes;
use super::document::{Id, List, Removed, Studio};
use super::edit::{self, Applied, Edit, Stamp, uses};
use super::error::{Cause, Refusal};
use super::file;
use super::walk::Word;

/// What merging did.
#[derive(Clone, Debug, PartialEq)]
pub struct Merged {
    /// What changed in the studio, and what takes it back.
    pub applied: Applied,
    /// Records that only the other had.
    pub new: usize,
    /// Records of which the other had the newer copy.
    pub newer: usize,
    /// Records that the other had removed since.
    pub removed: usize,
    /// Where the two differed.
    pub conflicts: Vec<Conflict>,
}

/// One record of which the two had different copies.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Conflict {
    /// Its list; none: name or settings of the studio, which stay as they are here.
    pub list: Option<List>,
    /// Its identifier.
    pub id: Id,
    /// What differed.
    pub kind: ConflictKind,
    /// Whether the other's copy was taken.
    pub theirs_taken: bool,
    /// The copy here, as text; none: not there.
    pub ours: Option<String>,
    /// The other's, as text; none: not there.
    pub theirs: Option<String>,
}

/// What differed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum ConflictKind {
    /// Both have it, not the same; the one changed later was taken.
    Changed,
    /// One removed it, the other still uses it: kept.
    RemovedButUsed,
    /// Two entries had one code: the other's got a new one.
    CodeTwice,
    /// Name or settings differ: those here stay.
    Head,
}

/// Merges another copy of the same studio into this one.
///
/// # Errors
/// [`Cause::OtherStudio`], or a refusal where the two together break a bound; the studio is then as it was.
pub fn merge(studio: &mut Studio, theirs: &Studio) -> Result<Merged, Refusal> {
    if studio.id != theirs.id {
        return Err(Refusal::new(
            "id",
            Cause::OtherStudio {
                name: theirs.name.clone(),
            },
        ));
    }
    let marks = joined(&studio.removed, &theirs.removed);
    let mut merging = Merging {
        marks: &marks,
        edits: Vec::new(),
        removals: Vec::new(),
        dropped: Vec::new(),
        conflicts: Vec::new(),
        new: 0,
        newer: 0,
    };
    for list in List::ALL {
        merging.list(studio, theirs, *list);
    }
    merging.head(studio, theirs);
    merging.codes(studio);
    let removals = merging.unused(studio);
    let Merging {
        mut edits,
        conflicts,
        new,
        newer,
        ..
    } = merging;
    let removed = removals.len();
    edits.extend(
        removals
            .into_iter()
            .map(|(list, id)| Edit::Remove { list, id }),
    );
    let mut applied = edit::apply_stamped(studio, Edit::Many(edits), Stamp::Keep(&marks))?;
    // All marks of both, but of what is there after all.
    let alive = |mark: &Removed| any::ids(studio, mark.list).contains(&mark.id.as_str());
    let kept: Vec<Removed> = marks.iter().filter(|mark| !alive(mark)).cloned().collect();
    if studio.removed != kept {
        studio.removed = kept;
        applied.head = Some(file::write_head(studio));
    }
    Ok(Merged {
        applied,
        new,
        newer,
        removed,
        conflicts,
    })
}

/// The marks of both, the later of two for one record, in order of time.
fn joined(ours: &[Removed], theirs: &[Removed]) -> Vec<Removed> {
    let mut marks: Vec<Removed> = ours.iter().chain(theirs).cloned().collect();
    order::by(&mut marks, |a, b| {
        (a.list.place(), &a.id, std::cmp::Reverse(a.at_ms)).cmp(&(
            b.list.place(),
            &b.id,
            std::cmp::Reverse(b.at_ms),
        ))
    });
    marks.dedup_by(|b, a| a.list == b.list && a.id == b.id);
    order::by(&mut marks, |a, b| {
        (a.at_ms, a.list.place(), &a.id).cmp(&(b.at_ms, b.list.place(), &b.id))
    });
    marks
}

struct Merging<'a> {
    marks: &'a [Removed],
    edits: Vec<Edit>,
    removals: Vec<(List, Id)>,
    /// Records of theirs that were removed here since.
    dropped: Vec<AnyRecord>,
    conflicts: Vec<Conflict>,
    new: usize,
    newer: usize,
}

impl Merging<'_> {
    fn removed_at(&self, list: List, id: &str) -> Option<u64> {
        self.marks
            .iter()
            .find(|mark| mark.list == list && mark.id == id)
            .map(|mark| mark.at_ms)
    }

    fn list(&mut self, studio: &Studio, theirs: &Studio, list: List) {
        let (our_ids, their_ids) = (any::ids(studio, list), any::ids(theirs, list));
        let mut sorted: Vec<(&str, usize)> = our_ids.iter().copied().zip(0..).collect();
        order::sort(&mut sorted);
        let mut theirs_sorted = their_ids.clone();
        order::sort(&mut theirs_sorted);
        for (at, id) in their_ids.iter().enumerate() {
            let Some(mut their) = AnyRecord::copy_of(theirs, list, at) else {
                continue;
            };
            let found = sorted.binary_search_by(|(known, _)| known.cmp(id)).ok();
            let our = found.and_then(|found| AnyRecord::copy_of(studio, list, sorted[found].1));
            let gone_at = self.removed_at(list, id);
            match our {
                None if gone_at.is_some_and(|at_ms| at_ms >= *their.changed_ms()) => {
                    self.dropped.push(their)
                }
                None => {
                    self.new += 1;
                    self.edits.push(Edit::Put {
                        record: Box::new(their),
                        at: None,
                    });
                }
                Some(our) => self.both(our, their, gone_at),
            }
        }
        // What only we have, and they removed after we last changed it.
        for (id, at) in &sorted {
            if theirs_sorted.binary_search(id).is_err()
                && let Some(mut our) = AnyRecord::copy_of(studio, list, *at)
                && self
                    .removed_at(list, id)
                    .is_some_and(|at_ms| at_ms >= *our.changed_ms())
            {
                self.removals.push((list, (*id).to_owned()));
            }
        }
    }

    fn both(&mut self, mut our: AnyRecord, mut their: AnyRecord, gone_at: Option<u64>) {
        let (our_ms, their_ms) = (*our.changed_ms(), *their.changed_ms());
        if gone_at.is_some_and(|at_ms| at_ms >= our_ms.max(their_ms)) {
            self.removals.push((our.list(), our.id().clone()));
            return;
        }
        let ours = our.text();
        *their.changed_ms() = our_ms;
        let same = their.text() == ours;
        if same && their_ms <= our_ms {
            return;
        }
        *their.changed_ms() = their_ms;
        let theirs = their.text();
        // The same moment: the text decides, so that both sides come to the same.
        let theirs_taken = (their_ms, &theirs) > (our_ms, &ours);
        if !same {
            self.conflicts.push(Conflict {
                list: Some(our.list()),
                id: our.id().clone(),
                kind: ConflictKind::Changed,
                theirs_taken,
                ours: Some(ours),
                theirs: Some(theirs),
            });
            self.newer += usize::from(theirs_taken);
        }
        if theirs_taken {
            self.edits.push(Edit::Put {
                record: Box::new(their),
                at: None,
            });
        }
    }

    fn head(&mut self, studio: &Studio, theirs: &Studio) {
        let text = |of: &Studio| {
            let head = Studio {
                id: of.id.clone(),
                name: of.name.clone(),
                settings: of.settings.clone(),
                ..Studio::default()
            };
            file::write_head(&head)
        };
        let (ours, their_text) = (text(studio), text(theirs));
        if ours != their_text {
            self.conflicts.push(Conflict {
                list: None,
                id: studio.id.clone(),
                kind: ConflictKind::Head,
                theirs_taken: false,
                ours: Some(ours),
                theirs: Some(their_text),
            });
        }
    }

    /// Gives entries that come in a new code where theirs is taken.
    fn codes(&mut self, studio: &Studio) {
        let mut together = Studio {
            entries: studio.entries.clone(),
            ..Studio::default()
        };
        let mut taken: Vec<(String, Id)> = Vec::new();
        let mut coming: Vec<&str> = self
            .edits
            .iter()
            .filter_map(|edit| match edit {
                Edit::Put { record, .. } if record.list() == List::Entries => {
                    Some(record.id().as_str())
                }
                _ => None,
            })
            .collect();
        order::sort(&mut coming);
        for entry in &studio.entries {
            // One that is replaced frees its code.
            if !entry.code.is_empty() && coming.binary_search(&entry.id.as_str()).is_err() {
                taken.push((entry.code.to_ascii_uppercase(), entry.id.clone()));
            }
        }
        for edit in &mut self.edits {
            let Edit::Put { record, .. } = edit else {
                continue;
            };
            let AnyRecord::Entry(entry) = record.as_mut() else {
                continue;
            };
            let code = entry.code.to_ascii_uppercase();
            if code.is_empty() {
                continue;
            }
            if taken
                .iter()
                .any(|(known, other)| *known == code && *other != entry.id)
            {
                let theirs = Some(entry.code.clone());
                entry.code = codes::fresh_code(&together);
                // A change made here, so that it stays when the two are merged again.
                entry.changed_ms += 1;
                self.conflicts.push(Conflict {
                    list: Some(List::Entries),
                    id: entry.id.clone(),
                    kind: ConflictKind::CodeTwice,
                    theirs_taken: true,
                    ours: Some(entry.code.clone()),
                    theirs,
                });
            }
            taken.push((entry.code.to_ascii_uppercase(), entry.id.clone()));
            together.entries.push(entry.as_ref().clone());
        }
    }

    /// The removals but for what would still be used, which stays; and what was removed here but is used by what
    /// comes in, which comes back.
    fn unused(&mut self, studio: &Studio) -> Vec<(List, Id)> {
        if self.removals.is_empty() && self.dropped.is_empty() {
            return Vec::new();
        }
        let mut after = studio.clone();
        for edit in &self.edits {
            if let Edit::Put { record, .. } = edit {
                let at = any::ids(&after, record.list())
                    .iter()
                    .position(|id| id == record.id());
                record.as_ref().clone().put_into(
                    &mut after,
                    at.unwrap_or(usize::MAX),
                    at.is_some(),
                );
            }
        }
        let dropped = std::mem::take(&mut self.dropped);
        let wanted: Vec<(List, &str)> = dropped
            .iter()
            .map(|record| (record.list(), record.id().as_str()))
            .collect();
        let used = uses::used(&after, &wanted);
        for (mut record, _) in dropped.into_iter().zip(used).filter(|(_, used)| *used) {
            self.conflicts.push(Conflict {
                list: Some(record.list()),
                id: record.id().clone(),
                kind: ConflictKind::RemovedButUsed,
                theirs_taken: true,
                ours: None,
                theirs: Some(record.text()),
            });
            self.new += 1;
            self.edits.push(Edit::Put {
                record: Box::new(record),
                at: None,
            });
        }
        let mut gone = std::mem::take(&mut self.removals);
        // What refers to others goes before them.
        for (list, id) in &gone {
            if matches!(list, List::Entries | List::WeighIns) {
                let out: Vec<bool> = any::ids(&after, *list)
                    .iter()
                    .map(|known| known == id)
                    .collect();
                any::take_out(&mut after, *list, &out);
            }
        }
        let wanted: Vec<(List, &str)> =
            gone.iter().map(|(list, id)| (*list, id.as_str())).collect();
        let mut used = uses::used(&after, &wanted).into_iter();
        gone.retain(|(list, id)| {
            let kept = used.next().unwrap_or(false);
            if kept {
                self.conflicts.push(Conflict {
                    list: Some(*list),
                    id: id.clone(),
                    kind: ConflictKind::RemovedButUsed,
                    theirs_taken: false,
                    ours: edit::record_text(studio, *list, id),
                    theirs: None,
                });
            }
            !kept
        });
        gone
    }
}
