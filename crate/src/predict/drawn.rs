//! One draw of one plan: how thick each layer lies, how fluid it gets, and how far the longest drip runs.
//!
//! Takes a case, one joint draw of what the log leaves unknown, and standard draws for what no log can know; gives melt
//! thickness in m, log10 of the fluidity integrals in 1/Pa, and the run in m.

use super::spread::largest_of;
use crate::learn::params::Params;
use crate::studio::case::Case;

/// What no log can know of one piece, as standard normals but for `longest`.
#[derive(Clone, Debug, Default)]
pub struct Luck {
    /// Chance of a longest drip lying thinner than this one, 0–1.
    pub longest: f64,
    /// Fluidity of this piece.
    pub noise: f64,
    /// Per layer: its coats, and the reading of its specific gravity.
    pub layers: Vec<LayerLuck>,
}

/// Luck of one layer, standard normals.
#[derive(Clone, Copy, Debug, Default)]
pub struct LayerLuck {
    /// Coat to coat.
    pub coats: f64,
    /// Reading of the specific gravity.
    pub sg: f64,
}

/// One draw of one plan.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// Melt thickness of each layer where it lies, mean over the piece, m.
    pub melt_m: Vec<f64>,
    /// log10 of each layer's fluidity integral in this firing, log10(1/Pa).
    pub log10_phi: Vec<f64>,
    /// How much thicker than the mean the longest drip's place lies.
    pub longest_factor: f64,
}

impl Drawn {
    /// Draws the thicknesses and fluidities.
    /// `drips` around the lowest line: those of the nominal stack ([`stack::drips`]), which learning counts by too.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn new(case: &Case, params: &Params, drips: f64, luck: &Luck) -> Self {
        let kiln = case.phi_shift_decades
            + params.kiln_decades(case.firing, case.shelf)
            + params.noise_decades * luck.noise;
        let mut melt_m = params.melt_m(case);
        for ((h, layer), luck) in melt_m.iter_mut().zip(&case.layers).zip(&luck.layers) {
            let ln = params.coat_ln_sigma / layer.units.max(1.0).sqrt() * luck.coats
                + layer.sg_sigma * layer.dln_mass_dsg * luck.sg;
            *h *= ln.exp();
        }
        let at_reference = |glaze: usize| params.log10_phi.get(glaze).copied().unwrap_or(0.0);
        let longest_factor = (params.place_ln_sigma * largest_of(drips, luck.longest)).exp();
        Self {
            log10_phi: case
                .layers
                .iter()
                .map(|l| at_reference(l.glaze) + kiln)
                .collect(),
            melt_m,
            longest_factor,
        }
    }
}
