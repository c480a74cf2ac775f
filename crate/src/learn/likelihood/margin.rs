//! What a run takes above what there is: the margin, decades of Phi, by which an edge misses a run.
//!
//! Takes the films above an entry's edges, a mark per edge and the retention; gives margins with their slopes, for each part of the longest drip's mixture.

use super::super::data::Strip;
use super::mark::{self, Line};
use super::stack::EDGES;
use crate::physics::constants::{GRAVITY, RHO};
use crate::physics::exp_ln::{exp, ln};
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
/// Decades per natural log.
const PER: f64 = 1.0 / LN_10;
/// Least distance that a law's logarithm is taken of, m.
const LEAST_M: f64 = 1e-5;

/// ρg/3, what a film's speed is per its thickness squared and its fluidity, Pa/m.
pub const PULL: f64 = RHO * (GRAVITY / 3.0);

/// A margin with its slopes; of lists by edge only as many as there are edges.
#[derive(Clone, Copy, Debug, Default)]
pub struct Margin {
    /// The margin, decades.
    pub m: f64,
    /// Change per m of run; only where it is asked for, with the changes of its logarithm below.
    pub per_run_m: f64,
    /// Change per log of the retention.
    pub ln_a: f64,
    /// Change per log of thickness, that of all edges together.
    pub per_ln_h: f64,
    /// With one edge: change of `per_ln_h` per log of thickness and per log of the retention.
    pub bend: [f64; 2],
    /// Change of ln `per_run_m` per log of the retention.
    pub run_ln_a: f64,
    /// The same per log of thickness, that of all edges together.
    pub run_per_ln_h: f64,
    /// Change per decade of each edge's film.
    pub phi: [f64; EDGES],
    /// Change per log of each edge's thickness.
    pub ln_h: [f64; EDGES],
    /// Change of ln `per_run_m` per decade of each film.
    pub run_phi: [f64; EDGES],
    /// The same per log of each thickness.
    pub run_ln_h: [f64; EDGES],
}

/// The films above an entry's edges at one place.
#[derive(Clone, Copy, Debug, Default)]
pub struct Films {
    /// Natural log of each thickness, m.
    pub ln_h: [f64; EDGES],
    /// log10 of each fluidity integral.
    pub log10_phi: [f64; EDGES],
    /// Length of film that each edge holds back, m; 0: none.
    pub held_m: [f64; EDGES],
}

/// For each edge, how much slower the glaze below each edge under it is: `√(Phi/Phi) h/h`.
pub type Slower = [[f64; EDGES]; EDGES];

/// What the glaze below an upper edge takes off the run that is wanted of that edge: see [`super::super::forward::pushed`].
#[derive(Clone, Copy, Debug)]
struct Swept {
    /// The run that is left, m.
    run_m: f64,
    /// Its change per m of the mark. It jumps where the front begins to thin and where a stretch comes to lie before it whole; a density that it stands before
    /// must not, so the change is spread.
    per_mark: f64,
    /// Its change per log of how much slower each stretch below is.
    per_slower: [f64; EDGES],
    /// Change of ln `per_mark` per that log.
    bend: [f64; EDGES],
}

/// Such a jump is spread so far to either side, as a share of the thickness.
const SPREAD: f64 = 0.1;

/// From 0 to 1 about `x` = 1, and the slope.
fn risen(x: f64) -> (f64, f64) {
    let t = ((x - 1.0) / SPREAD + 1.0) * 0.5;
    let t = t.clamp(0.0, 1.0);
    (t * t * (3.0 - 2.0 * t), 3.0 * t * (1.0 - t) / SPREAD)
}

