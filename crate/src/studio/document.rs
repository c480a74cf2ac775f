//! The studio document, version 1: the shape of everything a studio keeps.
//!
//! Takes nothing and computes nothing: plain data with units in the names, and for each record the walk along its
//! keys. Bounds and references are checked in `check`, versions and JSON live in `file`.

use serde::{Deserialize, Serialize};

use super::bounds;
use super::walk::{self, Fields, Need, Record, TextRule, words};

mod entry;
mod extras;
mod firing;
mod form;
mod glaze;
mod outcome;
mod people;

pub use entry::{Entry, How, Layer, Zone};
pub use extras::{Photo, WeighIn};
pub use firing::{Firing, FiringState, Schedule, Segment};
pub use form::{Form, ProfilePoint, Shape, Texture, TextureKind};
pub use glaze::{Glaze, GlazeKind, Oxides, ViscosityPoint};
pub use outcome::{Edge, Look, Outcome, Run, RunWord, TextureSeen};
pub use people::{Body, Hand, Role};

/// The `format` key of every studio document.
pub const FORMAT: &str = "glazefall-studio";
/// The version this program writes and the newest that it reads.
pub const VERSION: u32 = 1;

/// A record's identifier: unique within its list, 1–40 of `a–z 0–9 -`.
pub type Id = String;
/// A calendar day, `YYYY-MM-DD`.
pub type Day = String;

/// A whole studio.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Studio {
    /// Always [`FORMAT`].
    pub format: String,
    /// The document's version, [`VERSION`] when written by this program.
    pub version: u32,
    /// Stays with the studio through copies, so that two files of one studio are known as such.
    pub id: Id,
    /// What the studio calls itself.
    pub name: String,
    /// True for a demonstration whose people, glazes and pots are invented.
    #[serde(default)]
    pub invented: bool,
    /// Choices of the studio.
    #[serde(default)]
    pub settings: Settings,
    /// Glazes in use.
    #[serde(default)]
    pub glazes: Vec<Glaze>,
    /// People who put glaze on.
    #[serde(default)]
    pub hands: Vec<Hand>,
    /// Clay bodies, bisque fired.
    #[serde(default)]
    pub bodies: Vec<Body>,
    /// Firings, planned and done.
    #[serde(default)]
    pub firings: Vec<Firing>,
    /// Shapes of pots and tiles.
    #[serde(default)]
    pub forms: Vec<Form>,
    /// Pieces and tiles: plans (no outcome yet) and log entries.
    #[serde(default)]
    pub entries: Vec<Entry>,
    /// Tiles weighed before and after glazing.
    #[serde(default)]
    pub weigh_ins: Vec<WeighIn>,
    /// Photographs, referred to by entries.
    #[serde(default)]
    pub photos: Vec<Photo>,
    /// What was deleted and when, so that merging two files does not bring it back.
    #[serde(default)]
    pub removed: Vec<Removed>,
}

/// Choices of the studio.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields, default)]
pub struct Settings {
    /// Units on the page; the document itself is always metric.
    pub units: Units,
    /// Which pint a pint weight is taken with.
    pub pint: Pint,
    /// Modulus of the studio's Baumé hydrometer: 145 or 144.3.
    pub baume_modulus: f64,
    /// Up to this chance of reaching the foot the verdict is "holds", 0–1.
    pub holds_up_to: f64,
    /// From this chance of reaching the foot the verdict is "will run off", 0–1.
    pub runs_off_from: f64,
    /// Share of each coat that collects in the recesses of a texture, 0–0.9.
    pub recess_share: f64,
    /// Paper for printing.
    pub paper: Paper,
    /// The firing that plans are made for when they name none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub usual_firing: Option<Id>,
    /// The clay body of plans that name none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub usual_body: Option<Id>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            units: Units::Metric,
            pint: Pint::Imperial,
            baume_modulus: 145.0,
            holds_up_to: 0.05,
            runs_off_from: 0.5,
            recess_share: 0.0,
            paper: Paper::A4,
            usual_firing: None,
            usual_body: None,
        }
    }
}

/// Units on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Millimetres, grams, degrees Celsius.
    Metric,
    /// Inches, ounces, degrees Fahrenheit.
    Imperial,
}

/// Which pint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum Pint {
    /// 568.261 mL.
    Imperial,
    /// 473.176 mL.
    Us,
}

