//! How likely a run is to be read: spreads within one piece, the longest drip, rulers, words, stuck edges and blunders.
//!
//! Takes the film above an edge and what was read; gives the log likelihood with its slopes.
//!
//! A run stays below r where log10 Phi stays below what r needs, `y(r, h, A)`: exact, by the tile law turned round. Spreads of
//! the thickness are linear in their logs about each part of the longest drip's mixture, so every chance is a sum of normal ones.

use super::super::data::{Log, Piece, RunRead};
use super::super::normal::{INV_SQRT_2PI, cdf, cdf_pdf};
use super::now::Now;
use super::stack::{Film, Stack, unnamed};
use crate::physics::tile::{self, Band, RHO};
use std::f64::consts::LN_10;

/// Least run that a threshold is asked for on an edge that nothing holds, m.
const LEAST_M: f64 = 1e-4;
/// The law is used up to this share of the melt that the edge holds; from there on the threshold rises steeply instead of being out of reach.
const MOST_HELD: f64 = 0.97;
/// How steeply, decades per share.
const STEEP: f64 = 20.0;
/// A blunder in what went on (order, coats, glaze): sd of log10 Phi it amounts to, decades (judged).
const BLUNDER_DECADES: f64 = 0.8;
/// Share of the blunders of that kind; the rest are readings or words that say nothing (judged).
const BLUNDER_IN_GLAZE: f64 = 0.7;
/// Density of such a reading, per mm: runs to some 40 mm are all alike (judged).
const ANY_RULER_PER_MM: f64 = 0.025;
/// Chance of such a word (judged).
const ANY_WORD: f64 = 0.25;
/// Variance of rounding to whole millimetres, m² (uniform over a millimetre).
const ROUNDING_M2: f64 = 1e-6 / 12.0;
/// A ruler shows nothing up to here, m.
const READ_AS_NOTHING_M: f64 = 0.5e-3;
/// Who does not round to whole millimetres writes tenths, so that one such reading is this many times as likely as a whole one.
const TENTHS: f64 = 0.1;

/// Slopes of the log likelihood of one run.
#[derive(Clone, Copy, Debug, Default)]
pub struct RunSlopes {
    /// Per decade of the film's Phi.
    pub eta: f64,
    /// Per log of its thickness, at the same Phi.
    pub ln_h: f64,
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
    /// Curvature of −log likelihood in the film's Phi, 0 or more.
    pub curvature: f64,
    /// Change of the threshold per log of thickness, decades.
    pub margin_ln_h: f64,
    /// Change of the threshold per log of the retention, decades.
    pub margin_ln_retention: f64,
    /// Chance that the entry is a blunder.
    pub blunder: f64,
}

/// The threshold of a run: log10 Phi that it takes, and its slopes.
#[derive(Clone, Copy, Debug)]
struct Threshold {
    y: f64,
    per_run_m: f64,
    per_ln_h: f64,
    per_ln_retention: f64,
    /// Change of ln `per_run_m` per log of thickness; per log of the retention it is the opposite.
    bend: f64,
}

fn threshold(band: &Band, run_m: f64, retention_m2: f64) -> Threshold {
    let volume = band.volume_m2();
    let held = band.retained_m2(retention_m2) / volume;
    let beyond = (held - MOST_HELD).max(0.0);
    let used = if beyond > 0.0 {
        retention_m2 * MOST_HELD / held
    } else {
        retention_m2
    };
    let run_m = if retention_m2 > 0.0 {
        run_m
    } else {
        run_m.max(LEAST_M)
    };
    let Some(slopes) = tile::phi_slopes(band, run_m, used, RHO) else {
        return Threshold {
            y: 30.0,
            per_run_m: 1.0,
            per_ln_h: 0.0,
            per_ln_retention: 0.0,
            bend: 0.0,
        };
    };
    let full = (slopes.ln_per_run_m * run_m + slopes.ln_per_ln_retention - 1.0).abs() < 1e-9;
    let mut found = Threshold {
        y: slopes.phi_per_pa.max(1e-300).log10(),
        per_run_m: slopes.ln_per_run_m / LN_10,
        per_ln_h: slopes.ln_per_ln_h / LN_10,
        per_ln_retention: slopes.ln_per_ln_retention / LN_10,
        bend: if full {
            slopes.ln_per_ln_retention
        } else {
            0.0
        },
    };
    if beyond > 0.0 {
        found.y += STEEP * beyond;
        // With the share held fixed the law only scales: Phi goes as 1/h² there.
        found.per_ln_h = -2.0 / LN_10 - STEEP * held;
        found.per_ln_retention = STEEP * held;
        found.bend = 0.0;
    }
    found
}

