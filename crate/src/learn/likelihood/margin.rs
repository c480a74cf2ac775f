//! What a run takes above what there is: the margin, decades of Phi, by which an edge misses a run.
//!
//! Takes the films above an entry's edges, a mark per edge and the retention; gives margins with their slopes, for each part of the longest drip's mixture.

use super::super::data::Strip;
use super::mark::{Line, ln_from_end};
use super::stack::EDGES;
use crate::physics::constants::{GRAVITY, RHO};
use crate::real::{Mask, Pair, Real};
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
#[derive(Clone, Copy, Debug)]
pub struct Margin {
    /// The margin, decades.
    pub m: Pair,
    /// Change per m of run; only where it is asked for, with the changes of its logarithm below.
    pub per_run_m: Pair,
    /// Change per log of the retention.
    pub ln_a: Pair,
    /// Change per log of thickness, that of all edges together.
    pub per_ln_h: Pair,
    /// With one edge: change of `per_ln_h` per log of thickness and per log of the retention.
    pub bend: [Pair; 2],
    /// Change of ln `per_run_m` per log of the retention.
    pub run_ln_a: Pair,
    /// The same per log of thickness, that of all edges together.
    pub run_per_ln_h: Pair,
    /// Change per decade of each edge's film.
    pub phi: [Pair; EDGES],
    /// Change per log of each edge's thickness.
    pub ln_h: [Pair; EDGES],
    /// Change of ln `per_run_m` per decade of each film.
    pub run_phi: [Pair; EDGES],
    /// The same per log of each thickness.
    pub run_ln_h: [Pair; EDGES],
}

impl Default for Margin {
    fn default() -> Self {
        NO_MARGIN
    }
}

/// Before any is put in. A constant: the page's compiler makes the default of such a list by many calls.
const NO_MARGIN: Margin = Margin {
    m: Pair::ZERO,
    per_run_m: Pair::ZERO,
    ln_a: Pair::ZERO,
    per_ln_h: Pair::ZERO,
    bend: [Pair::ZERO; 2],
    run_ln_a: Pair::ZERO,
    run_per_ln_h: Pair::ZERO,
    phi: [Pair::ZERO; EDGES],
    ln_h: [Pair::ZERO; EDGES],
    run_phi: [Pair::ZERO; EDGES],
    run_ln_h: [Pair::ZERO; EDGES],
};

/// The films above an entry's edges at one place.
#[derive(Clone, Copy, Debug)]
pub struct Films {
    /// Natural log of each thickness, m.
    pub ln_h: [Pair; EDGES],
    /// log10 of each fluidity integral.
    pub log10_phi: [Pair; EDGES],
    /// Length of film that each edge holds back, m; 0: none.
    pub held_m: [Pair; EDGES],
}

/// For each edge, how much slower the glaze below each edge under it is: `√(Phi/Phi) h/h`.
pub type Slower = [[Pair; EDGES]; EDGES];

/// What the glaze below an upper edge takes off the run that is wanted of that edge: see [`super::super::forward::pushed`].
#[derive(Clone, Copy, Debug, Default)]
pub struct Swept {
    /// The run that is left, m.
    run_m: Pair,
    /// As [`ln_from_end`] of that run.
    from_end: Pair,
    /// Its change per m of the mark. It jumps where the front begins to thin and where a stretch comes to lie before it whole; a density that it stands before
    /// must not, so the change is spread.
    per_mark: Pair,
    /// Its change per log of how much slower each stretch below is.
    per_slower: [Pair; EDGES],
    /// Change of ln `per_mark` per that log.
    bend: [Pair; EDGES],
}

/// Such a jump is spread so far to either side, as a share of the thickness.
const SPREAD: f64 = 0.1;

/// From 0 to 1 about `x` = 1, and the slope.
#[cfg_attr(fast_by_function, optimize(speed))]
fn risen(x: Pair) -> (Pair, Pair) {
    let t = ((x - 1.0) * (1.0 / SPREAD) + 1.0) * 0.5;
    let t = t.or_more(Pair::ZERO).or_less(Pair::ONE);
    (t * t * (3.0 - 2.0 * t), t * (1.0 - t) * (3.0 / SPREAD))
}

