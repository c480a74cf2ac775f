//! How likely a judgement of the look is: an ordered probit of the top layer's fired thickness and of its share.
//!
//! Takes the layers of an entry and what was judged; gives the log likelihood with its slopes.

use super::super::data::{Laid, Piece};
use super::super::normal::cdf_pdf;
use super::now::Now;
use super::stack::{Stack, unnamed};
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

/// Melt thickness of the layers that count for the look, m, and all of them together.
fn over(piece: &Piece, stack: &Stack) -> ([f64; LAYERS], f64) {
    let mut over = stack.melt;
    let mut total = 0.0;
    for (i, melt) in over.iter_mut().enumerate().take(stack.len) {
        if i + 1 != stack.len && (piece.look_over >> i) & 1 == 0 {
            *melt = 0.0;
        }
        total += *melt;
    }
    (over, total.max(1e-12))
}

/// Variance of the thickness that a look is judged by, at the point that `stack` is laid at: all but the judgement and the coats, and per square of the coat spread.
pub fn spread(layers: &[Laid], piece: &Piece, now: &Now, stack: &Stack) -> [f64; 2] {
    let (over, total) = over(piece, stack);
    let (mut rest, mut coat) = (0.0, 0.0);
    for (i, laid) in layers.iter().take(stack.len).enumerate() {
        let own = if i + 1 == stack.len { 1.0 } else { 0.0 };
        let s = own + now.look_share * (own - over[i] / total);
        coat += s * s * laid.per_unit;
        rest += s * s * laid.sg_variance + (s * unnamed(laid, now)).powi(2);
    }
    [rest, coat]
}

/// Log likelihood of `look`; `cuts` are the glaze's middle and the log of its half width, `spread` as [`spread`] found it.
pub fn judge(
    look: Look,
    cuts: &[f64],
    piece: &Piece,
    spread: &[f64; 2],
    now: &Now,
    stack: &Stack,
) -> (f64, LookSlopes) {
    let n = stack.len;
    let mut slopes = LookSlopes::default();
    let Some(top) = n.checked_sub(1) else {
        return (0.0, slopes);
    };
    let (over, total) = over(piece, stack);
    let ln_share = (over[top] / total).max(1e-9).ln();
    let x = stack.ln_melt[top] + piece.ln_fired_per_melt + now.look_share * ln_share;
    for (i, slope) in slopes.per_ln_melt.iter_mut().enumerate().take(n) {
        let own = if i == top { 1.0 } else { 0.0 };
        *slope = own + now.look_share * (own - over[i] / total);
    }
    slopes.per_look_share = ln_share;
    let [rest, per_coat_squared] = *spread;
    let variance = now.look_sigma.value.powi(2) + per_coat_squared * now.coat.value.powi(2) + rest;
    let sd = variance.sqrt();
    let half = cuts[1].exp();
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
    slopes.sigma = per_variance * 2.0 * now.look_sigma.value;
    slopes.coat = per_variance * 2.0 * now.coat.value * per_coat_squared;
    slopes.outlier = (any - p) / sum;
    let curved = |e: f64, z: f64| e * (e + z) / variance;
    slopes.curvature = [curved(e1, z1), curved(e2, z2)];
    (sum.ln(), slopes)
}
