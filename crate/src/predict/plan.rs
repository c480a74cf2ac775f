//! One plan made ready for drawing: its case, the standard draws, and each draw's thickness, fluidity and run.
//!
//! Takes a studio, what its log has taught, and an entry; gives a set of [`Shot`]s that every answer is counted from.

use super::drawn::{Drawn, LayerLuck, Luck};
use super::film_runs::FilmRuns;
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

/// One draw of a plan with its run.
#[derive(Clone, Debug)]
pub struct Shot {
    /// Which of the posterior's draws it was made with.
    pub params: usize,
    /// Thicknesses and fluidities.
    pub drawn: Drawn,
    /// Longest drip beyond the lowest glaze line, m.
    pub run_m: f64,
    /// Melt past the foot under the longest drip per width of it, m², where the film was solved on the piece.
    pub past_foot_m2: Option<f64>,
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
        self.shots_by(posterior, &mut |params, drawn| {
            self.run_m(None, params, drawn, 0.0)
        })
    }

    /// Every draw before anything was said of its run.
    pub fn unrun(&self, posterior: &Posterior) -> Vec<Shot> {
        self.shots_by(posterior, &mut |_, _| 0.0)
    }

    /// Every draw with its run as `run_m` says.
    pub fn shots_by(
        &self,
        posterior: &Posterior,
        run_m: &mut dyn FnMut(&Params, &Drawn) -> f64,
    ) -> Vec<Shot> {
        let drips = f64::from(self.drips());
        let mut shots = Vec::with_capacity(self.draws);
        for i in 0..self.draws {
            if let Some((at, params)) = self.params(posterior, i) {
                let drawn = Drawn::new(&self.case, params, drips, &self.luck(i));
                shots.push(Shot {
                    params: at,
                    run_m: run_m(params, &drawn),
                    drawn,
                    past_foot_m2: None,
                });
            }
        }
        shots
    }

    /// Run of one draw as the film says where it was solved for this stack in other amounts, else by the law of bands, m. What cannot be as much as
    /// `least_m` may come out as 0.
    pub fn run_m(
        &self,
        film: Option<&FilmRuns>,
        params: &Params,
        drawn: &Drawn,
        least_m: f64,
    ) -> f64 {
        match film {
            Some(film) => film.run_of_m(&self.case, params, drawn, least_m),
            None => stack::run_m(&self.case, &self.bands, params, drawn, drawn.longest_factor),
        }
    }
}
