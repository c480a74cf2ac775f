//! How likely a run is to be read: spreads within one piece, the longest drip, rulers, words, stuck edges and blunders.
//!
//! Takes the films above an entry's edges and what was read; gives the log likelihood with its slopes.
//!
//! A run stays below r where log10 Phi stays below what r needs, `y(r, h, A)`: exact, by the tile law turned round. Spreads of
//! the thickness are linear in their logs about each part of the longest drip's mixture, so every chance is a sum of normal ones.

use super::super::data::{Log, Piece, RunRead, Strip};
use super::super::drips::Longest;
use super::super::normal::{INV_SQRT_2PI, cdf, cdf_pdf};
use super::frozen::Frozen;
use super::margin::{self, At, Margin, Margins};
use super::mark::Mark;
use super::now::Now;
use super::onto;
use super::stack::{EDGES, Stack};
use super::written::{
    HALVES, LOOKS_STUCK_M, NOTHING_MM, Nothing, READ_AS_NOTHING_M, error_m2, wanted,
};

/// A blunder in what went on (order, coats, glaze): sd of log10 Phi it amounts to, decades (judged).
const BLUNDER_DECADES: f64 = 0.8;
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
    pub eta: [f64; EDGES],
    /// By edge: per log of its thickness, at the same Phi.
    pub ln_h: [f64; EDGES],
    /// Per log of the retention.
    pub ln_retention: f64,
    /// Per decade of noise.
    pub noise: f64,
    /// Per place spread.
    pub place: f64,
    /// Per coat spread.
    pub coat: f64,
    /// Per share of blunders.
    pub outlier: f64,
    /// Per share of stuck edges written by word.
    pub stuck: f64,
    /// Per share of whole millimetres.
    pub whole_mm: f64,
    /// Curvature of −log likelihood in the margin (below 0 where a reading is far off).
    pub curvature: f64,
    /// The margin that it is in: change per decade of each edge's film, per log of its thickness, per log of the retention.
    pub margin: ([f64; EDGES], [f64; EDGES], f64),
    /// Chance that the entry is a blunder.
    pub blunder: f64,
}

/// The chances of one entry's run at one point, before anybody reads it.
#[derive(Clone, Debug)]
pub struct RunChance<'a, const E: usize> {
    strips: &'a [Strip],
    longest: &'a Longest,
    edges: usize,
    parts: usize,
    /// Films above the edges at the longest drip's place, by part.
    films: [[At; E]; 2],
    retention_m2: f64,
    /// Whether the edge lies on another glaze, whose film is the second.
    over_glaze: bool,
    place: f64,
    frozen: &'a Frozen,
    /// Variance of the margin from all but the place.
    variance: f64,
    /// Its change per square of the coat spread.
    per_coat_squared: f64,
    /// Its change per log of thickness and per log of the retention. And per place spread.
    variance_bend: [f64; 2],
    variance_per_place: f64,
}

/// Sums of a likelihood (not its log) and of its slopes.
#[derive(Clone, Copy, Debug)]
struct Sums<const E: usize> {
    p: f64,
    /// Second derivative in the margin.
    curved: f64,
    /// By edge, in the film's Phi.
    eta: [f64; E],
    ln_h: [f64; E],
    ln_retention: f64,
    /// Per variance of the margin from all but the place and the reading.
    variance: f64,
    place: f64,
}

impl<const E: usize> Sums<E> {
    const NOTHING: Self = Self {
        p: 0.0,
        curved: 0.0,
        eta: [0.0; E],
        ln_h: [0.0; E],
        ln_retention: 0.0,
        variance: 0.0,
        place: 0.0,
    };
}

/// Whether an entry is taken at its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Entry {
    Sound,
    /// Something else went on than was written down.
    Blunder,
}

