//! How likely a judgement of the texture is: an ordered probit of how much of the relief is kept, as ln(−ln kept), on which levelling is a shift.
//!
//! Takes the film over the texture and what was seen; gives the likelihood with its logarithm's slopes.

use super::super::data::{Laid, Piece, Relief};
use super::super::normal::cdf_pdf;
use super::now::Now;
use super::stack::{Film, unnamed};
use crate::physics::constants::{GAMMA, GRAVITY, RHO};
use crate::physics::exp_ln::{exp, ln};
use crate::physics::texture;
use crate::studio::document::TextureSeen;
use std::f64::consts::LN_10;

/// A film's Phi is taken to lie within so many decades of 1/Pa.
const MOST_DECADES: f64 = 12.0;
/// Relief kept is taken to lie this far from 0 and 1.
const END: f64 = 1e-6;

/// Slopes of the log likelihood of one texture.
#[derive(Clone, Copy, Debug, Default)]
pub struct TextureSlopes {
    /// Per decade of the film's Phi and per log of its thickness, for the log likelihood.
    pub by: [f64; 2],
    /// The same for ln(−ln kept) itself.
    pub margin: [f64; 2],
    /// Per cut between crisp and softened, and per gap to buried.
    pub cuts: [f64; 2],
    /// Per spread of a judgement.
    pub sigma: f64,
    /// Per decade of noise.
    pub noise: f64,
    /// Per coat spread.
    pub coat: f64,
    /// Per share of blunders.
    pub outlier: f64,
    /// Curvature of −log likelihood in ln(−ln kept) (below 0 where a reading is far off).
    pub curvature: f64,
}

/// ln(−ln) of the relief that a film keeps, its change per log of thickness and per decade of Phi.
fn levelled(relief: &Relief, film: &Film, sin_slope: f64) -> (f64, f64, f64) {
    let decades = film.log10_phi.clamp(-MOST_DECADES, MOST_DECADES);
    let [kept, per_ln_h, per_ln_phi] = texture::relief_kept_slopes(
        &relief.waves,
        &texture::Film {
            melt_m: film.thickness,
            phi_per_pa: exp(decades * LN_10),
            weight_n_per_m3: RHO * GRAVITY,
            gamma_n_per_m: GAMMA,
            sin_slope,
        },
    );
    let inside = kept.clamp(END, 1.0 - END);
    let lost = -ln(inside);
    let per = if inside == kept { -1.0 / lost } else { 0.0 };
    let within = if decades == film.log10_phi { per } else { 0.0 };
    (ln(lost), per * per_ln_h, within * per_ln_phi * LN_10)
}

/// Variance of ln(−ln kept), at the point that `film` is melted at: all but the judgement, per square of the coat spread, per square of the noise.
pub fn spread(relief: &Relief, piece: &Piece, layers: &[Laid], film: &Film, now: &Now) -> [f64; 3] {
    let (_, per_ln_h, per_decade) = levelled(relief, film, piece.sin_slope);
    let (mut coat, mut rest, mut anyone) = (0.0, 0.0, 0.0);
    for (i, laid) in layers.iter().take(film.share.len()).enumerate() {
        let s = per_ln_h * film.share[i] + per_decade * film.per_ln_melt[i];
        coat += s * s * laid.per_unit;
        rest += s * s * laid.sg_variance;
        anyone += s * unnamed(laid, now);
    }
    let noise = per_decade * per_decade;
    [rest + anyone * anyone + noise * piece.variance, coat, noise]
}

/// Likelihood of what was seen and its logarithm's slopes; `spread` as [`spread`] found it.
pub fn judge(
    relief: &Relief,
    piece: &Piece,
    spread: &[f64; 3],
    film: &Film,
    now: &Now,
) -> (f64, TextureSlopes) {
    let (x, per_ln_h, per_decade) = levelled(relief, film, piece.sin_slope);
    let [rest, per_coat_squared, per_noise_squared] = *spread;
    let (sigma, noise, coat) = (now.texture_sigma.value, now.noise.value, now.coat.value);
    let variance =
        sigma * sigma + per_noise_squared * noise * noise + per_coat_squared * coat * coat + rest;
    let sd = variance.sqrt();
    let gap = now.buried_gap;
    let edge = |at: f64| {
        let z = (at - x) / sd;
        let (below, density) = cdf_pdf(z);
        (z, below, density)
    };
    let (z1, below_low, d1) = edge(now.crisp_cut);
    let (z2, below_high, d2) = edge(now.crisp_cut + gap.value);
    let (p, w1, w2) = match relief.seen {
        TextureSeen::Crisp => (below_low, 1.0, 0.0),
        TextureSeen::Softened => ((below_high - below_low).max(0.0), -1.0, 1.0),
        TextureSeen::Buried => (1.0 - below_high, 0.0, -1.0),
    };
    let outlier = now.outlier.value;
    // A blunder's texture is any of the three.
    let any = 1.0 / 3.0;
    let sum = ((1.0 - outlier) * p + outlier * any).max(1e-300);
    let a = (1.0 - outlier) / sum;
    let (e1, e2) = (a * w1 * d1, a * w2 * d2);
    let per_x = -(e1 + e2) / sd;
    let per_variance = -(e1 * z1 + e2 * z2) / (2.0 * variance);
    let slopes = TextureSlopes {
        by: [per_x * per_decade, per_x * per_ln_h],
        margin: [per_decade, per_ln_h],
        cuts: [(e1 + e2) / sd, e2 / sd * gap.slope],
        sigma: per_variance * 2.0 * sigma,
        noise: per_variance * 2.0 * noise * per_noise_squared,
        coat: per_variance * 2.0 * coat * per_coat_squared,
        outlier: (any - p) / sum,
        curvature: per_x * per_x + (e1 * z1 + e2 * z2) / variance,
    };
    (sum, slopes)
}