#[cfg_attr(fast_by_function, optimize(speed))]
fn swept(edge: usize, slower: &[f64; EDGES], strips: &[Strip], mark_m: f64) -> Swept {
    let length = strips[edge].length_m;
    let mut long = [0.0; EDGES];
    let stretch = strips[edge].gap_straight_m / strips[edge].gap_m.max(1e-9);
    for k in 0..edge {
        long[k] = stretch * (strips[k + 1].gap_m - strips[k].gap_m);
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
                per_mark: 1.0,
                per_slower: [0.0; EDGES],
                bend: [0.0; EDGES],
            };
            let late = thinner > 1.0;
            let by = if late { now } else { 1.0 };
            for k in 0..edge {
                if slower[k] * thinner < 1.0 {
                    out.per_slower[k] = -long[k] * slower[k] * by * per_mark;
                }
            }
            // 1/per_mark = 1 + w Σ v long slower/(1.5 length): w rises where the front thins, v falls where a stretch comes to lie before it whole.
            let (w, w_slope) = risen(now);
            let thin = if now > 1.0 { now } else { 1.0 };
            let mut per_now = 0.0;
            let mut per = 0.0;
            for k in 0..edge {
                let own = long[k] * slower[k] / (1.5 * length);
                let (v, v_slope) = risen(slower[k] * thin);
                per += (1.0 - v) * own;
                out.bend[k] = w * own * (1.0 - v - v_slope * slower[k] * thin);
                if now > 1.0 {
                    per_now -= w * own * v_slope * slower[k];
                }
            }
            per_now += w_slope * per;
            out.per_mark = 1.0 / (1.0 + w * per);
            for k in 0..edge {
                let all = out.bend[k] + per_now * out.per_slower[k] / (1.5 * length);
                out.bend[k] = -all * out.per_mark;
            }
            return out;
        }
        thinner = if now > 1.0 { now } else { 1.0 + 1e-9 };
    }
    Swept {
        run_m: mark_m,
        per_mark: 1.0,
        per_slower: [0.0; EDGES],
        bend: [0.0; EDGES],
    }
}

/// Margin of the film above one edge, which holds a film back or, on glaze, holds nothing; `with_run`: with its change per m of run.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn of_edge(
    edge: usize,
    (films, slower): (&Films, &Slower),
    strips: &[Strip],
    line: &Line,
    with_run: bool,
    margin: &mut Margin,
) {
    let strip = &strips[edge];
    let length = strip.length_m;
    let ln_h = films.ln_h[edge];
    let short = films.held_m[edge];
    let mut swept_there = None;
    let mut run = line.straight_m;
    if edge > 0 {
        let s = swept(edge, &slower[edge], strips, run);
        run = s.run_m;
        swept_there = Some(s);
    }
    let lag = line.lag(ln_h);
    let most = MOST_HELD * length;
    let used = if short > most { most } else { short };
    // Y = log10 of the Phi that gives the run, by gravity's law turned round; its slopes by the run (r), the logs of thickness (h) and retention (a).
    let (ln_y, r, rr, mut h, mut a, mut run_h, hh);
    let gone = run + used;
    let gone = if gone > LEAST_M { gone } else { LEAST_M };
    if length - used >= 2.0 * gone {
        r = 1.0 / gone;
        let alpha = used * r;
        ln_y = ln(gone / (PULL * strip.sin_slope));
        rr = -r * r;
        (h, a) = (-2.0 - alpha, alpha);
        run_h = alpha;
        hh = alpha * (1.0 - alpha);
    } else {
        let left = length - used;
        let x = length + run;
        let x = if x > LEAST_M { x } else { LEAST_M };
        let eta = used / left;
        let from_end = if edge == 0 {
            line.ln_from_end
        } else {
            mark::ln_from_end(strip, run)
        };
        ln_y = from_end - 2.0 * ln(left);
        r = 3.0 / x;
        rr = -r / x;
        (h, a) = (-2.0 - 2.0 * eta, 2.0 * eta);
        run_h = 0.0;
        hh = 2.0 * eta * (1.0 + eta);
    }
    margin.m = PER * (ln_y - 2.0 * ln_h + lag.ln) - films.log10_phi[edge];
    let mut turn = PER * hh;
    if short > most {
        let share = short / length;
        let over = share - MOST_HELD;
        let slope = STEEP + BEND * over;
        margin.m += over * (STEEP + 0.5 * BEND * over);
        a = LN_10 * slope * share;
        h = -2.0 - a;
        turn = share * (slope + BEND * share);
        // The law's own share is held there.
        run_h = 0.0;
    }
    margin.ln_h[edge] = PER * (h + lag.h);
    margin.ln_a = PER * (a + lag.a);
    margin.bend = [turn + PER * lag.hh, PER * lag.ha - turn];
    margin.phi[edge] = -1.0;
    margin.per_ln_h = margin.ln_h[edge];
    if with_run {
        let mut film_r = r;
        let (mut steep_h, mut steep_a) = (0.0, 0.0);
        if short > 0.0 {
            // The film's own change per run: known of the run that is marked; further down by as much as the law's is another there.
            let [steep, by_h, by_a] = line.steep(ln_h);
            (steep_h, steep_a) = (by_h, by_a);
            film_r = exp(steep);
            if edge == 0 {
                run_h = 0.0;
            } else {
                let gone = line.straight_m + used;
                let gone = if gone > LEAST_M { gone } else { LEAST_M };
                let marked = if length - used >= 2.0 * gone {
                    if short <= most {
                        run_h -= used / gone;
                    }
                    1.0 / gone
                } else {
                    3.0 / (length + line.straight_m)
                };
                film_r *= r / marked;
            }
        }
        margin.per_run_m = PER * film_r * line.per_run_m;
        margin.run_ln_a = steep_a - run_h;
        margin.run_phi[edge] = 0.0;
        margin.run_ln_h[edge] = run_h + steep_h;
        margin.run_per_ln_h = margin.run_ln_h[edge];
    }
    if let Some(s) = &swept_there {
        margin.per_run_m *= s.per_mark;
        for k in 0..edge {
            // By the log of how much slower the stretch is: half a decade's log, and the thicknesses.
            let by = PER * r * s.per_slower[k];
            let turn = rr / r * s.per_slower[k] + s.bend[k];
            for &(at, sign) in &[(k, 1.0), (edge, -1.0)] {
                margin.phi[at] += sign * 0.5 * LN_10 * by;
                margin.ln_h[at] += sign * by;
                margin.run_phi[at] += sign * 0.5 * LN_10 * turn;
                margin.run_ln_h[at] += sign * turn;
            }
        }
    }
}

