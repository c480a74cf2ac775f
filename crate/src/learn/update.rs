//! A log changed by a few lines, counted at once: the draws at hand are weighed anew by what those lines say.
//!
//! Takes a studio, what is known of it and what has changed since that was learned; puts what is known now in its place, unless the weights cannot be trusted.
//!
//! A draw counts as many times as what it says of the new lines is likely, and one over that for lines that are gone: importance sampling, its weights smoothed
//! ([`pareto`]: Vehtari, Simpson, Gelman, Yao & Gabry 2024, Journal of Machine Learning Research 25(72)). An unknown that only the new lines bear on (a new firing, a glaze's
//! first tile) is drawn from its prior many times for each draw, which then counts by the mean: what its lines say without that unknown, by Monte Carlo.

mod changes;
mod lines;
mod weighing;

pub use changes::Changes;

use super::calibration::pareto;
use super::data::Log;
use super::posterior::{Options, Posterior, Summary};
use super::summary::summarise;
use super::unknowns::{Unknowns, global};
use crate::studio::document::{List, Studio};
use lines::Changed;
use weighing::Weighing;

/// Weights worth less than this share of the draws are not used: what is left of them says too little of bands.
const LEAST_SHARE: f64 = 0.1;

/// Draws as points of the unknowns, each coordinate under the name of what it stands for.
#[derive(Clone, Debug, Default)]
pub struct Points {
    names: Vec<u64>,
    at: Vec<Vec<f64>>,
    /// See [`Log::words`].
    words: f64,
    /// How many independent draws they are worth.
    effective: f64,
}

impl Points {
    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.at.is_empty()
    }

    /// Draws of a log's unknowns.
    pub fn of(studio: &Studio, log: &Log, at: Vec<Vec<f64>>, effective: f64) -> Self {
        Self {
            names: names(studio, &log.unknowns),
            at,
            words: log.words,
            effective,
        }
    }
}

/// What each coordinate stands for, by the studio's identifiers: a number of 64 bits for each.
fn names(studio: &Studio, unknowns: &Unknowns) -> Vec<u64> {
    let used = &unknowns.used;
    let mut names = Vec::new();
    for firing in &used.firings {
        names.push(name(1, &studio.firings[*firing].id, ""));
    }
    for glaze in &used.glazes {
        names.push(name(2, &studio.glazes[*glaze].id, ""));
    }
    for hand in &used.hands {
        names.push(name(3, &studio.hands[*hand].id, ""));
    }
    for number in 0..global::COUNT {
        names.push(number as u64);
    }
    for (a, b) in &used.pairs {
        let pair = name(4, &studio.glazes[*a].id, &studio.glazes[*b].id);
        names.extend([pair, !pair]);
    }
    for (kiln, shelf) in &used.shelves {
        let firing = unknowns.keys.kiln_of_firing.iter().position(|k| k == kiln);
        let kiln = &studio.firings[firing.unwrap_or(0)].kiln;
        names.push(name(u64::from(*shelf) + 5, kiln, ""));
    }
    for glaze in &used.looks {
        let look = name(0, &studio.glazes[*glaze].id, "");
        names.extend([look, !look]);
    }
    names
}

/// The FNV-1a hash (Fowler, Noll & Vo) of two identifiers, begun by what they are of.
#[inline(never)]
fn name(kind: u64, one: &str, other: &str) -> u64 {
    let mut name = 0xcbf2_9ce4_8422_2325 ^ kind;
    for byte in one.bytes().chain([0]).chain(other.bytes()) {
        name = (name ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3);
    }
    name
}

/// Where each of `wanted` stands in `names`. Both are in the same order but for what is missing.
#[inline(never)]
fn places(wanted: &[u64], names: &[u64]) -> Vec<Option<usize>> {
    let mut next = 0;
    let mut places = Vec::with_capacity(wanted.len());
    for name in wanted {
        let found = names[next..].iter().position(|known| known == name);
        if let Some(further) = found {
            next += further + 1;
        }
        places.push(found.map(|_| next - 1));
    }
    places
}

