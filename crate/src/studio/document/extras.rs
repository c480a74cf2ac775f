//! Weigh-ins and photographs.
//!
//! Plain data with units in the names, and the walk along its keys.

use serde::{Deserialize, Serialize};

use super::{Day, How, Id, List};
use crate::studio::bounds;
use crate::studio::walk::{self, Fields, Need, Record, TextRule};

/// A tile weighed before and after glazing, dry both times.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct WeighIn {
    /// Identifier.
    pub id: Id,
    /// The day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day: Option<Day>,
    /// Whose hand.
    pub hand: Id,
    /// Which glaze.
    pub glaze: Id,
    /// How it went on and how much.
    pub how: How,
    /// Glazed area, cm².
    pub area_cm2: f64,
    /// Specific gravity that day; none: not measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sg: Option<f64>,
    /// Grams gained, dry.
    pub gained_g: f64,
    /// Resolution of the balance, g (standard deviation of a difference).
    #[serde(default = "usual_balance_error")]
    pub error_g: f64,
    /// Clay body, for dips; none: the studio's usual one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub body: Option<Id>,
    /// Anything else.
    #[serde(default)]
    pub note: String,
    /// See [`Glaze::changed_ms`](super::Glaze::changed_ms).
    #[serde(default)]
    pub changed_ms: u64,
}

fn usual_balance_error() -> f64 {
    0.05
}

/// A photograph, scaled down.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// Identifier.
    pub id: Id,
    /// `image/jpeg`, `image/png` or `image/webp`.
    pub media_type: String,
    /// The image, base64.
    pub data_base64: String,
    /// See [`Glaze::changed_ms`](super::Glaze::changed_ms).
    #[serde(default)]
    pub changed_ms: u64,
}

impl Record for WeighIn {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text("id", &mut self.id, Need::Must, TextRule::OwnId);
        fields.maybe_text("day", &mut self.day, TextRule::Day);
        fields.text(
            "hand",
            &mut self.hand,
            Need::Must,
            TextRule::Reference(List::Hands),
        );
        fields.text(
            "glaze",
            &mut self.glaze,
            Need::Must,
            TextRule::Reference(List::Glazes),
        );
        walk::record(fields, "how", &mut self.how);
        fields.number("area_cm2", &mut self.area_cm2, Need::Must, &bounds::AREA);
        fields.maybe_number("sg", &mut self.sg, &bounds::SG);
        fields.number("gained_g", &mut self.gained_g, Need::Must, &bounds::GAINED);
        fields.number(
            "error_g",
            &mut self.error_g,
            Need::Or(usual_balance_error()),
            &bounds::BALANCE_ERROR,
        );
        fields.maybe_text("body", &mut self.body, TextRule::Reference(List::Bodies));
        fields.text("note", &mut self.note, Need::Or(0.0), TextRule::Note);
        fields.whole(
            "changed_ms",
            &mut self.changed_ms,
            Need::Or(0.0),
            &bounds::MOMENT,
        );
    }
}

impl Record for Photo {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text("id", &mut self.id, Need::Must, TextRule::OwnId);
        fields.text(
            "media_type",
            &mut self.media_type,
            Need::Must,
            TextRule::MediaType,
        );
        fields.text(
            "data_base64",
            &mut self.data_base64,
            Need::Must,
            TextRule::Base64,
        );
        fields.whole(
            "changed_ms",
            &mut self.changed_ms,
            Need::Or(0.0),
            &bounds::MOMENT,
        );
    }
}
