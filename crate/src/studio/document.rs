//! The studio document, version 1: the shape of everything a studio keeps.
//!
//! Takes nothing and computes nothing: plain data with units in the names. Bounds and references are
//! checked in `check`, versions and JSON live in `file`.

use serde::{Deserialize, Serialize};

/// The `format` key of every studio document.
pub const FORMAT: &str = "glazefall-studio";
/// The version this program writes and the newest that it reads.
pub const VERSION: u32 = 1;

/// A record's identifier: unique within its list, 1–40 of `a–z 0–9 -`.
pub type Id = String;
/// A calendar day, `YYYY-MM-DD`.
pub type Day = String;

/// A whole studio.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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

/// A glaze.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct ViscosityPoint {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// log10 of the viscosity in Pa s.
    pub log10_eta_pa_s: f64,
}

/// A person who puts glaze on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// See [`Glaze::changed_ms`].
    #[serde(default)]
    pub changed_ms: u64,
}

/// What a person does in the studio.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    Other,
}

/// A clay body after bisque.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// See [`Glaze::changed_ms`].
    #[serde(default)]
    pub changed_ms: u64,
}

fn usual_body_density() -> f64 {
    1900.0
}

/// A firing, planned or done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// See [`Glaze::changed_ms`].
    #[serde(default)]
    pub changed_ms: u64,
}

/// Where a firing stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum FiringState {
    /// To come.
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
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

/// The shape of a pot or a tile.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Form {
    /// Identifier.
    pub id: Id,
    /// Name.
    pub name: String,
    /// Its outline.
    pub shape: Shape,
    /// Wall thickness, mm; none: the body's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_mm: Option<f64>,
    /// Radius of the rim's rounding, mm, at least 0.5; none: half the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rim_radius_mm: Option<f64>,
    /// Texture of the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub texture: Option<Texture>,
    /// See [`Glaze::changed_ms`].
    #[serde(default)]
    pub changed_ms: u64,
}

/// The outline of a form: a family with its measures, or points of a profile. All of the outside, mm.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields, tag = "family", rename_all = "snake_case")]
pub enum Shape {
    /// Swelling wall, narrower mouth and foot.
    Jar {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Largest diameter.
        belly_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// Open, wall curving out from the foot.
    Bowl {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// Straight or slightly leaning wall.
    Mug {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// Belly below, a neck, a flaring rim.
    Vase {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Smallest diameter of the neck.
        neck_diameter_mm: f64,
        /// Largest diameter.
        belly_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// Wide and shallow.
    Plate {
        /// Height.
        height_mm: f64,
        /// Diameter at the rim.
        rim_diameter_mm: f64,
        /// Diameter of the foot.
        foot_diameter_mm: f64,
    },
    /// A flat tile fired leaning or standing.
    Tile {
        /// Width across the slope.
        width_mm: f64,
        /// Length down the slope.
        length_mm: f64,
        /// Slope from horizontal, degrees, 90 standing.
        slope_deg: f64,
    },
    /// A wall of the user's own, from rim to foot.
    Points {
        /// Points of the outside, from rim to foot.
        points: Vec<ProfilePoint>,
    },
}

/// One point of a profile.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct ProfilePoint {
    /// Distance from the axis.
    pub radius_mm: f64,
    /// Height above the shelf.
    pub height_mm: f64,
}

/// Texture of a wall.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Texture {
    /// What it is.
    pub kind: TextureKind,
    /// Crest to recess, mm.
    pub depth_mm: f64,
    /// Crest to crest, mm.
    pub repeat_mm: f64,
    /// Where it starts, measured down the wall from the rim or upper edge, mm.
    pub from_mm: f64,
    /// Where it ends, likewise.
    pub to_mm: f64,
}

/// Kinds of texture, by how gravity meets them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum TextureKind {
    /// Rings and bands around: the run crosses them.
    Rings,
    /// Upright flutes: the run follows them.
    UprightFlutes,
    /// Pressed or carved, both ways; taken as rings.
    Pressed,
}

/// A piece or tile: a plan while it has no outcome, a log entry once it has.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// See [`Glaze::changed_ms`].
    #[serde(default)]
    pub changed_ms: u64,
}

/// One layer: a glaze, where, how.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
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

/// What was read at the opening.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// The day it was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day: Option<Day>,
    /// How far the longest drip ran beyond the edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub run: Option<Run>,
    /// Which edge the run is read at.
    pub edge: Edge,
    /// The top glaze's look.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub look: Option<Look>,
    /// The texture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub texture: Option<TextureSeen>,
}

/// A run, by ruler or by word.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields, tag = "by", rename_all = "snake_case")]
pub enum Run {
    /// Read with a ruler.
    Ruler {
        /// Longest drip below the edge, mm.
        run_mm: f64,
        /// Reading error, mm (standard deviation).
        error_mm: f64,
    },
    /// Said in a word; the interval is what the studio means by it.
    Word {
        /// The word.
        word: RunWord,
        /// At least, mm; none: no lower end.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        least_mm: Option<f64>,
        /// At most, mm; none: no upper end.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        most_mm: Option<f64>,
    },
}

/// Words for a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum RunWord {
    /// The edge is where it was.
    DidNotMove,
    /// A little.
    ALittle,
    /// Some.
    Some,
    /// A lot.
    ALot,
    /// Ran off the end of the tile.
    RanOffTheEnd,
    /// Reached the foot of the pot.
    ReachedTheFoot,
}

/// The edge a run is read at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum Edge {
    /// The lowest glaze line, onto bare clay.
    OntoBareClay,
    /// The top layer's lower edge, onto the glaze below it.
    OntoGlaze,
    /// From the lowest glaze line towards the foot.
    ToTheFoot,
}

/// Judgement of the top glaze's look against its thickness.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum Look {
    /// Too thin for its colour.
    TooLittle,
    /// Right.
    Right,
    /// Too thick.
    TooMuch,
}

/// How the texture came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum TextureSeen {
    /// As sharp as the clay.
    Crisp,
    /// Softened.
    Softened,
    /// Buried.
    Buried,
}

/// A tile weighed before and after glazing, dry both times.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// See [`Glaze::changed_ms`].
    #[serde(default)]
    pub changed_ms: u64,
}

fn usual_balance_error() -> f64 {
    0.05
}

/// A photograph, scaled down.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// Identifier.
    pub id: Id,
    /// `image/jpeg`, `image/png` or `image/webp`.
    pub media_type: String,
    /// The image, base64.
    pub data_base64: String,
    /// See [`Glaze::changed_ms`].
    #[serde(default)]
    pub changed_ms: u64,
}

/// The lists of a studio, for edits and for what was removed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    Entries,
    /// [`Studio::weigh_ins`].
    WeighIns,
    /// [`Studio::photos`].
    Photos,
}

/// Something that was deleted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
