//! What of an entry's spreads is held while the sampler moves: how much each layer's luck counts, worked out at one point near the mode.
//!
//! Takes an entry at that point; gives variances. Luck of coats and of specific gravity is small and its weights hardly change over a posterior; held, they
//! cost nothing and the gradient is exact. What does change, the threshold's slope in the thickness, goes in as a number.

use super::super::data::{Log, Piece};
use super::chance::{Entry, Margins, RunChance};
use super::look;
use super::mark::Line;
use super::now::Now;
use super::one;

use super::stack::{EDGES, Stack, unnamed};
use super::texture;
use super::written::Reading;
use crate::real::Pair;

/// Held numbers of one entry.
#[derive(Clone, Copy, Debug, Default)]
pub struct Frozen {
    /// Variance of the margin from specific gravity and unnamed hands, as a polynomial in the threshold's slope.
    fixed: [f64; 3],
    /// The same per square of the coat spread.
    coat: [f64; 3],
    /// With several edges: the threshold's slope in the thickness by part of the mixture, and for a blunder.
    pub per_ln_h: [f64; 3],
    /// Number of the kind of its longest drip.
    pub drips: u32,
    /// The run that was read.
    pub reading: Option<Reading>,
    /// Thickness above each edge at the longest drip, m.
    pub thickness_m: [f64; EDGES],
    /// Variance of the thickness that a look is judged by: fixed, and per square of the coat spread.
    pub look: [f64; 2],
    /// Variance of ln(−ln kept): fixed, per square of the coat spread, per square of the noise.
    pub texture: [f64; 3],
}

/// How much thicker than the mean the longest drip's place is, at its middle.
pub fn thicker(piece: &Piece, now: &Now) -> f64 {
    (one(now.place.value) * piece.longest.middle).exp()
}

/// Variance of a margin at one slope of the threshold.
pub struct Spread {
    /// All but coats, noise and place.
    pub fixed: Pair,
    /// Per square of the coat spread.
    pub coat: Pair,
    /// Change of `fixed` per slope.
    pub fixed_bend: Pair,
    /// Change of `coat` per slope.
    pub coat_bend: Pair,
}

impl Frozen {
    /// Of an entry whose films are in `stack` at the point to hold, and the lines of its reading's marks, one per edge; `drips`: number of the kind of its longest drip.
    pub fn of(
        log: &Log,
        piece: &Piece,
        now: &Now,
        stack: &Stack,
        lines: &[Line<'_>; EDGES],
        drips: u32,
    ) -> Self {
        let mut frozen = Self {
            drips,
            ..Self::default()
        };
        for (own, film) in frozen.thickness_m.iter_mut().zip(&stack.films) {
            *own = one(film.thickness) * thicker(piece, now);
        }
        let layers = piece.layers.of(&log.layers);
        if let Some(read) = &piece.run {
            frozen.reading = Some(Reading::of(read, log.words));
            let empty = frozen;
            let entry = Entry {
                log,
                piece,
                frozen: &empty,
            };
            let chance = RunChance::new(entry, now, stack);
            let mut margins = Margins::default();
            chance.margins(lines, false, &mut margins);
            let edges = chance.edges;
            // The slope of the first edge's film where there is only one stays a variable: s = p − slope · x.
            let (mut p_x, mut someone) = ([[0.0; 3]; 2], [0.0; 2]);
            for (i, laid) in layers.iter().take(stack.len).enumerate() {
                let (mut p, mut x) = (0.0, 0.0);
                if edges == 1 {
                    let film = &stack.films[0];
                    (p, x) = (one(film.per_ln_melt[i]), one(film.share[i]));
                } else {
                    for (part, weight) in margins.parts.iter().zip(margins.weight) {
                        for edge in 0..edges {
                            let film = &stack.films[edge];
                            let by = part.phi[edge] * film.per_ln_melt[i]
                                + part.ln_h[edge] * film.share[i];
                            p -= weight * one(by);
                        }
                    }
                }
                for (sums, weight) in p_x.iter_mut().zip([laid.sg_variance, laid.per_unit]) {
                    sums[0] += weight * p * p;
                    sums[1] -= 2.0 * weight * p * x;
                    sums[2] += weight * x * x;
                }
                let habit = one(unnamed(laid, now));
                someone[0] += habit * p;
                someone[1] += habit * x;
            }
            [frozen.fixed, frozen.coat] = p_x;
            frozen.fixed[0] += someone[0] * someone[0];
            frozen.fixed[1] -= 2.0 * someone[0] * someone[1];
            frozen.fixed[2] += someone[1] * someone[1];
            frozen.per_ln_h = [
                one(margins.parts[0].per_ln_h),
                one(margins.parts[1].per_ln_h),
                one(margins.per_ln_h),
            ];
        }
        if piece.look.is_some() {
            frozen.look = look::spread(layers, piece, now, stack);
        }
        if let Some(relief) = &piece.relief {
            frozen.texture = texture::spread(relief, piece, layers, &stack.over_texture, now);
        }
        frozen
    }

    /// Variance of the margin where the threshold's slope in the thickness is `slope`.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn spread(&self, edges: usize, slope: Pair) -> Spread {
        let ([a, b, c], [d, e, f]) = (self.fixed, self.coat);
        if edges > 1 {
            return Spread {
                fixed: Pair::splat(a),
                coat: Pair::splat(d),
                fixed_bend: Pair::ZERO,
                coat_bend: Pair::ZERO,
            };
        }
        Spread {
            fixed: a + slope * (b + slope * c),
            coat: d + slope * (e + slope * f),
            fixed_bend: b + 2.0 * slope * c,
            coat_bend: e + 2.0 * slope * f,
        }
    }
}
