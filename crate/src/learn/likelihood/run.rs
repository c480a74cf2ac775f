//! How likely a run is to be read: rulers, words, stuck edges and blunders.
//!
//! Takes an entry's chances and what was read; gives the likelihood with its logarithm's slopes.

use super::chance::{BLUNDER, Chances, Margins, RunChance};
use super::mark::Line;
use super::now::Now;
use super::stack::EDGES;
use super::written::{HALVES, NOTHING_MM, Reading};
use crate::real::{Pair, Real};

/// Share of the blunders of that kind; the rest are readings or words that say nothing (judged).
const BLUNDER_IN_GLAZE: f64 = 0.7;
/// Density of such a reading, per mm: runs to some 40 mm are all alike (judged).
const ANY_RULER_PER_MM: f64 = 0.025;
/// Chance of such a word, one of five alike.
const ANY_WORD: f64 = 0.2;
/// Slopes of the log likelihood of one run.
#[derive(Clone, Copy, Debug, Default)]
pub struct RunSlopes {
    /// By edge: per decade of the film's Phi.
    pub eta: [Pair; EDGES],
    /// By edge: per log of its thickness, at the same Phi.
    pub ln_h: [Pair; EDGES],
    /// Per log of the retention.
    pub ln_retention: Pair,
    /// Per decade of noise.
    pub noise: Pair,
    /// Per place spread.
    pub place: Pair,
    /// Per coat spread.
    pub coat: Pair,
    /// Per share of blunders.
    pub outlier: Pair,
    /// Per share of stuck edges written by word.
    pub stuck: Pair,
    /// Per share of whole millimetres.
    pub whole_mm: Pair,
    /// Curvature of −log likelihood in the margin (below 0 where a reading is far off).
    pub curvature: Pair,
    /// The margin that it is in: change per decade of each edge's film, per log of its thickness, per log of the retention.
    pub margin: ([Pair; EDGES], [Pair; EDGES], Pair),
    /// Chance that the entry is a blunder.
    pub blunder: Pair,
}
/// How each of the chances of a reading counts.
#[derive(Clone, Copy, Debug)]
struct Weights {
    /// The density at its run.
    density: Pair,
    /// The chance of staying below its upper end.
    upper: Pair,
    /// The chance of staying below its lower end.
    lower: Pair,
    /// Nothing of the kind.
    always: Pair,
}
/// Where the slopes of one entry's chances are gathered: by sound and by blunder's share of the likelihood.
struct Gathered<'a> {
    chance: &'a RunChance<'a>,
    /// What a sound entry's and a blunder's chances count in the log likelihood.
    counts: [Pair; 2],
    /// Change per variance of all but the place and the reading.
    variance: Pair,
    curved: Pair,
}

impl Gathered<'_> {
    /// Adds `weight` times chances at an end; `with_run`: that hang on the margin's change per run.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn add(
        &mut self,
        weight: Pair,
        chances: &Chances,
        (margins, with_run): (&Margins, bool),
        slopes: &mut RunSlopes,
    ) {
        let chance = self.chance;
        let (place, square) = (chance.place, chance.place * chance.place);
        let sound = weight * self.counts[0];
        let blunder = weight * self.counts[1];
        let (variance, curved) = (blunder * chances.variance[BLUNDER], chances.curved[BLUNDER]);
        self.variance += variance;
        self.curved += blunder * curved;
        let one = chance.edges == 1;
        // Of the mean margin: per its slope in the thickness.
        let (slope, spread) = chance.slope_and_spread(BLUNDER, margins.per_ln_h);
        let pull = 2.0 * slope * spread * variance;
        slopes.place += pull * slope * place;
        let mean_slope = if one { pull * square } else { Pair::ZERO };
        for part in 0..chance.parts {
            let t = &margins.parts[part];
            let share = margins.weight[part];
            let variance = sound * chances.variance[part];
            self.variance += variance;
            self.curved += sound * chances.curved[part];
            let (slope, spread) = chance.slope_and_spread(part, t.per_ln_h);
            let pull = 2.0 * slope * spread * variance;
            slopes.place += pull * slope * place;
            let by_slope = if one {
                pull * square + share * mean_slope
            } else {
                Pair::ZERO
            };
            let by_margin =
                sound * chances.margin[part] + share * blunder * chances.margin[BLUNDER];
            let bent = by_slope * t.bend[0];
            let mut per_ln_h = by_margin * t.per_ln_h + bent;
            slopes.ln_h[0] += bent;
            slopes.ln_retention += by_margin * t.ln_a + by_slope * t.bend[1];
            for edge in 0..chance.edges {
                slopes.eta[edge] += by_margin * t.phi[edge];
                slopes.ln_h[edge] += by_margin * t.ln_h[edge];
            }
            if with_run {
                let own = share * t.per_run_m / margins.per_run_m;
                let by_run = sound * chances.run[part] + own * blunder * chances.run[BLUNDER];
                per_ln_h += by_run * t.run_per_ln_h;
                slopes.ln_retention += by_run * t.run_ln_a;
                for edge in 0..chance.edges {
                    slopes.eta[edge] += by_run * t.run_phi[edge];
                    slopes.ln_h[edge] += by_run * t.run_ln_h[edge];
                }
            }
            slopes.place += chance.longest.mean[part] * per_ln_h;
        }
    }
}

