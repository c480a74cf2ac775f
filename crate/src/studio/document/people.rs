//! Hands that put glaze on, and the clay bodies they put it on.
//!
//! Plain data with units in the names, and the walk along its keys.

use serde::{Deserialize, Serialize};

use super::Id;
use crate::studio::bounds;
use crate::studio::walk::{self, Fields, Need, Record, TextRule, words};

/// A person who puts glaze on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Hand {
    /// Identifier.
    pub id: Id,
    /// Name or pencil code.
    pub name: String,
    /// Role.
    pub role: Role,
    /// Anything else.
    #[serde(default)]
    pub note: String,
    /// See [`Glaze::changed_ms`](super::Glaze::changed_ms).
    #[serde(default)]
    pub changed_ms: u64,
}

/// What a person does in the studio.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Learns.
    Student,
    /// Teaches.
    Teacher,
    /// Runs the kiln and the buckets.
    Technician,
    /// Anyone else.
    #[default]
    Other,
}

/// A clay body after bisque.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// Identifier.
    pub id: Id,
    /// Name.
    pub name: String,
    /// Water taken up, as a share of the dry mass, 0–0.4.
    pub absorption: f64,
    /// Usual wall thickness, mm.
    pub wall_mm: f64,
    /// Bulk density, kg/m³.
    #[serde(default = "usual_body_density")]
    pub density_kg_per_m3: f64,
    /// See [`Glaze::changed_ms`](super::Glaze::changed_ms).
    #[serde(default)]
    pub changed_ms: u64,
}

fn usual_body_density() -> f64 {
    1900.0
}

words!(Role { "student" => Student, "teacher" => Teacher, "technician" => Technician, "other" => Other });

impl Record for Hand {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text("id", &mut self.id, Need::Must, TextRule::OwnId);
        fields.text("name", &mut self.name, Need::Must, TextRule::Name);
        walk::word(fields, "role", &mut self.role, None);
        fields.text("note", &mut self.note, Need::Or(0.0), TextRule::Note);
        fields.whole(
            "changed_ms",
            &mut self.changed_ms,
            Need::Or(0.0),
            &bounds::MOMENT,
        );
    }
}

impl Record for Body {
    fn walk(&mut self, fields: &mut dyn Fields) {
        let usual = Need::Or(usual_body_density());
        fields.text("id", &mut self.id, Need::Must, TextRule::OwnId);
        fields.text("name", &mut self.name, Need::Must, TextRule::Name);
        fields.number(
            "absorption",
            &mut self.absorption,
            Need::Must,
            &bounds::ABSORPTION,
        );
        fields.number("wall_mm", &mut self.wall_mm, Need::Must, &bounds::WALL);
        fields.number(
            "density_kg_per_m3",
            &mut self.density_kg_per_m3,
            usual,
            &bounds::BODY_DENSITY,
        );
        fields.whole(
            "changed_ms",
            &mut self.changed_ms,
            Need::Or(0.0),
            &bounds::MOMENT,
        );
    }
}
