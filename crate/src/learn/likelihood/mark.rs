//! A run on one edge as a mark on a straight wall: what of the threshold does not change while the sampler moves, worked out once.
//!
//! Takes a strip and a run in m; gives where that run lies on a straight wall and how many times gravity's Phi the film takes for it,
//! its log a polynomial in the logs of thickness and retention through 25 answers of the film's table.

use super::super::data::Strip;
use super::margin::PULL;
use crate::physics::constants::{GAMMA, RHO};
use crate::physics::film_band;
use crate::physics::tile::{self, Band};
use crate::real::exp_ln::exp;
use crate::real::{Pair, Real};
use std::sync::Arc;

/// Distance of the outermost answers from the middle, in the logs of thickness and retention.
const STEP: (f64, f64) = (1.0, 1.2);
/// Where the answers between lie, in those steps: with the outermost at 1, where a quartic strays least from what it stands for (Chebyshev's nodes).
const BETWEEN: f64 = 0.618;
/// How far from the middle the polynomial is used, in those steps; beyond, its last value holds.
const REACH: f64 = 1.05;
/// The film's table is asked up to this share of the melt that the edge holds.
const MOST_HELD: f64 = 0.8;
/// A polynomial whose middle is nearer than this to where it is wanted is kept, natural logs.
const NEAR: f64 = 0.25;
/// Least run on an edge that nothing holds, m.
const LEAST_M: f64 = 1e-4;

/// One run on one edge.
#[derive(Clone, Copy, Debug, Default)]
pub struct Mark {
    /// The run and the way down to the edge that is read as a run on a straight wall, m.
    pub straight_m: f64,
    /// Its change per m of run.
    pub per_run_m: f64,
    /// Whether densities are asked of it, which want the film's change per run.
    pub dense: bool,
    /// Natural log of the Phi by gravity's law once it comes from the upper end, nothing held back, at 1 m of thickness; none for the run of a lower edge.
    pub ln_from_end: f64,
    /// How many times as much the edge holds as on a straight wall, its natural log.
    ln_held: f64,
    middle: (f64, f64),
    /// Of the lag.
    lag: [f64; 25],
    /// Of the film's change of ln Phi per m of run, its natural log.
    steep: [f64; 25],
}

/// A mark at one retention: what is left is a polynomial in the log of the thickness.
#[derive(Clone, Copy, Debug)]
pub struct Line<'a> {
    /// The mark.
    pub mark: &'a Mark,
    /// Coefficients of the lag, of its slope per log of the retention, and the same of `steep`.
    c: &'a [Pair],
}

/// How many numbers a line has.
pub const COEFFICIENTS: usize = 20;

/// A lag with its slopes by the logs of thickness (h) and retention (a).
#[derive(Clone, Copy, Debug)]
pub struct Lag {
    /// Natural log of the film's Phi over that of gravity's law.
    pub ln: Pair,
    /// By the log of the thickness.
    pub h: Pair,
    /// By the log of the retention.
    pub a: Pair,
    /// Twice by that of the thickness.
    pub hh: Pair,
    /// By both.
    pub ha: Pair,
}

impl Mark {
    /// Of `run_m` below the edge that is read; the lag about a film of `thickness_m` whose edge holds `retention_m2` on a vertical wall (0: onto glaze, no lag).
    pub fn of(strip: &Strip, run_m: f64, thickness_m: f64, retention_m2: f64) -> Self {
        let (straight, slope) = strip.wall.straight_m(run_m + strip.gap_m);
        let mut mark = Self {
            straight_m: straight,
            per_run_m: slope,
            ln_from_end: ln_from_end(strip, straight),
            ..Self::default()
        };
        if retention_m2 <= 0.0 {
            mark.straight_m = straight.max(LEAST_M);
            return mark;
        }
        mark.ln_held = strip.held.ln();
        mark.middle = (thickness_m.ln(), retention_m2.ln());
        let at = [-1.0, -BETWEEN, 0.0, BETWEEN, 1.0];
        for i in 0..25 {
            // The lag is smooth: as that of the neighbour, or as the last two go on.
            let from = match i {
                0 => 0.0,
                _ if i % 5 > 1 => 2.0 * mark.lag[i - 1] - mark.lag[i - 2],
                1..5 => mark.lag[i - 1],
                _ => mark.lag[i - 5],
            };
            (mark.lag[i], mark.steep[i]) = answer(
                strip,
                straight,
                [
                    thickness_m * (at[i % 5] * STEP.0).exp(),
                    retention_m2 * (at[i / 5] * STEP.1).exp(),
                ],
                from,
            );
        }
        through(&mut mark.lag);
        through(&mut mark.steep);
        mark
    }