impl<'a, const E: usize> RunChance<'a, E> {
    /// Of an entry whose films are in `stack`; its spreads are taken at `run_m`, whose marks are given. Gives the margins there as well.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn new(
        log: &'a Log,
        piece: &'a Piece,
        frozen: &'a Frozen,
        now: &Now,
        stack: &Stack,
        run_m: f64,
        marks: &[Mark],
    ) -> (Self, Margins<E>) {
        let longest = &piece.longest;
        let place = now.place.value;
        let mut chance = Self {
            strips: piece.strips.of(&log.strips),
            longest,
            edges: (piece.edges as usize).min(E),
            parts: if longest.weight[1] > 0.0 { 2 } else { 1 },
            films: [[At::default(); E]; 2],
            retention_m2: if piece.held { now.retention_m2 } else { 0.0 },
            over_glaze: !piece.held && piece.edges == 2,
            place,
            frozen,
            variance: 0.0,
            per_coat_squared: 0.0,
            variance_bend: [0.0; 2],
            variance_per_place: 0.0,
        };
        for part in 0..chance.parts {
            let thicker = place * longest.mean[part];
            for (at, film) in chance.films[part]
                .iter_mut()
                .zip(&stack.films)
                .take(chance.edges)
            {
                *at = At {
                    ln_h: film.ln_thickness + thicker,
                    log10_phi: film.log10_phi,
                };
            }
        }
        let margins = chance.margins(run_m, marks);
        let spread = frozen.spread(chance.edges, margins.mean.per_ln_h);
        let coat_squared = now.coat.value * now.coat.value;
        chance.per_coat_squared = spread.coat;
        chance.variance = now.noise.value * now.noise.value
            + piece.variance
            + spread.fixed
            + spread.coat * coat_squared;
        let per_slope = spread.fixed_bend + spread.coat_bend * coat_squared;
        let bend = margins.mean.bend;
        chance.variance_bend = [per_slope * bend[0], per_slope * bend[1]];
        let mean_bend_place = if chance.parts == 2 {
            let bend = |part: usize| {
                longest.weight[part] * margins.parts[part].bend[0] * longest.mean[part]
            };
            bend(0) + bend(1)
        } else {
            0.0
        };
        chance.variance_per_place = per_slope * mean_bend_place;
        (chance, margins)
    }

    /// How many edges it has.
    pub fn edges(&self) -> usize {
        self.edges
    }

    /// Margin of one part.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn margin(&self, part: usize, marks: &[Mark]) -> Margin<E> {
        let films = &self.films[part];
        if E > 1 && self.over_glaze {
            return onto::of_edge(films, &self.strips[0], &marks[0]);
        }
        let one = |edge: usize| {
            let held = self.retention_m2 * self.strips[edge].held;
            margin::of_edge(edge, films, self.strips, &marks[edge], held)
        };
        if E == 1 {
            return one(0);
        }
        let mut all = [Margin::default(); E];
        for (edge, margin) in all.iter_mut().enumerate().take(self.edges) {
            *margin = one(edge);
        }
        margin::first_of(&all[..self.edges])
    }

    /// Margins of a run, by its marks: one per edge.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn margins(&self, run_m: f64, marks: &[Mark]) -> Margins<E> {
        let first = self.margin(0, marks);
        if self.parts == 1 {
            return Margins {
                run_m,
                parts: [first; 2],
                mean: first,
            };
        }
        Margins::of_two(run_m, [first, self.margin(1, marks)], self.longest.weight)
    }

    /// Chance that the run stays at or below `run_m`, by its marks.
    pub fn below(&self, run_m: f64, marks: &[Mark]) -> f64 {
        let mut sums = Sums::NOTHING;
        self.add_below(&self.margins(run_m, marks), 1.0, Entry::Sound, &mut sums);
        sums.p
    }

    /// Calls `with` for each part of a sound entry's mixture, or once for a blunder: its number (2 for a blunder), margin, weight, place variance, variance but the place's.
    #[inline]
    fn each(
        &self,
        margins: &Margins<E>,
        entry: Entry,
        mut with: impl FnMut(usize, &Margin<E>, f64, f64, f64),
    ) {
        if entry == Entry::Blunder {
            let wide = self.variance + BLUNDER_DECADES * BLUNDER_DECADES;
            with(2, &margins.mean, 1.0, self.longest.variance, wide);
            return;
        }
        for part in 0..self.parts {
            let sd = self.longest.sd[part];
            with(
                part,
                &margins.parts[part],
                self.longest.weight[part],
                sd * sd,
                self.variance,
            );
        }
    }

    /// What the place makes of the variance, and its changes: the variance, per log of thickness and of the retention, per place spread.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn drip(&self, part: usize, t: &Margin<E>, place_variance: f64) -> (f64, [f64; 2], f64) {
        if E > 1 && self.edges > 1 {
            // With several edges the slope is held: see `Frozen`.
            let slope = self.frozen.per_ln_h[part];
            let square = slope * slope * place_variance * self.place;
            return (square * self.place, [0.0; 2], 2.0 * square);
        }
        let square = t.per_ln_h * place_variance * self.place;
        let per = 2.0 * square * self.place;
        let bend = [per * t.bend[0], per * t.bend[1]];
        (
            t.per_ln_h * square * self.place,
            bend,
            2.0 * t.per_ln_h * square + bend[0] * self.place_mean(part),
        )
    }

    /// Adds `weight` times the chance of a run of at most that of `margins`.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn add_below(&self, margins: &Margins<E>, weight: f64, entry: Entry, sums: &mut Sums<E>) {
        self.each(margins, entry, |part, t, share, place_variance, own| {
            let (drip, drip_bend, drip_place) = self.drip(part, t, place_variance);
            let per_sd = 1.0 / (own + drip).sqrt();
            let z = t.m * per_sd;
            let (p, density) = cdf_pdf(z);
            let w = weight * share;
            let d = w * density * per_sd;
            let per_variance = -0.5 * d * z * per_sd;
            sums.p += w * p;
            sums.curved -= d * z * per_sd;
            for edge in 0..self.edges.min(E) {
                sums.eta[edge] += d * t.phi[edge];
                sums.ln_h[edge] += d * t.ln_h[edge];
            }
            sums.ln_h[0] += per_variance * drip_bend[0];
            sums.ln_retention += d * t.ln_a + per_variance * drip_bend[1];
            sums.variance += per_variance;
            sums.place += d * t.per_ln_h * self.place_mean(part) + per_variance * drip_place;
        });
    }

    /// Adds the density per mm of reading the run of `margins` with error variance `error_m2`, the run itself not one that looks stuck.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn add_density(&self, margins: &Margins<E>, error_m2: f64, entry: Entry, sums: &mut Sums<E>) {
        // What of the reading's error reaches down to where an edge looks stuck is counted there.
        let seen = 1e-3 * INV_SQRT_2PI * cdf((margins.run_m - LOOKS_STUCK_M) / error_m2.sqrt());
        self.each(margins, entry, |part, t, share, place_variance, own| {
            let (drip, drip_bend, drip_place) = self.drip(part, t, place_variance);
            let reading = t.per_run_m * t.per_run_m * error_m2;
            let per_variance_one = 1.0 / (own + drip + reading);
            let per_sd = per_variance_one.sqrt();
            let z = t.m * per_sd;
            let p = share * seen * t.per_run_m * (-0.5 * z * z).exp() * per_sd;
            let pull = p * z * per_sd;
            let per_variance = 0.5 * p * (z * z - 1.0) * per_variance_one;
            // The run's own slope stands before the density and in the reading's variance.
            let per_ln_slope = p + 2.0 * per_variance * reading;
            sums.p += p;
            sums.curved += 2.0 * per_variance;
            let mut run_ln_h = 0.0;
            for edge in 0..self.edges.min(E) {
                sums.eta[edge] += per_ln_slope * t.run_phi[edge] - pull * t.phi[edge];
                sums.ln_h[edge] += per_ln_slope * t.run_ln_h[edge] - pull * t.ln_h[edge];
                run_ln_h += t.run_ln_h[edge];
            }
            sums.ln_h[0] += per_variance * drip_bend[0];
            sums.ln_retention +=
                per_ln_slope * t.run_ln_a + per_variance * drip_bend[1] - pull * t.ln_a;
            sums.variance += per_variance;
            let mean = self.place_mean(part);
            sums.place +=
                (per_ln_slope * run_ln_h - pull * t.per_ln_h) * mean + per_variance * drip_place;
        });
    }

    /// Mean of the place's standard score in a part; for a blunder that of the mixture, nearly.
    fn place_mean(&self, part: usize) -> f64 {
        if part == 2 {
            self.longest.middle
        } else {
            self.longest.mean[part]
        }
    }

    /// Adds the chance (or density per mm) of what was read, the margins at its run given; returns its changes per share of stuck edges that are written by word and per
    /// share of rulers in whole millimetres, where that is not a factor of its own.
    ///
    /// Of the edges that moved but not to the end a share `words` is said in a word, which is no unknown: each chance is counted per that share or per the rest, a stuck
    /// edge's ruler with them.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn add_read(
        &self,
        read: &RunRead,
        at: &Margins<E>,
        lower: Option<&Margins<E>>,
        [stuck_by_word, whole_mm, words]: [f64; 3],
        entry: Entry,
        sums: &mut Sums<E>,
    ) -> [f64; 2] {
        match *read {
            RunRead::Ruler { run_m, error_m, .. } if run_m < READ_AS_NOTHING_M => {
                let Some(lower) = lower else { return [0.0; 2] };
                let [stuck, moved] = Nothing::of(error_m);
                let by_ruler = (1.0 - stuck_by_word) / (1.0 - words);
                let (of_stuck, of_moved) = (stuck.at(whole_mm), moved.at(whole_mm));
                let before = sums.p;
                self.add_below(lower, by_ruler * of_stuck, entry, sums);
                let of_stuck = sums.p - before;
                let before = sums.p;
                self.add_below(at, of_moved, entry, sums);
                self.add_below(lower, -of_moved, entry, sums);
                let per_whole = of_stuck * stuck.slope() / stuck.at(whole_mm)
                    + (sums.p - before) * moved.slope() / of_moved;
                [-of_stuck / (1.0 - stuck_by_word), per_whole]
            }
            RunRead::Ruler {
                run_m,
                error_m,
                whole,
            } => {
                let error_m2 = error_m2(error_m, whole);
                self.add_density(at, error_m2, entry, sums);
                let Some(lower) = lower else { return [0.0; 2] };
                // A ruler at an edge that looks stuck shows its error; below 0 nobody writes.
                let stuck = 1e-3 * INV_SQRT_2PI * (-0.5 * run_m * run_m / error_m2).exp()
                    / error_m2.sqrt()
                    / (1.0 - words);
                let before = sums.p;
                self.add_below(lower, stuck * (1.0 - stuck_by_word), entry, sums);
                [-(sums.p - before) / (1.0 - stuck_by_word), 0.0]
            }
            RunRead::Between { most_m, stuck, .. } => {
                let weight = if stuck { stuck_by_word } else { 1.0 };
                let before = sums.p;
                if most_m.is_finite() {
                    self.add_below(at, weight, entry, sums);
                } else {
                    sums.p += weight;
                }
                if let Some(lower) = lower {
                    self.add_below(lower, -weight, entry, sums);
                }
                if stuck {
                    [(sums.p - before) / weight, 0.0]
                } else {
                    [0.0; 2]
                }
            }
        }
    }
}

