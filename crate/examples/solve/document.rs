//! The document of a film case: its keys, their bounds and what must fit what.
//!
//! Takes JSON text; gives the case as written, or the first refusal in words: where, what, and what to do.

use glazefall::physics::{constants, film, melt};
use glazefall::studio::bounds::{Bounds, within};
use glazefall::studio::walk::{self, Fields, Need, Record};
use glazefall::studio::{check, file};

static LINE: Bounds = within(
    1e-6,
    10.0,
    " m",
    "Pieces are measured in metres, so 150 mm is 0.15",
);
static ARC: Bounds = within(
    5e-4,
    1000.0,
    " m",
    "Radii are in metres, and glaze needs at least half a millimetre",
);
static ANGLE: Bounds = within(
    -720.0,
    720.0,
    "°",
    "Wall angles are in degrees: a floor seen from above is 0, an upright outside -90",
);
static RADIUS: Bounds = within(
    0.0,
    10.0,
    " m",
    "The radius at the start is in metres, 0 on the axis",
);
static PLACE: Bounds = within(
    0.0,
    10.0,
    " m",
    "Places are arc lengths along the profile from its start, in metres",
);
static RELIEF_PLACE: Bounds = within(
    -10.0,
    20.0,
    " m",
    "Places are arc lengths along the profile from its start, in metres",
);
static AMPLITUDE: Bounds = within(
    0.0,
    0.02,
    " m",
    "The amplitude is half of crest to recess, in metres",
);
static WAVELENGTH: Bounds = within(
    1e-4,
    1.0,
    " m",
    "The wavelength is crest to crest, in metres",
);
static THICKNESS: Bounds = within(
    0.0,
    0.02,
    " m",
    "A layer's melt thickness is in metres, so 0.3 mm is 0.0003",
);
static DENSITY: Bounds = within(
    1.0,
    10_000.0,
    " kg/m³",
    "A melt weighs about 2230 kg per cubic metre",
);
static PHI: Bounds = within(
    0.0,
    1e9,
    " 1/Pa",
    "The fluidity integral is in 1/Pa: 0.2 stiff, 1.5 medium, 38 fluid",
);
static NUMBER: Bounds = within(1.0, 40.0, "", "Layers are counted from 1 at the wall");
static DECADES: Bounds = within(
    -5.0,
    5.0,
    "",
    "A pair shift is in decades: 1 is ten times as fluid",
);
static SHARE: Bounds = within(
    0.0,
    1.0,
    "",
    "Mixing is 0 where layers stay apart and 1 where they melt together",
);
static GAMMA: Bounds = within(
    0.0,
    2.0,
    " N/m",
    "Surface tension is about 0.33 N/m; 0 leaves gravity alone",
);
static CONTACT: Bounds = within(0.0, 180.0, "°", "The contact angle is in degrees");
static PRECURSOR: Bounds = within(
    1e-7,
    5e-5,
    " m",
    "The precursor is in metres, usually 0.000003",
);
static ACCURACY: Bounds = within(1e-6, 0.1, "", "The accuracy is relative, usually 0.001");

#[derive(Default)]
pub struct Document {
    pub profile: Profile,
    pub relief: Option<Relief>,
    pub layers_wall_first: Vec<Layer>,
    pub pair_shifts: Vec<PairShift>,
    pub mixing: f64,
    pub gamma_n_per_m: f64,
    pub contact_deg: f64,
    pub precursor_m: f64,
    pub accuracy: f64,
}

#[derive(Default)]
pub struct Profile {
    pub axisymmetric: bool,
    pub start_radius_m: f64,
    pub pieces: Vec<Piece>,
    pub foot_s_m: Option<f64>,
}

#[derive(Default)]
pub struct Piece {
    pub line_m: Option<f64>,
    pub angle_deg: Option<f64>,
    pub arc_radius_m: Option<f64>,
    pub from_deg: Option<f64>,
    pub to_deg: Option<f64>,
}

#[derive(Default)]
pub struct Relief {
    pub amplitude_m: f64,
    pub wavelength_m: f64,
    pub crest_at_s_m: f64,
    pub from_s_m: f64,
    pub to_s_m: f64,
    pub window_from_s_m: Option<f64>,
    pub window_to_s_m: Option<f64>,
    pub stokes_correction: bool,
}

impl Relief {
    /// The window, by itself or the whole relief.
    pub fn window(&self) -> (f64, f64) {
        (
            self.window_from_s_m.unwrap_or(self.from_s_m),
            self.window_to_s_m.unwrap_or(self.to_s_m),
        )
    }
}

#[derive(Default)]
pub struct Layer {
    pub thickness_m: f64,
    pub density_kg_per_m3: f64,
    pub phi_per_pa: f64,
    pub from_s_m: f64,
    pub to_s_m: f64,
}

/// Layer numbers from 1.
#[derive(Default)]
pub struct PairShift {
    pub over: u32,
    pub under: u32,
    pub decades: f64,
}

impl Record for Document {
    fn walk(&mut self, fields: &mut dyn Fields) {
        walk::record(fields, "profile", &mut self.profile);
        walk::maybe_record(fields, "relief", &mut self.relief);
        walk::list(
            fields,
            "layers_wall_first",
            &mut self.layers_wall_first,
            1,
            40,
        );
        walk::list(fields, "pair_shifts", &mut self.pair_shifts, 0, 780);
        let or = Need::Or;
        fields.number("mixing", &mut self.mixing, or(melt::MIXING_MEAN), &SHARE);
        fields.number(
            "gamma_n_per_m",
            &mut self.gamma_n_per_m,
            or(constants::GAMMA),
            &GAMMA,
        );
        fields.number(
            "contact_deg",
            &mut self.contact_deg,
            or(constants::CONTACT_RAD.to_degrees()),
            &CONTACT,
        );
        fields.number(
            "precursor_m",
            &mut self.precursor_m,
            or(film::PRECURSOR_M),
            &PRECURSOR,
        );
        fields.number(
            "accuracy",
            &mut self.accuracy,
            or(film::ACCURACY),
            &ACCURACY,
        );
    }
}