    /// Whether the lag stands for films about this thickness and retention already.
    pub fn is_near(&self, thickness_m: f64, retention_m2: f64) -> bool {
        (thickness_m.ln() - self.middle.0).abs() < NEAR
            && (retention_m2.ln() - self.middle.1).abs() < NEAR
    }

    /// Puts its numbers at the log of a retention on a straight wall into `to`.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn at(&self, ln_retention: Pair, to: &mut [Pair]) {
        let to = &mut to[..COEFFICIENTS];
        let (z, per_z) = inside(ln_retention + self.ln_held - self.middle.1, STEP.1);
        along(&self.lag, z, per_z, &mut to[..10]);
        if self.dense {
            along(&self.steep, z, per_z, &mut to[10..]);
        }
    }
}

/// Values and slopes at one `z`, as coefficients of what is left.
#[cfg_attr(fast_by_function, optimize(speed))]
fn along(c: &[f64; 25], z: Pair, per_z: Pair, to: &mut [Pair]) {
    let (values, slopes) = to.split_at_mut(5);
    let slopes = &mut slopes[..5];
    for k in 0..5 {
        let mut slope = Pair::splat(c[20 + k]);
        let mut value = slope * z + c[15 + k];
        slope = slope * z + value;
        value = value * z + c[10 + k];
        slope = slope * z + value;
        value = value * z + c[5 + k];
        slope = slope * z + value;
        values[k] = value * z + c[k];
        slopes[k] = slope * per_z;
    }
}

impl<'a> Line<'a> {
    /// Of a mark and its numbers.
    #[inline]
    pub fn of(mark: &'a Mark, c: &'a [Pair]) -> Self {
        Self { mark, c }
    }

    /// The lag at this log of thickness.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn lag(&self, ln_h: Pair) -> Lag {
        let (x, per) = inside(ln_h - self.mark.middle.0, STEP.0);
        let (c, a) = (&self.c[..5], &self.c[5..10]);
        let (mut v, mut d, mut dd) = (c[4], Pair::ZERO, Pair::ZERO);
        let (mut va, mut da) = (a[4], Pair::ZERO);
        for k in (0..4).rev() {
            dd = dd * x + d;
            d = d * x + v;
            v = v * x + c[k];
            da = da * x + va;
            va = va * x + a[k];
        }
        Lag {
            ln: v,
            h: per * d,
            a: va,
            hh: 2.0 * per * per * dd,
            ha: per * da,
        }
    }

    /// Natural log of the film's change of ln Phi per m of run, whatever the law's is (which has a corner); by the logs of thickness and retention.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn steep(&self, ln_h: Pair) -> [Pair; 3] {
        let (x, per) = inside(ln_h - self.mark.middle.0, STEP.0);
        let (c, a) = (&self.c[10..15], &self.c[15..20]);
        let (mut v, mut d, mut va) = (c[4], Pair::ZERO, a[4]);
        for k in (0..4).rev() {
            d = d * x + v;
            v = v * x + c[k];
            va = va * x + a[k];
        }
        [v, per * d, va]
    }
}

/// Where in its reach a polynomial is asked, and the change of that; beyond, its last value holds.
#[inline]
#[cfg_attr(fast_by_function, optimize(speed))]
fn inside(off: Pair, step: f64) -> (Pair, Pair) {
    let x = off * (1.0 / step);
    let reach = Pair::splat(REACH);
    let beyond = reach.below(x.size());
    let per = Pair::either(beyond, Pair::ZERO, Pair::splat(1.0 / step));
    (
        Pair::either(
            reach.below(x),
            reach,
            Pair::either(x.below(-reach), -reach, x),
        ),
        per,
    )
}

