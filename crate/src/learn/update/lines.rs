//! The lines of a log that differ, as they are and as they were.
//!
//! Takes a log that holds both, and which of its unknowns are new; gives what the lines say at a point.

use super::Changes;
use crate::learn::data::{Laid, Log, NONE, Piece};
use crate::learn::likelihood::{Model, Now, Stack};
use crate::studio::document::{Entry, Studio, WeighIn};

/// The studio with lines as they were after its own.
pub fn both(studio: &Studio, (entries, weigh_ins): &(Vec<&Entry>, Vec<&WeighIn>)) -> Studio {
    let mut both = Studio {
        settings: studio.settings.clone(),
        glazes: studio.glazes.clone(),
        hands: studio.hands.clone(),
        bodies: studio.bodies.clone(),
        firings: studio.firings.clone(),
        forms: studio.forms.clone(),
        entries: studio.entries.clone(),
        weigh_ins: studio.weigh_ins.clone(),
        ..Studio::default()
    };
    for entry in entries {
        both.entries.push(Entry::clone(entry));
    }
    for weigh_in in weigh_ins {
        both.weigh_ins.push(WeighIn::clone(weigh_in));
    }
    both
}

/// The lines that differ, as they are and as they were, by a log that holds both.
pub struct Lines {
    pub model: Model,
    /// By entry of the model's log, then by weigh-in: 1 as it is, −1 as it was.
    pub signs: Vec<f64>,
    /// Whether an unknown that is new bears on it.
    pub fresh: Vec<bool>,
    /// How many are as they were.
    pub gone: usize,
}

impl Lines {
    /// Takes the rest out of a log. Nothing where a line that has not changed rests on an unknown that is new.
    pub fn of(
        studio: &Studio,
        mut log: Log,
        changes: &Changes,
        of_base: &[Option<usize>],
        words: f64,
    ) -> Option<Self> {
        let is_new = |place: u32| place != NONE && of_base[place as usize].is_none();
        let is_laid_new = |laid: &Laid| is_new(laid.glaze) || is_new(laid.hand);
        let (mut signs, mut fresh, mut gone, mut sound) = (Vec::new(), Vec::new(), 0, true);
        let mut keep = |sign: f64, is_fresh: bool| {
            if sign != 0.0 {
                signs.push(sign);
                fresh.push(is_fresh);
                gone += usize::from(sign < 0.0);
            }
            sound &= sign != 0.0 || !is_fresh;
            sign != 0.0
        };
        let (layers, meetings) = (&log.layers, &log.meetings);
        log.pieces.retain(|piece: &Piece| {
            let is_fresh = is_new(piece.firing)
                || is_new(piece.shelf)
                || piece.look.is_some_and(|(_, cuts)| is_new(cuts))
                || piece.layers.of(layers).iter().any(is_laid_new)
                || piece.meetings.of(meetings).iter().any(|m| is_new(m.place));
            let sign = match studio.entries.get(piece.entry as usize) {
                None => -1.0,
                Some(entry) if changes.has(&entry.id) => 1.0,
                Some(_) => 0.0,
            };
            keep(sign, is_fresh)
        });
        log.weighed.retain(|weighed| {
            let sign = match studio.weigh_ins.get(weighed.weigh_in as usize) {
                None => -1.0,
                Some(weigh_in) if changes.has_weighed(&weigh_in.id) => 1.0,
                Some(_) => 0.0,
            };
            // Its glaze does not bear on what it says.
            keep(sign, is_new(weighed.laid.hand))
        });
        // The share of words is the draws' own.
        log.words = words;
        sound.then(|| Self {
            model: Model::new(log),
            signs,
            fresh,
            gone,
        })
    }

    /// Log likelihood of the lines on which new unknowns bear, or of the others; the gone ones taken off.
    pub fn ln(&self, fresh: bool, point: &[f64], now: &Now, stack: &mut Stack) -> f64 {
        let log = &self.model.log;
        let mut sum = 0.0;
        for (i, (sign, is_fresh)) in self.signs.iter().zip(&self.fresh).enumerate() {
            if *is_fresh != fresh {
                continue;
            }
            sum += sign
                * match log.weighed.get(i.wrapping_sub(log.pieces.len())) {
                    Some(weighed) => self.model.weighed_ln_likelihood(weighed, now, point).0,
                    None => self.model.ln_likelihood(i, now, point, stack).0,
                };
        }
        sum
    }
}
