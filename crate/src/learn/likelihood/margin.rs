//! What a run takes above what there is: the margin, decades of Phi, by which an edge misses a run.
//!
//! Takes the films above an entry's edges, a mark per edge and the retention; gives margins with their slopes, for each part of the longest drip's mixture.

use super::super::data::Strip;
use super::mark::Mark;
use crate::physics::constants::{GRAVITY, RHO};
use std::f64::consts::LN_10;

/// The law is used up to this share of the melt that the edge holds; from there on the threshold goes on along a parabola instead of out of reach: spreads hang
/// on its slope, so that a straight line would leave a corner in the likelihood.
const MOST_HELD: f64 = 0.95;
/// Where little is left beyond what the edge holds, Phi goes as (1 − share)^−2; decades per share.
const STEEP: f64 = 2.0 / (LN_10 * (1.0 - MOST_HELD));
/// The change of that per share.
const BEND: f64 = STEEP / (1.0 - MOST_HELD);
/// Of several edges the one that comes first counts; the change from one to another is spread over this many decades, so that the likelihood has no corner.
const CHANGE_DECADES: f64 = 0.05;
/// Least distance that a law's logarithm is taken of, m.
const LEAST_M: f64 = 1e-5;

/// A margin with its slopes.
#[derive(Clone, Copy, Debug)]
pub struct Margin<const E: usize> {
    /// The margin, decades.
    pub m: f64,
    /// Change per m of run.
    pub per_run_m: f64,
    /// Change per decade of each edge's film.
    pub phi: [f64; E],
    /// Change per log of each edge's thickness.
    pub ln_h: [f64; E],
    /// Change per log of the retention.
    pub ln_a: f64,
    /// Change per log of thickness, that of all edges together.
    pub per_ln_h: f64,
    /// With one edge: change of `per_ln_h` per log of thickness and per log of the retention.
    pub bend: [f64; 2],
    /// Change of ln `per_run_m` per decade of each film.
    pub run_phi: [f64; E],
    /// The same per log of each thickness.
    pub run_ln_h: [f64; E],
    /// The same per log of the retention.
    pub run_ln_a: f64,
}

impl<const E: usize> Default for Margin<E> {
    fn default() -> Self {
        Self {
            m: 0.0,
            per_run_m: 0.0,
            phi: [0.0; E],
            ln_h: [0.0; E],
            ln_a: 0.0,
            per_ln_h: 0.0,
            bend: [0.0; 2],
            run_phi: [0.0; E],
            run_ln_h: [0.0; E],
            run_ln_a: 0.0,
        }
    }
}

/// A film above an edge: log of its thickness, log10 of its Phi.
#[derive(Clone, Copy, Debug, Default)]
pub struct At {
    /// Natural log of the thickness, m.
    pub ln_h: f64,
    /// log10 of the fluidity integral.
    pub log10_phi: f64,
}

/// What the glaze below an upper edge takes off the run that is wanted of that edge: see [`super::super::forward::pushed`].
#[derive(Clone, Copy, Debug)]
struct Swept<const E: usize> {
    /// The run that is left, m.
    run_m: f64,
    /// Its change per m of the mark.
    per_mark: f64,
    /// Its change per log of how much slower each stretch below is.
    per_slower: [f64; E],
    /// Change of ln `per_mark` per that log.
    bend: [f64; E],
}