/// One part of the longest drip's mixture.
#[derive(Clone, Copy, Debug, Default)]
struct Part {
    weight: f64,
    /// Where its drip lies, in place spreads.
    mean: f64,
    /// Its spread about that, in place spreads.
    sd: f64,
    band_h: f64,
}

/// The chances of a run at one point, before anybody reads it.
#[derive(Clone, Debug)]
pub struct RunChance {
    /// The mixture, and last the one normal that is nearest to it, which serves for blunders.
    parts: [Part; 3],
    count: usize,
    length_m: f64,
    sin_slope: f64,
    gap_m: f64,
    retention_m2: f64,
    log10_phi: f64,
    /// Variance of log10 Phi (or of the threshold) from all but the place.
    variance: f64,
    place: f64,
    /// Σ s² per unit, of which the coat spread's square makes its part of the variance.
    per_coat_squared: f64,
    /// The film that the chances are of.
    pub film: Film,
}

/// Sums of a likelihood (not its log) and of its slopes.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    p: f64,
    eta: f64,
    eta_eta: f64,
    ln_h: f64,
    ln_retention: f64,
    variance: f64,
    place: f64,
}

impl RunChance {
    /// Of the entry's most forward edge.
    pub fn new(log: &Log, piece: &Piece, now: &Now, point: &[f64], stack: &Stack) -> Self {
        let strips = piece.strips.of(&log.strips);
        let retention_m2 = if piece.held { now.retention_m2 } else { 0.0 };
        let mut best: Option<(f64, Film)> = None;
        for strip in 0..strips.len() {
            let film = stack.film(log, piece, now, point, strip);
            if strips.len() == 1 {
                best = Some((0.0, film));
                break;
            }
            // The edge that comes first past the line that is read, at a few millimetres below it.
            let band = Band {
                h0_m: film.thickness,
                length_m: strips[strip].length_m,
                sin_slope: piece.sin_slope,
            };
            let margin =
                threshold(&band, strips[strip].gap_m + 2e-3, retention_m2).y - film.log10_phi;
            if best.as_ref().is_none_or(|(least, _)| margin < *least) {
                best = Some((margin, film));
            }
        }
        let film = best.map(|(_, film)| film).unwrap_or_default();
        let (length_m, gap_m) = strips
            .get(film.strip)
            .map_or((1e-3, 0.0), |s| (s.length_m, s.gap_m));
        let place = now.place.value;
        let mut chance = Self {
            parts: [Part::default(); 3],
            count: if piece.longest.weight[1] > 0.0 { 2 } else { 1 },
            length_m,
            sin_slope: piece.sin_slope,
            gap_m,
            retention_m2,
            log10_phi: film.log10_phi,
            variance: 0.0,
            place,
            per_coat_squared: 0.0,
            film,
        };
        let longest = &piece.longest;
        let part = |weight, mean: f64, sd| Part {
            weight,
            mean,
            sd,
            band_h: chance.film.thickness * (place * mean).exp(),
        };
        let one = part(1.0, longest.middle(), longest.variance().sqrt());
        let parts = [0, 1].map(|k| part(longest.weight[k], longest.mean[k], longest.sd[k]));
        chance.parts = [parts[0], parts[1], one];
        // Each layer's part in log10 Phi less threshold, the threshold's where the longest drip is likeliest.
        let per_ln_h = chance.threshold(&chance.parts[2], 1e-3).per_ln_h;
        let (mut sg, mut anyone) = (0.0, 0.0);
        for (i, laid) in piece
            .layers
            .of(&log.layers)
            .iter()
            .take(stack.len)
            .enumerate()
        {
            let s = chance.film.per_ln_melt[i] - per_ln_h * chance.film.share[i];
            chance.per_coat_squared += s * s * laid.per_unit;
            sg += s * s * laid.sg_variance;
            anyone += s * unnamed(laid, now);
        }
        chance.variance = now.noise.value.powi(2)
            + piece.variance
            + chance.per_coat_squared * now.coat.value.powi(2)
            + sg
            + anyone * anyone;
        chance
    }

