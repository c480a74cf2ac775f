//! The wave of one draw through the firing, kept as readings.
//!
//! Takes a wall and what lies on it; gives at any reading of the clock where the edge of some retained areas is, when it comes to a place, and what has
//! passed the foot. Clocks are log10 of `H² Phi`, log10(m²/Pa).

use super::wave::{Lies, Slope, Wave};
use crate::physics::constants::{GRAVITY, RHO};
use crate::real::exp_ln;

/// The first reading is where the fastest stretch has gone this far, m.
const FIRST_RUN_M: f64 = 0.3e-3;
/// From reading to reading, decades; in the first decade, in which a front goes evenly.
const STEP_DECADES: f64 = 0.06;
const EARLY_DECADES: f64 = 0.12;
/// No more readings than these.
const MOST: usize = 300;

/// The wave's readings; without any, that of a draw that cannot run.
#[derive(Clone, Debug, Default)]
pub struct Track {
    clocks: Vec<f64>,
    past_foot: Vec<f64>,
    /// `[held][reading]`, m below the lowest line.
    edges: Vec<Vec<f64>>,
}

impl Track {
    /// Follows the wave until `enough`. `held` over the main stretch's thickness, m; `precursor` over it.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn of(
        slope: &Slope,
        lies: &[Lies],
        precursor: f64,
        held: &[f64],
        enough: impl Fn(&Self) -> bool,
    ) -> Self {
        let mut fastest = 1e-30;
        for l in lies {
            let speed = l.fluidity * l.thickness * l.thickness * RHO * GRAVITY / 3.0;
            fastest = if speed > fastest { speed } else { fastest };
        }
        let first = exp_ln::log10(FIRST_RUN_M / fastest);
        let mut wave = Wave::new(slope, lies, precursor);
        let mut track = Self {
            clocks: Vec::new(),
            past_foot: Vec::new(),
            edges: vec![Vec::new(); held.len()],
        };
        let mut clock = first;
        for _ in 0..MOST {
            wave.go_to(exp_ln::ten_to(clock));
            track.clocks.push(clock);
            track.past_foot.push(wave.past_foot());
            for (edges, held) in track.edges.iter_mut().zip(held) {
                let edge = wave.edge_m(*held);
                // The edge of a wave never goes back; rounding may say so.
                let edge = match edges.last() {
                    Some(before) if *before > edge => *before,
                    _ => edge,
                };
                edges.push(edge);
            }
            if enough(&track) {
                break;
            }
            clock += if clock < first + 1.0 {
                EARLY_DECADES
            } else {
                STEP_DECADES
            };
        }
        track
    }

    /// The last reading of the clock.
    pub fn last_clock(&self) -> f64 {
        self.clocks.last().copied().unwrap_or(f64::NEG_INFINITY)
    }

    /// Where an edge is at the last reading, m.
    pub fn last_edge(&self, held: usize) -> f64 {
        self.edges[held]
            .last()
            .copied()
            .unwrap_or(f64::NEG_INFINITY)
    }

    /// When the edge comes to a place, m below the lowest line; beyond the readings as the last two of them lead on.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn arrives(&self, held: usize, place_m: f64) -> f64 {
        let Some(edges) = self.edges.get(held) else {
            return f64::INFINITY;
        };
        let last = edges.len() - 1;
        if last == 0 {
            return self.clocks[0];
        }
        let i = edges.partition_point(|e| *e < place_m).clamp(1, last);
        log_between(
            (edges[i - 1], self.clocks[i - 1]),
            (edges[i], self.clocks[i]),
            place_m,
        )
    }

    /// Where the edge is at a reading of the clock, m below the lowest line.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn edge_m(&self, held: usize, clock: f64) -> f64 {
        match self.edges.get(held) {
            Some(edges) => between(&self.clocks, edges, clock),
            None => f64::NEG_INFINITY,
        }
    }

    /// Melt past the foot per width of it, over the main stretch's thickness, m.
    pub fn past_foot(&self, clock: f64) -> f64 {
        if self.clocks.is_empty() {
            return 0.0;
        }
        between(&self.clocks, &self.past_foot, clock)
    }
}

/// The clock at which an edge that goes evenly from one place to another (each with its log10 clock) comes to `place`.
#[inline]
pub fn log_between(a: (f64, f64), b: (f64, f64), place: f64) -> f64 {
    let step = b.0 - a.0;
    if step <= 0.0 {
        return b.1;
    }
    let along = (place - a.0) / step;
    let faster = exp_ln::ten_to(b.1 - a.1) - 1.0;
    let x = 1.0 + along * faster;
    a.1 + exp_ln::log10(if x > 1e-9 { x } else { 1e-9 })
}

/// The place to which an edge that goes evenly comes at a log10 clock.
#[inline]
pub fn between_logs(a: (f64, f64), b: (f64, f64), clock: f64) -> f64 {
    let whole = exp_ln::ten_to(b.1 - a.1) - 1.0;
    if whole.is_nan() || whole <= 0.0 {
        return b.0;
    }
    a.0 + (b.0 - a.0) * (exp_ln::ten_to(clock - a.1) - 1.0) / whole
}

/// At a clock, between readings evenly in the clock itself; the ends' own beyond them.
#[inline]
fn between(clocks: &[f64], values: &[f64], clock: f64) -> f64 {
    let last = clocks.len() - 1;
    let i = clocks.partition_point(|c| *c < clock);
    if i == 0 {
        return values[0];
    }
    if i > last {
        return values[last];
    }
    between_logs(
        (values[i - 1], clocks[i - 1]),
        (values[i], clocks[i]),
        clock,
    )
}
