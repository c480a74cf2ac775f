//! The log prior of a point.
//!
//! Takes the unknowns and a point; gives the log density but for a constant, with its gradient.

use super::super::prior::Prior;
use super::super::priors;
use super::super::unknowns::{Unknowns, global};
use crate::real::{Pair, Real};

/// Log prior of the point, its gradient put into `gradient`.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn ln_prior(unknowns: &Unknowns, at: &[Pair], gradient: &mut [Pair]) -> Pair {
    let mut sum = Pair::ZERO;
    for ((prior, x), g) in unknowns.priors.iter().zip(at).zip(gradient.iter_mut()) {
        let (ln, slope) = prior.ln_density(*x);
        sum += ln;
        *g = slope;
    }
    // An opinion holds or is wrong: a mixture of the two, the plain prior replaced.
    let place = unknowns.globals() + global::OPINION_WRONG;
    let (wrong, per_place) = unknowns.priors[place].with_slope(at[place]);
    for (number, glaze) in unknowns.used.glazes.iter().enumerate() {
        if unknowns.opinions[*glaze].can_be_wrong {
            let here = unknowns.glaze_number(number);
            let (ln, slope, per_wrong) =
                opinion_ln_density(&unknowns.priors[here], at[here], wrong);
            sum += ln - unknowns.priors[here].ln_density(at[here]).0;
            gradient[here] = slope;
            gradient[place] += per_wrong * per_place;
        }
    }
    sum
}

/// Log density of a glaze's coordinate as a mixture, but for the same constant as the plain prior's; its slope, and its change per share of wrong opinions.
fn opinion_ln_density(right: &Prior, at: Pair, wrong: Pair) -> (Pair, Pair, Pair) {
    // Both are normal: their curvature is the same everywhere.
    let sd = |prior: &Prior| prior.curvature(0.0).sqrt().recip();
    let (ln_right, slope_right) = right.ln_density(at);
    let (ln_other, slope_other) = priors::WRONG_OPINION.ln_density(at);
    // Far out the wrong opinion's density is ever so many times the right one's.
    let times = (ln_other - ln_right)
        .or_less(Pair::splat(600.0))
        .exponential();
    let other = times * (sd(right) / sd(&priors::WRONG_OPINION));
    let sum = (1.0 - wrong) + wrong * other;
    let share = wrong * other / sum;
    (
        ln_right + sum.logarithm(),
        (1.0 - share) * slope_right + share * slope_other,
        (other - 1.0) / sum,
    )
}
