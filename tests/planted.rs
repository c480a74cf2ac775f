//! Lines of a log entered wrong on purpose: what learning is to point out.
//!
//! Takes a studio whose log is sound; gives it back with one entry written down wrong, which one that is, and what learning points out.

use crate::ranks::point;
use crate::studios::{Breaks, Design, design, fill};
use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::calibration::calibrate;
use glazefall::learn::data::{Log, Piece};
use glazefall::learn::{Learning, Options};
use glazefall::studio::document::{Entry, How, Run, RunWord, Studio};
use rand::{RngExt, SeedableRng};

/// A way of writing down an entry wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Brushed coats of one layer: one too many or too few.
    OneCoat,
    /// Two too many or, of three and more, too few.
    TwoCoats,
    /// The glazes of a stack the other way round.
    Order,
    /// The word for a run: another one.
    Word,
    /// A run of 15 mm and more by ruler: "did not move".
    DidNotMove,
}

/// All of them with what they are called.
pub const KINDS: [(Kind, &str); 5] = [
    (Kind::OneCoat, "one coat miscounted"),
    (Kind::TwoCoats, "two coats miscounted"),
    (Kind::Order, "order swapped"),
    (Kind::Word, "another word ticked"),
    (Kind::DidNotMove, "15 mm and more: did not move"),
];

/// The entry written down wrong; none where it cannot be in this way.
pub fn wrong(entry: &Entry, kind: Kind, rng: &mut ChaCha8Rng) -> Option<Entry> {
    let mut wrong = entry.clone();
    let run = wrong.outcome.as_ref()?.run?;
    match kind {
        Kind::OneCoat | Kind::TwoCoats => {
            let by = if kind == Kind::OneCoat { 1 } else { 2 };
            let layer = rng.random_range(0..wrong.layers.len());
            let more = rng.random::<f64>() < 0.5;
            let How::Brush { coats } = &mut wrong.layers[layer].how else {
                return None;
            };
            *coats = if more || *coats <= by {
                *coats + by
            } else {
                *coats - by
            };
        }
        Kind::Order => {
            let last = wrong.layers.len() - 1;
            if wrong.layers[0].glaze == wrong.layers[last].glaze {
                return None;
            }
            let (a, b) = (
                wrong.layers[0].glaze.clone(),
                wrong.layers[last].glaze.clone(),
            );
            (wrong.layers[0].glaze, wrong.layers[last].glaze) = (b, a);
        }
        Kind::Word => {
            let Run::Word { word, .. } = run else {
                return None;
            };
            let others: Vec<_> = RunWord::RANGES_MM
                .into_iter()
                .filter(|w| w.0 != word)
                .collect();
            let (word, least_mm, most_mm) = others[rng.random_range(0..others.len())];
            wrong.outcome.as_mut()?.run = Some(Run::Word {
                word,
                least_mm,
                most_mm,
            });
        }
        Kind::DidNotMove => {
            if !matches!(run, Run::Ruler { run_mm, .. } if run_mm >= 15.0) {
                return None;
            }
            let (word, least_mm, most_mm) = RunWord::RANGES_MM[0];
            wrong.outcome.as_mut()?.run = Some(Run::Word {
                word,
                least_mm,
                most_mm,
            });
        }
    }
    Some(wrong)
}

/// A studio fired by a truth from the priors, nothing in its log entered wrong.
pub fn sound(of: &Design) -> Studio {
    let mut studio = design(of);
    let unknowns = Log::of(&studio).unknowns;
    let mut rng = ChaCha8Rng::seed_from_u64(of.seed ^ 0x50a1);
    let point = unknowns.draw(&mut rng);
    let mut truth = unknowns.params(&point, rng.random());
    truth.outlier_share = 0.0;
    let breaks = Breaks::default();
    fill(&mut studio, &truth, &breaks, of.words, of.seed ^ 0xf19e);
    studio
}

/// The studio with one entry that can be written down wrong so; which one, by the seed. None where no entry can be.
pub fn planted(studio: &Studio, kind: Kind, seed: u64) -> Option<(Studio, String)> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let can: Vec<(usize, Entry)> = (studio.entries.iter().enumerate())
        .filter_map(|(i, entry)| Some((i, wrong(entry, kind, &mut rng)?)))
        .collect();
    if can.is_empty() {
        return None;
    }
    let (at, entry) = can[rng.random_range(0..can.len())].clone();
    let mut studio = studio.clone();
    let id = entry.id.clone();
    studio.entries[at] = entry;
    Some((studio, id))
}

/// What learning says of a log with one entry in it that is wrong, or with none.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// Entries that are pointed out, with the reason.
    pub odd: Vec<(String, String)>,
    /// By entry: chance of a reading as far out by all the others, both sides counted.
    pub as_far: Vec<(String, f64)>,
}

