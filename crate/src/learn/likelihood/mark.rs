//! A run on one edge as a mark on a straight wall: what of the threshold does not change while the sampler moves, worked out once.
//!
//! Takes a strip and a run in m; gives where that run lies on a straight wall and how many times gravity's Phi the film takes for it,
//! its log a polynomial in the logs of thickness and retention through nine answers of the film's table.

use super::super::data::Strip;
use crate::physics::constants::{GAMMA, RHO};
use crate::physics::film_band;
use crate::physics::tile::{self, Band};
use std::sync::Arc;

/// Steps between the answers, in the logs of thickness and retention.
const STEP: (f64, f64) = (0.6, 0.7);
/// How far from the middle the polynomial is used, in those steps; beyond, its last value holds.
const REACH: f64 = 1.8;
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
    /// What the film adds to the length that ln Phi changes by one in, on a straight wall, m.
    pub behind_m: f64,
    middle: (f64, f64),
    lag: [f64; 9],
}

/// A lag with its slopes by the logs of thickness (h) and retention (a).
#[derive(Clone, Copy, Debug, Default)]
pub struct Lag {
    /// Natural log of the film's Phi over that of gravity's law.
    pub ln: f64,
    /// By the log of the thickness.
    pub h: f64,
    /// By the log of the retention.
    pub a: f64,
    /// Twice by that of the thickness.
    pub hh: f64,
    /// By both.
    pub ha: f64,
}

impl Mark {
    /// Of `run_m` below the edge that is read; the lag about a film of `thickness_m` whose edge holds `retention_m2` on a vertical wall (0: onto glaze, no lag).
    pub fn of(strip: &Strip, run_m: f64, thickness_m: f64, retention_m2: f64) -> Self {
        let (straight, slope) = strip.wall.straight_m(run_m + strip.gap_m);
        let mut mark = Self {
            straight_m: straight,
            per_run_m: slope,
            behind_m: 0.0,
            middle: (0.0, 0.0),
            lag: [0.0; 9],
        };
        if retention_m2 <= 0.0 {
            mark.straight_m = straight.max(LEAST_M);
            return mark;
        }
        mark.middle = (thickness_m.ln(), retention_m2.ln());
        let mut values = [0.0; 9];
        for (i, value) in values.iter_mut().enumerate() {
            let (x, z) = ((i % 3) as f64 - 1.0, (i / 3) as f64 - 1.0);
            *value = lag(
                strip,
                straight,
                thickness_m * (x * STEP.0).exp(),
                retention_m2 * (z * STEP.1).exp(),
            );
        }
        mark.lag = through(&values);
        let further = lag(strip, straight + 1e-3, thickness_m, retention_m2);
        let band = Band {
            h0_m: thickness_m,
            length_m: strip.length_m,
            sin_slope: strip.sin_slope,
        };
        let held = retention_m2.min(MOST_HELD * band.volume_m2() * band.sin_slope);
        if let Some(law) = tile::phi_slopes(&band, straight, held, RHO) {
            let r = law.ln_per_run_m.max(1e-3);
            // Never so little that a reading would say nothing.
            let film_r = r + ((further - values[4]) / 1e-3).clamp(-0.8 * r, r);
            mark.behind_m = 1.0 / film_r - 1.0 / r;
        }
        mark
    }

    /// Whether the lag stands for films about this thickness and retention already.
    pub fn is_near(&self, thickness_m: f64, retention_m2: f64) -> bool {
        (thickness_m.ln() - self.middle.0).abs() < NEAR
            && (retention_m2.ln() - self.middle.1).abs() < NEAR
    }

    /// The lag at these logs of thickness and retention.
    #[inline]
    pub fn lag(&self, ln_h: f64, ln_a: f64) -> Lag {
        let inside = |at: f64, middle: f64, step: f64| {
            let x = (at - middle) / step;
            if x.abs() > REACH {
                (REACH.copysign(x), 0.0)
            } else {
                (x, 1.0 / step)
            }
        };
        let (x, dx) = inside(ln_h, self.middle.0, STEP.0);
        let (z, dz) = inside(ln_a, self.middle.1, STEP.1);
        let c = &self.lag;
        // Three parabolas in x, and a parabola in z through them.
        let at = |row: usize| c[row] + x * (c[row + 1] + x * c[row + 2]);
        let slope = |row: usize| c[row + 1] + 2.0 * x * c[row + 2];
        let (p, q, r) = (at(0), at(3), at(6));
        let (dp, dq, dr) = (slope(0), slope(3), slope(6));
        Lag {
            ln: p + z * (q + z * r),
            h: dx * (dp + z * (dq + z * dr)),
            a: dz * (q + 2.0 * z * r),
            hh: 2.0 * dx * dx * (c[2] + z * (c[5] + z * c[8])),
            ha: dx * dz * (dq + 2.0 * z * dr),
        }
    }
}

