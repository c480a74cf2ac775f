//! A log changed by a few lines, counted at once: the draws at hand are weighed anew by what those lines say.
//!
//! Takes a studio, what is known of it and what has changed since that was learned; gives what is known now, or nothing where the weights cannot be trusted.
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
use super::posterior::{Options, Posterior};
use super::summary::summarise;
use super::unknowns::{Unknowns, global};
use crate::studio::document::Studio;
use lines::Lines;
use std::sync::Arc;
use weighing::Weighing;

/// Weights worth less than this share of the draws are not used: what is left of them says too little of bands.
const LEAST_SHARE: f64 = 0.1;

/// Draws as points of the unknowns, each coordinate under the name of what it stands for.
#[derive(Clone, Debug, Default)]
pub struct Points {
    names: Vec<String>,
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

/// What each coordinate stands for, by the studio's identifiers.
fn names(studio: &Studio, unknowns: &Unknowns) -> Vec<String> {
    let used = &unknowns.used;
    let mut names = Vec::with_capacity(unknowns.len());
    let mut name = |kind: char, one: &str, other: &str| {
        let mut name = String::new();
        name.push(kind);
        name.push_str(one);
        name.push(' ');
        name.push_str(other);
        names.push(name);
    };
    for firing in &used.firings {
        name('f', &studio.firings[*firing].id, "");
    }
    for glaze in &used.glazes {
        name('g', &studio.glazes[*glaze].id, "");
    }
    for hand in &used.hands {
        name('h', &studio.hands[*hand].id, "");
    }
    for _ in 0..global::COUNT {
        name('n', "", "");
    }
    for (a, b) in &used.pairs {
        for kind in ['p', 'o'] {
            name(kind, &studio.glazes[*a].id, &studio.glazes[*b].id);
        }
    }
    for (kiln, shelf) in &used.shelves {
        let firing = unknowns.keys.kiln_of_firing.iter().position(|k| k == kiln);
        let kiln = firing.map_or("", |f| &studio.firings[f].kiln);
        name('s', &shelf.to_string(), kiln);
    }
    for glaze in &used.looks {
        for kind in ['l', 'w'] {
            name(kind, &studio.glazes[*glaze].id, "");
        }
    }
    names
}

/// Where each of `wanted` stands in `names`. Both are in the same order but for what is missing.
fn places(wanted: &[String], names: &[String]) -> Vec<Option<usize>> {
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

/// How far draws weighed anew can be trusted, and what is known by them.
#[derive(Clone, Copy, Debug)]
pub struct Trust {
    /// Shape of the weights' tail; see [`pareto::most_shape`].
    pub shape: f64,
    /// How many draws of equal weight they are worth, as a share of the draws.
    pub share: f64,
}

impl Trust {
    /// Of smoothed weights.
    fn of(weights: &[f64], shape: f64) -> Self {
        let (mut sum, mut square) = (0.0, 0.0);
        for w in weights {
            sum += w;
            square += w * w;
        }
        Self {
            shape,
            share: sum * sum / (square * weights.len() as f64),
        }
    }

    fn is_enough(&self, draws: usize) -> bool {
        self.shape <= pareto::most_shape(draws) && self.share >= LEAST_SHARE
    }
}

/// Counts `changes` of a studio's log at once, where `known` rests on draws made before them. Nothing where there are none, where more than a few lines differ,
/// or where the weights are too uneven.
pub fn update(
    studio: &Studio,
    known: &Posterior,
    changes: &Changes,
    options: &Options,
) -> Option<(Trust, Option<Posterior>)> {
    let base = &*known.points;
    if base.is_empty() || !changes.few() {
        return None;
    }
    let was = changes.as_they_were();
    let both = (!was.0.is_empty() || !was.1.is_empty()).then(|| lines::both(studio, &was));
    let all = both.as_ref().unwrap_or(studio);
    let log = Log::of(all);
    let after = both.is_some().then(|| Log::of(studio));
    let (unknowns, counts) = match &after {
        Some(after) => (after.unknowns.clone(), after.counts.clone()),
        None => (log.unknowns.clone(), log.counts.clone()),
    };
    let named = names(all, &log.unknowns);
    let of_base = places(&named, &base.names);
    if of_base.iter().flatten().count() != base.names.len() {
        return None;
    }
    let lines = Lines::of(studio, log, changes, &of_base, base.words)?;
    if lines.gone != was.0.len() + was.1.len() {
        return None;
    }
    let mut weighing = Weighing::new(lines, base, of_base, options.seed);
    let mut weights = weighing.weigh();
    let draws = weights.len();
    let shape = pareto::smooth(&mut weights);
    let trust = Trust::of(&weights, shape);
    if !trust.is_enough(draws) {
        return Some((trust, None));
    }
    let points = weighing.drawn_again(&weights);
    let here = places(&names(studio, &unknowns), &named);
    let mut params = Vec::with_capacity(draws);
    for (point, was) in points.iter().zip(&known.params) {
        let own: Vec<f64> = here
            .iter()
            .map(|at| at.map_or(0.0, |at| point[at]))
            .collect();
        // What a draw makes up stays as it was: nothing that is not concerned moves.
        params.push(unknowns.params(&own, was.seed));
    }
    let mut summary = summarise(studio, &unknowns, &params, &counts);
    summary.effective_draws = base.effective * trust.share;
    summary.r_hat = known.summary.r_hat;
    let mut odd_entries = weighing.odd(studio, &points);
    for one in &known.odd_entries {
        if !changes.has(&one.id) && !changes.has_weighed(&one.id) {
            odd_entries.push(one.clone());
        }
    }
    let posterior = Posterior {
        params,
        summary,
        calibration: known.calibration.clone(),
        odd_entries,
        points: Arc::clone(&known.points),
    };
    Some((trust, Some(posterior)))
}
