//! Two files of one studio made one: laptop and tablet, each with a log of its own since they parted.
//!
//! Takes the studio and another copy of it; changes the studio record by record, the newer copy of each winning, and
//! says where the two differed. Merged either way round, the records come out the same; nothing stands twice.

use crate::order;
use serde::Serialize;

use super::any::{self, AnyRecord};
use super::check::Index;
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
    let mut merging = Merging {
        marks: joined(&studio.removed, &theirs.removed),
        coming: Vec::new(),
        removals: Vec::new(),
        dropped: Vec::new(),
        conflicts: Vec::new(),
        new: 0,
        newer: 0,
    };
    merging.records(studio, theirs);
    let (ours, others) = (head(studio), head(theirs));
    if ours != others {
        let id = studio.id.clone();
        merging.conflict(
            None,
            id,
            ConflictKind::Head,
            false,
            Some(ours),
            Some(others),
        );
    }
    merging.codes(studio);
    merging.unused(studio);
    let mut edits = Vec::with_capacity(merging.coming.len() + merging.removals.len());
    for record in merging.coming {
        edits.push(Edit::Put { record, at: None });
    }
    let removed = merging.removals.len();
    for (list, id) in merging.removals {
        edits.push(Edit::Remove { list, id });
    }
    let mut marks = merging.marks;
    let mut applied = edit::apply_stamped(studio, Edit::Many(edits), Stamp::Keep(&marks))?;
    // All marks of both, but of what is there after all.
    let alive = Index::of(studio);
    marks.retain(|mark| alive.find(mark.list, &mark.id).is_none());
    if studio.removed != marks {
        studio.removed = marks;
        applied.head = Some(file::write_head(studio));
    }
    Ok(Merged {
        applied,
        new: merging.new,
        newer: merging.newer,
        removed,
        conflicts: merging.conflicts,
    })
}

/// The marks of both, the later of two for one record, in order of time.
fn joined(ours: &[Removed], theirs: &[Removed]) -> Vec<Removed> {
    let mut marks = ours.to_vec();
    marks.extend_from_slice(theirs);
    order::by(&mut marks, |a, b| {
        let one = (a.list.place(), &a.id, b.at_ms);
        one.cmp(&(b.list.place(), &b.id, a.at_ms))
    });
    marks.dedup_by(|b, a| a.list == b.list && a.id == b.id);
    // Of one moment they stay as they are, by list and identifier.
    order::by(&mut marks, |a, b| a.at_ms.cmp(&b.at_ms));
    marks
}

/// Name and settings of a studio, as text.
fn head(studio: &Studio) -> String {
    let mut head = file::head_of(studio);
    head.removed.clear();
    head.invented = false;
    file::write_head(&head)
}

struct Merging {
    /// What was removed here or there.
    marks: Vec<Removed>,
    /// Records of theirs that come in.
    coming: Vec<AnyRecord>,
    /// Records of ours that go.
    removals: Vec<(List, Id)>,
    /// Records of theirs that were removed here since.
    dropped: Vec<AnyRecord>,
    conflicts: Vec<Conflict>,
    new: usize,
    newer: usize,
}

impl Merging {
    /// Whether a record last changed at a moment was removed since.
    fn gone_since(&self, list: List, id: &str, changed_ms: u64) -> bool {
        edit::marked_at(&self.marks, list, id).is_some_and(|at_ms| at_ms >= changed_ms)
    }

    fn conflict(
        &mut self,
        list: Option<List>,
        id: Id,
        kind: ConflictKind,
        theirs_taken: bool,
        ours: Option<String>,
        theirs: Option<String>,
    ) {
        self.conflicts.push(Conflict {
            list,
            id,
            kind,
            theirs_taken,
            ours,
            theirs,
        });
    }

    /// Looks at every record that either has.
    fn records(&mut self, studio: &Studio, theirs: &Studio) {
        let (our_index, their_index) = (Index::of(studio), Index::of(theirs));
        for &list in List::ALL {
            let mut at = 0;
            while let Some(their) = AnyRecord::copy_of(theirs, list, at) {
                at += 1;
                let our = our_index
                    .find(list, their.id())
                    .and_then(|at| AnyRecord::copy_of(studio, list, at));
                if let Some(our) = our {
                    self.both(our, their);
                } else if self.gone_since(list, their.id(), their.listed().changed_ms()) {
                    self.dropped.push(their);
                } else {
                    self.new += 1;
                    self.coming.push(their);
                }
            }
            // What only we have, and they removed after we last changed it.
            let ours = any::records(studio, list);
            for (id, at) in our_index.in_order(list) {
                let changed_ms = ours.one(*at).map_or(0, |our| our.changed_ms());
                if their_index.find(list, id).is_none() && self.gone_since(list, id, changed_ms) {
                    self.removals.push((list, (*id).to_owned()));
                }
            }
        }
    }

