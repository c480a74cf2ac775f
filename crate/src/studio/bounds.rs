//! Bounds of every number and length in a studio document, each with its reason; each stands once, here.
//!
//! Takes nothing; constants for `check`, for the forms on the page and for tests.

/// Bounds of a number, both ends allowed.
#[derive(Debug, PartialEq)]
pub struct Bounds {
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub most: f64,
    /// Its unit with a space before it; empty for pure numbers.
    pub unit: &'static str,
    /// Why nothing beyond is taken, as a sentence without its full stop.
    pub why: &'static str,
}

/// Bounds of `least` to `most`, in a unit with a space before it, and why.
pub const fn within(least: f64, most: f64, unit: &'static str, why: &'static str) -> Bounds {
    Bounds {
        least,
        most,
        unit,
        why,
    }
}

/// Specific gravity of a slurry.
pub static SG: Bounds = within(
    1.02,
    1.9,
    "",
    "Water is 1, and nothing pours from about 1.8 on; write 1.45, not 145",
);
/// Relative density of dry glaze materials: clays 2.6, carbonates 2.7, heavy ones above 4.
pub static DRY_DENSITY: Bounds = within(
    2.0,
    4.5,
    "",
    "Dry glaze is about 2.6 times as heavy as water; even the heaviest stays under 4.5",
);
/// Loss on ignition, share of the dry mass.
pub static LOSS_ON_IGNITION: Bounds = within(
    0.0,
    0.4,
    "",
    "It is a share of the dry weight, so 9 % is 0.09; even all chalk loses only 0.44",
);
/// Oxides, weight percent.
pub static OXIDE: Bounds = within(
    0.0,
    100.0,
    " %",
    "An oxide is given in weight percent of the glaze",
);
/// Least and greatest sum of an analysis, weight percent.
pub static OXIDE_SUM: Bounds = within(50.0, 110.0, " %", "A whole analysis adds up to about 100");
/// Temperature of a measured viscosity.
pub static VISCOSITY_TEMPERATURE: Bounds = within(
    600.0,
    1500.0,
    " °C",
    "Glazes are measured between softening and the top of a kiln, in °C",
);
/// Decimal logarithm of a viscosity in Pa s.
pub static LOG10_ETA: Bounds = within(
    -1.0,
    12.0,
    "",
    "It is the power of ten of Pa s; a running glaze has about 2, glass that stands 12",
);
/// Least distance of two measured viscosities, °C.
pub const VISCOSITY_APART_C: f64 = 10.0;
/// Water taken up by bisque.
pub static ABSORPTION: Bounds = within(
    0.005,
    0.4,
    "",
    "It is a share of the dry weight, so 12 % is 0.12; bisque that takes up nothing takes no glaze",
);
/// Wall thickness.
pub static WALL: Bounds = within(
    1.0,
    60.0,
    " mm",
    "Walls are measured in mm, from eggshell to paving",
);
/// Bulk density of bisque.
pub static BODY_DENSITY: Bounds = within(
    1000.0,
    3500.0,
    " kg/m³",
    "Bisque weighs about 1900 kg per cubic metre",
);
/// Firing rate.
pub static RATE: Bounds = within(
    1.0,
    2000.0,
    " °C/h",
    "A rate is degrees Celsius per hour, always above 0; the target says whether up or down",
);
/// Segment target.
pub static TARGET: Bounds = within(
    20.0,
    1400.0,
    " °C",
    "Targets are in °C, from room temperature to the top of a kiln",
);
/// What the highest target of a schedule reaches at least, °C: a glaze that seals over at 900 °C must get past it.
pub const PEAK_LEAST_C: f64 = 950.0;
/// Hold.
pub static HOLD: Bounds = within(
    0.0,
    2880.0,
    " min",
    "A hold is in minutes, and two days are the longest",
);
/// Rate towards a cone.
pub static CONE_RATE: Bounds = within(
    10.0,
    250.0,
    " °C/h",
    "The cone chart was made at 15 to 150 °C/h; far from there it says nothing",
);
/// Heights, diameters, lengths of forms.
pub static FORM_MEASURE: Bounds = within(
    5.0,
    2000.0,
    " mm",
    "Forms are measured in mm, from a saucer's rim to a garden jar",
);
/// Profile points.
pub static POINT: Bounds = within(
    0.0,
    2000.0,
    " mm",
    "Points are measured in mm from the axis and from the shelf",
);
/// Slope of a tile.
pub static SLOPE: Bounds = within(
    5.0,
    90.0,
    "°",
    "A slope is measured from horizontal: 90 stands upright, and below 5 nothing runs",
);
/// Rounding of a rim.
pub static RIM_RADIUS: Bounds = within(
    0.5,
    20.0,
    " mm",
    "Sharper than 0.5 mm no rim stays after sponging, and thicker than 20 mm it is no rim",
);
/// Depth of a texture.
pub static TEXTURE_DEPTH: Bounds = within(0.05, 20.0, " mm", "Crest to recess, in mm");
/// Repeat of a texture.
pub static TEXTURE_REPEAT: Bounds = within(
    0.5,
    300.0,
    " mm",
    "Crest to crest, in mm; finer is roughness",
);
/// Greatest depth of a texture as a share of its repeat: a cosine of this depth has slopes of about 57 degrees.
pub const TEXTURE_STEEPEST: f64 = 0.5;
/// Places down a wall.
pub static DOWN_THE_WALL: Bounds = within(
    0.0,
    4000.0,
    " mm",
    "Places are measured in mm down from the rim or the upper edge",
);
/// Shortest stretch of glaze, mm: about a capillary length, below which there is a bead and no film.
pub const ZONE_LEAST_MM: f64 = 2.0;
/// How much further than the drawn wall a measure taken on the pot may reach, mm: a tape laid along it is no better.
pub const WALL_SLACK_MM: f64 = 2.0;
/// Brushed coats of one layer.
pub static COATS: Bounds = within(
    1.0,
    20.0,
    " coats",
    "Count the coats of this layer; more than 20 fall off in drying",
);
/// Dips of one layer.
pub static DIPS: Bounds = within(
    1.0,
    10.0,
    " dips",
    "Count the dips of this layer; more than 10 fall off in drying",
);
/// Seconds in the slurry.
pub static DIP_SECONDS: Bounds = within(
    0.2,
    120.0,
    " s",
    "Count the seconds of one dip; after two minutes bisque is full",
);
/// Sprayed passes of one layer.
pub static PASSES: Bounds = within(
    1.0,
    60.0,
    " passes",
    "Count the passes of this layer; more than 60 fall off in drying",
);
/// Shelf, from the bottom.
pub static SHELF: Bounds = within(
    1.0,
    20.0,
    "",
    "Shelves are counted from the bottom of the kiln",
);
/// A run by ruler.
pub static RUN: Bounds = within(
    0.0,
    2000.0,
    " mm",
    "A run is measured in mm below the edge; none is 0",
);
/// Reading error.
pub static RUN_ERROR: Bounds = within(
    0.1,
    50.0,
    " mm",
    "Nobody reads a glaze edge finer than 0.1 mm",
);
/// Least width of the interval that a word stands for, mm.
pub const WORD_WIDTH_MM: f64 = 0.1;
/// Glazed area of a weigh-in.
pub static AREA: Bounds = within(
    1.0,
    20_000.0,
    " cm²",
    "The glazed area is in square centimetres: 5 × 10 cm is 50",
);
/// Grams gained.
pub static GAINED: Bounds = within(
    0.001,
    5000.0,
    " g",
    "Weigh dry before and after: the gain is in grams, and there is one",
);
/// Balance error.
pub static BALANCE_ERROR: Bounds = within(
    0.0001,
    50.0,
    " g",
    "It is the balance's own error, in grams, and none is without",
);
/// Modulus of a Baumé hydrometer.
pub static BAUME_MODULUS: Bounds = within(
    144.0,
    146.0,
    "",
    "Two are in use, 145 and 144.3; it is printed on the scale",
);
/// A chance, as a line for a verdict.
pub static CHANCE: Bounds = within(
    0.0,
    1.0,
    "",
    "A chance lies between 0 and 1, so 5 % is 0.05",
);
/// Share of a coat in the recesses.
pub static RECESS_SHARE: Bounds = within(
    0.0,
    0.9,
    "",
    "It is a share of the coat, so a tenth is 0.1; all of it cannot collect",
);
/// Moments, ms since 1970 UTC: the year 2200 is far enough.
pub static MOMENT: Bounds = within(
    0.0,
    7_258_118_400_000.0,
    " ms",
    "Moments are counted in milliseconds since 1970, up to the year 2200",
);

