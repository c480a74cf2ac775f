//! How likely a judgement of the texture is: an ordered probit of how much of the relief is kept, as ln(−ln kept), on which levelling is a shift.
//!
//! Takes the film over the texture and what was seen; gives the likelihood with its logarithm's slopes.

use super::super::data::{Laid, Piece, Relief};
use super::super::normal::cdf_pdf;
use super::now::Now;
use super::one;
use super::stack::{Film, unnamed};
use crate::physics::constants::{GAMMA, GRAVITY, RHO};
use crate::physics::texture;
use crate::real::{Pair, Real};
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
    pub by: [Pair; 2],
    /// The same for ln(−ln kept) itself.
    pub margin: [Pair; 2],
    /// Per cut between crisp and softened, and per gap to buried.
    pub cuts: [Pair; 2],
    /// Per spread of a judgement.
    pub sigma: Pair,
    /// Per decade of noise.
    pub noise: Pair,
    /// Per coat spread.
    pub coat: Pair,
    /// Per share of blunders.
    pub outlier: Pair,
    /// Curvature of −log likelihood in ln(−ln kept) (below 0 where a reading is far off).
    pub curvature: Pair,
}

/// ln(−ln) of the relief that a film keeps, its change per log of thickness and per decade of Phi.
#[cfg_attr(fast_by_function, optimize(speed))]
fn levelled(relief: &Relief, film: &Film, sin_slope: f64) -> (Pair, Pair, Pair) {
    let most = Pair::splat(MOST_DECADES);
    let decades = film.log10_phi.or_less(most).or_more(-most);
    let [kept, per_ln_h, per_ln_phi] = texture::relief_kept_slopes(
        &relief.waves,
        &texture::Film {
            melt_m: film.thickness,
            phi_per_pa: (decades * LN_10).exponential(),
            weight_n_per_m3: RHO * GRAVITY,
            gamma_n_per_m: GAMMA,
            sin_slope,
        },
    );
    let (least, most_kept) = (Pair::splat(END), Pair::splat(1.0 - END));
    let lost = -kept.or_more(least).or_less(most_kept).logarithm();
    let inside = least.at_most(kept) & kept.at_most(most_kept);
    let per = Pair::either(inside, -1.0 / lost, Pair::ZERO);
    let within = film.log10_phi.size().at_most(most);
    (
        lost.logarithm(),
        per * per_ln_h,
        Pair::either(within, per, Pair::ZERO) * per_ln_phi * LN_10,
    )
}

/// Variance of ln(−ln kept), at the point that `film` is melted at: all but the judgement, per square of the coat spread, per square of the noise.
pub fn spread(relief: &Relief, piece: &Piece, layers: &[Laid], film: &Film, now: &Now) -> [f64; 3] {
    let (_, per_ln_h, per_decade) = levelled(relief, film, piece.sin_slope);
    let (per_ln_h, per_decade) = (one(per_ln_h), one(per_decade));
    let (mut coat, mut rest, mut anyone) = (0.0, 0.0, 0.0);
    for (i, laid) in layers.iter().take(film.share.len()).enumerate() {
        let s = per_ln_h * one(film.share[i]) + per_decade * one(film.per_ln_melt[i]);
        coat += s * s * laid.per_unit;
        rest += s * s * laid.sg_variance;
        anyone += s * one(unnamed(laid, now));
    }
    let noise = per_decade * per_decade;
    [rest + anyone * anyone + noise * piece.variance, coat, noise]
}

/// Likelihood of what was seen, its logarithm's slopes put into `slopes`; `spread` as [`spread`] found it.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn judge(
    relief: &Relief,
    (piece, spread): (&Piece, &[f64; 3]),
    film: &Film,
    now: &Now,
    slopes: &mut TextureSlopes,
) -> Pair {
    let (x, per_ln_h, per_decade) = levelled(relief, film, piece.sin_slope);
    let [rest, per_coat_squared, per_noise_squared] = *spread;
    let (sigma, noise, coat) = (now.texture_sigma.value, now.noise.value, now.coat.value);
    let variance =
        sigma * sigma + per_noise_squared * noise * noise + per_coat_squared * coat * coat + rest;
    let per_sd = 1.0 / variance.sqrt();
    let gap = now.buried_gap;
    let edge = |at: Pair| {
        let z = (at - x) * per_sd;
        let (below, density) = cdf_pdf(z);
        (z, below, density)
    };
    let (z1, below_low, d1) = edge(now.crisp_cut);
    let (z2, below_high, d2) = edge(now.crisp_cut + gap.value);
    let (p, w1, w2) = match relief.seen {
        TextureSeen::Crisp => (below_low, 1.0, 0.0),
        TextureSeen::Softened => ((below_high - below_low).or_more(Pair::ZERO), -1.0, 1.0),
        TextureSeen::Buried => (1.0 - below_high, 0.0, -1.0),
    };
    let outlier = now.outlier.value;
    // A blunder's texture is any of the three.
    let any = 1.0 / 3.0;
    let sum = ((1.0 - outlier) * p + outlier * any).or_more(Pair::splat(1e-300));
    let a = (1.0 - outlier) / sum;
    let (e1, e2) = (a * w1 * d1, a * w2 * d2);
    let all = (e1 + e2) * per_sd;
    let per_x = -all;
    let bent = (e1 * z1 + e2 * z2) * per_sd * per_sd;
    let per_variance = -0.5 * bent;
    *slopes = TextureSlopes {
        by: [per_x * per_decade, per_x * per_ln_h],
        margin: [per_decade, per_ln_h],
        cuts: [all, e2 * per_sd * gap.slope],
        sigma: per_variance * 2.0 * sigma,
        noise: per_variance * 2.0 * noise * per_noise_squared,
        coat: per_variance * 2.0 * coat * per_coat_squared,
        outlier: (any - p) / sum,
        curvature: per_x * per_x + bent,
    };
    sum
}