/// Marks already worked out: many entries have the same run on the same form. Each key has one slot; who comes later takes it.
#[derive(Debug, Default)]
pub struct Marks(Vec<([u64; 7], Mark)>);

/// Slots.
const SLOTS: usize = 4096;
/// Middles of lags lie on a grid this wide, in natural logs of thickness and retention, so that near ones are shared.
const GRID: f64 = 0.3;

impl Marks {
    /// As [`Mark::of`], the lag about a film and a retention near those given.
    pub fn of(&mut self, strip: &Strip, run_m: f64, thickness_m: f64, held_m2: f64) -> Mark {
        let on_grid = |x: f64| ((x.ln() / GRID).round() * GRID).exp();
        let (h, held) = (
            on_grid(thickness_m),
            if held_m2 > 0.0 { on_grid(held_m2) } else { 0.0 },
        );
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
        if self.0.is_empty() {
            self.0.resize(SLOTS, ([0; 7], Mark::default()));
        }
        let mixed = key.iter().fold(0_u64, |mixed, part| {
            (mixed.rotate_left(9) ^ part).wrapping_mul(0x9e37_79b9_7f4a_7c15)
        });
        let slot = &mut self.0[(mixed >> 52) as usize % SLOTS];
        if slot.0 != key {
            *slot = (key, Mark::of(strip, run_m, h, held));
        }
        slot.1
    }
}

/// Coefficients of 1, x, x², then those times z and z², through values at x and z of −1, 0, 1.
fn through(values: &[f64; 9]) -> [f64; 9] {
    let parabola = |a: f64, b: f64, c: f64| [b, 0.5 * (c - a), 0.5 * (a + c) - b];
    let mut rows = [[0.0; 3]; 3];
    for (row, v) in rows.iter_mut().zip(values.chunks(3)) {
        *row = parabola(v[0], v[1], v[2]);
    }
    let mut out = [0.0; 9];
    for i in 0..3 {
        let column = parabola(rows[0][i], rows[1][i], rows[2][i]);
        for k in 0..3 {
            out[3 * k + i] = column[k];
        }
    }
    out
}

/// Natural log of the Phi that the film takes to run `straight_m` over that of gravity's law.
fn lag(strip: &Strip, straight_m: f64, thickness_m: f64, retention_m2: f64) -> f64 {
    let band = Band {
        h0_m: thickness_m,
        length_m: strip.length_m,
        sin_slope: strip.sin_slope,
    };
    let held = retention_m2.min(MOST_HELD * band.volume_m2() * band.sin_slope);
    let Some(start) = tile::phi_for_run(&band, straight_m, held, RHO).filter(|phi| *phi > 0.0)
    else {
        return 0.0;
    };
    // Newton in the log of Phi.
    let start = start.ln();
    let mut ln_phi = start;
    for _ in 0..8 {
        let film = film_band::run_slopes(&band, ln_phi.exp(), held, RHO, GAMMA);
        let off = film.signed_run_m - straight_m;
        if off.abs() < 2e-6 {
            break;
        }
        ln_phi -= (off / film.per_ln_phi.max(1e-4)).clamp(-0.7, 0.7);
    }
    (ln_phi - start).clamp(-3.0, 3.0)
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

    /// The law turned round with the lag in it against the film's table itself: Phi from the one, put into the other, gives the run back. Within a step of the
    /// middle by 0.45 mm + 6 %, up to a step and a half by 0.9 mm + 6 %, for runs no longer than the band (the table itself stands for fresh solves within 0.1 mm + 1 %).
    #[test]
    fn the_film_turned_round_gives_its_own_runs() {
        let mut worst = 0.0_f64;
        for (length, sin) in [(0.03, 1.0), (0.06, 1.0), (0.1, 0.9), (0.06, 0.75)] {
            for run in [0.5e-3, 1e-3, 3e-3, 10e-3, 30e-3, 60e-3] {
                for thickness in [1.5e-4, 3e-4, 6e-4] {
                    let mark = Mark::of(&strip(length, sin), run, thickness, 1.4e-6);
                    for (x, z) in [
                        (0.0, 0.0),
                        (0.3, 0.3),
                        (-0.5, 0.5),
                        (0.6, -0.6),
                        (0.9, 0.0),
                        (-0.9, -0.4),
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
                        let lag = mark.lag(h.ln(), a.ln()).ln;
                        let phi = tile::phi_for_run(&band, run, a, RHO).unwrap() * lag.exp();
                        let back = film_band::run_m(&band, phi, a, RHO, GAMMA);
                        let mm = if x.abs() > STEP.0 { 0.9e-3 } else { 0.45e-3 };
                        let off = (back - run).abs() / (mm + 0.06 * run);
                        worst = worst.max(off);
                    }
                }
            }
        }
        assert!(worst < 1.0, "{worst}");
    }
}
