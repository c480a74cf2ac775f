//! The lines of a log that differ, as they are and as they were.
//!
//! Takes a log that holds both, and which of its unknowns are new; gives what the lines say at a point.

use super::Changes;
use crate::learn::data::{Laid, Log, NONE};
use crate::learn::likelihood::{self, Judged, Model, Now};
use crate::real::Pair;
use crate::studio::document::{Entry, List, Studio, WeighIn};

/// The lines.
pub struct Changed {
    /// Of these alone.
    pub model: Model,
    /// By entry of the model's log, then by weigh-in.
    pub about: Vec<About>,
}

/// What one line is.
#[derive(Clone, Copy)]
pub struct About {
    /// 1 as it is, −1 as it was.
    pub sign: f64,
    /// Whether an unknown that is new bears on it.
    pub fresh: bool,
}

impl Changed {
    /// Takes the rest out of the log of `studio`, whose lists go on with lines as they were behind the first `kept` entries and weigh-ins. Nothing where a line that has
    /// not changed rests on an unknown that is new: those for which `of_base` has no place.
    pub fn of(
        studio: &Studio,
        kept: [usize; 2],
        mut log: Log,
        changes: &Changes,
        of_base: &[Option<usize>],
    ) -> Option<Self> {
        let is_new = |place: u32| place != NONE && of_base[place as usize].is_none();
        let is_laid_new = |laid: &Laid| is_new(laid.glaze) || is_new(laid.hand);
        let sign = |list: List, at: usize, kept: usize, id: &str| match at {
            at if at >= kept => -1.0,
            _ if changes.has(list, id) => 1.0,
            _ => 0.0,
        };
        let mut about = Vec::new();
        let mut pieces = Vec::new();
        for piece in &log.pieces {
            let mut fresh = is_new(piece.firing) || is_new(piece.shelf);
            for laid in piece.layers.of(&log.layers) {
                fresh |= is_laid_new(laid);
            }
            for meeting in piece.meetings.of(&log.meetings) {
                fresh |= is_new(meeting.place);
            }
            if let Some((_, cuts)) = piece.look {
                fresh |= is_new(cuts);
            }
            let at = piece.entry as usize;
            let entry: &Entry = studio.entries.get(at)?;
            let sign = sign(List::Entries, at, kept[0], &entry.id);
            if sign != 0.0 {
                about.push(About { sign, fresh });
                pieces.push(piece.clone());
            } else if fresh {
                return None;
            }
        }
        let mut weighed = Vec::new();
        for one in &log.weighed {
            let at = one.weigh_in as usize;
            let weigh_in: &WeighIn = studio.weigh_ins.get(at)?;
            let sign = sign(List::WeighIns, at, kept[1], &weigh_in.id);
            // Its glaze does not bear on what it says.
            let fresh = is_new(one.laid.hand);
            if sign != 0.0 {
                about.push(About { sign, fresh });
                weighed.push(*one);
            } else if fresh {
                return None;
            }
        }
        (log.pieces, log.weighed) = (pieces, weighed);
        Some(Self {
            model: Model::new(log),
            about,
        })
    }

    /// Log likelihood, at two points, of the lines on which new unknowns bear, or of the others; the gone ones taken off.
    pub fn ln(
        &self,
        fresh: bool,
        point: &[Pair],
        now: &Now,
        marks: &likelihood::Lines<'_>,
        judged: &mut Judged,
    ) -> Pair {
        let (log, model) = (&self.model.log, &self.model);
        let mut sum = Pair::ZERO;
        for (i, about) in self.about.iter().enumerate() {
            if about.fresh == fresh {
                let ln = match log.weighed.get(i.wrapping_sub(log.pieces.len())) {
                    Some(weighed) => model.weighed_ln_likelihood(weighed, now, point).0,
                    None => model.ln_likelihood(i, now, marks, point, judged, &mut |_| ()),
                };
                sum += about.sign * ln;
            }
        }
        sum
    }
}
