//! How likely a judgement of the look is: an ordered probit of the top layer's fired thickness and of its share.
//!
//! Takes the layers of an entry and what was judged; gives the likelihood with its logarithm's slopes.

use super::super::data::{Laid, Piece};
use super::super::normal::cdf_pdf;
use super::now::Now;
use super::stack::{Stack, unnamed};
use crate::physics::exp_ln::{exp, ln};
use crate::studio::bounds::LAYERS;
use crate::studio::document::Look;

/// Slopes of the log likelihood of one look.
#[derive(Clone, Copy, Debug, Default)]
pub struct LookSlopes {
    /// Per log of thickness judged by.
    pub per_x: f64,
    /// Change of that per log of each layer's thickness.
    pub per_ln_melt: [f64; LAYERS],
    /// Change of that per weight of the share.
    pub per_look_share: f64,
    /// Per middle and per log of the half width.
    pub per_cuts: [f64; 2],
    /// Per spread of a judgement.
    pub sigma: f64,
    /// Per coat spread.
    pub coat: f64,
    /// Per share of blunders.
    pub outlier: f64,
    /// Curvature of −log likelihood in each edge of "right" less the thickness (below 0 where a reading is far off).
    pub curvature: [f64; 2],
}

/// Shares of the layers that count for the look in their melt thickness, and the natural log of the top one's share.
fn over(piece: &Piece, stack: &Stack, shares: &mut [f64; LAYERS]) -> f64 {
    let (n, mut total) = (stack.len, 0.0);
    for (i, share) in shares.iter_mut().enumerate().take(n) {
        let counts = i + 1 == n || (piece.look_over >> i) & 1 != 0;
        *share = if counts { stack.melt[i] } else { 0.0 };
        total += *share;
    }
    let total = if total > 1e-12 { total } else { 1e-12 };
    for share in &mut shares[..n] {
        *share /= total;
    }
    let top = shares[n - 1];
    if top == 1.0 {
        0.0
    } else {
        ln(if top > 1e-9 { top } else { 1e-9 })
    }
}

/// Variance of the thickness that a look is judged by, at the point that `stack` is laid at: all but the judgement and the coats, and per square of the coat spread.
pub fn spread(layers: &[Laid], piece: &Piece, now: &Now, stack: &Stack) -> [f64; 2] {
    let (mut rest, mut coat) = (0.0, 0.0);
    if stack.len == 0 {
        return [rest, coat];
    }
    let mut shares = [0.0; LAYERS];
    over(piece, stack, &mut shares);
    for (i, laid) in layers.iter().take(stack.len).enumerate() {
        let own = if i + 1 == stack.len { 1.0 } else { 0.0 };
        let s = own + now.look_share * (own - shares[i]);
        coat += s * s * laid.per_unit;
        rest += s * s * laid.sg_variance + (s * unnamed(laid, now)).powi(2);
    }
    [rest, coat]
}

/// Likelihood of `look`, its logarithm's slopes put into `slopes`; `cuts` are the glaze's middle and the log of its half width, `spread` as [`spread`] found it.
pub fn judge(
    look: Look,
    cuts: &[f64],
    (piece, spread): (&Piece, &[f64; 2]),
    now: &Now,
    stack: &Stack,
    slopes: &mut LookSlopes,
) -> f64 {
    let n = stack.len;
    let Some(top) = n.checked_sub(1) else {
        *slopes = LookSlopes::default();
        return 1.0;
    };
    let mut shares = [0.0; LAYERS];
    let ln_share = over(piece, stack, &mut shares);
    let x = stack.ln_melt[top] + piece.ln_fired_per_melt + now.look_share * ln_share;
    for (i, share) in shares.iter().enumerate().take(n) {
        let own = if i == top { 1.0 } else { 0.0 };
        slopes.per_ln_melt[i] = own + now.look_share * (own - share);
    }
    slopes.per_look_share = ln_share;
    let [rest, per_coat_squared] = *spread;
    let (sigma, coat) = (now.look_sigma.value, now.coat.value);
    let variance = sigma * sigma + per_coat_squared * coat * coat + rest;
    let sd = variance.sqrt();
    let half = exp(cuts[1]);
    let edge = |at: f64| {
        let z = (at - x) / sd;
        let (below, density) = cdf_pdf(z);
        (z, below, density)
    };
    let (z1, below_low, d1) = edge(cuts[0] - half);
    let (z2, below_high, d2) = edge(cuts[0] + half);
    // Chance, and the weights of the two edges in its slopes.
    let (p, w1, w2) = match look {
        Look::TooLittle => (below_low, 1.0, 0.0),
        Look::Right => ((below_high - below_low).max(0.0), -1.0, 1.0),
        Look::TooMuch => (1.0 - below_high, 0.0, -1.0),
    };
    let outlier = now.outlier.value;
    // A blunder's look is any of the three.
    let any = 1.0 / 3.0;
    let sum = ((1.0 - outlier) * p + outlier * any).max(1e-300);
    let a = (1.0 - outlier) / sum;
    let (e1, e2) = (a * w1 * d1, a * w2 * d2);
    slopes.per_x = -(e1 + e2) / sd;
    slopes.per_cuts = [(e1 + e2) / sd, (e2 - e1) * half / sd];
    let per_variance = -(e1 * z1 + e2 * z2) / (2.0 * variance);
    slopes.sigma = per_variance * 2.0 * sigma;
    slopes.coat = per_variance * 2.0 * coat * per_coat_squared;
    slopes.outlier = (any - p) / sum;
    let curved = |e: f64, z: f64| e * (e + z) / variance;
    slopes.curvature = [curved(e1, z1), curved(e2, z2)];
    sum
}
