//! One plan made ready for drawing: its case, the standard draws, and each draw's thickness, fluidity and run.
//!
//! Takes a studio, what its log has taught, and an entry; gives a set of [`Shot`]s that every answer is counted from.

use super::drawn::{Drawn, LayerLuck, Luck};
use super::film_runs::FilmPoint;
use super::spread::StandardDraws;
use super::stack;
use crate::learn::forward::EntryBands;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::studio::case::Case;
use crate::studio::document::{Edge, Entry, Studio};
use crate::studio::error::Refusal;
use std::sync::Arc;

/// Columns of the standard draws: three of the piece, then four of each layer, so that a layer added on top leaves the
/// draws of those below as they were.
const LONGEST: usize = 0;
const NOISE: usize = 1;
const PLACE: usize = 2;
const PIECE: usize = 3;
const COATS: usize = 0;
const SG: usize = 1;
const PACKING: usize = 2;
const LOI: usize = 3;
const LAYER: usize = 4;

/// Fluidities this many decades off are looked through, to within 0.004 of one.
const MOST_DECADES: f64 = 4.0;
const HALVINGS: usize = 10;

/// One draw of a plan with its run.
#[derive(Clone, Debug)]
pub struct Shot {
    /// Which of the posterior's draws it was made with.
    pub params: usize,
    /// Thicknesses and fluidities.
    pub drawn: Drawn,
    /// Longest drip beyond the lowest glaze line, m.
    pub run_m: f64,
    /// What the film solved on the piece says at the longest drip, where it was solved.
    pub film: Option<FilmPoint>,
}

/// A plan and its draws.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What the forward model needs of the entry.
    pub case: Case,
    /// The bands above each layer's edge.
    pub bands: EntryBands,
    standard: Arc<StandardDraws>,
    draws: usize,
    /// How much more fluid than they are stacks run by the law of bands, decades: what it is off the film solved on the piece.
    pub law_off_decades: f64,
}

impl Plan {
    /// Makes a plan ready. `draws` is held within 16–8192.
    ///
    /// # Errors
    /// What [`Case::of`] refuses.
    pub fn new(studio: &Studio, entry: &Entry, draws: usize, seed: u64) -> Result<Self, Refusal> {
        let case = Case::of(studio, entry)?;
        let draws = draws.clamp(16, 8192);
        Ok(Self {
            bands: EntryBands::of(&case, Edge::OntoBareClay),
            standard: Arc::new(StandardDraws::new(
                draws,
                PIECE + LAYER * case.layers.len(),
                seed,
            )),
            case,
            draws,
            law_off_decades: 0.0,
        })
    }

    /// Drips around the lowest glaze line.
    pub fn drips(&self) -> u32 {
        stack::drips(&self.case, &self.bands)
    }

    /// Draws of this plan.
    pub fn draws(&self) -> usize {
        self.draws
    }

    /// The same draws for the same stack with another amount in one layer, so that what differs is the amount alone.
    pub fn with_units(&self, layer: usize, units: u32) -> Self {
        Self {
            case: self.case.with_units(layer, f64::from(units)),
            bands: self.bands.clone(),
            standard: Arc::clone(&self.standard),
            draws: self.draws,
            law_off_decades: self.law_off_decades,
        }
    }

    /// Which of the posterior's draws belongs to draw `i`.
    fn params<'a>(&self, posterior: &'a Posterior, i: usize) -> Option<(usize, &'a Params)> {
        let known = posterior.params.len();
        // Spread over all of them where fewer are asked for.
        let at = if self.draws < known {
            i * known / self.draws
        } else {
            i % known.max(1)
        };
        posterior.params.get(at).map(|p| (at, p))
    }

    /// What no log can know of draw `i`.
    pub fn luck(&self, i: usize) -> Luck {
        let layer = |l: usize| LayerLuck {
            coats: self.standard.normal(i, PIECE + LAYER * l + COATS),
            sg: self.standard.normal(i, PIECE + LAYER * l + SG),
        };
        Luck {
            longest: self.standard.uniform(i, LONGEST),
            noise: self.standard.normal(i, NOISE),
            layers: (0..self.case.layers.len()).map(layer).collect(),
        }
    }

    /// Standard normal of draw `i`: how thick any one place lies.
    pub fn place(&self, i: usize) -> f64 {
        self.standard.normal(i, PLACE)
    }

    /// Standard normal of draw `i`: how densely layer `l` packs.
    pub fn packing(&self, i: usize, l: usize) -> f64 {
        self.standard.normal(i, PIECE + LAYER * l + PACKING)
    }

    /// Standard normal of draw `i`: what layer `l` loses on ignition.
    pub fn loss(&self, i: usize, l: usize) -> f64 {
        self.standard.normal(i, PIECE + LAYER * l + LOI)
    }

    /// Every draw with its run by the law of bands.
    pub fn shots(&self, posterior: &Posterior) -> Vec<Shot> {
        let drips = f64::from(self.drips());
        (0..self.draws)
            .filter_map(|i| {
                let (at, params) = self.params(posterior, i)?;
                let drawn = Drawn::new(&self.case, params, drips, &self.luck(i));
                let run_m = self.run_by_law_m(params, &drawn, self.law_off_decades);
                Some(Shot {
                    params: at,
                    drawn,
                    run_m,
                    film: None,
                })
            })
            .collect()
    }

    /// Run of a draw's longest drip by the law of bands, every glaze `decades` more fluid, m.
    pub fn run_by_law_m(&self, params: &Params, drawn: &Drawn, decades: f64) -> f64 {
        let factor = drawn.longest_factor;
        if decades == 0.0 {
            return stack::run_m(&self.case, &self.bands, params, drawn, factor);
        }
        let mut other = drawn.clone();
        for phi in &mut other.log10_phi {
            *phi += decades;
        }
        stack::run_m(&self.case, &self.bands, params, &other, factor)
    }

    /// How much more fluid every glaze must be for a draw's longest drip to run as far as the foot by the law of bands, decades.
    pub fn decades_to_foot_by_law(&self, params: &Params, drawn: &Drawn) -> f64 {
        let (mut low, mut high) = (-MOST_DECADES, MOST_DECADES);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if self.run_by_law_m(params, drawn, middle) < self.case.bare_below_m.max(1e-4) {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }
}
