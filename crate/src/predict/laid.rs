//! A draw as what lies where on the outside of a piece: a point among draws, and what the wave starts from.
//!
//! Takes a case, one joint draw and its thicknesses; gives the stretches that differ, thickness and fluidity of each over the main one's, SI units.

use super::drawn::Drawn;
use super::plan::Shot;
use super::stack::{self, Stretch};
use super::wave::Lies;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::real::exp_ln;
use crate::studio::case::Case;
use core::f64::consts::LN_10;

/// How much more the log of thickness and its ratio between stretches count than that of fluidity, between nodes (judged: by how much they bend
/// the answer once the clock has taken out `H² Phi`).
const THICKNESS_COUNTS: f64 = 0.3;
const RATIO_COUNTS: f64 = 0.5;
/// A draw as a point between the nodes.
#[derive(Clone, Debug)]
pub struct Point {
    /// log10 of `H² Phi` of the main stretch, log10(m²/Pa).
    pub clock: f64,
    /// Retained area over the main stretch's thickness, m.
    pub held_per_h: f64,
    /// Thickness of the main stretch, m.
    pub h_m: f64,
    /// Where it is among draws.
    pub features: Vec<f64>,
    /// Thickness and fluidity of each stretch over the main one's.
    over_main: Vec<(f64, f64)>,
}

/// The outside of a piece as stretches.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Those that differ, the main one first.
    stretches: Vec<Stretch>,
    /// From the crest down: from, to, m, and which of the stretches.
    lies: Vec<(f64, f64, usize)>,
}

impl Laid {
    /// The main stretch is that with the largest `H² Phi` in the middle draw; none without draws or glaze.
    pub fn of(case: &Case, posterior: &Posterior, shots: &[Shot]) -> Option<Self> {
        let along = stack::stretches(case, 0.0, case.lowest_m);
        let mut all: Vec<Stretch> = Vec::new();
        for stretch in &along {
            if all.iter().all(|s| s.layers != stretch.layers) {
                all.push(stretch.clone());
            }
        }
        let shot = shots.get(shots.len() / 2)?;
        let params = posterior.params.get(shot.params)?;
        let mut main = (0, f64::NEG_INFINITY);
        for (i, stretch) in all.iter().enumerate() {
            let alone = core::slice::from_ref(stretch);
            let clock = point(alone, case, params, &shot.drawn, 1.0).clock;
            if clock > main.1 {
                main = (i, clock);
            }
        }
        if all.is_empty() {
            return None;
        }
        all.swap(0, main.0);
        let mut lies = Vec::with_capacity(along.len());
        for stretch in &along {
            let which = all.iter().position(|s| s.layers == stretch.layers)?;
            lies.push((stretch.from_m, stretch.from_m + stretch.length_m, which));
        }
        Some(Self {
            stretches: all,
            lies,
        })
    }

    /// How many stretches differ.
    pub fn kinds(&self) -> usize {
        self.stretches.len()
    }

    /// A draw at a place `factor` times as thick as its mean.
    pub fn point(&self, case: &Case, params: &Params, drawn: &Drawn, factor: f64) -> Point {
        point(&self.stretches, case, params, drawn, factor)
    }

    /// What lies where in a draw, from the crest down.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn lies(&self, point: &Point) -> Vec<Lies> {
        let mut all = Vec::with_capacity(self.lies.len());
        for &(from_m, to_m, which) in &self.lies {
            let (thickness, fluidity) = point.over_main[which];
            all.push(Lies {
                from_m,
                to_m,
                thickness,
                fluidity,
            });
        }
        all
    }
}

impl Point {
    /// The same draw at a place `factor` times as thick.
    pub fn thicker(&self, factor: f64) -> Self {
        let mut other = self.clone();
        other.h_m *= factor;
        other.held_per_h /= factor;
        other.clock += 2.0 * exp_ln::log10(factor);
        other.features[0] += THICKNESS_COUNTS * exp_ln::ln(factor);
        other
    }
}

#[cfg_attr(fast_by_function, optimize(speed))]
fn point(stretches: &[Stretch], case: &Case, params: &Params, drawn: &Drawn, factor: f64) -> Point {
    let of = |s: &Stretch| {
        let h: f64 = s.layers.iter().map(|l| drawn.melt_m[*l]).sum();
        let phi = stack::stack_log10_phi(case, params, drawn, &s.layers);
        ((h * factor).max(1e-7), phi)
    };
    let (h_m, log10_phi) = stretches.first().map_or((1e-7, 0.0), of);
    let mut features = vec![THICKNESS_COUNTS * exp_ln::ln(h_m)];
    let mut over_main = vec![(1.0, 1.0)];
    for s in stretches.iter().skip(1) {
        let (h, phi) = of(s);
        let thicker = exp_ln::ln(h / h_m);
        features.push(RATIO_COUNTS * thicker);
        features.push(2.0 * thicker / LN_10 + phi - log10_phi);
        over_main.push((h / h_m, exp_ln::ten_to((phi - log10_phi).clamp(-9.0, 9.0))));
    }
    Point {
        clock: 2.0 * exp_ln::log10(h_m) + log10_phi,
        held_per_h: params.retention_m2 / h_m,
        h_m,
        features,
        over_main,
    }
}