/// Log likelihood of what was read of an entry whose films are in `stack`, with its slopes.
pub fn judge(
    log: &Log,
    piece: &Piece,
    read: &RunRead,
    frozen: &Frozen,
    now: &Now,
    stack: &Stack,
    marks: &[Mark],
) -> (f64, RunSlopes) {
    // Nearly all entries have one edge, and then nothing is spent on others.
    match piece.edges {
        1 => judge_edges::<1>(log, piece, read, frozen, now, stack, marks),
        _ => judge_edges::<EDGES>(log, piece, read, frozen, now, stack, marks),
    }
}

fn judge_edges<const E: usize>(
    log: &Log,
    piece: &Piece,
    read: &RunRead,
    frozen: &Frozen,
    now: &Now,
    stack: &Stack,
    marks: &[Mark],
) -> (f64, RunSlopes) {
    let (at_m, lower_m) = wanted(read);
    let (of_at, of_lower) = marks.split_at(marks.len() / 2);
    let (chance, at) = RunChance::<E>::new(log, piece, frozen, now, stack, at_m, of_at);
    let lower = lower_m.map(|m| {
        if m == at_m {
            at
        } else {
            chance.margins(m, of_lower)
        }
    });
    let (outlier, stuck) = (now.outlier.value, now.stuck.value.clamp(1e-9, 1.0 - 1e-9));
    let (mut sound, mut blunder) = (Sums::NOTHING, Sums::NOTHING);
    let rho = now.whole_mm.value.clamp(1e-9, 1.0 - 1e-9);
    let shares = [stuck, rho, log.words];
    let [sound_stuck, sound_rho] =
        chance.add_read(read, &at, lower.as_ref(), shares, Entry::Sound, &mut sound);
    let [blunder_stuck, blunder_rho] = chance.add_read(
        read,
        &at,
        lower.as_ref(),
        shares,
        Entry::Blunder,
        &mut blunder,
    );
    let (any, written, per_written) = match *read {
        RunRead::Ruler { run_m, .. } if run_m < READ_AS_NOTHING_M => {
            (ANY_RULER_PER_MM * NOTHING_MM, 1.0, 0.0)
        }
        RunRead::Ruler { whole: true, .. } => {
            let written = rho + HALVES * (1.0 - rho);
            (ANY_RULER_PER_MM, written, 1.0 - HALVES)
        }
        RunRead::Ruler { .. } => (ANY_RULER_PER_MM, HALVES * (1.0 - rho), -HALVES),
        // Chances of a word are counted per the share of moved edges said in words; these two are not among them.
        RunRead::Between { most_m, stuck, .. } if stuck || most_m.is_infinite() => {
            (ANY_WORD * log.words, 1.0, 0.0)
        }
        RunRead::Between { .. } => (ANY_WORD, 1.0, 0.0),
    };
    let blunder_p = BLUNDER_IN_GLAZE * blunder.p.max(0.0) + (1.0 - BLUNDER_IN_GLAZE) * any;
    let sound_p = sound.p.max(0.0);
    let p = ((1.0 - outlier) * sound_p + outlier * blunder_p).max(1e-300);
    let (a, b) = ((1.0 - outlier) / p, outlier * BLUNDER_IN_GLAZE / p);
    let per_variance = a * sound.variance + b * blunder.variance;
    let bend = chance.variance_bend;
    let bent = [per_variance * bend[0], per_variance * bend[1]];
    let mut slopes = RunSlopes {
        ln_retention: a * sound.ln_retention + b * blunder.ln_retention + bent[1],
        noise: per_variance * 2.0 * now.noise.value,
        place: a * sound.place + b * blunder.place + per_variance * chance.variance_per_place,
        coat: per_variance * 2.0 * now.coat.value * chance.per_coat_squared,
        outlier: (blunder_p - sound_p) / p,
        stuck: a * sound_stuck + b * blunder_stuck,
        whole_mm: per_written / written + a * sound_rho + b * blunder_rho,
        margin: ([0.0; EDGES], [0.0; EDGES], at.mean.ln_a),
        blunder: outlier * blunder_p / p,
        ..RunSlopes::default()
    };
    let mut eta = 0.0;
    for edge in 0..chance.edges {
        slopes.eta[edge] = a * sound.eta[edge] + b * blunder.eta[edge];
        slopes.ln_h[edge] = a * sound.ln_h[edge] + b * blunder.ln_h[edge];
        slopes.margin.0[edge] = at.mean.phi[edge];
        slopes.margin.1[edge] = at.mean.ln_h[edge];
        eta += slopes.eta[edge];
    }
    slopes.ln_h[0] += bent[0];
    slopes.curvature = eta * eta - a * sound.curved - b * blunder.curved;
    ((p * written).ln(), slopes)
}
