//! Firings, planned and done, and what the kiln was told.
//!
//! Plain data with units in the names, and the walk along its keys.

use serde::{Deserialize, Serialize};

use super::{Day, Id};
use crate::studio::bounds;
use crate::studio::walk::{self, Fields, Need, Record, TextRule, words};

/// A firing, planned or done.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Firing {
    /// Identifier.
    pub id: Id,
    /// Name, e.g. "Week 6".
    #[serde(default)]
    pub name: String,
    /// Day of firing, or the day it is planned for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day: Option<Day>,
    /// Which kiln.
    pub kiln: String,
    /// Where it stands.
    pub state: FiringState,
    /// What the kiln was told; none: unknown, effective time 3000 s at the peak.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub schedule: Option<Schedule>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
    /// See [`Glaze::changed_ms`](super::Glaze::changed_ms).
    #[serde(default)]
    pub changed_ms: u64,
}

/// Where a firing stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum FiringState {
    /// To come.
    #[default]
    Planned,
    /// Fired, not yet read.
    Fired,
    /// Opened and read.
    Opened,
}

/// What a kiln was told to do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields, tag = "by", rename_all = "snake_case")]
pub enum Schedule {
    /// Ramps and holds, cooling included.
    Segments {
        /// In order.
        segments: Vec<Segment>,
    },
    /// A cone reached at a rate, then the kiln's own cooling.
    Cone {
        /// Cone of the end-point chart: "06", "04", "5", "6", "7", "8", "9", "10".
        cone: String,
        /// Rate over the last hundred degrees or so, °C/h.
        rate_c_per_h: f64,
    },
}

/// One ramp with its hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Segment {
    /// Rate, °C/h, always positive; the target says whether up or down.
    pub rate_c_per_h: f64,
    /// Temperature at its end, °C.
    pub target_c: f64,
    /// Hold at the target, minutes.
    #[serde(default)]
    pub hold_min: f64,
}

words!(FiringState { "planned" => Planned, "fired" => Fired, "opened" => Opened });

impl Record for Firing {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text("id", &mut self.id, Need::Must, TextRule::OwnId);
        fields.text("name", &mut self.name, Need::Or(0.0), TextRule::Line);
        fields.maybe_text("day", &mut self.day, TextRule::Day);
        fields.text("kiln", &mut self.kiln, Need::Must, TextRule::Line);
        walk::word(fields, "state", &mut self.state, None);
        walk::maybe_record(fields, "schedule", &mut self.schedule);
        fields.text("note", &mut self.note, Need::Or(0.0), TextRule::Note);
        fields.whole(
            "changed_ms",
            &mut self.changed_ms,
            Need::Or(0.0),
            &bounds::MOMENT,
        );
    }
}

impl Default for Schedule {
    fn default() -> Self {
        Self::Segments {
            segments: Vec::new(),
        }
    }
}

impl Record for Schedule {
    fn walk(&mut self, fields: &mut dyn Fields) {
        let was = usize::from(matches!(self, Self::Cone { .. }));
        let mut by = was;
        fields.word("by", &mut by, None, &["segments", "cone"]);
        if by != was {
            *self = if by == 0 {
                Self::default()
            } else {
                Self::Cone {
                    cone: String::new(),
                    rate_c_per_h: 0.0,
                }
            };
        }
        match self {
            Self::Segments { segments } => {
                walk::list(fields, "segments", segments, 1, bounds::SEGMENTS)
            }
            Self::Cone { cone, rate_c_per_h } => {
                fields.text("cone", cone, Need::Must, TextRule::Cone);
                fields.number("rate_c_per_h", rate_c_per_h, Need::Must, &bounds::CONE_RATE);
            }
        }
    }
}

impl Record for Segment {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.number(
            "rate_c_per_h",
            &mut self.rate_c_per_h,
            Need::Must,
            &bounds::RATE,
        );
        fields.number("target_c", &mut self.target_c, Need::Must, &bounds::TARGET);
        fields.number("hold_min", &mut self.hold_min, Need::Or(0.0), &bounds::HOLD);
    }
}