/// Learns a log and says what is odd in it.
pub fn found(studio: &Studio, seed: u64) -> Found {
    let mut learning = Learning::start(studio, &Options { draws: 512, seed });
    while !learning.step().ready {}
    let model = learning.model().clone();
    let posterior = learning.finish(studio);
    let points: Vec<Vec<f64>> = posterior
        .params
        .iter()
        .map(|p| point(&model.log.unknowns, p))
        .collect();
    let points: Vec<&[f64]> = points.iter().map(Vec::as_slice).collect();
    let left = calibrate(&model, &points).left;
    let id = |piece: &Piece| studio.entries[piece.entry as usize].id.clone();
    Found {
        odd: posterior
            .odd_entries
            .into_iter()
            .filter(|odd| studio.entries.iter().any(|entry| entry.id == odd.id))
            .map(|odd| (odd.id, odd.why))
            .collect(),
        as_far: (model.log.pieces.iter().zip(&left))
            .map(|(piece, left)| (id(piece), (2.0 * left.high.min(1.0 - left.low)).min(1.0)))
            .collect(),
    }
}

/// The rest of the log speaks against a reading from this chance of one as far out down.
const AGAINST: f64 = 0.05;

/// Of one kind of blunder.
#[derive(Clone, Copy, Debug, Default)]
pub struct Count {
    /// Planted.
    pub planted: usize,
    /// Of these pointed out.
    pub pointed_out: usize,
    /// Planted where the rest of the log speaks against the reading.
    pub against: usize,
    /// Of these pointed out.
    pub against_pointed_out: usize,
    /// Pointed out with what is wrong as a reason.
    pub reason: usize,
}

/// Sound entries, those of them pointed out, and blunders by kind.
#[derive(Clone, Copy, Debug, Default)]
pub struct Table {
    /// Entries of logs in which nothing is wrong.
    pub sound: usize,
    /// Of these pointed out.
    pub alarms: usize,
    /// By kind.
    pub kinds: [Count; KINDS.len()],
}

fn names(kind: Kind, why: &str) -> bool {
    match kind {
        Kind::OneCoat | Kind::TwoCoats => why.contains("a coat or two"),
        Kind::Order => why.contains("the other way round"),
        Kind::Word | Kind::DidNotMove => why.contains("another word"),
    }
}

impl Table {
    /// Learns a sound studio, and it with up to `plants` entries of each kind wrong, one at a time.
    pub fn judge(&mut self, studio: &Studio, plants: u64, seed: u64) {
        let nothing_wrong = found(studio, seed);
        self.sound += nothing_wrong.as_far.len();
        self.alarms += nothing_wrong.odd.len();
        for ((kind, _), count) in KINDS.into_iter().zip(&mut self.kinds) {
            let mut done = Vec::new();
            for plant in 0..plants {
                let Some((wrong, id)) = planted(studio, kind, seed ^ (plant << 20)) else {
                    continue;
                };
                if done.contains(&id) {
                    continue;
                }
                let Found { odd, as_far } = found(&wrong, seed);
                let against = as_far.iter().any(|(one, p)| *one == id && *p <= AGAINST);
                let why = odd.iter().find(|(one, _)| *one == id);
                count.planted += 1;
                count.pointed_out += usize::from(why.is_some());
                count.against += usize::from(against);
                count.against_pointed_out += usize::from(against && why.is_some());
                count.reason += usize::from(why.is_some_and(|(_, why)| names(kind, why)));
                done.push(id);
            }
        }
    }

    /// Adds another's.
    pub fn add(&mut self, other: &Self) {
        self.sound += other.sound;
        self.alarms += other.alarms;
        for (count, other) in self.kinds.iter_mut().zip(other.kinds) {
            count.planted += other.planted;
            count.pointed_out += other.pointed_out;
            count.against += other.against;
            count.against_pointed_out += other.against_pointed_out;
            count.reason += other.reason;
        }
    }

    /// Prints it.
    pub fn print(&self, of: &str) {
        let per_log = 60.0 * self.alarms as f64 / self.sound as f64;
        println!(
            "{of}: {} sound entries, {} pointed out, {per_log:.1} of sixty",
            self.sound, self.alarms
        );
        println!(
            "kind                          planted  pointed out  rest against it  of them pointed out  reason named"
        );
        for ((_, name), count) in KINDS.iter().zip(&self.kinds) {
            println!(
                "{name:28}  {:7}  {:11}  {:15}  {:19}  {:12}",
                count.planted,
                count.pointed_out,
                count.against,
                count.against_pointed_out,
                count.reason
            );
        }
    }
}