#[cfg_attr(fast_by_function, optimize(speed))]
fn swept<const E: usize>(edge: usize, films: &[At; E], strips: &[Strip], mark_m: f64) -> Swept<E> {
    let length = strips[edge].length_m;
    let mut long = [0.0; E];
    let mut slower = [0.0; E];
    let stretch = strips[edge].gap_straight_m / strips[edge].gap_m.max(1e-9);
    for k in 0..edge {
        long[k] = stretch * (strips[k + 1].gap_m - strips[k].gap_m);
        let decades = 0.5 * (films[k].log10_phi - films[edge].log10_phi);
        slower[k] = (LN_10 * decades + films[k].ln_h - films[edge].ln_h).exp();
    }
    // Twice at most: whether the front has thinned, and which stretches then lie before it whole.
    let mut thinner: f64 = 1.0;
    for pass in 0..3 {
        let (mut whole, mut part) = (0.0, 0.0);
        for k in 0..edge {
            if slower[k] * thinner >= 1.0 {
                whole += long[k];
            } else {
                part += long[k] * slower[k];
            }
        }
        let per = part / (1.5 * length);
        let (run_m, per_mark) = if thinner > 1.0 {
            let per_mark = 1.0 / (1.0 + per);
            ((mark_m - whole - part / 1.5) * per_mark, per_mark)
        } else {
            (mark_m - whole - part, 1.0)
        };
        let now = (length + run_m) / (1.5 * length);
        if pass == 2 || now <= 1.0 && thinner <= 1.0 {
            let mut out = Swept {
                run_m,
                per_mark,
                per_slower: [0.0; E],
                bend: [0.0; E],
            };
            for k in 0..edge {
                if slower[k] * thinner < 1.0 {
                    let late = thinner > 1.0;
                    let by = if late { now } else { 1.0 };
                    out.per_slower[k] = -long[k] * slower[k] * by * per_mark;
                    if late {
                        out.bend[k] = -long[k] * slower[k] / (1.5 * length) * per_mark;
                    }
                }
            }
            return out;
        }
        thinner = now.max(1.0 + 1e-9);
    }
    Swept {
        run_m: mark_m,
        per_mark: 1.0,
        per_slower: [0.0; E],
        bend: [0.0; E],
    }
}

/// Margin of the film above one edge; `held` is what that edge holds back on a vertical wall, m², 0 for an edge on glaze.
#[inline]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn of_edge<const E: usize>(
    edge: usize,
    films: &[At; E],
    strips: &[Strip],
    mark: &Mark,
    held_m2: f64,
) -> Margin<E> {
    let (film, strip) = (&films[edge], &strips[edge]);
    let k = RHO * (GRAVITY / 3.0) * strip.sin_slope;
    let length = strip.length_m;
    let mut swept_there = None;
    let mut run_m = mark.straight_m;
    if edge > 0 {
        let s = swept(edge, films, strips, mark.straight_m);
        run_m = s.run_m;
        swept_there = Some(s);
    }
    let lag = if held_m2 > 0.0 {
        mark.lag(film.ln_h, held_m2.ln())
    } else {
        super::mark::Lag::default()
    };
    let short = held_m2 / strip.sin_slope * (-film.ln_h).exp();
    let share = short / length;
    let used = share.min(MOST_HELD) * length;
    let run = run_m;
    // Y = log10 of the Phi that gives the run, by gravity's law turned round; its slopes by the run (r), the logs of thickness (h) and retention (a).
    let gone = (run + used).max(LEAST_M);
    let (ln_y, r, rr, h, a, rh, ra, hh, ha);
    if length - used >= 2.0 * gone {
        let alpha = used / gone;
        ln_y = (gone / k).ln();
        r = 1.0 / gone;
        rr = -r * r;
        (h, a) = (-2.0 - alpha, alpha);
        (rh, ra) = (r * alpha, -r * alpha);
        hh = alpha * (1.0 - alpha);
        ha = -hh;
    } else {
        let (x, left) = ((length + run).max(LEAST_M), length - used);
        let eta = used / left;
        ln_y = (x * x * x / (6.75 * k * left * left)).ln();
        r = 3.0 / x;
        rr = -r / x;
        (h, a) = (-2.0 - 2.0 * eta, 2.0 * eta);
        (rh, ra) = (0.0, 0.0);
        hh = 2.0 * eta * (1.0 + eta);
        ha = -hh;
    }
    let per = 1.0 / LN_10;
    let mut m = per * (ln_y - 2.0 * film.ln_h + lag.ln) - film.log10_phi;
    let mut own_h = per * (h + lag.h);
    let mut ln_a = per * (a + lag.a);
    let mut bend = [per * (hh + lag.hh), per * (ha + lag.ha)];
    let (mut run_h, mut run_a) = (rh / r, ra / r);
    if share > MOST_HELD {
        let over = share - MOST_HELD;
        let slope = STEEP + BEND * over;
        m += over * (STEEP + 0.5 * BEND * over);
        own_h = per * (-2.0 + lag.h) - slope * share;
        ln_a = per * lag.a + slope * share;
        let turn = share * (slope + BEND * share);
        bend = [turn + per * lag.hh, per * lag.ha - turn];
        // The law's own share is held there.
        (run_h, run_a) = (0.0, 0.0);
    }
    // The film's own change per run: known of the run that is marked; further down by as much as the law's is another there.
    let [steep, steep_h, steep_a] = lag.steep;
    let film_r = if held_m2 <= 0.0 {
        r
    } else if swept_there.is_none() {
        (run_h, run_a) = (0.0, 0.0);
        steep.exp()
    } else {
        let gone = (mark.straight_m + used).max(LEAST_M);
        let marked = if length - used >= 2.0 * gone {
            if share <= MOST_HELD {
                run_h -= used / gone;
                run_a += used / gone;
            }
            1.0 / gone
        } else {
            3.0 / (length + mark.straight_m).max(LEAST_M)
        };
        r / marked * steep.exp()
    };
    let mut margin = Margin {
        m,
        per_run_m: per * film_r * mark.per_run_m,
        ln_a,
        bend,
        run_ln_a: run_a + steep_a,
        ..Margin::default()
    };
    margin.phi[edge] = -1.0;
    margin.ln_h[edge] = own_h;
    margin.run_ln_h[edge] = run_h + steep_h;
    if let Some(s) = swept_there {
        margin.per_run_m *= s.per_mark;
        for k in 0..edge {
            // By the log of how much slower the stretch is: half a decade's log, and the thicknesses.
            let by = per * r * s.per_slower[k];
            let turn = rr / r * s.per_slower[k] + s.bend[k];
            for &(at, sign) in &[(k, 1.0), (edge, -1.0)] {
                margin.phi[at] += sign * 0.5 * LN_10 * by;
                margin.ln_h[at] += sign * by;
                margin.run_phi[at] += sign * 0.5 * LN_10 * turn;
                margin.run_ln_h[at] += sign * turn;
            }
        }
    }
    for k in 0..=edge {
        margin.per_ln_h += margin.ln_h[k];
    }
    margin
}