/// Natural log of the Phi by which gravity's law has run so far, once it comes from the upper end and nothing is held, at 1 m of thickness.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn ln_from_end<R: Real>(strip: &Strip, straight_m: R) -> R {
    let x = (R::all(strip.length_m) + straight_m).or_more(R::all(LEAST_M));
    (x * x * x * R::all(1.0 / (6.75 * PULL * strip.sin_slope))).logarithm()
}

/// Marks worked out so far: many entries have the same run on the same form.
#[derive(Clone, Debug, Default)]
pub struct Marks {
    /// Each mark once.
    pub list: Vec<Mark>,
    keys: Vec<[u64; 7]>,
    /// Numbers of marks by their keys, plus one; of two with the same slot who comes later takes it.
    slots: Vec<u32>,
}

/// Middles of lags lie on a grid this wide, in natural logs of thickness and retention, so that near ones are shared.
const GRID: f64 = 0.3;

impl Marks {
    /// With room for those of so many strips.
    pub fn for_strips(strips: usize) -> Self {
        Self {
            slots: vec![0; (4 * strips).next_power_of_two()],
            ..Self::default()
        }
    }

    /// Number of a mark as [`Mark::of`], the lag about a film and a retention near those given.
    pub fn number(&mut self, strip: &Strip, run_m: f64, thickness_m: f64, held_m2: f64) -> u32 {
        let on_grid = |x: f64| ((x.ln() / GRID).round() * GRID).exp();
        let h = on_grid(thickness_m);
        let held = if held_m2 > 0.0 { on_grid(held_m2) } else { 0.0 };
        let wall = if strip.wall.is_straight() {
            0
        } else {
            Arc::as_ptr(&strip.wall).addr()
        };
        let key = [
            run_m.to_bits(),
            strip.gap_m.to_bits(),
            strip.length_m.to_bits(),
            strip.sin_slope.to_bits(),
            h.to_bits(),
            held.to_bits(),
            wall as u64,
        ];
        self.insert(&key, || Mark::of(strip, run_m, h, held))
    }

    /// Number here of a mark of another list.
    pub fn take_over(&mut self, from: &Self, number: u32) -> u32 {
        let number = number as usize;
        self.insert(&from.keys[number], || from.list[number])
    }

    fn insert(&mut self, key: &[u64; 7], make: impl FnOnce() -> Mark) -> u32 {
        let mixed = key.iter().fold(0_u64, |mixed, part| {
            (mixed.rotate_left(9) ^ part).wrapping_mul(0x9e37_79b9_7f4a_7c15)
        });
        let slots = self.slots.len();
        let slot = &mut self.slots[(mixed >> 32) as usize & (slots - 1)];
        let known = (*slot as usize).checked_sub(1);
        if let Some(number) = known.filter(|number| self.keys[*number] == *key) {
            return number as u32;
        }
        self.list.push(make());
        self.keys.push(*key);
        *slot = self.list.len() as u32;
        *slot - 1
    }
}

/// Turns values at five x by five z into coefficients of 1 to x⁴, those then times 1 to z⁴.
fn through(c: &mut [f64; 25]) {
    for &(first, step) in &[(5, 1), (1, 5)] {
        for line in 0..5 {
            let mut v = [0.0; 5];
            for (k, v) in v.iter_mut().enumerate() {
                *v = c[line * first + k * step];
            }
            // Even and odd parts at the outermost answers and at those between.
            let [even, odd] = [0.5 * (v[4] + v[0]) - v[2], 0.5 * (v[4] - v[0])];
            let [even_2, odd_2] = [0.5 * (v[3] + v[1]) - v[2], 0.5 * (v[3] - v[1])];
            let per = 1.0 / (1.0 - BETWEEN * BETWEEN);
            let fourth = per * (even - even_2 / (BETWEEN * BETWEEN));
            let third = per * (odd - odd_2 / BETWEEN);
            let out = [v[2], odd - third, even - fourth, third, fourth];
            for (k, out) in out.into_iter().enumerate() {
                c[line * first + k * step] = out;
            }
        }
    }
}

