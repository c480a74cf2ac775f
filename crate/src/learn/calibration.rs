//! How well the log's own entries are predicted, each by all the others.
//!
//! Takes the model and points drawn from its posterior; gives leave-one-out coverage, a Brier score for the foot and each entry's chance of being a blunder.
//!
//! Leaving an entry out is reweighting the draws by one over its likelihood (Vehtari, Gelman & Gabry 2017, Statistics and Computing 27, 1413), the weights
//! smoothed ([`pareto`]). A likelihood with blunders in it is never near 0, so weights stay even.

pub mod pareto;

use super::data::{Piece, RunRead};
use super::likelihood::{
    self as model, EDGES, LOOKS_STUCK_M, Lines, Margins, Marks, Model, RunChance,
};
use super::normal::cdf;
use super::posterior::{Calibration, ReliabilityBin};
use super::target::beside;
use crate::real::{Pair, Real};

/// Judgements of entries and draws that calibration takes at most, about; it takes fewer draws from larger logs.
const JUDGEMENTS: usize = 128_000;
/// Fewest and most draws that it takes.
const DRAWS: (usize, usize) = (32, 256);
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
    let mut judging = Judging::new(model);
    let taken: Vec<&[f64]> = (points.iter().copied())
        .step_by(every(model, points.len()))
        .collect();
    for two in taken.chunks(2) {
        judging.judge(model, two);
    }
    summed(model, &[&judging.cells])
}

/// Every how many-th of so many draws is judged.
pub fn every(model: &Model, draws: usize) -> usize {
    let wanted = JUDGEMENTS / model.log.pieces.len().max(1);
    (draws / wanted.clamp(DRAWS.0, DRAWS.1)).max(1)
}

/// What some draws say of every entry.
#[derive(Clone, Debug, Default)]
pub struct Cells {
    /// How many.
    pub draws: usize,
    /// By draw, and in it by entry: the log of one over the likelihood; the chances below the reading's lower end, below its upper end, below the foot.
    pub of_entries: Vec<[f64; 4]>,
    /// Sums over the draws of the chance to be a blunder, by entry and then by weigh-in.
    pub blunder: Vec<f64>,
}

/// Judging under way, two draws at a time.
#[derive(Debug)]
pub struct Judging {
    asked: Vec<Option<Asked>>,
    marks: Marks,
    at_point: model::Judged,
    margins: Margins,
    /// What the draws so far say.
    pub cells: Cells,
}

impl Judging {
    /// Nothing judged yet.
    pub fn new(model: &Model) -> Self {
        let log = &model.log;
        let mut marks = Marks::for_strips(2 * log.strips.len());
        let asked = (0..log.pieces.len()).map(|i| Asked::of(model, i, &mut marks));
        Self {
            asked: asked.collect(),
            marks,
            at_point: model::Judged::default(),
            margins: Margins::default(),
            cells: Cells {
                draws: 0,
                of_entries: Vec::new(),
                blunder: vec![0.0; log.pieces.len() + log.weighed.len()],
            },
        }
    }

    /// Judges every entry by two draws more, or by one.
    pub fn judge(&mut self, model: &Model, two: &[&[f64]]) {
        let (Some(one), Some(other)) = (two.first(), two.last()) else {
            return;
        };
        let log = &model.log;
        let (n, new) = (log.pieces.len(), two.len().min(2));
        let point = &beside(one, other)[..];
        let now = model.now(point);
        let lines = model.lines(&now);
        let asked_lines = Lines::of(&self.marks, now.ln_retention);
        let Cells {
            draws,
            of_entries,
            blunder,
        } = &mut self.cells;
        let before = of_entries.len();
        of_entries.resize(before + new * n, [0.0; 4]);
        *draws += new;
        let mut add = |at: usize, chance: Pair| {
            for chance in &chance.as_array()[..new] {
                blunder[at] += chance;
            }
        };
        for (i, asked) in self.asked.iter().enumerate() {
            let Some(asked) = asked else { continue };
            let mut cell = [Pair::ZERO; 4];
            let margins = &mut self.margins;
            let mut ask = |chance: &RunChance<'_>| cell = asked.cell(chance, &asked_lines, margins);
            let at_point = &mut self.at_point;
            cell[0] = -model.ln_likelihood(i, &now, &lines, point, at_point, &mut ask);
            add(i, at_point.blunder());
            for lane in 0..new {
                let own = &mut of_entries[before + lane * n + i];
                for (own, pair) in own.iter_mut().zip(&cell) {
                    *own = pair.as_array()[lane];
                }
            }
        }
        for (i, weighed) in log.weighed.iter().enumerate() {
            add(n + i, model.weighed_ln_likelihood(weighed, &now, point).1);
        }
    }
}