#[cfg_attr(fast_by_function, optimize(speed))]
pub fn swept(
    edge: usize,
    (slower, zero): (&[Pair; EDGES], Pair),
    strips: &[Strip],
    mark_m: f64,
    out: &mut Swept,
) {
    let one = Pair::ONE;
    let length = strips[edge].length_m;
    let per_length = 1.0 / (1.5 * length);
    let stretch = strips[edge].gap_straight_m / strips[edge].gap_m.or_more(1e-9);
    let long = |k: usize| stretch * (strips[k + 1].gap_m - strips[k].gap_m);
    // Twice at most: whether the front has thinned, and which stretches then lie before it whole.
    let mut thinner = one;
    let (mut run_m, mut per_mark, mut now) = (zero, one, one);
    for pass in 0..3 {
        let (mut whole, mut part) = (zero, zero);
        for (k, slower) in slower.iter().copied().enumerate().take(edge) {
            let held = one.at_most(slower * thinner);
            whole += Pair::either(held, Pair::splat(long(k)), zero);
            part += Pair::either(held, zero, long(k) * slower);
        }
        let late = one.below(thinner);
        per_mark = Pair::either(late, one / (1.0 + part * per_length), one);
        let part = Pair::either(late, part * (1.0 / 1.5), part);
        run_m = (mark_m - whole - part) * per_mark;
        now = (length + run_m) * per_length;
        let done = now.at_most(one) & !late;
        if pass == 2 || done.everywhere() {
            break;
        }
        // Where it is done it stays as it is.
        let next = Pair::either(one.below(now), now, Pair::splat(1.0 + 1e-9));
        thinner = Pair::either(done, thinner, next);
    }
    (out.run_m, out.from_end) = (run_m, ln_from_end(&strips[edge], run_m));
    let late = one.below(thinner);
    let by = Pair::either(late, now, one) * per_mark;
    // 1/per_mark = 1 + w Σ v long slower/(1.5 length): w rises where the front thins, v falls where a stretch comes to lie before it whole.
    let (w, w_slope) = risen(now);
    let thins = one.below(now);
    let thin = Pair::either(thins, now, one);
    let (mut per_now, mut per) = (zero, zero);
    for (k, slower) in slower.iter().copied().enumerate().take(edge) {
        let free = (slower * thinner).below(one);
        out.per_slower[k] = Pair::either(free, -long(k) * slower * by, zero);
        let own = slower * (long(k) * per_length);
        let (v, v_slope) = risen(slower * thin);
        per += (1.0 - v) * own;
        out.bend[k] = w * own * (1.0 - v - v_slope * slower * thin);
        per_now -= Pair::either(thins, w * own * v_slope * slower, zero);
    }
    per_now += w_slope * per;
    out.per_mark = 1.0 / (1.0 + w * per);
    for k in 0..edge {
        let all = out.bend[k] + per_now * out.per_slower[k] * per_length;
        out.bend[k] = -all * out.per_mark;
    }
}

