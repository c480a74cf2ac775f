//! Pieces and tiles: plans and log entries, layer by layer.
//!
//! Plain data with units in the names, and the walk along its keys.

use serde::{Deserialize, Serialize};

use super::{Id, List, Outcome};
use crate::studio::bounds;
use crate::studio::walk::{self, Fields, Need, Record, TextRule};

/// A piece or tile: a plan while it has no outcome, a log entry once it has.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Identifier.
    pub id: Id,
    /// Short code to pencil on the back, unique in the studio.
    #[serde(default)]
    pub code: String,
    /// What it is called, if anything.
    #[serde(default)]
    pub name: String,
    /// The form it is.
    pub form: Id,
    /// Another diameter than the form's largest, mm: the form is scaled around its axis.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diameter_mm: Option<f64>,
    /// Another slope than the form's (tiles), degrees from horizontal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slope_deg: Option<f64>,
    /// Bare wall below the lowest glaze line, mm along the wall; none: what the form leaves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bare_below_mm: Option<f64>,
    /// Clay body; none: the studio's usual one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub body: Option<Id>,
    /// Whose hand put the glaze on; none: anyone's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hand: Option<Id>,
    /// The firing; none: the studio's usual one, or the reference firing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub firing: Option<Id>,
    /// Shelf, counted from the bottom, 1–20.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shelf: Option<u8>,
    /// Layers in the order in which they went on, the wall first.
    pub layers: Vec<Layer>,
    /// What came out of the kiln; none: a plan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outcome: Option<Outcome>,
    /// Photograph.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<Id>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
    /// The studio looked at this entry again after it was pointed out, and keeps it as it is.
    #[serde(default)]
    pub kept: bool,
    /// See [`Glaze::changed_ms`](super::Glaze::changed_ms).
    #[serde(default)]
    pub changed_ms: u64,
}

/// One layer: a glaze, where, how.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Layer {
    /// The glaze.
    pub glaze: Id,
    /// Where it lies.
    pub zone: Zone,
    /// How it went on and how much.
    pub how: How,
    /// Specific gravity that day; none: not measured, the glaze's usual one with a wider spread.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sg: Option<f64>,
    /// Whose hand, where not the entry's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hand: Option<Id>,
}

/// A stretch of the outside wall, measured down from the rim or the tile's upper edge, mm along the wall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// Upper edge.
    pub from_mm: f64,
    /// Lower edge.
    pub to_mm: f64,
    /// Whether it goes over the rim (then `from_mm` is 0).
    #[serde(default)]
    pub over_rim: bool,
    /// How far it goes down the inside, mm; only with `over_rim`.
    #[serde(default)]
    pub inside_mm: f64,
}

/// How a layer went on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields, tag = "method", rename_all = "snake_case")]
pub enum How {
    /// Brushed coats.
    Brush {
        /// Number of coats.
        coats: u32,
    },
    /// Dipped, on absorbent bisque.
    Dip {
        /// Number of dips.
        dips: u32,
        /// Seconds in the slurry, each.
        seconds: f64,
    },
    /// Sprayed passes.
    Spray {
        /// Number of passes.
        passes: u32,
    },
}

impl Record for Entry {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text("id", &mut self.id, Need::Must, TextRule::OwnId);
        fields.text("code", &mut self.code, Need::Or(0.0), TextRule::Code);
        fields.text("name", &mut self.name, Need::Or(0.0), TextRule::Line);
        fields.text(
            "form",
            &mut self.form,
            Need::Must,
            TextRule::Reference(List::Forms),
        );
        fields.maybe_number("diameter_mm", &mut self.diameter_mm, &bounds::FORM_MEASURE);
        fields.maybe_number("slope_deg", &mut self.slope_deg, &bounds::SLOPE);
        fields.maybe_number(
            "bare_below_mm",
            &mut self.bare_below_mm,
            &bounds::DOWN_THE_WALL,
        );
        fields.maybe_text("body", &mut self.body, TextRule::Reference(List::Bodies));
        fields.maybe_text("hand", &mut self.hand, TextRule::Reference(List::Hands));
        fields.maybe_text(
            "firing",
            &mut self.firing,
            TextRule::Reference(List::Firings),
        );
        let mut shelf = self.shelf.map(u64::from);
        fields.maybe_whole("shelf", &mut shelf, &bounds::SHELF);
        self.shelf = shelf.map(|shelf| u8::try_from(shelf).unwrap_or(u8::MAX));
        walk::list(fields, "layers", &mut self.layers, 1, bounds::LAYERS);
        walk::maybe_record(fields, "outcome", &mut self.outcome);
        fields.maybe_text("photo", &mut self.photo, TextRule::Reference(List::Photos));
        fields.text("note", &mut self.note, Need::Or(0.0), TextRule::Note);
        fields.flag("kept", &mut self.kept);
        fields.whole(
            "changed_ms",
            &mut self.changed_ms,
            Need::Or(0.0),
            &bounds::MOMENT,
        );
    }
}

impl Record for Layer {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text(
            "glaze",
            &mut self.glaze,
            Need::Must,
            TextRule::Reference(List::Glazes),
        );
        walk::record(fields, "zone", &mut self.zone);
        walk::record(fields, "how", &mut self.how);
        fields.maybe_number("sg", &mut self.sg, &bounds::SG);
        fields.maybe_text("hand", &mut self.hand, TextRule::Reference(List::Hands));
    }
}

impl Record for Zone {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.number(
            "from_mm",
            &mut self.from_mm,
            Need::Must,
            &bounds::DOWN_THE_WALL,
        );
        fields.number("to_mm", &mut self.to_mm, Need::Must, &bounds::DOWN_THE_WALL);
        fields.flag("over_rim", &mut self.over_rim);
        fields.number(
            "inside_mm",
            &mut self.inside_mm,
            Need::Or(0.0),
            &bounds::DOWN_THE_WALL,
        );
    }
}

impl Default for How {
    fn default() -> Self {
        Self::Brush { coats: 0 }
    }
}

impl Record for How {
    fn walk(&mut self, fields: &mut dyn Fields) {
        let was = match self {
            Self::Brush { .. } => 0,
            Self::Dip { .. } => 1,
            Self::Spray { .. } => 2,
        };
        let mut method = was;
        fields.word("method", &mut method, None, &["brush", "dip", "spray"]);
        if method != was {
            *self = match method {
                0 => Self::default(),
                1 => Self::Dip {
                    dips: 0,
                    seconds: 0.0,
                },
                _ => Self::Spray { passes: 0 },
            };
        }
        match self {
            Self::Brush { coats } => walk::count(fields, "coats", coats, &bounds::COATS),
            Self::Dip { dips, seconds } => {
                walk::count(fields, "dips", dips, &bounds::DIPS);
                fields.number("seconds", seconds, Need::Must, &bounds::DIP_SECONDS);
            }
            Self::Spray { passes } => walk::count(fields, "passes", passes, &bounds::PASSES),
        }
    }
}
