//! The film of one draw on its piece: what the solver is given.
//!
//! Takes a case, melt thickness (m) and log10 of the fluidity integrals (log10(1/Pa)) of its layers; gives the solver's case and the clock at
//! which the firing ends.

use super::drawn::Drawn;
use super::stack;
use crate::learn::params::Params;
use crate::physics::film::{self, Layer, PairShift};
use crate::physics::piece::Profile;
use crate::studio::case::{Case, CaseLayer};

/// The wall goes on below the foot this far, m, as if there were no shelf.
const BELOW_FOOT_M: f64 = 0.06;
/// Thickest layer that the solver takes, m.
const THICKEST_M: f64 = 0.019;

/// A piece whose film is solved.
#[derive(Clone, Debug)]
pub struct OnPiece {
    profile: Profile,
}

impl OnPiece {
    /// The piece of a case, its wall going on below the foot.
    pub fn of(case: &Case) -> Self {
        Self {
            profile: case.profile.continued(BELOW_FOOT_M),
        }
    }

    /// The same from the rim's crest down, its wall going on `past_foot_m` below the foot: what runs down the outside. The crest drains thin at
    /// once, so that hardly any melt passes over it, and a solve of this half takes half the time.
    pub fn outside(case: &Case, past_foot_m: f64) -> Self {
        let whole = case.profile.continued(past_foot_m);
        Self {
            profile: whole.after(case.profile.rim_s_m()),
        }
    }

    /// The profile itself.
    pub fn into_profile(self) -> Profile {
        self.profile
    }

    /// Where a layer starts and ends along the profile, m.
    pub fn zone(&self, layer: &CaseLayer) -> (f64, f64) {
        let (rim, foot) = (self.profile.rim_s_m(), self.profile.foot_s_m());
        let from = if layer.over_rim {
            rim - layer.inside_m
        } else {
            rim + layer.from_m
        };
        let to = (rim + layer.to_m).min(foot);
        (from.max(0.0).min(to), to)
    }

    /// The solver's case of layers this thick and this fluid, and the clock's reading at the firing's end, 1/Pa: the most fluid layer's.
    pub fn film_case(
        &self,
        case: &Case,
        melt_m: &[f64],
        log10_phi: &[f64],
        pair: &dyn Fn(usize, usize) -> f64,
        mixing: f64,
    ) -> (film::Case<'_>, f64) {
        let most_fluid = log10_phi.iter().copied().fold(-9.0, f64::max).min(8.0);
        let mut layers = Vec::with_capacity(case.layers.len());
        let mut pair_shifts = Vec::new();
        for (upper, layer) in case.layers.iter().enumerate() {
            let (from_s_m, to_s_m) = self.zone(layer);
            layers.push(Layer {
                thickness_m: melt_m[upper].clamp(0.0, THICKEST_M),
                log10_fluidity: (log10_phi[upper] - most_fluid).clamp(-9.0, 9.0),
                from_s_m,
                to_s_m,
            });
            for lower in 0..upper {
                let decades = pair(lower, upper).clamp(-5.0, 5.0);
                pair_shifts.push(PairShift {
                    under: lower,
                    over: upper,
                    decades,
                });
            }
        }
        let mut solved = film::Case::new(&self.profile, layers);
        solved.pair_shifts = pair_shifts;
        solved.mixing = mixing.clamp(0.0, 1.0);
        (solved, 10f64.powf(most_fluid))
    }

    /// The same of one draw, at a place `factor` times as thick as its mean.
    pub fn draw(
        &self,
        case: &Case,
        params: &Params,
        drawn: &Drawn,
        factor: f64,
    ) -> (film::Case<'_>, f64) {
        let melt: Vec<f64> = drawn.melt_m.iter().map(|h| h * factor).collect();
        let pair = |lower: usize, upper: usize| stack::pair(case, params, lower, upper);
        self.film_case(case, &melt, &drawn.log10_phi, &pair, params.mixing)
    }
}
