//! What a run takes above what there is: the margin, decades of Phi, by which an edge misses a run.
//!
//! Takes the films above an entry's edges, a run and the retention; gives margins with their slopes, for each part of the longest drip's mixture.

use crate::physics::tile::{self, Band, RHO};
use std::f64::consts::LN_10;

/// Least run that a threshold is asked for on an edge that nothing holds, m.
const LEAST_M: f64 = 1e-4;
/// The law is used up to this share of the melt that the edge holds; from there on the threshold goes on along its tangent instead of out of reach.
const MOST_HELD: f64 = 0.95;
/// The tangent: where little is left beyond what the edge holds, Phi goes as (1 − share)^−2; decades per share.
const STEEP: f64 = 2.0 / (LN_10 * (1.0 - MOST_HELD));
/// Of several edges the one that comes first counts; the change from one to another is spread over this many decades, so that the likelihood has no corner.
const CHANGE_DECADES: f64 = 0.05;

/// A margin with its slopes.
#[derive(Clone, Copy, Debug)]
pub struct Margin<const E: usize> {
    /// The margin, decades.
    pub m: f64,
    /// Change per m of run.
    pub per_run_m: f64,
    /// Change per log of thickness, that of all edges together.
    pub per_ln_h: f64,
    /// Change per log of the retention.
    pub per_ln_retention: f64,
    /// Change of `per_ln_h` per log of thickness; per log of the retention it is the opposite, since both stand together as A/h.
    pub bend: f64,
    /// Change of ln `per_run_m` per log of thickness; per log of the retention it is the opposite.
    pub run_bend: f64,
    /// Change per place spread.
    pub per_place: f64,
    /// Weight of each edge.
    pub weight: [f64; E],
    /// `per_ln_h` by edge, weighted.
    pub by_edge: [f64; E],
    /// Change of ln `per_run_m` per margin of each edge: nothing with one edge.
    pub turn: [f64; E],
    /// The same per log of the thickness of all edges and per log of the retention, through their margins.
    pub turn_ln_h: f64,
    /// See `turn_ln_h`.
    pub turn_ln_retention: f64,
}

/// Margin of one film whose log10 Phi is `log10_phi`.
#[inline]
pub fn of_film<const E: usize>(
    band: &Band,
    run_m: f64,
    retention_m2: f64,
    log10_phi: f64,
) -> Margin<E> {
    let held = band.retained_m2(retention_m2) / band.volume_m2();
    let beyond = held - MOST_HELD;
    let used = if beyond > 0.0 {
        retention_m2 * MOST_HELD / held
    } else {
        retention_m2
    };
    let run_m = if retention_m2 > 0.0 {
        run_m
    } else {
        run_m.max(LEAST_M)
    };
    let Some(slopes) = tile::phi_slopes(band, run_m, used, RHO) else {
        return Margin {
            m: 30.0,
            per_run_m: 1.0,
            ..Margin::default()
        };
    };
    // The share of A/h in what Phi takes: α in the full thickness, where the edge has run less than half the band's length.
    let alpha = slopes.ln_per_ln_retention;
    let full = (slopes.ln_per_run_m * run_m + alpha - 1.0).abs() < 1e-9;
    let mut margin = Margin {
        m: slopes.phi_per_pa.max(1e-300).ln() / LN_10 - log10_phi,
        per_run_m: slopes.ln_per_run_m / LN_10,
        per_ln_h: slopes.ln_per_ln_h / LN_10,
        per_ln_retention: alpha / LN_10,
        ..Margin::default()
    };
    if beyond > 0.0 {
        margin.m += STEEP * beyond;
        margin.per_ln_h = -2.0 / LN_10 - STEEP * held;
        margin.per_ln_retention = STEEP * held;
        margin.bend = STEEP * held;
    } else if full {
        margin.bend = alpha * (1.0 - alpha) / LN_10;
        margin.run_bend = alpha;
    } else {
        margin.bend = 2.0 / LN_10 * held / ((1.0 - held) * (1.0 - held));
    }
    margin.weight[0] = 1.0;
    margin.by_edge[0] = margin.per_ln_h;
    margin
}