/// Natural log of the Phi that the film takes to run `straight_m` over that of gravity's law, looked for from `lag` on, and of how fast it grows per m of run.
fn answer(
    strip: &Strip,
    straight_m: f64,
    [thickness_m, retention_m2]: [f64; 2],
    lag: f64,
) -> (f64, f64) {
    let band = Band {
        h0_m: thickness_m,
        length_m: strip.length_m,
        sin_slope: strip.sin_slope,
    };
    let held = retention_m2.min(MOST_HELD * band.volume_m2() * band.sin_slope);
    let Some(law) =
        tile::phi_slopes(&band, straight_m, held, RHO).filter(|law| law.phi_per_pa > 0.0)
    else {
        return (0.0, -straight_m.max(LEAST_M).ln());
    };
    // Newton in the log of Phi.
    let start = law.phi_per_pa.ln();
    let mut ln_phi = start + lag;
    let mut per_ln_phi = 0.0;
    for _ in 0..8 {
        let film = film_band::run_slopes(&band, exp(ln_phi), held, RHO, GAMMA);
        per_ln_phi = film.per_ln_phi.max(1e-4);
        let step = ((film.signed_run_m - straight_m) / per_ln_phi).clamp(-0.7, 0.7);
        ln_phi -= step;
        // What the next would mend goes with the square of this one.
        if step.abs() < 1e-2 {
            break;
        }
    }
    // Never so little that a reading would say nothing.
    let per_run = law.ln_per_run_m.max(1e-3).ln();
    let steep = -(per_ln_phi.ln() + per_run);
    (
        (ln_phi - start).clamp(-3.0, 3.0),
        per_run + steep.clamp(-1.6, 1.6),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::learn::wall::Wall;

    fn strip(length_m: f64, sin_slope: f64) -> Strip {
        Strip {
            length_m,
            gap_m: 0.0,
            gap_straight_m: 0.0,
            sin_slope,
            held: 1.0,
            wall: Arc::new(Wall::straight()),
            covers: 0,
        }
    }

    /// The law turned round with the lag in it against the film's table itself: Phi from the one, put into the other, gives the run back within
    /// 0.25 mm + 5 % everywhere in reach (most by a third of that), for runs no longer than the band (the table itself stands for fresh solves within
    /// 0.1 mm + 1 %), and the film's own change per run within 11 %.
    #[test]
    fn the_film_turned_round_gives_its_own_runs() {
        let (mut worst, mut steepest) = (0.0_f64, 0.0_f64);
        for (length, sin) in [(0.03, 1.0), (0.06, 1.0), (0.1, 0.9), (0.06, 0.75)] {
            for run in [0.5e-3, 1e-3, 3e-3, 10e-3, 30e-3, 60e-3] {
                for thickness in [1.5e-4, 3e-4, 6e-4] {
                    let mut mark = Mark::of(&strip(length, sin), run, thickness, 1.4e-6);
                    mark.dense = true;
                    for (x, z) in [
                        (0.0, 0.0),
                        (0.3, 0.3),
                        (-0.5, 0.5),
                        (0.6, -0.6),
                        (0.9, 0.0),
                        (0.9, -1.1),
                        (-0.4, 0.9),
                        (-0.9, -0.4),
                        (-0.8, -1.2),
                    ] {
                        let (h, a) = (thickness * f64::exp(x), 1.4e-6 * f64::exp(z));
                        let band = Band {
                            h0_m: h,
                            length_m: length,
                            sin_slope: sin,
                        };
                        if run > length || a / (sin * band.volume_m2()) > 0.7 {
                            continue;
                        }
                        let mut c = [Pair::ZERO; COEFFICIENTS];
                        mark.at(Pair::splat(a.ln()), &mut c);
                        let line = Line::of(&mark, &c);
                        let ln_h = Pair::splat(h.ln());
                        let lag = line.lag(ln_h).ln.to_array()[0];
                        let law = tile::phi_slopes(&band, run, a, RHO).unwrap();
                        let phi = law.phi_per_pa * lag.exp();
                        let back = film_band::run_slopes(&band, phi, a, RHO, GAMMA);
                        let off = (back.signed_run_m - run).abs() / (0.25e-3 + 0.05 * run);
                        let steep =
                            (line.steep(ln_h)[0].to_array()[0] + back.per_ln_phi.ln()).abs();
                        worst = worst.max(off);
                        steepest = steepest.max(steep);
                    }
                }
            }
        }
        assert!(worst < 1.0, "{worst}");
        assert!(steepest < 0.11, "{steepest}");
    }
}