/// How far draws weighed anew can be trusted, and what was known before they were.
#[derive(Clone, Debug)]
pub struct Counted {
    /// Shape of the weights' tail; see [`pareto::most_shape`].
    pub shape: f64,
    /// How many draws of equal weight they are worth, as a share of the draws.
    pub share: f64,
    /// What was known before; none where the weights are too uneven, and what is known is as it was.
    pub before: Option<Summary>,
}

/// Counts `changes` of the studio's log at once in what is `known`, which rests on draws made before them. Nothing where there are none or where more than a few lines
/// differ. The studio comes back as it was.
pub fn update(
    studio: &mut Studio,
    known: &mut Posterior,
    changes: &Changes,
    options: &Options,
) -> Option<Counted> {
    let base = &*known.points;
    if base.is_empty() || !changes.few() {
        return None;
    }
    let after = Log::of(studio);
    // One log with the lines as they were behind those that are, so that both are told in the same unknowns.
    let kept = [studio.entries.len(), studio.weigh_ins.len()];
    let mut gone = 0;
    for was in changes.as_they_were() {
        was.clone().put_into(studio, usize::MAX, false);
        gone += 1;
    }
    let mut log = Log::of(studio);
    // The share of words is the draws' own.
    log.words = base.words;
    let named = names(studio, &log.unknowns);
    let of_base = places(&named, &base.names);
    let mut new = Vec::new();
    let mut point = log.unknowns.middle();
    for (place, from) in of_base.iter().enumerate() {
        if from.is_none() {
            new.push(place);
        }
    }
    let lines = Changed::of(studio, kept, log, changes, &of_base);
    studio.entries.truncate(kept[0]);
    studio.weigh_ins.truncate(kept[1]);
    let lines = lines?;
    let mut found = 0;
    for about in &lines.about {
        found += usize::from(about.sign < 0.0);
    }
    // Every unknown of the draws has its place, every line that was can be told.
    if named.len() - new.len() != base.names.len() || found != gone {
        return None;
    }
    let mut draws = Vec::with_capacity(base.at.len());
    for at in &base.at {
        for (x, from) in point.iter_mut().zip(&of_base) {
            if let Some(from) = from {
                *x = at[*from];
            }
        }
        draws.push(point.clone());
    }
    let mut weighing = Weighing::new(lines, draws, new, options.seed);
    let mut weights = weighing.weigh();
    let shape = pareto::smooth(&mut weights);
    let (mut sum, mut square) = (0.0, 0.0);
    for w in &weights {
        sum += w;
        square += w * w;
    }
    let share = sum * sum / (square * weights.len() as f64);
    let mut counted = Counted {
        shape,
        share,
        before: None,
    };
    if shape <= pareto::most_shape(weights.len()) && share >= LEAST_SHARE {
        let points = weighing.drawn_again(&weights);
        let here = places(&names(studio, &after.unknowns), &named);
        let mut own = vec![0.0; here.len()];
        for (params, point) in known.params.iter_mut().zip(&points) {
            for (x, at) in own.iter_mut().zip(&here) {
                *x = at.map_or(0.0, |at| point[at]);
            }
            // What a draw makes up stays as it was: nothing that is not concerned moves.
            *params = after.unknowns.params(&own, params.seed);
        }
        let mut summary = summarise(studio, &after.unknowns, &known.params, &after.counts);
        summary.effective_draws = base.effective * share;
        summary.r_hat = known.summary.r_hat;
        counted.before = Some(std::mem::replace(&mut known.summary, summary));
        let has = |id: &str| changes.has(List::Entries, id) || changes.has(List::WeighIns, id);
        known.odd_entries.retain(|odd| !has(&odd.id));
        known.odd_entries.extend(weighing.odd(studio, &points));
    }
    Some(counted)
}