/// The margin of whichever edge comes first, the change from one to another smoothed (the log of a sum of exponentials).
pub fn first_of<const E: usize>(all: &[Margin<E>]) -> Margin<E> {
    let least = all
        .iter()
        .fold(f64::INFINITY, |least, margin| least.min(margin.m));
    let mut first = Margin::default();
    let mut sum = 0.0;
    for (weight, margin) in first.weight.iter_mut().zip(all) {
        *weight = ((least - margin.m) / CHANGE_DECADES).exp();
        sum += *weight;
    }
    first.m = least - CHANGE_DECADES * sum.ln();
    for (edge, margin) in all.iter().enumerate().take(E) {
        let weight = first.weight[edge] / sum;
        first.weight[edge] = weight;
        first.by_edge[edge] = weight * margin.per_ln_h;
        first.per_ln_h += first.by_edge[edge];
        first.per_run_m += weight * margin.per_run_m;
        first.per_ln_retention += weight * margin.per_ln_retention;
        first.run_bend += weight * margin.per_run_m * margin.run_bend;
    }
    first.run_bend /= first.per_run_m;
    for (edge, margin) in all.iter().enumerate().take(E) {
        let turn =
            -first.weight[edge] * (margin.per_run_m / first.per_run_m - 1.0) / CHANGE_DECADES;
        first.turn[edge] = turn;
        first.turn_ln_h += turn * margin.per_ln_h;
        first.turn_ln_retention += turn * margin.per_ln_retention;
    }
    first
}

impl<const E: usize> Default for Margin<E> {
    fn default() -> Self {
        Self {
            m: 0.0,
            per_run_m: 0.0,
            per_ln_h: 0.0,
            per_ln_retention: 0.0,
            bend: 0.0,
            run_bend: 0.0,
            per_place: 0.0,
            weight: [0.0; E],
            by_edge: [0.0; E],
            turn: [0.0; E],
            turn_ln_h: 0.0,
            turn_ln_retention: 0.0,
        }
    }
}

/// Margins of a run for the parts of the longest drip's mixture.
#[derive(Clone, Copy, Debug)]
pub struct Margins<const E: usize> {
    /// The run, m.
    pub run_m: f64,
    /// By part.
    pub parts: [Margin<E>; 2],
    /// Mean over the parts.
    pub mean: Margin<E>,
}

impl<const E: usize> Margins<E> {
    /// Of two parts of the given weights.
    pub fn of_two(run_m: f64, parts: [Margin<E>; 2], weight: [f64; 2]) -> Self {
        let [a, b] = weight;
        let both = |of: fn(&Margin<E>) -> f64| a * of(&parts[0]) + b * of(&parts[1]);
        let per_run_m = both(|t| t.per_run_m);
        let mut mean = Margin {
            m: both(|t| t.m),
            per_run_m,
            per_ln_h: both(|t| t.per_ln_h),
            per_ln_retention: both(|t| t.per_ln_retention),
            bend: both(|t| t.bend),
            run_bend: both(|t| t.per_run_m * t.run_bend) / per_run_m,
            per_place: both(|t| t.per_place),
            turn_ln_h: both(|t| t.per_run_m * t.turn_ln_h) / per_run_m,
            turn_ln_retention: both(|t| t.per_run_m * t.turn_ln_retention) / per_run_m,
            ..Margin::default()
        };
        for edge in 0..E {
            let at =
                |of: fn(&Margin<E>) -> &[f64; E]| a * of(&parts[0])[edge] + b * of(&parts[1])[edge];
            mean.weight[edge] = at(|t| &t.weight);
            mean.by_edge[edge] = at(|t| &t.by_edge);
            mean.turn[edge] = (a * parts[0].per_run_m * parts[0].turn[edge]
                + b * parts[1].per_run_m * parts[1].turn[edge])
                / per_run_m;
        }
        Self { run_m, parts, mean }
    }
}
