//! The stacks of a case: where which layers lie, how fluid they are together, how far they run.
//!
//! Takes a case, one joint draw, and that draw's thicknesses; gives stretches of wall, log10 of fluidity integrals, runs in m.

use super::drawn::Drawn;
use crate::learn::forward::{self, EntryBands};
use crate::learn::params::Params;
use crate::order;
use crate::physics::melt;
use crate::studio::case::Case;

/// A stretch of the wall with the same layers all along.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Where it starts, m down from the rim's crest or the upper edge.
    pub from_m: f64,
    /// Its length, m.
    pub length_m: f64,
    /// Layers that lie on it, the wall first.
    pub layers: Vec<usize>,
}

/// Stretches between two places down the wall, m; bare ones are left out.
pub fn stretches(case: &Case, from_m: f64, to_m: f64) -> Vec<Stretch> {
    let edges = case.layers.iter().flat_map(|l| [l.from_m, l.to_m]);
    let inside = edges.filter(|e| *e > from_m && *e < to_m);
    let mut cuts: Vec<f64> = inside.chain([from_m, to_m]).collect();
    order::ascending(&mut cuts);
    let between = |pair: &[f64]| {
        let middle = 0.5 * (pair[0] + pair[1]);
        let on = |l: &usize| case.layers[*l].from_m <= middle && middle <= case.layers[*l].to_m;
        Stretch {
            from_m: pair[0],
            length_m: pair[1] - pair[0],
            layers: (0..case.layers.len()).filter(on).collect(),
        }
    };
    cuts.windows(2)
        .map(between)
        .filter(|s| s.length_m > 0.0 && !s.layers.is_empty())
        .collect()
}

/// The layers of the stretch where the nominal stack is thickest, among those that layer `with` lies on.
pub fn fullest(case: &Case, with: Option<usize>) -> Vec<usize> {
    let nominal = |l: &usize| case.layers[*l].mass_kg_per_m2 * case.layers[*l].melt_m_per;
    let thickness = |s: &Stretch| -> f64 { s.layers.iter().map(nominal).sum() };
    stretches(case, 0.0, case.lowest_m)
        .into_iter()
        .filter(|s| with.is_none_or(|w| s.layers.contains(&w)))
        .max_by(|a, b| thickness(a).total_cmp(&thickness(b)))
        .map(|s| s.layers)
        .unwrap_or_default()
}

/// Pair shift of two layers, counted from the wall, decades.
pub fn pair(case: &Case, params: &Params, lower: usize, upper: usize) -> f64 {
    params
        .pair(case.layers[upper].glaze, case.layers[lower].glaze)
        .unwrap_or(0.0)
}

/// log10 of the fluidity integral of the stack of these layers at the piece's mean thickness, log10(1/Pa).
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn stack_log10_phi(case: &Case, params: &Params, drawn: &Drawn, layers: &[usize]) -> f64 {
    let melts: Vec<f64> = layers.iter().map(|l| drawn.melt_m[*l]).collect();
    let phis: Vec<f64> = layers.iter().map(|l| drawn.log10_phi[*l]).collect();
    let shift = |lower: usize, upper: usize| pair(case, params, layers[lower], layers[upper]);
    melt::stack_log10_phi(&melts, &phis, &shift, params.mixing)
}

/// Run of a draw at a place `factor` times as thick as its mean, m, 0 or more.
pub fn run_m(case: &Case, bands: &EntryBands, params: &Params, drawn: &Drawn, factor: f64) -> f64 {
    let local: Vec<f64> = drawn.melt_m.iter().map(|h| h * factor).collect();
    let shift = |lower: usize, upper: usize| pair(case, params, lower, upper);
    let run = bands.run_m(
        &local,
        &drawn.log10_phi,
        &shift,
        params.mixing,
        params.retention_m2,
    );
    if run.is_finite() { run.max(0.0) } else { 0.0 }
}

/// Drips around the lowest line of the nominal stack, at least 1.
pub fn drips(case: &Case, bands: &EntryBands) -> u32 {
    let nominal = |band| EntryBands::thickness_m(band, &case.melt_m());
    forward::drips(case, bands.bands.first().map_or(0.0, nominal))
}
