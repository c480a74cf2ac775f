//! How likely a judgement of the look is: an ordered probit of the top layer's fired thickness and of its share.
//!
//! Takes the layers of an entry and what was judged; gives the log likelihood with its slopes.

use super::super::data::Laid;
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
    /// Curvature of −log likelihood in the thickness, 0 or more.
    pub curvature: f64,
}

/// Log likelihood of `look`; `cuts` are the glaze's middle and the log of its half width.
pub fn judge(
    look: Look,
    cuts: &[f64],
    layers: &[Laid],
    ln_fired_per_melt: f64,
    now: &Now,
    stack: &Stack,
) -> (f64, LookSlopes) {
    let n = stack.len;
    let mut slopes = LookSlopes::default();
    let Some(top) = n.checked_sub(1) else {
        return (0.0, slopes);
    };
    let total: f64 = stack.melt[..n].iter().sum();
    let ln_share = (stack.melt[top] / total.max(1e-12)).max(1e-9).ln();
    let x = stack.ln_melt[top] + ln_fired_per_melt + now.look_share * ln_share;
    let (mut per_coat_squared, mut rest) = (0.0, 0.0);
    for (i, laid) in layers.iter().take(n).enumerate() {
        let own = if i == top { 1.0 } else { 0.0 };
        let s = own + now.look_share * (own - stack.melt[i] / total.max(1e-12));
        slopes.per_ln_melt[i] = s;
        per_coat_squared += s * s * laid.per_unit;
        rest += s * s * laid.sg_variance + (s * unnamed(laid, now)).powi(2);
    }
    slopes.per_look_share = ln_share;
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
    let second = -(e1 * z1 + e2 * z2) / variance;
    slopes.curvature = (slopes.per_x.powi(2) - second).max(0.0);
    (sum.ln(), slopes)
}
