//! What learning hands on: the draws, and what they say in numbers that a person can read.
//!
//! Takes nothing; plain data with units in the names, read by `predict`, the doors and the page.

use super::params::Params;
use super::update::Points;
use serde::Serialize;
use std::sync::Arc;

/// How learning is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    /// Joint draws asked for, 16–8192: half as many are made of a short log, down to a quarter of a long one.
    pub draws: usize,
    /// The same seed and studio give the same draws, bit for bit, on one build.
    pub seed: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            draws: 512,
            seed: 1,
        }
    }
}

/// What is known of everything unknown.
#[derive(Clone, Debug)]
pub struct Posterior {
    /// Joint draws, all of equal weight.
    pub params: Vec<Params>,
    /// The draws in numbers.
    pub summary: Summary,
    /// How well the log's own entries are predicted when each is left out; none with an empty log.
    pub calibration: Option<Calibration>,
    /// Entries that look like a blunder, the oddest first.
    pub odd_entries: Vec<OddEntry>,
    /// The draws that a few lines more can be counted from at once; none before the log was learned from.
    pub points: Arc<Points>,
}

/// The draws in numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Summary {
    /// Glazes in the studio's order.
    pub glazes: Vec<GlazeKnown>,
    /// Pairs that met in the log, over then under.
    pub pairs: Vec<PairKnown>,
    /// Hands in the studio's order.
    pub hands: Vec<HandKnown>,
    /// Firings in the studio's order.
    pub firings: Vec<FiringKnown>,
    /// Shelves that stand in the log.
    pub shelves: Vec<ShelfKnown>,
    /// Numbers of the studio as a whole.
    pub studio: StudioKnown,
    /// Whether a weigh-in ties thickness to a scale. Without one, thicker coats of a stiffer glaze and thinner coats of a more fluid one run alike.
    pub scale_known: bool,
    /// Log entries that taught something.
    pub entries: usize,
    /// Weigh-ins that did.
    pub weigh_ins: usize,
    /// How many independent draws the draws are worth, for the worst of the unknowns.
    pub effective_draws: f64,
    /// Between- over within-chain spread of the worst of the unknowns (split R-hat); 1 is perfect.
    pub r_hat: f64,
}

/// Mean and standard deviation.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "the fields are what they are named for")]
pub struct Spread {
    pub mean: f64,
    pub sd: f64,
}

/// Median with a 90 % band.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[allow(
    missing_docs,
    reason = "the fields are the quantiles they are named for"
)]
pub struct Known {
    pub p05: f64,
    pub p50: f64,
    pub p95: f64,
}

/// What is known of a glaze.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct GlazeKnown {
    /// The glaze's identifier.
    pub id: String,
    /// log10 of its fluidity integral at the reference firing, log10(1/Pa).
    pub log10_phi: Spread,
    /// The same before anything was logged.
    pub prior_log10_phi: Spread,
    /// Log entries it is in.
    pub entries: usize,
    /// Fired thickness between which its look as a top layer is right, µm, at full share; none without a logged look.
    pub right_from_um: Option<Known>,
    /// See `right_from_um`.
    pub right_to_um: Option<Known>,
    /// Looks logged with it on top.
    pub looks: usize,
}

/// What is known of a pair in one order.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct PairKnown {
    /// The glaze on top.
    pub over: String,
    /// The glaze below.
    pub under: String,
    /// Shift of the mixed fluidity, decades.
    pub decades: Spread,
    /// Log entries in which they meet in this order.
    pub entries: usize,
}

/// What is known of a hand.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct HandKnown {
    /// The hand's identifier.
    pub id: String,
    /// Natural log of its brushed coat against the book's median.
    pub ln_laydown: Spread,
    /// Log entries it had a part in.
    pub entries: usize,
    /// Weigh-ins of it.
    pub weigh_ins: usize,
}

/// What is known of a firing.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct FiringKnown {
    /// The firing's identifier.
    pub id: String,
    /// Effect beyond its schedule, decades.
    pub decades: Spread,
    /// Log entries from it.
    pub entries: usize,
}

/// What is known of a shelf.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct ShelfKnown {
    /// The kiln's name.
    pub kiln: String,
    /// Counted from the bottom.
    pub shelf: u8,
    /// Effect against the kiln's mean, decades.
    pub decades: Spread,
    /// Log entries from it.
    pub entries: usize,
}

/// Numbers of the studio as a whole.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct StudioKnown {
    /// Drained area that an edge on bare clay holds on a vertical wall, mm².
    pub retention_mm2: Known,
    /// 0 still separate – 1 melted together.
    pub mixing: Known,
    /// Each coat thinner than the one before by this share.
    pub thinning_per_coat: Known,
    /// 1: thinning starts anew with each glaze; 0: goes on through the stack.
    pub thinning_anew: Known,
    /// Spread from piece to piece, decades.
    pub noise_decades: Known,
    /// Spread of thickness from place to place, natural log.
    pub place_ln_sigma: Known,
    /// Spread of thickness from coat to coat, natural log.
    pub coat_ln_sigma: Known,
    /// How far a brush's habit carries over to dipping and spraying.
    pub carry: Known,
    /// Natural log of the studio's dip against the book's.
    pub ln_dip: Known,
    /// Natural log of the studio's sprayed pass against the book's.
    pub ln_spray: Known,
    /// Share of blunders.
    pub outlier_share: Known,
    /// Share of stuck edges written down without a ruler.
    pub stuck_by_word: Known,
    /// Share of rulers read to whole millimetres.
    pub whole_mm: Known,
    /// Share of opinions stiff/medium/fluid that are wrong.
    pub opinion_wrong: Known,
}

/// How well the log's entries are predicted, each by all the others.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Calibration {
    /// Share of entries inside their 80 % band; an interval counts by the part of it that is inside.
    pub coverage_80: f64,
    /// Mean squared error of the chance of reaching the foot or the end; none where no entry could have.
    pub brier_foot: Option<f64>,
    /// Entries judged.
    pub entries: usize,
    /// Entries judged for the foot.
    pub foot_entries: usize,
    /// Entries whose leave-one-out weights are too uneven to trust.
    pub uncertain: usize,
    /// Chances of reaching the foot against how often it was reached.
    pub reliability: Vec<ReliabilityBin>,
    /// Where the readings lay in their predictions: share of entries in each tenth.
    pub tenths: Vec<f64>,
}

/// One bin of the reliability picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct ReliabilityBin {
    /// Mean predicted chance in this bin.
    pub predicted: f64,
    /// Share that reached the foot.
    pub reached: f64,
    /// Entries in it.
    pub entries: usize,
}

/// An entry that looks like a blunder.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct OddEntry {
    /// The entry's (or weigh-in's) identifier.
    pub id: String,
    /// What is odd and what would explain it, one sentence.
    pub why: String,
    /// Chance that it is a blunder, 0–1.
    pub chance: f64,
}
