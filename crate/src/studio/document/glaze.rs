//! Glazes: what a studio knows of each.
//!
//! Plain data with units in the names, and the walk along its keys.

use serde::{Deserialize, Serialize};

use super::Id;
use crate::studio::bounds;
use crate::studio::walk::{self, Fields, Need, Record, TextRule, words};

/// A glaze.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Glaze {
    /// Identifier.
    pub id: Id,
    /// Name.
    pub name: String,
    /// The look in a word or two, e.g. "glossy amber".
    #[serde(default)]
    pub look: String,
    /// Colour for drawings, `#rrggbb`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour: Option<String>,
    /// The studio's opinion of how it flows.
    pub kind: GlazeKind,
    /// Usual specific gravity of the slurry.
    pub usual_sg: f64,
    /// Relative density of the dry materials; none: 2.60.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dry_density: Option<f64>,
    /// Share of the dry mass lost on firing, 0–0.4; none: 0.09.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loss_on_ignition: Option<f64>,
    /// Oxide analysis in weight percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oxides_wt_pct: Option<Oxides>,
    /// Measured viscosities, three or more for a Vogel–Fulcher–Tammann curve.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub viscosity_points: Vec<ViscosityPoint>,
    /// What is known of its fitness for food surfaces, in the studio's words.
    #[serde(default)]
    pub food_note: String,
    /// Anything else.
    #[serde(default)]
    pub note: String,
    /// When it was last changed, milliseconds since 1970 UTC; decides which of two copies is newer.
    #[serde(default)]
    pub changed_ms: u64,
}

/// The studio's opinion of how a glaze flows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum GlazeKind {
    /// Stays where it is put.
    Stiff,
    /// Moves a little.
    Medium,
    /// Runs.
    Fluid,
    /// No opinion.
    #[default]
    NotKnown,
}

/// Oxides in weight percent; absent means none. Boron, zinc and the like are kept though the composition model
/// does not know them.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields, default)]
#[allow(
    missing_docs,
    reason = "each field is the oxide it is named for, in weight percent"
)]
pub struct Oxides {
    pub sio2: f64,
    pub tio2: f64,
    pub al2o3: f64,
    pub fe2o3: f64,
    pub feo: f64,
    pub mno: f64,
    pub mgo: f64,
    pub cao: f64,
    pub na2o: f64,
    pub k2o: f64,
    pub p2o5: f64,
    pub h2o: f64,
    pub f2o: f64,
    pub b2o3: f64,
    pub zno: f64,
    pub li2o: f64,
    pub bao: f64,
    pub sro: f64,
    pub pbo: f64,
    pub zro2: f64,
    pub sno2: f64,
    pub other: f64,
}

/// One measured viscosity.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct ViscosityPoint {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// log10 of the viscosity in Pa s.
    pub log10_eta_pa_s: f64,
}

words!(GlazeKind { "stiff" => Stiff, "medium" => Medium, "fluid" => Fluid, "not_known" => NotKnown });

impl Record for Glaze {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text("id", &mut self.id, Need::Must, TextRule::OwnId);
        fields.text("name", &mut self.name, Need::Must, TextRule::Name);
        fields.text("look", &mut self.look, Need::Or(0.0), TextRule::Line);
        fields.maybe_text("colour", &mut self.colour, TextRule::Colour);
        walk::word(fields, "kind", &mut self.kind, None);
        fields.number("usual_sg", &mut self.usual_sg, Need::Must, &bounds::SG);
        fields.maybe_number("dry_density", &mut self.dry_density, &bounds::DRY_DENSITY);
        fields.maybe_number(
            "loss_on_ignition",
            &mut self.loss_on_ignition,
            &bounds::LOSS_ON_IGNITION,
        );
        walk::maybe_record(fields, "oxides_wt_pct", &mut self.oxides_wt_pct);
        walk::list(
            fields,
            "viscosity_points",
            &mut self.viscosity_points,
            0,
            bounds::VISCOSITY_POINTS,
        );
        fields.text(
            "food_note",
            &mut self.food_note,
            Need::Or(0.0),
            TextRule::Note,
        );
        fields.text("note", &mut self.note, Need::Or(0.0), TextRule::Note);
        fields.whole(
            "changed_ms",
            &mut self.changed_ms,
            Need::Or(0.0),
            &bounds::MOMENT,
        );
    }
}

impl Oxides {
    /// Each oxide's key with its weight percent.
    pub fn each(&mut self) -> [(&'static str, &mut f64); 22] {
        [
            ("sio2", &mut self.sio2),
            ("tio2", &mut self.tio2),
            ("al2o3", &mut self.al2o3),
            ("fe2o3", &mut self.fe2o3),
            ("feo", &mut self.feo),
            ("mno", &mut self.mno),
            ("mgo", &mut self.mgo),
            ("cao", &mut self.cao),
            ("na2o", &mut self.na2o),
            ("k2o", &mut self.k2o),
            ("p2o5", &mut self.p2o5),
            ("h2o", &mut self.h2o),
            ("f2o", &mut self.f2o),
            ("b2o3", &mut self.b2o3),
            ("zno", &mut self.zno),
            ("li2o", &mut self.li2o),
            ("bao", &mut self.bao),
            ("sro", &mut self.sro),
            ("pbo", &mut self.pbo),
            ("zro2", &mut self.zro2),
            ("sno2", &mut self.sno2),
            ("other", &mut self.other),
        ]
    }
}

impl Record for Oxides {
    fn walk(&mut self, fields: &mut dyn Fields) {
        for (key, value) in self.each() {
            fields.number(key, value, Need::Or(0.0), &bounds::OXIDE);
        }
    }
}

impl Record for ViscosityPoint {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.number(
            "temperature_c",
            &mut self.temperature_c,
            Need::Must,
            &bounds::VISCOSITY_TEMPERATURE,
        );
        fields.number(
            "log10_eta_pa_s",
            &mut self.log10_eta_pa_s,
            Need::Must,
            &bounds::LOG10_ETA,
        );
    }
}