/// The margin of whichever edge comes first, the change from one to another smoothed (the log of a sum of exponentials).
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn first_of<const E: usize>(all: &[Margin<E>]) -> Margin<E> {
    let least = all
        .iter()
        .fold(f64::INFINITY, |least, margin| least.min(margin.m));
    let mut weight = [0.0; E];
    let mut sum = 0.0;
    for (weight, margin) in weight.iter_mut().zip(all) {
        *weight = ((least - margin.m) / CHANGE_DECADES).exp();
        sum += *weight;
    }
    let mut first = Margin {
        m: least - CHANGE_DECADES * sum.ln(),
        ..Margin::default()
    };
    for (weight, margin) in weight.iter_mut().zip(all) {
        *weight /= sum;
        first.per_run_m += *weight * margin.per_run_m;
        first.ln_a += *weight * margin.ln_a;
        first.per_ln_h += *weight * margin.per_ln_h;
        for k in 0..E {
            first.phi[k] += *weight * margin.phi[k];
            first.ln_h[k] += *weight * margin.ln_h[k];
        }
    }
    for (weight, margin) in weight.iter().zip(all) {
        // The weight itself goes down with the margin above that of the first.
        let own = weight * margin.per_run_m / first.per_run_m;
        let turn = -own / CHANGE_DECADES;
        first.run_ln_a += own * margin.run_ln_a + turn * (margin.ln_a - first.ln_a);
        for k in 0..E {
            first.run_phi[k] += own * margin.run_phi[k] + turn * (margin.phi[k] - first.phi[k]);
            first.run_ln_h[k] += own * margin.run_ln_h[k] + turn * (margin.ln_h[k] - first.ln_h[k]);
        }
    }
    first
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
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn of_two(run_m: f64, parts: [Margin<E>; 2], weight: [f64; 2]) -> Self {
        let mut mean = Margin::default();
        for (part, &weight) in parts.iter().zip(&weight) {
            mean.m += weight * part.m;
            mean.per_run_m += weight * part.per_run_m;
            mean.per_ln_h += weight * part.per_ln_h;
            mean.ln_a += weight * part.ln_a;
            mean.bend[0] += weight * part.bend[0];
            mean.bend[1] += weight * part.bend[1];
            for k in 0..E {
                mean.phi[k] += weight * part.phi[k];
                mean.ln_h[k] += weight * part.ln_h[k];
            }
        }
        for (part, &weight) in parts.iter().zip(&weight) {
            let own = weight * part.per_run_m / mean.per_run_m;
            mean.run_ln_a += own * part.run_ln_a;
            for k in 0..E {
                mean.run_phi[k] += own * part.run_phi[k];
                mean.run_ln_h[k] += own * part.run_ln_h[k];
            }
        }
        Self { run_m, parts, mean }
    }
}