/// Versions of the document.
pub static VERSIONS: Bounds = within(
    1.0,
    super::document::VERSION as f64,
    "",
    "There is one version so far, 1",
);

/// Most bytes of a studio file.
pub const FILE_BYTES: usize = 50_000_000;
/// Most letters of a name.
pub const NAME_LETTERS: usize = 80;
/// Most letters of a note.
pub const NOTE_LETTERS: usize = 4000;
/// Most letters of an identifier.
pub const ID_LETTERS: usize = 40;
/// Most letters of a pencil code.
pub const CODE_LETTERS: usize = 8;
/// Most letters of a photograph in base64: 1.5 MB of picture.
pub const PHOTO_LETTERS: usize = 2_000_000;
/// Most glazes.
pub const GLAZES: usize = 500;
/// Most hands.
pub const HANDS: usize = 1000;
/// Most clay bodies.
pub const BODIES: usize = 200;
/// Most firings.
pub const FIRINGS: usize = 5000;
/// Most forms.
pub const FORMS: usize = 1000;
/// Most plans and log entries.
pub const ENTRIES: usize = 50_000;
/// Most weigh-ins.
pub const WEIGH_INS: usize = 20_000;
/// Most photographs.
pub const PHOTOS: usize = 5000;
/// Most remembered removals.
pub const REMOVED: usize = 100_000;
/// Most records of a list.
pub fn most_of(list: super::document::List) -> usize {
    use super::document::List;
    match list {
        List::Glazes => GLAZES,
        List::Hands => HANDS,
        List::Bodies => BODIES,
        List::Firings => FIRINGS,
        List::Forms => FORMS,
        List::Entries => ENTRIES,
        List::WeighIns => WEIGH_INS,
        List::Photos => PHOTOS,
    }
}

/// Most layers of one piece.
pub const LAYERS: usize = 12;
/// Most segments of a schedule.
pub const SEGMENTS: usize = 40;
/// Most points of a profile.
pub const POINTS: usize = 60;
/// Most measured viscosities.
pub const VISCOSITY_POINTS: usize = 20;
