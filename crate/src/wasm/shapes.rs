//! The structs that cross the border, apart from the core's own.
//!
//! Takes nothing; plain data, units in the names. Their TypeScript is generated from here.

use serde::Serialize;

use crate::studio::csv::{Column, LineProblem};
use crate::studio::document::Settings;
use crate::studio::error::Message;
use crate::studio::merge::Conflict;

/// A studio that has been opened.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Opened {
    /// The document, JSON.
    pub studio: String,
    /// Its choices, every one.
    pub settings: Settings,
    /// What of it could not be read.
    pub left_out: Vec<Message>,
}

/// One record as it is to be kept.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Kept {
    /// Its list.
    pub list: String,
    /// Its identifier.
    pub id: String,
    /// Its JSON; null: delete it.
    pub json: Option<String>,
}

/// The whole studio as it is to be kept.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Records {
    /// All that is not a record, JSON.
    pub head: String,
    /// Every record in its order.
    pub records: Vec<Kept>,
}

/// What an edit did.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Applied {
    /// Records to write or delete.
    pub changed: Vec<Kept>,
    /// All that is not a record, JSON, where it changed.
    pub head: Option<String>,
    /// The studio's choices, where the head changed.
    pub settings: Option<Settings>,
    /// The edit that takes it back, JSON.
    pub inverse: String,
}

/// A fresh identifier, and a fresh code to pencil on the back.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Fresh {
    /// Unique in its list.
    pub id: String,
    /// Unique among the entries.
    pub code: String,
}

/// What a word means for a run, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct WordMm {
    /// At least; null: no lower end.
    pub least_mm: Option<f64>,
    /// At most; null: no upper end.
    pub most_mm: Option<f64>,
}

/// A moment of the firing, as the scrubber calls it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct MomentName {
    /// Short, e.g. "1205 °C, rising".
    pub label: String,
    /// Whole, for those who listen.
    pub words: String,
}

/// What the log has taught, in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Learned {
    /// Per glaze.
    pub glazes: Vec<KnownOf>,
    /// Per hand.
    pub hands: Vec<KnownOf>,
    /// Entries that look like a blunder.
    pub odd_entries: Vec<Odd>,
    /// Whether a weigh-in ties thickness to a scale.
    pub scale_known: bool,
    /// Log entries that taught something.
    pub entries: usize,
    /// Weigh-ins that did.
    pub weigh_ins: usize,
    /// How well the log's own entries are foretold, in words; empty with too few.
    pub calibration: String,
    /// What the last change of the log changed in what is known, in sentences; empty for a studio just opened.
    pub changed: Vec<String>,
    /// Lines that changed since the whole log was learned from and are counted already.
    pub counted: usize,
    /// Such lines that are not counted yet.
    pub waiting: usize,
}

/// What is known of one glaze or hand.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct KnownOf {
    /// Its identifier.
    pub id: String,
    /// A few words.
    pub words: String,
    /// Log entries behind it.
    pub entries: usize,
}

/// An entry that looks like a blunder.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Odd {
    /// Its identifier.
    pub id: String,
    /// Why.
    pub why: String,
}

/// A table as it was understood; nothing of it is taken yet.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct TableRead {
    /// What separates its cells.
    pub separator: String,
    /// Its columns, each with what it is taken for.
    pub columns: Vec<Column>,
    /// Records that are new to the studio.
    pub new: usize,
    /// Records that it changes.
    pub changed: usize,
    /// Records that stand in the studio just so.
    pub same: usize,
    /// What was not understood, line by line.
    pub problems: Vec<LineProblem>,
    /// The edit that takes all of it, JSON.
    pub edit: String,
}

/// Another copy of the studio, merged.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct MergeDone {
    /// What changed here.
    pub applied: Applied,
    /// Records that only the other had.
    pub new: usize,
    /// Records of which the other had the newer copy.
    pub newer: usize,
    /// Records that the other had removed since.
    pub removed: usize,
    /// Where the two differed.
    pub conflicts: Vec<Conflict>,
}

/// What a weigh-in says.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Weighed {
    /// Dry mass per area of one coat, dip or pass, g/m².
    pub per_unit_g_per_m2: f64,
    /// What was weighed over what the book says.
    pub ratio_to_book: f64,
    /// The same in sentences.
    pub says: Vec<String>,
    /// The weigh-in as a record without an identifier, JSON.
    pub record: String,
}