/// Paper for printing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// 210 × 297 mm.
    A4,
    /// 8.5 × 11 in.
    Letter,
}

/// The lists of a studio, for edits and for what was removed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum List {
    /// [`Studio::glazes`].
    Glazes,
    /// [`Studio::hands`].
    Hands,
    /// [`Studio::bodies`].
    Bodies,
    /// [`Studio::firings`].
    Firings,
    /// [`Studio::forms`].
    Forms,
    /// [`Studio::entries`].
    #[default]
    Entries,
    /// [`Studio::weigh_ins`].
    WeighIns,
    /// [`Studio::photos`].
    Photos,
}

/// Something that was deleted.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Removed {
    /// From which list.
    pub list: List,
    /// Its identifier.
    pub id: Id,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: u64,
}

words!(Units { "metric" => Metric, "imperial" => Imperial });
words!(Pint { "imperial" => Imperial, "us" => Us });
words!(Paper { "a4" => A4, "letter" => Letter });
words!(List {
    "glazes" => Glazes,
    "hands" => Hands,
    "bodies" => Bodies,
    "firings" => Firings,
    "forms" => Forms,
    "entries" => Entries,
    "weigh_ins" => WeighIns,
    "photos" => Photos,
});

impl Record for Studio {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.text("format", &mut self.format, Need::Must, TextRule::Format);
        let mut version = u64::from(self.version);
        fields.whole("version", &mut version, Need::Must, &bounds::VERSIONS);
        self.version = u32::try_from(version).unwrap_or(u32::MAX);
        fields.text("id", &mut self.id, Need::Must, TextRule::StudioId);
        fields.text("name", &mut self.name, Need::Must, TextRule::Name);
        fields.flag("invented", &mut self.invented);
        // Written always: a file shows what its studio chose, even where that is the usual.
        if fields.open("settings", true, false) {
            self.settings.walk(fields);
            fields.close();
        } else {
            self.settings = Settings::default();
        }
        walk::list(fields, "glazes", &mut self.glazes, 0, bounds::GLAZES);
        walk::list(fields, "hands", &mut self.hands, 0, bounds::HANDS);
        walk::list(fields, "bodies", &mut self.bodies, 0, bounds::BODIES);
        walk::list(fields, "firings", &mut self.firings, 0, bounds::FIRINGS);
        walk::list(fields, "forms", &mut self.forms, 0, bounds::FORMS);
        walk::list(fields, "entries", &mut self.entries, 0, bounds::ENTRIES);
        walk::list(
            fields,
            "weigh_ins",
            &mut self.weigh_ins,
            0,
            bounds::WEIGH_INS,
        );
        walk::list(fields, "photos", &mut self.photos, 0, bounds::PHOTOS);
        walk::list(fields, "removed", &mut self.removed, 0, bounds::REMOVED);
    }
}

impl Record for Settings {
    fn walk(&mut self, fields: &mut dyn Fields) {
        let usual = Self::default();
        walk::word(fields, "units", &mut self.units, Some(usual.units));
        walk::word(fields, "pint", &mut self.pint, Some(usual.pint));
        fields.number(
            "baume_modulus",
            &mut self.baume_modulus,
            Need::Or(usual.baume_modulus),
            &bounds::BAUME_MODULUS,
        );
        fields.number(
            "holds_up_to",
            &mut self.holds_up_to,
            Need::Or(usual.holds_up_to),
            &bounds::CHANCE,
        );
        fields.number(
            "runs_off_from",
            &mut self.runs_off_from,
            Need::Or(usual.runs_off_from),
            &bounds::CHANCE,
        );
        fields.number(
            "recess_share",
            &mut self.recess_share,
            Need::Or(usual.recess_share),
            &bounds::RECESS_SHARE,
        );
        walk::word(fields, "paper", &mut self.paper, Some(usual.paper));
        fields.maybe_text(
            "usual_firing",
            &mut self.usual_firing,
            TextRule::Reference(List::Firings),
        );
        fields.maybe_text(
            "usual_body",
            &mut self.usual_body,
            TextRule::Reference(List::Bodies),
        );
    }
}

impl Record for Removed {
    fn walk(&mut self, fields: &mut dyn Fields) {
        walk::word(fields, "list", &mut self.list, None);
        fields.text("id", &mut self.id, Need::Must, TextRule::StudioId);
        fields.whole("at_ms", &mut self.at_ms, Need::Must, &bounds::MOMENT);
    }
}
