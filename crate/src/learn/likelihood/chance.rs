//! The chances of one entry's run at one point: margins at a run, what stays below it, how densely readings lie there.
//!
//! Takes the films above an entry's edges; gives chances by part of the longest drip's mixture and for a blunder, with what they change by.
//!
//! A run stays below r where log10 Phi stays below what r needs, `y(r, h, A)`: exact, by the tile law turned round. Spreads of
//! the thickness are linear in their logs about each part of the longest drip's mixture, so every chance is a sum of normal ones.

use super::super::data::{Log, Piece, Strip};
use super::super::drips::Longest;
use super::super::normal::{cdf_pdf, pdf};
use super::frozen::Frozen;
use super::margin::{self, Films, Margin, Slower, Swept};
use super::mark::Line;
use super::now::Now;
use super::onto;
use super::stack::{EDGES, Stack};
use crate::real::{Pair, Real};
use std::f64::consts::LN_10;

/// A blunder in what went on (order, coats, glaze): sd of log10 Phi it amounts to, decades (judged).
const BLUNDER_DECADES: f64 = 0.8;

/// One entry of a log, with what is held of it.
#[derive(Clone, Copy, Debug)]
pub struct Entry<'a> {
    /// The log.
    pub log: &'a Log,
    /// The entry.
    pub piece: &'a Piece,
    /// What is held.
    pub frozen: &'a Frozen,
}

/// The chances of one entry's run at one point, before anybody reads it.
#[derive(Clone, Debug)]
pub struct RunChance<'a> {
    strips: &'a [Strip],
    /// The longest of its drips.
    pub longest: &'a Longest,
    frozen: &'a Frozen,
    /// How many edges it has.
    pub edges: usize,
    /// How many parts the mixture has.
    pub parts: usize,
    /// Whether the edge lies on another glaze, whose film is the second.
    over_glaze: bool,
    /// Whether its edges hold a film back.
    held: bool,
    /// Films above the edges at the longest drip's place, by part.
    films: [Films; 2],
    slower: Slower,
    nothing: Pair,
    /// Place spread.
    pub place: Pair,
    /// Variance of log10 Phi from what is not named.
    unnamed: f64,
    /// Variance of the margin from all but the place.
    variance: Pair,
    /// Its change per square of the coat spread.
    pub per_coat_squared: Pair,
    /// Its change per `per_ln_h` of the mean margin at the reading.
    pub per_slope: Pair,
}

/// Margins of a run for the parts of the longest drip's mixture.
#[derive(Clone, Copy, Debug, Default)]
pub struct Margins {
    /// By part.
    pub parts: [Margin; 2],
    /// Weights of the parts.
    pub weight: [f64; 2],
    /// Mean over the parts.
    pub m: Pair,
    /// The same of its change per log of thickness.
    pub per_ln_h: Pair,
    /// The same of its change per m of run.
    pub per_run_m: Pair,
    /// Room for those of each edge, and for what is swept up on the way down to it.
    edges: [Margin; EDGES],
    swept: [Swept; EDGES],
}

/// A chance, or a density, at one end of a reading, by parts of the mixture and for a blunder, with its changes.
#[derive(Clone, Copy, Debug, Default)]
pub struct Chances {
    /// Chance or density.
    pub p: [Pair; 3],
    /// Per decade of margin.
    pub margin: [Pair; 3],
    /// Per ln of the margin's change per run.
    pub run: [Pair; 3],
    /// Per variance of the margin from all but the place and the reading.
    pub variance: [Pair; 3],
    /// Second derivative in the margin.
    pub curved: [Pair; 3],
}

/// Number of a blunder among the parts.
pub const BLUNDER: usize = 2;
/// Before any are put in. Number by number: a list of lists would be copied by calls.
#[cfg_attr(fast_by_function, optimize(speed))]
fn nothing_of(nothing: Pair) -> Films {
    Films {
        ln_h: [nothing, nothing, nothing],
        log10_phi: [nothing, nothing, nothing],
        held_m: [nothing, nothing, nothing],
    }
}