    fn both(&mut self, mut our: AnyRecord, mut their: AnyRecord) {
        let (list, id) = (our.list(), our.id().clone());
        let (our_ms, their_ms) = (our.listed().changed_ms(), their.listed().changed_ms());
        if self.gone_since(list, &id, our_ms.max(their_ms)) {
            return self.removals.push((list, id));
        }
        let (ours, theirs) = (our.text(), their.text());
        our.listed_mut().stamp(their_ms);
        let same = our.text() == theirs;
        // The same moment: the text decides, so that both sides come to the same.
        let theirs_taken = (their_ms, &theirs) > (our_ms, &ours);
        if !same {
            self.newer += usize::from(theirs_taken);
            self.conflict(
                Some(list),
                id,
                ConflictKind::Changed,
                theirs_taken,
                Some(ours),
                Some(theirs),
            );
        }
        if theirs_taken {
            self.coming.push(their);
        }
    }

    /// Gives entries that come in a new code where theirs is taken.
    fn codes(&mut self, studio: &Studio) {
        let mut replaced = Vec::new();
        for record in &self.coming {
            replaced.push((record.list().place(), record.id().as_str()));
        }
        order::sort(&mut replaced);
        // All codes, which a new one stays away from; and who has those that are not freed by what replaces their entry.
        let (mut known, mut taken) = (Vec::new(), Vec::new());
        for entry in &studio.entries {
            let code = entry.code.to_ascii_uppercase();
            let key = (List::Entries.place(), entry.id.as_str());
            if replaced.binary_search(&key).is_err() {
                taken.push((code.clone(), entry.id.clone()));
            }
            known.push(code);
        }
        for record in &mut self.coming {
            let AnyRecord::Entry(entry) = record else {
                continue;
            };
            let code = entry.code.to_ascii_uppercase();
            if code.is_empty() {
                continue;
            }
            let other = |(known, id): &(String, Id)| *known == code && *id != entry.id;
            if taken.iter().any(other) {
                let theirs = std::mem::replace(&mut entry.code, codes::unlike(known.clone()));
                // A change made here, so that it stays when the two are merged again.
                entry.changed_ms += 1;
                self.conflicts.push(Conflict {
                    list: Some(List::Entries),
                    id: entry.id.clone(),
                    kind: ConflictKind::CodeTwice,
                    theirs_taken: true,
                    ours: Some(entry.code.clone()),
                    theirs: Some(theirs),
                });
            }
            let code = entry.code.to_ascii_uppercase();
            taken.push((code.clone(), entry.id.clone()));
            known.push(code);
        }
    }

    /// Keeps what was to go and would still be used; and what was removed here but is used by what comes in, which comes
    /// back.
    fn unused(&mut self, studio: &Studio) {
        if self.removals.is_empty() && self.dropped.is_empty() {
            return;
        }
        let mut after = studio.clone();
        for record in &self.coming {
            let at = any::place_of(&after, record.list(), record.id());
            record
                .clone()
                .put_into(&mut after, at.unwrap_or(usize::MAX), true);
        }
        let dropped = std::mem::take(&mut self.dropped);
        let mut wanted = Vec::new();
        for record in &dropped {
            wanted.push((record.list(), record.id().as_str()));
        }
        let used = uses::used(&after, &wanted);
        for (mut record, used) in dropped.into_iter().zip(used) {
            if used {
                let (list, id, theirs) = (record.list(), record.id().clone(), record.text());
                self.conflict(
                    Some(list),
                    id,
                    ConflictKind::RemovedButUsed,
                    true,
                    None,
                    Some(theirs),
                );
                self.new += 1;
                self.coming.push(record);
            }
        }
        let removals = std::mem::take(&mut self.removals);
        let mut wanted = Vec::new();
        // What refers to others goes before them.
        for (list, id) in &removals {
            if matches!(list, List::Entries | List::WeighIns)
                && let Some(at) = any::place_of(&after, *list, id)
            {
                let mut out = vec![false; at + 1];
                out[at] = true;
                any::take_out(&mut after, *list, &out);
            }
            wanted.push((*list, id.as_str()));
        }
        let used = uses::used(&after, &wanted);
        for ((list, id), used) in removals.into_iter().zip(used) {
            if used {
                let ours = edit::record_text(studio, list, &id);
                self.conflict(
                    Some(list),
                    id,
                    ConflictKind::RemovedButUsed,
                    false,
                    ours,
                    None,
                );
            } else {
                self.removals.push((list, id));
            }
        }
    }
}