/// Margin of the film above one edge, `swept` what those below take off its run; `held`: whether the edge holds a film back, which on glaze it does not; `with_run`: with its change per m of run.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn of_edge(
    edge: usize,
    (films, swept, nothing): (&Films, &Swept, Pair),
    strips: &[Strip],
    line: Line<'_>,
    (held, with_run): (bool, bool),
    margin: &mut Margin,
) {
    let strip = &strips[edge];
    let length = strip.length_m;
    let ln_h = films.ln_h[edge];
    let short = films.held_m[edge];
    let mark = line.mark;
    if strips.len() > 1 {
        for k in 0..EDGES {
            (margin.phi[k], margin.ln_h[k]) = (nothing, nothing);
            (margin.run_phi[k], margin.run_ln_h[k]) = (nothing, nothing);
        }
    }
    let (zero, least) = (Pair::ZERO, Pair::splat(LEAST_M));
    let mut run = Pair::splat(mark.straight_m);
    let mut from_end = Pair::splat(mark.ln_from_end);
    if edge > 0 {
        (run, from_end) = (swept.run_m, swept.from_end);
    }
    let lag = line.lag(ln_h);
    let most = Pair::splat(MOST_HELD * length);
    let used = short.or_less(most);
    // Y = log10 of the Phi that gives the run, by gravity's law turned round; its slopes by the run (r), the logs of thickness (h) and retention (a).
    let gone = (run + used).or_more(least);
    let left = length - used;
    // Whether some of the band still runs as thick as it was laid down.
    let whole = (2.0 * gone).at_most(left);
    let there = Pair::either(whole, gone, (length + run).or_more(least));
    let one_m = 1.0 / there;
    let alone = Pair::either(whole, gone * (1.0 / (PULL * strip.sin_slope)), left).logarithm();
    let ln_y = Pair::either(whole, alone, from_end - 2.0 * alone);
    let r = Pair::either(whole, one_m, 3.0 * one_m);
    let (alpha, eta) = (used * one_m, 2.0 * used / left);
    let mut a = Pair::either(whole, alpha, eta);
    let mut h = -2.0 - a;
    let mut run_h = Pair::either(whole, alpha, zero);
    let hh = Pair::either(whole, alpha * (1.0 - alpha), eta * (1.0 + 0.5 * eta));
    margin.m = PER * (ln_y - 2.0 * ln_h + lag.ln) - films.log10_phi[edge];
    let mut turn = PER * hh;
    let out_of_reach = most.below(short);
    if out_of_reach.somewhere() {
        let share = short * (1.0 / length);
        let over = share - MOST_HELD;
        let slope = STEEP + BEND * over;
        let further = over * (STEEP + 0.5 * BEND * over);
        margin.m += Pair::either(out_of_reach, further, zero);
        a = Pair::either(out_of_reach, LN_10 * slope * share, a);
        h = -2.0 - a;
        turn = Pair::either(out_of_reach, share * (slope + BEND * share), turn);
        // The law's own share is held there.
        run_h = Pair::either(out_of_reach, zero, run_h);
    }
    margin.ln_h[edge] = PER * (h + lag.h);
    margin.ln_a = PER * (a + lag.a);
    margin.bend = [turn + PER * lag.hh, PER * lag.ha - turn];
    margin.phi[edge] = Pair::splat(-1.0);
    margin.per_ln_h = margin.ln_h[edge];
    if with_run {
        let mut film_r = r;
        let (mut steep_h, mut steep_a) = (zero, zero);
        if held {
            // The film's own change per run: known of the run that is marked; further down by as much as the law's is another there.
            let [steep, by_h, by_a] = line.steep(ln_h);
            (steep_h, steep_a) = (by_h, by_a);
            film_r = steep.exponential();
            if edge == 0 {
                run_h = zero;
            } else {
                let gone = (mark.straight_m + used).or_more(least);
                let whole = (2.0 * gone).at_most(left);
                let marked = Pair::either(
                    whole,
                    gone,
                    Pair::splat((length + mark.straight_m) * (1.0 / 3.0)),
                );
                let held = !out_of_reach & whole;
                run_h -= Pair::either(held, used / gone, zero);
                film_r *= r * marked;
            }
        }
        margin.per_run_m = PER * film_r * mark.per_run_m;
        margin.run_ln_a = steep_a - run_h;
        margin.run_phi[edge] = zero;
        margin.run_ln_h[edge] = run_h + steep_h;
        margin.run_per_ln_h = margin.run_ln_h[edge];
    }
    if edge > 0 {
        let s = swept;
        if with_run {
            margin.per_run_m *= s.per_mark;
        }
        for k in 0..edge {
            // By the log of how much slower the stretch is: half a decade's log, and the thicknesses.
            let by = PER * r * s.per_slower[k];
            let turn = s.bend[k] - one_m * s.per_slower[k];
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
pub fn first_of(all: &[Margin], with_run: bool, nothing: Pair, first: &mut Margin) {
    let mut least = all[0].m;
    for margin in &all[1..] {
        least = margin.m.or_less(least);
    }
    let mut weight = [Pair::ZERO; EDGES];
    let mut sum = Pair::ZERO;
    for (weight, margin) in weight.iter_mut().zip(all) {
        *weight = ((least - margin.m) * (1.0 / CHANGE_DECADES)).exponential();
        sum += *weight;
    }
    first.m = least - CHANGE_DECADES * sum.logarithm();
    (first.per_run_m, first.ln_a, first.per_ln_h) = (nothing, nothing, nothing);
    (first.run_ln_a, first.run_per_ln_h) = (nothing, nothing);
    first.bend = [nothing; 2];
    (first.phi, first.ln_h) = ([nothing; EDGES], [nothing; EDGES]);
    (first.run_phi, first.run_ln_h) = ([nothing; EDGES], [nothing; EDGES]);
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
    for (weight, margin) in weight.iter().copied().zip(all) {
        // The weight itself goes down with the margin above that of the first.
        let own = weight * margin.per_run_m / first.per_run_m;
        let turn = own * (-1.0 / CHANGE_DECADES);
        first.run_ln_a += own * margin.run_ln_a + turn * (margin.ln_a - first.ln_a);
        for k in 0..all.len() {
            let ln_h = own * margin.run_ln_h[k] + turn * (margin.ln_h[k] - first.ln_h[k]);
            first.run_phi[k] += own * margin.run_phi[k] + turn * (margin.phi[k] - first.phi[k]);
            first.run_ln_h[k] += ln_h;
            first.run_per_ln_h += ln_h;
        }
    }
}