impl<'a> RunChance<'a> {
    /// Of an entry whose films are in `stack`.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn new(entry: Entry<'a>, now: &Now, stack: &Stack) -> Self {
        let Entry { log, piece, frozen } = entry;
        let longest = &piece.longest;
        let (place, nothing) = (now.place.value, now.nothing);
        let edges = (piece.edges as usize).min(EDGES);
        let mut chance = Self {
            strips: &piece.strips.of(&log.strips)[..edges],
            longest,
            frozen,
            edges,
            parts: if longest.weight[1] > 0.0 { 2 } else { 1 },
            over_glaze: !piece.held && piece.edges == 2,
            films: [nothing_of(nothing), nothing_of(nothing)],
            nothing,
            held: piece.held,
            slower: [
                [nothing, nothing, nothing],
                [nothing, nothing, nothing],
                [nothing, nothing, nothing],
            ],
            place,
            unnamed: piece.variance,
            variance: nothing,
            per_coat_squared: nothing,
            per_slope: nothing,
        };
        for part in 0..chance.parts {
            let thicker = place * longest.mean[part];
            let thinner = now.factors.thinner[entry.frozen.drips as usize][part];
            let held = if piece.held {
                now.retention_m2 * thinner
            } else {
                Pair::ZERO
            };
            let films = &mut chance.films[part];
            for edge in 0..edges {
                let (film, strip) = (&stack.films[edge], &chance.strips[edge]);
                films.ln_h[edge] = film.ln_thickness + thicker;
                films.log10_phi[edge] = film.log10_phi;
                films.held_m[edge] = held * (strip.held / strip.sin_slope) / film.thickness;
            }
        }
        if edges > 1 && !chance.over_glaze {
            for edge in 1..edges {
                for below in 0..edge {
                    let (film, under) = (&stack.films[edge], &stack.films[below]);
                    let decades = 0.5 * (under.log10_phi - film.log10_phi);
                    let slower = (LN_10 * decades).exponential() * under.thickness / film.thickness;
                    chance.slower[edge][below] = slower;
                }
            }
        }
        chance
    }

    /// Takes the spreads at a run whose margins are given.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn spread_at(&mut self, now: &Now, margins: &Margins) {
        let spread = self.frozen.spread(self.edges, margins.per_ln_h);
        let coat_squared = now.coat.value * now.coat.value;
        self.per_coat_squared = spread.coat;
        self.variance = now.noise.value * now.noise.value
            + self.unnamed
            + spread.fixed
            + spread.coat * coat_squared;
        self.per_slope = spread.fixed_bend + spread.coat_bend * coat_squared;
    }

    /// Margin of one part, by the run's marks, one per edge.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn margin(
        &self,
        part: usize,
        lines: &[Line<'_>; EDGES],
        with_run: bool,
        margin: &mut Margin,
        (swept, all): (&[Swept; EDGES], &mut [Margin; EDGES]),
    ) {
        let films = &self.films[part];
        let wanted = (self.held, with_run);
        if self.over_glaze {
            let films = (films, self.nothing);
            return onto::of_edge(films, &self.strips[0], lines[0], margin);
        }
        if self.edges == 1 {
            let there = (films, &swept[0], self.nothing);
            return margin::of_edge(0, there, self.strips, lines[0], wanted, margin);
        }
        for (edge, own) in all.iter_mut().enumerate().take(self.edges) {
            let there = (films, &swept[edge], self.nothing);
            margin::of_edge(edge, there, self.strips, lines[edge], wanted, own);
        }
        margin::first_of(&all[..self.edges], with_run, self.nothing, margin);
    }

    /// Margins of a run, by its marks: one per edge. `with_run`: with what changes per m of run.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn margins(&self, lines: &[Line<'_>; EDGES], with_run: bool, to: &mut Margins) {
        (to.m, to.per_ln_h, to.per_run_m) = (Pair::ZERO, Pair::ZERO, Pair::ZERO);
        if !self.over_glaze {
            // The same for both parts.
            for (edge, line) in lines.iter().enumerate().take(self.edges).skip(1) {
                let slower = (&self.slower[edge], self.nothing);
                let (mark_m, swept) = (line.mark.straight_m, &mut to.swept[edge]);
                margin::swept(edge, slower, self.strips, mark_m, swept);
            }
        }
        for part in 0..self.parts {
            if part > 0 && self.over_glaze {
                // On glaze nothing is held, so the thickness only shifts it.
                to.parts[part] = to.parts[0];
                let [one, other] = &self.films;
                let own = &mut to.parts[part];
                own.m += own.per_ln_h * (other.ln_h[0] - one.ln_h[0]);
            } else {
                let room = (&to.swept, &mut to.edges);
                self.margin(part, lines, with_run, &mut to.parts[part], room);
            }
            let own = &to.parts[part];
            let weight = self.longest.weight[part];
            to.weight[part] = weight;
            to.m += weight * own.m;
            to.per_ln_h += weight * own.per_ln_h;
            to.per_run_m += weight * own.per_run_m;
        }
    }

    /// Chance that the run stays at or below that of `margins`.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn below(&self, margins: &Margins) -> Pair {
        let mut sum = Pair::ZERO;
        for part in 0..self.parts {
            let own = &margins.parts[part];
            let z = own.m / (self.variance + self.drip(part, own.per_ln_h)).sqrt();
            sum += self.longest.weight[part] * cdf_pdf(z).0;
        }
        sum
    }

    /// What the place makes of the variance in a part of the mixture or for a blunder, where the margin's slope in the thickness is `slope`.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn drip(&self, part: usize, slope: Pair) -> Pair {
        let (slope, spread) = self.slope_and_spread(part, slope);
        slope * slope * spread * self.place * self.place
    }

    /// With several edges the slope is held: see [`Frozen`]. And the variance of the place's standard score.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn slope_and_spread(&self, part: usize, slope: Pair) -> (Pair, f64) {
        let slope = if self.edges > 1 {
            Pair::splat(self.frozen.per_ln_h[part])
        } else {
            slope
        };
        if part == BLUNDER {
            return (slope, self.longest.variance);
        }
        (slope, self.longest.sd[part] * self.longest.sd[part])
    }

    /// Margin, its slopes in thickness and run, weight, and variance of all but the reading, of a part or for a blunder.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn of(&self, margins: &Margins, part: usize) -> (Pair, Pair, f64, Pair) {
        if part == BLUNDER {
            let own = self.variance + BLUNDER_DECADES * BLUNDER_DECADES;
            let drip = self.drip(part, margins.per_ln_h);
            return (margins.m, margins.per_run_m, 1.0, own + drip);
        }
        let t = &margins.parts[part];
        let drip = self.drip(part, t.per_ln_h);
        (
            t.m,
            t.per_run_m,
            self.longest.weight[part],
            self.variance + drip,
        )
    }

    /// The chances of a run of at most that of `margins`.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn chances_below(&self, margins: &Margins, to: &mut Chances) {
        for part in 0..=BLUNDER {
            if part == 1 && self.parts == 1 {
                continue;
            }
            let (m, _, share, variance) = self.of(margins, part);
            let per_sd = 1.0 / variance.sqrt();
            let z = m * per_sd;
            let (p, density) = cdf_pdf(z);
            let d = share * density * per_sd;
            let curved = d * z * per_sd;
            to.p[part] = share * p;
            to.margin[part] = d;
            to.variance[part] = -0.5 * curved;
            to.curved[part] = -curved;
        }
    }

    /// The densities of reading the run of `margins` with error variance `error_m2`, per `seen` times m.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn densities(&self, margins: &Margins, error_m2: f64, seen: f64, to: &mut Chances) {
        for part in 0..=BLUNDER {
            if part == 1 && self.parts == 1 {
                continue;
            }
            let (m, per_run_m, share, variance) = self.of(margins, part);
            let reading = per_run_m * per_run_m * error_m2;
            let per_variance_one = 1.0 / (variance + reading);
            let per_sd = per_variance_one.sqrt();
            let z = m * per_sd;
            let p = share * seen * per_run_m * pdf(z) * per_sd;
            let per_variance = 0.5 * p * (z * z - 1.0) * per_variance_one;
            to.p[part] = p;
            to.margin[part] = -p * z * per_sd;
            to.variance[part] = per_variance;
            to.curved[part] = 2.0 * per_variance;
            // The run's own slope stands before the density and in the reading's variance.
            to.run[part] = p + 2.0 * per_variance * reading;
        }
    }
}