/// What the draws of all parts say together.
pub fn summed(model: &Model, parts: &[&Cells]) -> Judged {
    let log = &model.log;
    let n = log.pieces.len();
    let mut judged = Judged {
        calibration: None,
        left: vec![Left::default(); n],
        weigh_in_blunder: vec![0.0; log.weighed.len()],
    };
    let mut s = 0;
    for part in parts {
        s += part.draws;
    }
    let of = s.max(1) as f64;
    for part in parts {
        let (pieces, weigh_ins) = part.blunder.split_at(n);
        for (left, sum) in judged.left.iter_mut().zip(pieces) {
            left.blunder += sum / of;
        }
        for (own, sum) in judged.weigh_in_blunder.iter_mut().zip(weigh_ins) {
            *own += sum / of;
        }
    }
    if s == 0 {
        return judged;
    }
    let mut cells = Vec::with_capacity(s);
    let mut weights = vec![0.0; s];
    let mut sums = Tally::default();
    for (i, piece) in log.pieces.iter().enumerate() {
        let Some(read) = &piece.run else { continue };
        cells.clear();
        for part in parts {
            cells.extend(part.of_entries.iter().skip(i).step_by(n));
        }
        let left = &mut judged.left[i];
        left_out(&cells, &mut weights, left);
        sums.add(piece, read, left, pareto::most_shape(s));
    }
    judged.calibration = sums.calibration();
    judged
}

/// What an entry's chances are asked of.
#[derive(Clone, Debug)]
struct Asked {
    /// The reading's lower end, its upper end, the foot, and where an edge looks stuck, m.
    runs_m: [f64; 4],
    /// Numbers of the marks of each.
    marks: [[u32; EDGES]; 4],
    edges: usize,
    /// The error of a ruler, m, that is so near an edge which looks stuck.
    near: Option<f64>,
}

impl Asked {
    fn of(model: &Model, number: usize, marks: &mut Marks) -> Option<Self> {
        let piece = &model.log.pieces[number];
        let read = piece.run.as_ref()?;
        let (low_m, high_m) = ends(read);
        let near = by_ruler_near_stuck(read);
        let stuck_m = if near.is_some() { LOOKS_STUCK_M } else { 0.0 };
        let mut asked = Self {
            runs_m: [low_m, high_m, piece.bare_m, stuck_m],
            marks: [[0; EDGES]; 4],
            edges: (piece.edges as usize).min(EDGES),
            near,
        };
        for (run_m, numbers) in asked.runs_m.iter().zip(&mut asked.marks) {
            if *run_m > 0.0 && run_m.is_finite() {
                *numbers = model.aim(number, *run_m, marks);
            }
        }
        Some(asked)
    }

    /// All but the likelihood.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn cell(&self, chance: &RunChance<'_>, lines: &Lines<'_>, margins: &mut Margins) -> [Pair; 4] {
        let mut below = [Pair::ZERO; 4];
        for (i, m) in self.runs_m.iter().enumerate() {
            below[i] = match *m {
                m if m <= 0.0 => Pair::ZERO,
                m if m.is_finite() => {
                    let lines = lines.of_edges(&self.marks[i][..self.edges]);
                    chance.margins(&lines, false, margins);
                    chance.below(margins)
                }
                _ => Pair::ONE,
            };
        }
        let [mut low, mut high, foot, stuck] = below;
        if let Some(error_m) = self.near {
            low = read_below(self.runs_m[0], low, stuck, error_m);
            high = read_below(self.runs_m[1], high, stuck, error_m);
        }
        [Pair::ZERO, low, high, foot]
    }
}

/// The error of a ruler, m, whose reading is so short that an edge which looks stuck could have been read so.
fn by_ruler_near_stuck(read: &RunRead) -> Option<f64> {
    match *read {
        RunRead::Ruler { run_m, error_m, .. } if run_m < 4.0 * error_m => Some(error_m),
        _ => None,
    }
}

/// Chance of a ruler's reading below `m`: of an edge that looks `stuck` the ruler shows its error, and nobody writes less than nothing.
#[cfg_attr(fast_by_function, optimize(speed))]
fn read_below(m: f64, run_below: Pair, stuck: Pair, error_m: f64) -> Pair {
    if m <= 0.0 {
        return Pair::ZERO;
    }
    stuck * cdf(m / error_m) + (run_below - stuck).or_more(Pair::ZERO)
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

/// The entry's prediction with the entry left out, by logs of raw weights and chances.
fn left_out(cells: &[[f64; 4]], weights: &mut [f64], left: &mut Left) {
    for (weight, cell) in weights.iter_mut().zip(cells) {
        *weight = cell[0];
    }
    left.pareto_k = pareto::smooth(weights);
    let mut sum = 0.0;
    for (cell, w) in cells.iter().zip(weights) {
        sum += *w;
        left.low += *w * cell[1];
        left.high += *w * cell[2];
        left.foot += *w * (1.0 - cell[3]);
    }
    left.low /= sum;
    left.high /= sum;
    left.foot /= sum;
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