    fn threshold(&self, part: &Part, run_m: f64) -> Threshold {
        let band = Band {
            h0_m: part.band_h,
            length_m: self.length_m,
            sin_slope: self.sin_slope,
        };
        threshold(&band, run_m + self.gap_m, self.retention_m2)
    }

    /// Chance that the run stays at or below `run_m`; with `run_m` 0, that the edge is stuck.
    pub fn below(&self, run_m: f64) -> f64 {
        let mut sums = Sums::default();
        self.add_below(run_m, 1.0, Entry::Sound, &mut sums);
        sums.p
    }

    /// Parts of the mixture and variance of log10 Phi for a sound entry or a blunder.
    fn parts(&self, entry: Entry) -> (&[Part], f64) {
        match entry {
            Entry::Sound => (&self.parts[..self.count], self.variance),
            Entry::Blunder => (
                &self.parts[2..],
                self.variance + BLUNDER_DECADES * BLUNDER_DECADES,
            ),
        }
    }

    /// Adds `weight` times the chance of a run of at most `run_m`.
    fn add_below(&self, run_m: f64, weight: f64, entry: Entry, sums: &mut Sums) {
        let (parts, own) = self.parts(entry);
        for part in parts {
            let t = self.threshold(part, run_m);
            let drip = t.per_ln_h * part.sd;
            let variance = own + (drip * self.place).powi(2);
            let sd = variance.sqrt();
            let z = (t.y - self.log10_phi) / sd;
            let (p, density) = cdf_pdf(z);
            let w = weight * part.weight;
            let d = w * density / sd;
            sums.p += w * p;
            sums.eta -= d;
            sums.eta_eta -= d * z / sd;
            sums.ln_h += d * t.per_ln_h;
            sums.ln_retention += d * t.per_ln_retention;
            let per_variance = -0.5 * d * z / sd;
            sums.variance += per_variance;
            sums.place +=
                d * t.per_ln_h * part.mean + per_variance * 2.0 * drip * drip * self.place;
        }
    }

    /// Adds `weight` times the density per mm of reading `run_m` with error variance `error_m2`, the run itself above 0.
    fn add_density(&self, run_m: f64, error_m2: f64, weight: f64, entry: Entry, sums: &mut Sums) {
        let (parts, own) = self.parts(entry);
        for part in parts {
            let t = self.threshold(part, run_m);
            let drip = t.per_ln_h * part.sd;
            let own = own + (drip * self.place).powi(2);
            let reading = t.per_run_m * t.per_run_m * error_m2;
            let variance = own + reading;
            let sd = variance.sqrt();
            let z = (t.y - self.log10_phi) / sd;
            let mut p =
                weight * part.weight * 1e-3 * t.per_run_m * INV_SQRT_2PI * (-0.5 * z * z).exp()
                    / sd;
            if run_m * run_m < 16.0 * error_m2 {
                // What of the reading's error reaches below 0 is not a run: the run itself, given its reading, is normal.
                let mean = run_m - error_m2 * t.per_run_m * z / sd;
                let spread = (error_m2 * own / variance).sqrt();
                p *= cdf(mean / spread);
            }
            let per_variance = p * (z * z - 1.0) / (2.0 * variance);
            sums.p += p;
            sums.eta += p * z / sd;
            sums.eta_eta += p * (z * z - 1.0) / variance;
            sums.ln_h += p * (t.bend - z * t.per_ln_h / sd);
            sums.ln_retention += p * (-t.bend - z * t.per_ln_retention / sd);
            sums.variance += per_variance;
            sums.place += p * (t.bend - z * t.per_ln_h / sd) * part.mean
                + per_variance * 2.0 * drip * drip * self.place;
        }
    }

