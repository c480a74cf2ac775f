//! The shape of an answer: what a prediction says about one plan.
//!
//! Takes nothing; plain data with units in the names, read by the drawing, the page and the doors.

use serde::Serialize;

/// Three quantiles of a 90 % band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[allow(
    missing_docs,
    reason = "the fields are the quantiles they are named for"
)]
pub struct Band90 {
    pub p05: f64,
    pub p50: f64,
    pub p95: f64,
}

/// Three quantiles of an 80 % band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[allow(
    missing_docs,
    reason = "the fields are the quantiles they are named for"
)]
pub struct Band80 {
    pub p10: f64,
    pub p50: f64,
    pub p90: f64,
}

/// Five quantiles.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[allow(
    missing_docs,
    reason = "the fields are the quantiles they are named for"
)]
pub struct Quantiles {
    pub p05: f64,
    pub p10: f64,
    pub p50: f64,
    pub p90: f64,
    pub p95: f64,
}

/// Thickness of one layer at its full stretch.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct LayerThickness {
    /// Dry, before firing, µm.
    pub raw_um: Band90,
    /// Fired, before it moves, µm.
    pub fired_um: Band90,
}

/// Chances of the top glaze's look; they add up to 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "the fields are the looks they are named for")]
pub struct LookChances {
    pub too_little: f64,
    pub right: f64,
    pub too_much: f64,
}

/// How much one unknown contributes to the spread of the run.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct HangsOn {
    /// What, in words, e.g. "how fluid Honey Drift is".
    pub what: String,
    /// Its share of the variance of the log of the run, 0–1.
    pub share: f64,
}

/// A verdict: a word first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Holds.
    Holds,
    /// May reach the foot.
    MayReachTheFoot,
    /// Will run off.
    WillRunOff,
}

/// Which model answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum AnsweredBy {
    /// The film's own answer for a band, from the table.
    BandTable,
    /// The film solved on the piece.
    Film,
}

/// What a prediction says about one plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct PlanOutcome {
    /// The plan's identifier.
    pub id: String,
    /// Draws it was counted from: few for a first answer.
    pub draws: u32,
    /// Per layer, the wall first.
    pub layers: Vec<LayerThickness>,
    /// All layers at the lowest glaze line's stack where they overlap most, fired, before it moves, µm.
    pub fired_total_um: Band90,
    /// Longest drip beyond the lowest glaze line, mm along the wall as if it went on.
    pub run_mm: Quantiles,
    /// Chance of more than 1 mm.
    pub p_moves: f64,
    /// Chance that the run passes the bare wall below.
    pub p_reaches_foot: f64,
    /// Chance that melt stands on the shelf.
    pub p_on_shelf: f64,
    /// Verdict at the studio's lines.
    pub verdict: Verdict,
    /// Amplitude of the glazed surface over that of the clay; null without texture.
    pub relief_kept: Option<Band80>,
    /// Chance that more than half of the relief is kept; null without texture.
    pub p_relief_over_half: Option<f64>,
    /// Look of the top glaze; null where no look was ever logged for it.
    pub look: Option<LookChances>,
    /// Most coats of the last layer that still hold at the studio's line; null where even one does not.
    pub most_safe_coats: Option<u32>,
    /// Bare foot to leave so that it holds, mm.
    pub bare_foot_mm: f64,
    /// Width of the pool that stands round the foot under the longest drip, mm.
    pub pool_mm: Band90,
    /// Melt that passes the foot all round, g; null where the film was not solved on the piece.
    pub melt_lost_g: Option<Band90>,
    /// Fired thickness at the thinnest place of the rim, µm; null where no film was solved there.
    pub rim_thinnest_um: Option<Band90>,
    /// Fired thickness of the highest roll at the lower edge of an upper layer, µm; null without one, or where no film was solved.
    pub roll_um: Option<Band90>,
    /// Diameter of the cookie to stand it on, mm; null where none is needed.
    pub cookie_mm: Option<f64>,
    /// What the run's spread hangs on, the largest first.
    pub hangs_on: Vec<HangsOn>,
    /// One sentence that says what to do.
    pub advice: String,
    /// Runs of twenty draws, mm, for the row of twenty pots.
    pub twenty_runs_mm: Vec<f64>,
    /// Expected number of drips around the lowest line.
    pub drips: u32,
    /// Bare wall below the lowest glaze line, mm.
    pub bare_below_mm: f64,
    /// Which model answered.
    pub answered_by: AnsweredBy,
    /// Time taken, ms; zero where no clock is at hand.
    pub predict_ms: f64,
}

/// A place of the film.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilmPlace {
    /// Arc length along the profile, m.
    pub s_m: f64,
    /// Fired thickness of all layers there, m.
    pub fired_m: f64,
}

/// The lower edge of a layer that lies on glaze and has glaze below it: where its colour ends, and the roll there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilmEdge {
    /// Which layer, from the wall, from 0.
    pub layer: usize,
    /// Where the edge was laid down, m along the profile.
    pub laid_s_m: f64,
    /// Where the colour ends now, m along the profile.
    pub now_s_m: f64,
    /// The thickest place from 10 mm above that to 5 mm below.
    pub roll: Option<FilmPlace>,
}

/// The film along the wall at one moment, layers apart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FilmMoment {
    /// Temperature of the schedule at this moment, °C.
    pub temperature_c: f64,
    /// Share of the firing's fluidity integral spent so far, 0–1.
    pub phi_share: f64,
    /// Arc length along the profile, m, rising, down to the foot; close together where the film is steep, and every moment has its own.
    pub s_m: Vec<f64>,
    /// Thickness of each layer at each `s_m`, m, the wall first: `layers_m[layer][place]`. Raw or fired.
    pub layers_m: Vec<Vec<f64>>,
    /// Edges of layers on the outside that have glaze on both sides.
    pub edges: Vec<FilmEdge>,
    /// The thinnest place at the rim; none on a tile and before the firing.
    pub rim_minimum: Option<FilmPlace>,
    /// Melt that has passed the foot, m³ (on a tile m³ per m of width).
    pub past_foot_m3: f64,
}

/// The film before, during and after the firing, at the median of everything unknown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FilmStory {
    /// Raw layers as they lie on the clay.
    pub raw: FilmMoment,
    /// Moments from sealing over to the end, in order; the last one is the fired pot.
    pub fired: Vec<FilmMoment>,
    /// Whether the film could be followed to the firing's end; where not, the fired layers are drawn as they were laid down.
    pub solved: bool,
}
