//! How likely a judgement of the look is: an ordered probit of the top layer's fired thickness and of its share.
//!
//! Takes the layers of an entry and what was judged; gives the likelihood with its logarithm's slopes.

use super::super::data::{Laid, Piece};
use super::super::normal::cdf_pdf;
use super::now::Now;
use super::one;
use super::stack::{Stack, unnamed};
use crate::real::{Mask, Pair, Real};
use crate::studio::bounds::LAYERS;
use crate::studio::document::Look;

/// Slopes of the log likelihood of one look.
#[derive(Clone, Copy, Debug, Default)]
pub struct LookSlopes {
    /// Per log of thickness judged by.
    pub per_x: Pair,
    /// Change of that per log of each layer's thickness.
    pub per_ln_melt: [Pair; LAYERS],
    /// Change of that per weight of the share.
    pub per_look_share: Pair,
    /// Per middle and per half width.
    pub per_cuts: [Pair; 2],
    /// Per spread of a judgement.
    pub sigma: Pair,
    /// Per coat spread.
    pub coat: Pair,
    /// Per share of blunders.
    pub outlier: Pair,
    /// Curvature of −log likelihood in each edge of "right" less the thickness (below 0 where a reading is far off).
    pub curvature: [Pair; 2],
    /// Room for shares of the layers.
    shares: [Pair; LAYERS],
}

/// Shares of the layers that count for the look in their melt thickness, and the natural log of the top one's share.
#[cfg_attr(fast_by_function, optimize(speed))]
fn over(piece: &Piece, stack: &Stack, shares: &mut [Pair; LAYERS]) -> Pair {
    let (n, mut total) = (stack.len, Pair::ZERO);
    for (i, share) in shares.iter_mut().enumerate().take(n) {
        let counts = i + 1 == n || (piece.look_over >> i) & 1 != 0;
        *share = if counts { stack.melt[i] } else { Pair::ZERO };
        total += *share;
    }
    let total = total.or_more(Pair::splat(1e-12));
    for share in &mut shares[..n] {
        *share /= total;
    }
    let top = shares[n - 1];
    if Pair::ONE.at_most(top).everywhere() {
        return Pair::ZERO;
    }
    top.or_more(Pair::splat(1e-9)).logarithm()
}

/// Variance of the thickness that a look is judged by, at the point that `stack` is laid at: all but the judgement and the coats, and per square of the coat spread.
pub fn spread(layers: &[Laid], piece: &Piece, now: &Now, stack: &Stack) -> [f64; 2] {
    let (mut rest, mut coat) = (0.0, 0.0);
    if stack.len == 0 {
        return [rest, coat];
    }
    let mut shares = [Pair::ZERO; LAYERS];
    over(piece, stack, &mut shares);
    for (i, laid) in layers.iter().take(stack.len).enumerate() {
        let own = if i + 1 == stack.len { 1.0 } else { 0.0 };
        let s = one(own + now.look_share * (own - shares[i]));
        coat += s * s * laid.per_unit;
        rest += s * s * laid.sg_variance + (s * one(unnamed(laid, now))).powi(2);
    }
    [rest, coat]
}

/// Likelihood of `look`, its logarithm's slopes put into `slopes`; `cuts` are the glaze's middle and its half width, `spread` as [`spread`] found it.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn judge(
    look: Look,
    cuts: &[Pair],
    (piece, spread): (&Piece, &[f64; 2]),
    now: &Now,
    stack: &Stack,
    slopes: &mut LookSlopes,
) -> Pair {
    let n = stack.len;
    let Some(top) = n.checked_sub(1) else {
        *slopes = LookSlopes::default();
        return Pair::ONE;
    };
    let ln_share = over(piece, stack, &mut slopes.shares);
    let x = stack.ln_melt[top] + piece.ln_fired_per_melt + now.look_share * ln_share;
    for i in 0..n {
        let share = slopes.shares[i];
        let own = if i == top { 1.0 } else { 0.0 };
        slopes.per_ln_melt[i] = own + now.look_share * (own - share);
    }
    slopes.per_look_share = ln_share;
    let [rest, per_coat_squared] = *spread;
    let (sigma, coat) = (now.look_sigma.value, now.coat.value);
    let variance = sigma * sigma + per_coat_squared * coat * coat + rest;
    let per_sd = 1.0 / variance.sqrt();
    let half = cuts[1];
    let edge = |at: Pair| {
        let z = (at - x) * per_sd;
        let (below, density) = cdf_pdf(z);
        (z, below, density)
    };
    let (z1, below_low, d1) = edge(cuts[0] - half);
    let (z2, below_high, d2) = edge(cuts[0] + half);
    // Chance, and the weights of the two edges in its slopes.
    let (p, w1, w2) = match look {
        Look::TooLittle => (below_low, 1.0, 0.0),
        Look::Right => ((below_high - below_low).or_more(Pair::ZERO), -1.0, 1.0),
        Look::TooMuch => (1.0 - below_high, 0.0, -1.0),
    };
    let outlier = now.outlier.value;
    // A blunder's look is any of the three.
    let any = 1.0 / 3.0;
    let sum = ((1.0 - outlier) * p + outlier * any).or_more(Pair::splat(1e-300));
    let a = (1.0 - outlier) / sum;
    let (e1, e2) = (a * w1 * d1, a * w2 * d2);
    let all = (e1 + e2) * per_sd;
    slopes.per_x = -all;
    slopes.per_cuts = [all, (e2 - e1) * per_sd];
    let per_variance = -0.5 * (e1 * z1 + e2 * z2) * per_sd * per_sd;
    slopes.sigma = per_variance * 2.0 * sigma;
    slopes.coat = per_variance * 2.0 * coat * per_coat_squared;
    slopes.outlier = (any - p) / sum;
    let curved = |e: Pair, z: Pair| e * (e + z) * per_sd * per_sd;
    slopes.curvature = [curved(e1, z1), curved(e2, z2)];
    sum
}