/// The margin of whichever edge comes first, the change from one to another smoothed (the log of a sum of exponentials).
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn first_of(all: &[Margin], with_run: bool, first: &mut Margin) {
    let mut least = f64::INFINITY;
    for margin in all {
        least = if margin.m < least { margin.m } else { least };
    }
    let mut weight = [0.0; EDGES];
    let mut sum = 0.0;
    for (weight, margin) in weight.iter_mut().zip(all) {
        *weight = exp((least - margin.m) / CHANGE_DECADES);
        sum += *weight;
    }
    *first = Margin {
        m: least - CHANGE_DECADES * ln(sum),
        ..Margin::default()
    };
    for (weight, margin) in weight.iter_mut().zip(all) {
        *weight /= sum;
        first.per_run_m += *weight * margin.per_run_m;
        first.ln_a += *weight * margin.ln_a;
        first.per_ln_h += *weight * margin.per_ln_h;
        for k in 0..all.len() {
            first.phi[k] += *weight * margin.phi[k];
            first.ln_h[k] += *weight * margin.ln_h[k];
        }
    }
    if !with_run {
        return;
    }
    for (weight, margin) in weight.iter().zip(all) {
        // The weight itself goes down with the margin above that of the first.
        let own = weight * margin.per_run_m / first.per_run_m;
        let turn = -own / CHANGE_DECADES;
        first.run_ln_a += own * margin.run_ln_a + turn * (margin.ln_a - first.ln_a);
        for k in 0..all.len() {
            let ln_h = own * margin.run_ln_h[k] + turn * (margin.ln_h[k] - first.ln_h[k]);
            first.run_phi[k] += own * margin.run_phi[k] + turn * (margin.phi[k] - first.phi[k]);
            first.run_ln_h[k] += ln_h;
            first.run_per_ln_h += ln_h;
        }
    }
}