impl Record for Profile {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.flag("axisymmetric", &mut self.axisymmetric);
        fields.number(
            "start_radius_m",
            &mut self.start_radius_m,
            Need::Or(0.0),
            &RADIUS,
        );
        walk::list(fields, "pieces", &mut self.pieces, 1, 1000);
        fields.maybe_number("foot_s_m", &mut self.foot_s_m, &PLACE);
    }
}

impl Record for Piece {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.maybe_number("line_m", &mut self.line_m, &LINE);
        fields.maybe_number("angle_deg", &mut self.angle_deg, &ANGLE);
        fields.maybe_number("arc_radius_m", &mut self.arc_radius_m, &ARC);
        fields.maybe_number("from_deg", &mut self.from_deg, &ANGLE);
        fields.maybe_number("to_deg", &mut self.to_deg, &ANGLE);
    }
}

impl Record for Relief {
    fn walk(&mut self, fields: &mut dyn Fields) {
        let must = Need::Must;
        fields.number("amplitude_m", &mut self.amplitude_m, must, &AMPLITUDE);
        fields.number("wavelength_m", &mut self.wavelength_m, must, &WAVELENGTH);
        fields.number("crest_at_s_m", &mut self.crest_at_s_m, must, &RELIEF_PLACE);
        fields.number("from_s_m", &mut self.from_s_m, must, &RELIEF_PLACE);
        fields.number("to_s_m", &mut self.to_s_m, must, &RELIEF_PLACE);
        fields.maybe_number("window_from_s_m", &mut self.window_from_s_m, &PLACE);
        fields.maybe_number("window_to_s_m", &mut self.window_to_s_m, &PLACE);
        fields.flag("stokes_correction", &mut self.stokes_correction);
    }
}

impl Record for Layer {
    fn walk(&mut self, fields: &mut dyn Fields) {
        let must = Need::Must;
        fields.number("thickness_m", &mut self.thickness_m, must, &THICKNESS);
        fields.number(
            "density_kg_per_m3",
            &mut self.density_kg_per_m3,
            Need::Or(constants::RHO),
            &DENSITY,
        );
        fields.number("phi_per_pa", &mut self.phi_per_pa, must, &PHI);
        fields.number("from_s_m", &mut self.from_s_m, must, &PLACE);
        fields.number("to_s_m", &mut self.to_s_m, must, &PLACE);
    }
}

impl Record for PairShift {
    fn walk(&mut self, fields: &mut dyn Fields) {
        walk::count(fields, "over", &mut self.over, &NUMBER);
        walk::count(fields, "under", &mut self.under, &NUMBER);
        fields.number("decades", &mut self.decades, Need::Must, &DECADES);
    }
}

/// Reads a document: its keys, their kinds and their bounds.
pub fn read(text: &str) -> Result<Document, String> {
    let mut document: Document = file::read_record(text).map_err(|refusal| refusal.to_string())?;
    check::check_values(&mut document).map_err(|refusals| {
        let words: Vec<String> = refusals.iter().map(ToString::to_string).collect();
        words.join("\n")
    })?;
    Ok(document)
}

/// Whether everything lies on a profile of this length, and pairs name layers.
pub fn fits(document: &Document, length_m: f64) -> Result<(), String> {
    let stretch = |place: String, from: f64, to: f64, most: f64| {
        if from <= to && to <= most + 1e-9 {
            Ok(())
        } else {
            Err(format!(
                "{place}: It goes from {from} to {to} m, and the profile is {length_m} m long. Give a start, and an end that is not before it nor past the profile's."
            ))
        }
    };
    for (i, l) in document.layers_wall_first.iter().enumerate() {
        let place = format!("layers_wall_first[{i}].to_s_m");
        stretch(place, l.from_s_m, l.to_s_m, length_m)?;
    }
    if let Some(relief) = &document.relief {
        // A relief may go on beyond the profile; what is measured may not.
        stretch(
            "relief.to_s_m".into(),
            relief.from_s_m,
            relief.to_s_m,
            f64::INFINITY,
        )?;
        if relief.window_from_s_m.is_some() || relief.window_to_s_m.is_some() {
            let (from, to) = relief.window();
            stretch("relief.window_to_s_m".into(), from, to, length_m)?;
        }
    }
    let layers = document.layers_wall_first.len() as u32;
    for (i, p) in document.pair_shifts.iter().enumerate() {
        if p.over > layers || p.over <= p.under {
            return Err(format!(
                "pair_shifts[{i}]: Layer {} does not lie over layer {}. Number the {layers} from 1 at the wall; the one over has the greater number.",
                p.over, p.under
            ));
        }
        let before = &document.pair_shifts[..i];
        if before
            .iter()
            .any(|q| (q.over, q.under) == (p.over, p.under))
        {
            return Err(format!(
                "pair_shifts[{i}]: Layers {} over {} stand here twice. Keep one of the two.",
                p.over, p.under
            ));
        }
    }
    Ok(())
}