/// Lines of the marks of one entry's reading.
#[derive(Clone, Copy, Debug)]
pub struct Ends<'a> {
    /// Of what was read, one per edge.
    pub upper: &'a [Line<'a>; EDGES],
    /// Of the other end of it, where there is one and it is another.
    pub lower: Option<&'a [Line<'a>; EDGES]>,
}

/// Margins at both ends of a reading, kept from entry to entry.
#[derive(Clone, Debug, Default)]
pub struct Room {
    upper: Margins,
    lower: Margins,
    density: Chances,
    above: Chances,
    below: Chances,
    /// Slopes of the last one judged.
    pub slopes: RunSlopes,
}

/// Likelihood of what was read of an entry, its logarithm's slopes put into `room`; its chances' spreads are taken there. `words`: as the log has them.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn judge(
    chance: &mut RunChance<'_>,
    read: &Reading,
    words: f64,
    now: &Now,
    ends: Ends<'_>,
    room: &mut Room,
) -> Pair {
    let is_density = matches!(read, Reading::Ruler { .. });
    chance.margins(ends.upper, is_density, &mut room.upper);
    chance.spread_at(now, &room.upper);
    let mut lower = &room.upper;
    if let Some(lines) = ends.lower {
        chance.margins(lines, false, &mut room.lower);
        lower = &room.lower;
    }
    let slopes = &mut room.slopes;
    let (outlier, stuck) = (now.outlier.value, within(now.stuck.value));
    let rho = within(now.whole_mm.value);
    // What of the reading is asked, and what of its weights changes per share of stuck edges written by word and of rulers in whole millimetres.
    let nothing = now.nothing;
    let none = Weights {
        density: nothing,
        upper: nothing,
        lower: nothing,
        always: nothing,
    };
    let (mut weights, mut per_stuck, mut per_rho) = (none, none, none);
    let (mut any, mut written, mut per_written) = (ANY_RULER_PER_MM, Pair::ONE, Pair::ZERO);
    // Which of the weights are any.
    let (mut has_upper, mut has_lower) = (false, true);
    match *read {
        Reading::Nothing { nothing } => {
            let [of_stuck, of_moved] = nothing;
            let by_ruler = (1.0 - stuck) * (1.0 / (1.0 - words));
            has_upper = true;
            weights.upper = of_moved.at(rho);
            weights.lower = by_ruler * of_stuck.at(rho) - weights.upper;
            per_stuck.lower = -of_stuck.at(rho) * (1.0 / (1.0 - words));
            per_rho.upper = Pair::splat(of_moved.slope());
            per_rho.lower = by_ruler * of_stuck.slope() - per_rho.upper;
            any *= NOTHING_MM;
        }
        Reading::Ruler {
            whole, stuck: near, ..
        } => {
            has_lower = near > 0.0;
            weights.density = Pair::ONE;
            weights.lower = near * (1.0 - stuck);
            per_stuck.lower = Pair::splat(-near);
            per_written = Pair::splat(if whole { 1.0 - HALVES } else { -HALVES });
            written = if whole {
                rho + HALVES * (1.0 - rho)
            } else {
                HALVES * (1.0 - rho)
            };
        }
        Reading::Between {
            ended,
            from,
            stuck: is_stuck,
        } => {
            (has_upper, has_lower) = (ended, from);
            let of = |weight: Pair| {
                let mut weights = none;
                if ended {
                    weights.upper = weight;
                } else {
                    weights.always = weight;
                }
                if from {
                    weights.lower = -weight;
                }
                weights
            };
            weights = of(if is_stuck { stuck } else { Pair::ONE });
            if is_stuck {
                per_stuck = of(Pair::ONE);
            }
            // Chances of a word are counted per the share of moved edges said in words; "did not move" and "to the end" are not among them.
            any = if is_stuck || !ended {
                ANY_WORD * words
            } else {
                ANY_WORD
            };
        }
    }
    let (density, above, below) = (&mut room.density, &mut room.above, &mut room.below);
    if let Reading::Ruler { error_m2, seen, .. } = *read {
        chance.densities(&room.upper, error_m2, seen, density);
    }
    if has_upper {
        chance.chances_below(&room.upper, above);
    }
    if has_lower {
        chance.chances_below(lower, below);
    }
    let parts = chance.parts;
    let sum = |weights: &Weights, part: usize| {
        let mut sum = Pair::ZERO;
        if is_density {
            sum += weights.density * density.p[part];
        }
        if has_upper {
            sum += weights.upper * above.p[part];
        }
        if has_lower {
            sum += weights.lower * below.p[part];
        }
        sum
    };
    let sound = |weights: &Weights| {
        let second = if parts > 1 {
            sum(weights, 1)
        } else {
            Pair::ZERO
        };
        sum(weights, 0) + second + weights.always
    };
    let other = |weights: &Weights| sum(weights, BLUNDER) + weights.always;
    let at_least_0 = |p: Pair| p.or_more(Pair::ZERO);
    let blunder_p = BLUNDER_IN_GLAZE * at_least_0(other(&weights)) + (1.0 - BLUNDER_IN_GLAZE) * any;
    let sound_p = at_least_0(sound(&weights));
    let p = (1.0 - outlier) * sound_p + outlier * blunder_p;
    let p = p.or_more(Pair::splat(1e-300));
    let (a, b) = ((1.0 - outlier) / p, outlier * BLUNDER_IN_GLAZE / p);
    slopes.outlier = (blunder_p - sound_p) / p;
    slopes.stuck = a * sound(&per_stuck) + b * other(&per_stuck);
    slopes.whole_mm = per_written / written + a * sound(&per_rho) + b * other(&per_rho);
    slopes.blunder = outlier * blunder_p / p;
    (slopes.ln_retention, slopes.place) = (nothing, nothing);
    for edge in 0..EDGES {
        (slopes.eta[edge], slopes.ln_h[edge]) = (nothing, nothing);
        (slopes.margin.0[edge], slopes.margin.1[edge]) = (nothing, nothing);
    }
    slopes.margin.2 = nothing;
    let mut gathered = Gathered {
        chance,
        counts: [a, b],
        variance: Pair::ZERO,
        curved: Pair::ZERO,
    };
    if has_lower {
        gathered.add(weights.lower, below, (lower, false), slopes);
    }
    if has_upper {
        gathered.add(weights.upper, above, (&room.upper, false), slopes);
    }
    if is_density {
        gathered.add(Pair::ONE, density, (&room.upper, true), slopes);
    }
    let (per_variance, curved) = (gathered.variance, gathered.curved);
    // The variance itself hangs on the slope at the reading.
    let per_slope = per_variance * chance.per_slope;
    for part in 0..chance.parts {
        let t = &room.upper.parts[part];
        let by_slope = per_slope * room.upper.weight[part];
        slopes.ln_h[0] += by_slope * t.bend[0];
        slopes.ln_retention += by_slope * t.bend[1];
        slopes.place += chance.longest.mean[part] * by_slope * t.bend[0];
    }
    slopes.noise = per_variance * 2.0 * now.noise.value;
    slopes.coat = per_variance * 2.0 * now.coat.value * chance.per_coat_squared;
    let mut eta = Pair::ZERO;
    for edge in 0..chance.edges {
        eta += slopes.eta[edge];
        for part in 0..chance.parts {
            let (t, share) = (&room.upper.parts[part], room.upper.weight[part]);
            slopes.margin.0[edge] += share * t.phi[edge];
            slopes.margin.1[edge] += share * t.ln_h[edge];
        }
    }
    for part in 0..chance.parts {
        slopes.margin.2 += room.upper.weight[part] * room.upper.parts[part].ln_a;
    }
    slopes.curvature = eta * eta - curved;
    p * written
}

/// A share as the likelihood divides by it.
#[cfg_attr(fast_by_function, optimize(speed))]
fn within(share: Pair) -> Pair {
    let (least, most) = (Pair::splat(1e-9), Pair::splat(1.0 - 1e-9));
    share.or_more(least).or_less(most)
}
