//! How likely a weigh-in is: the mass of a hand's coats against the book's.
//!
//! Takes a weigh-in and the studio's numbers; gives the log likelihood with its slopes. Place to place averages out over the patches of its area.

use super::super::data::Weighed;
use super::now::Now;
use super::stack::{ln_mass, unnamed};
use crate::real::{Pair, Real};

/// A blunder at the balance or in the coats: sd of the log of the mass it amounts to (judged).
const BLUNDER_LN_SIGMA: f64 = 0.7;

/// Slopes of the log likelihood of one weigh-in.
#[derive(Clone, Copy, Debug, Default)]
pub struct WeighSlopes {
    /// Per log of the mass expected.
    pub per_ln_mass: Pair,
    /// Per coat spread.
    pub per_coat: Pair,
    /// Per place spread.
    pub per_place: Pair,
    /// Per share of blunders.
    pub per_outlier: Pair,
    /// Curvature of −log likelihood in the log of the mass, 0 or more.
    pub curvature: Pair,
    /// Chance that it is a blunder.
    pub blunder: Pair,
}

/// Log likelihood of one weigh-in.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn judge(weighed: &Weighed, now: &Now, point: &[Pair]) -> (Pair, WeighSlopes) {
    let laid = &weighed.laid;
    let off = weighed.ln_ratio - ln_mass(laid, now, point);
    let (coat, place) = (now.coat.value, now.place.value);
    let anyone = unnamed(laid, now);
    let variance = weighed.variance
        + laid.sg_variance
        + anyone * anyone
        + laid.per_unit * coat * coat
        + place * place / weighed.patches;
    let normal = |variance: Pair| (-0.5 * off * off / variance).exponential() / variance.sqrt();
    let wide = variance + BLUNDER_LN_SIGMA * BLUNDER_LN_SIGMA;
    let outlier = now.outlier.value;
    let (sound, blunder) = (normal(variance), normal(wide));
    let sum = ((1.0 - outlier) * sound + outlier * blunder).or_more(Pair::splat(1e-300));
    let (a, b) = ((1.0 - outlier) * sound / sum, outlier * blunder / sum);
    let per_variance = a * (off * off / variance - 1.0) / (2.0 * variance)
        + b * (off * off / wide - 1.0) / (2.0 * wide);
    let slopes = WeighSlopes {
        per_ln_mass: off * (a / variance + b / wide),
        per_coat: per_variance * 2.0 * coat * laid.per_unit,
        per_place: per_variance * 2.0 * place / weighed.patches,
        per_outlier: (blunder - sound) / sum,
        curvature: a / variance + b / wide,
        blunder: b,
    };
    (sum.logarithm(), slopes)
}
