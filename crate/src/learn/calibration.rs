//! How well the log's own entries are predicted, each by all the others.
//!
//! Takes the model and points drawn from its posterior; gives leave-one-out coverage, a Brier score for the foot and each entry's chance of being a blunder.
//!
//! Leaving an entry out is reweighting the draws by one over its likelihood (Vehtari, Gelman & Gabry 2017, Statistics and Computing 27, 1413), the weights
//! smoothed ([`pareto`]). A likelihood with blunders in it is never near 0, so weights stay even.

pub mod pareto;

use super::data::{Piece, RunRead};
use super::likelihood::{Aim, LOOKS_STUCK_M, Model, Now, Stack};
use super::normal::cdf;
use super::posterior::{Calibration, ReliabilityBin};

/// Judgements of entries and draws that calibration takes at most, about; it takes fewer draws from larger logs.
const JUDGEMENTS: usize = 600_000;
/// Bins of the reliability picture.
const BINS: usize = 5;

/// What calibration found.
#[derive(Clone, Debug, Default)]
pub struct Judged {
    /// In numbers; none where no entry has a run.
    pub calibration: Option<Calibration>,
    /// By entry of the log.
    pub left: Vec<Left>,
    /// Chance of each weigh-in to be a blunder.
    pub weigh_in_blunder: Vec<f64>,
}

/// What all others say of one entry.
#[derive(Clone, Copy, Debug, Default)]
pub struct Left {
    /// Chance of a run below the lower end of what was read.
    pub low: f64,
    /// The same of the upper end.
    pub high: f64,
    /// Chance of reaching the foot or the end.
    pub foot: f64,
    /// Shape of the weights' tail: above [`pareto::most_shape`] they cannot be trusted.
    pub pareto_k: f64,
    /// Chance that the entry is a blunder, 0 where no run was read.
    pub blunder: f64,
}

/// Judges every entry of the model's log by points of its posterior.
pub fn calibrate(model: &Model, points: &[&[f64]]) -> Judged {
    let log = &model.log;
    let n = log.pieces.len();
    let wanted = (JUDGEMENTS / n.max(1)).clamp(32, 256);
    let every = (points.len() / wanted).max(1);
    let chosen: Vec<&[f64]> = points.iter().step_by(every).copied().collect();
    let s = chosen.len();
    let mut judged = Judged {
        calibration: None,
        left: vec![Left::default(); n],
        weigh_in_blunder: vec![0.0; log.weighed.len()],
    };
    if s == 0 {
        return judged;
    }
    let nows: Vec<Now> = chosen.iter().map(|point| model.now(point)).collect();
    let mut weights = vec![0.0; s];
    // By draw: chance below the reading's lower end, below its upper end, below the foot.
    let mut cells = vec![[0.0_f64; 3]; s];
    let mut stack = Stack::default();
    let mut sums = Tally::default();
    for (i, piece) in log.pieces.iter().enumerate() {
        let Some(read) = &piece.run else { continue };
        let (low_m, high_m) = ends(read);
        let at = model.aim(i, high_m.min(low_m.max(0.0) + 5e-3));
        let aims = [low_m, high_m, piece.bare_m, LOOKS_STUCK_M]
            .map(|m| model.aim(i, if m.is_finite() { m } else { 0.0 }));
        let near = by_ruler_near_stuck(read);
        let mut blunders = 0.0;
        for (((cell, weight), point), now) in
            cells.iter_mut().zip(&mut weights).zip(&chosen).zip(&nows)
        {
            let (ln, blunder) = model.ln_likelihood(i, now, point, &mut stack);
            blunders += blunder;
            *weight = -ln;
            let chance = model.run_chance(i, now, point, &mut stack, &at);
            let below = |m: f64, aim: &Aim| match m {
                m if m <= 0.0 => 0.0,
                m if m.is_finite() => chance.below(m, &aim.marks),
                _ => 1.0,
            };
            *cell = [
                below(low_m, &aims[0]),
                below(high_m, &aims[1]),
                below(piece.bare_m, &aims[2]),
            ];
            if let Some(error_m) = near {
                let stuck = below(LOOKS_STUCK_M, &aims[3]);
                for (chance, m) in cell.iter_mut().zip([low_m, high_m]) {
                    *chance = read_below(m, *chance, stuck, error_m);
                }
            }
        }
        let mut left = left_out(&cells, &mut weights);
        left.blunder = blunders / s as f64;
        sums.add(piece, read, &left, pareto::most_shape(s));
        judged.left[i] = left;
    }
    for (point, now) in chosen.iter().zip(&nows) {
        for (i, weighed) in log.weighed.iter().enumerate() {
            judged.weigh_in_blunder[i] +=
                model.weighed_ln_likelihood(weighed, now, point).1 / s as f64;
        }
    }
    judged.calibration = sums.calibration();
    judged
}