    /// Adds the chance (or density per mm) of what was read; returns its change per share of stuck edges that are written by word.
    fn add_read(&self, read: &RunRead, stuck_by_word: f64, entry: Entry, sums: &mut Sums) -> f64 {
        match *read {
            RunRead::Ruler {
                run_m,
                error_m,
                whole,
            } => {
                let error_m2 = error_m * error_m + if whole { ROUNDING_M2 } else { 0.0 };
                // A ruler at a stuck edge shows its error; below 0 nobody writes.
                let stuck = if run_m < 1e-9 {
                    self.add_below(READ_AS_NOTHING_M, 1.0, entry, sums);
                    self.add_below(0.0, -1.0, entry, sums);
                    1.0
                } else {
                    self.add_density(run_m, error_m2, 1.0, entry, sums);
                    if run_m * run_m > 20.0 * error_m2 {
                        return 0.0;
                    }
                    1e-3 * INV_SQRT_2PI * (-0.5 * run_m * run_m / error_m2).exp() / error_m2.sqrt()
                };
                let before = sums.p;
                self.add_below(0.0, stuck * (1.0 - stuck_by_word), entry, sums);
                -(sums.p - before) / (1.0 - stuck_by_word)
            }
            RunRead::Between {
                least_m,
                most_m,
                stuck,
            } => {
                let weight = if stuck { stuck_by_word } else { 1.0 };
                let before = sums.p;
                if most_m.is_finite() {
                    self.add_below(most_m, weight, entry, sums);
                } else {
                    sums.p += weight;
                }
                if least_m > 0.0 {
                    self.add_below(least_m, -weight, entry, sums);
                }
                if stuck {
                    (sums.p - before) / weight
                } else {
                    0.0
                }
            }
        }
    }

    /// Log likelihood of what was read, with its slopes.
    pub fn judge(&self, read: &RunRead, now: &Now) -> (f64, RunSlopes) {
        let (outlier, stuck) = (now.outlier.value, now.stuck.value.clamp(1e-9, 1.0 - 1e-9));
        let (mut sound, mut blunder) = (Sums::default(), Sums::default());
        let sound_stuck = self.add_read(read, stuck, Entry::Sound, &mut sound);
        let blunder_stuck = self.add_read(read, stuck, Entry::Blunder, &mut blunder);
        let (any, ln_written, per_whole_mm, at) = match *read {
            RunRead::Ruler { run_m, whole, .. } => {
                let rho = now.whole_mm.value.clamp(1e-9, 1.0 - 1e-9);
                let (written, per) = match (run_m < 1e-9, whole) {
                    (true, _) => (1.0, 0.0),
                    (_, true) => (rho + TENTHS * (1.0 - rho), 1.0 - TENTHS),
                    (_, false) => (1.0 - rho, -1.0),
                };
                (ANY_RULER_PER_MM, written.ln(), per / written, run_m)
            }
            RunRead::Between {
                least_m, most_m, ..
            } => (
                ANY_WORD,
                0.0,
                0.0,
                if most_m.is_finite() { most_m } else { least_m },
            ),
        };
        let blunder_p = BLUNDER_IN_GLAZE * blunder.p.max(0.0) + (1.0 - BLUNDER_IN_GLAZE) * any;
        let sound_p = sound.p.max(0.0);
        let p = ((1.0 - outlier) * sound_p + outlier * blunder_p).max(1e-300);
        let (a, b) = ((1.0 - outlier) / p, outlier * BLUNDER_IN_GLAZE / p);
        let both = |of: fn(&Sums) -> f64| a * of(&sound) + b * of(&blunder);
        let eta = both(|s| s.eta);
        let per_variance = both(|s| s.variance);
        let t = self.threshold(&self.parts[2], at);
        let slopes = RunSlopes {
            eta,
            ln_h: both(|s| s.ln_h),
            ln_retention: both(|s| s.ln_retention),
            noise: per_variance * 2.0 * now.noise.value,
            place: both(|s| s.place),
            coat: per_variance * 2.0 * now.coat.value * self.per_coat_squared,
            outlier: (blunder_p - sound_p) / p,
            stuck: a * sound_stuck + b * blunder_stuck,
            whole_mm: per_whole_mm,
            curvature: (eta * eta - both(|s| s.eta_eta)).max(0.0),
            margin_ln_h: t.per_ln_h,
            margin_ln_retention: t.per_ln_retention,
            blunder: outlier * blunder_p / p,
        };
        (p.ln() + ln_written, slopes)
    }
}

/// Whether an entry is taken at its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Entry {
    Sound,
    /// Something else went on than was written down.
    Blunder,
}