/// The error of a ruler, m, whose reading is so short that an edge which looks stuck could have been read so.
fn by_ruler_near_stuck(read: &RunRead) -> Option<f64> {
    match *read {
        RunRead::Ruler { run_m, error_m, .. } if run_m < 4.0 * error_m => Some(error_m),
        _ => None,
    }
}

/// Chance of a ruler's reading below `m`: of an edge that looks `stuck` the ruler shows its error, and nobody writes less than nothing.
fn read_below(m: f64, run_below: f64, stuck: f64, error_m: f64) -> f64 {
    if m <= 0.0 {
        return 0.0;
    }
    let moved = run_below - stuck;
    stuck * cdf(m / error_m) + if moved > 0.0 { moved } else { 0.0 }
}

/// The readings that a run as written stands for, m: rounding counted; below 0: no lower end.
fn ends(read: &RunRead) -> (f64, f64) {
    match *read {
        RunRead::Ruler { run_m, whole, .. } => {
            let half = if whole { 0.5e-3 } else { 0.25e-3 };
            if run_m < LOOKS_STUCK_M {
                (-1.0, LOOKS_STUCK_M)
            } else {
                (run_m - half, run_m + half)
            }
        }
        RunRead::Between {
            least_m, most_m, ..
        } => (least_m, most_m),
    }
}

/// The entry's prediction with the entry left out, by logs of raw weights.
fn left_out(cells: &[[f64; 3]], weights: &mut [f64]) -> Left {
    let mut left = Left {
        pareto_k: pareto::smooth(weights),
        ..Left::default()
    };
    let mut sum = 0.0;
    for (cell, w) in cells.iter().zip(weights) {
        sum += *w;
        left.low += *w * cell[0];
        left.high += *w * cell[1];
        left.foot += *w * (1.0 - cell[2]);
    }
    left.low /= sum;
    left.high /= sum;
    left.foot /= sum;
    left
}

/// Whether an edge reached the foot or the end; none where what was read leaves it open.
fn reached(piece: &Piece, read: &RunRead) -> Option<bool> {
    if !piece.held || piece.bare_m <= 0.0 {
        return None;
    }
    let (low, high) = match *read {
        RunRead::Ruler { run_m, .. } => (run_m, run_m),
        RunRead::Between {
            least_m, most_m, ..
        } => (least_m, most_m),
    };
    if low >= piece.bare_m - 1e-6 {
        Some(true)
    } else {
        (high <= piece.bare_m).then_some(false)
    }
}

#[derive(Default)]
struct Tally {
    entries: usize,
    covered: f64,
    uncertain: usize,
    tenths: [f64; 10],
    feet: usize,
    brier: f64,
    bins: [[f64; 3]; BINS],
}

impl Tally {
    fn add(&mut self, piece: &Piece, read: &RunRead, left: &Left, most_shape: f64) {
        self.entries += 1;
        // A stretch of the prediction's distribution: what it says of the reading lies evenly in it.
        let (low, high) = (left.low, left.high.max(left.low + 1e-9));
        let part =
            |from: f64, to: f64| ((high.min(to) - low.max(from)) / (high - low)).clamp(0.0, 1.0);
        self.covered += part(0.1, 0.9);
        for (i, tenth) in self.tenths.iter_mut().enumerate() {
            *tenth += part(i as f64 / 10.0, (i + 1) as f64 / 10.0);
        }
        if left.pareto_k > most_shape {
            self.uncertain += 1;
        }
        if let Some(reached) = reached(piece, read) {
            let reached = if reached { 1.0 } else { 0.0 };
            self.feet += 1;
            self.brier += (left.foot - reached) * (left.foot - reached);
            let bin = &mut self.bins[((left.foot * BINS as f64) as usize).min(BINS - 1)];
            bin[0] += left.foot;
            bin[1] += reached;
            bin[2] += 1.0;
        }
    }

    fn calibration(&self) -> Option<Calibration> {
        if self.entries == 0 {
            return None;
        }
        let n = self.entries as f64;
        let mut reliability = Vec::new();
        for [predicted, reached, count] in self.bins {
            if count > 0.0 {
                reliability.push(ReliabilityBin {
                    predicted: predicted / count,
                    reached: reached / count,
                    entries: count as usize,
                });
            }
        }
        Some(Calibration {
            coverage_80: self.covered / n,
            brier_foot: (self.feet > 0).then(|| self.brier / self.feet as f64),
            entries: self.entries,
            foot_entries: self.feet,
            uncertain: self.uncertain,
            reliability,
            tenths: self.tenths.iter().map(|t| t / n).collect(),
        })
    }
}
