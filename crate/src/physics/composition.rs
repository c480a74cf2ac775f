//! Viscosity from an oxide analysis: the model of Giordano, Russell & Dingwell for magmatic liquids.
//!
//! Takes oxides in weight percent and a temperature; gives log10 viscosity in Pa s. It narrows a prior and no more: composition
//! models disagree by up to a decade on a glaze, and this one knows no boron, zinc, lithium, barium, strontium or lead.

use super::error::{PhysicsError, within};
use super::firing::{SEAL_K, Schedule, Vft, Viscosity};

/// Most of oxides unknown to the model, together, that is left out without refusing, weight percent of the whole analysis (judged).
pub const UNKNOWN_LIMIT_WEIGHT_PERCENT: f64 = 3.0;
/// Least silica taken, weight percent: below the model's own data (41–79 mol %) with room to spare.
pub const SIO2_LEAST_WEIGHT_PERCENT: f64 = 30.0;
/// Spread (sd) of this model's log10 viscosity on a glaze, decades (judged: models disagree by up to a decade).
pub const SD_DECADES: f64 = 0.5;
/// Temperatures taken, K: 700–1700 °C. The model's data reach from 535 to 1705 °C.
const TEMPERATURE_K: (f64, f64) = (973.15, 1973.15);
/// Mass of FeO per mass of Fe2O3 with the same iron: 2 × 71.844/159.688.
pub const FEO_PER_FE2O3: f64 = 2.0 * 71.844 / 159.688;

/// An oxide analysis in weight percent of the fired glaze; it need not add up to 100. Water is left out: a fired glaze is dry.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(
    missing_docs,
    reason = "each field is the oxide it is named for, in weight percent"
)]
pub struct Oxides {
    pub sio2: f64,
    pub tio2: f64,
    pub al2o3: f64,
    /// All iron counts as FeO, as in the model: Fe2O3 is converted by [`FEO_PER_FE2O3`].
    pub fe2o3: f64,
    pub feo: f64,
    pub mno: f64,
    pub mgo: f64,
    pub cao: f64,
    pub na2o: f64,
    pub k2o: f64,
    pub p2o5: f64,
    /// Fluorine as F2O−1.
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

impl Oxides {
    /// What the model does not know, by name.
    fn unknown(&self) -> [(&'static str, f64); 9] {
        [
            ("B2O3", self.b2o3),
            ("ZnO", self.zno),
            ("Li2O", self.li2o),
            ("BaO", self.bao),
            ("SrO", self.sro),
            ("PbO", self.pbo),
            ("ZrO2", self.zro2),
            ("SnO2", self.sno2),
            ("other", self.other),
        ]
    }

    /// What it knows, weight percent, in the order of [`MOLAR_MASS`].
    fn known(&self) -> [f64; 11] {
        [
            self.sio2,
            self.tio2,
            self.al2o3,
            self.feo + FEO_PER_FE2O3 * self.fe2o3,
            self.mno,
            self.mgo,
            self.cao,
            self.na2o,
            self.k2o,
            self.p2o5,
            self.f2o,
        ]
    }
}

/// Molar masses of SiO2, TiO2, Al2O3, FeO, MnO, MgO, CaO, Na2O, K2O, P2O5, F2O−1, g/mol, as in the authors' own spreadsheet.
const MOLAR_MASS: [f64; 11] = [
    60.0843,
    79.8658,
    101.961_276,
    71.8444,
    70.937_449,
    40.3044,
    56.0774,
    61.978_94,
    94.196,
    141.9446,
    37.9968,
];

/// The viscosity curve of a composition, with `a` −4.55 for every melt.
///
/// Giordano, Russell & Dingwell, Earth and Planetary Science Letters 271, 123–134, 2008, table 1 (coefficients with the digits of the authors' own code);
/// oxides normalised to 100 without water, in mol percent. Its authors state a standard error of 0.25 (a log unit either way for a single
/// melt is common) for natural melts of 41–79 mol % SiO2; glazes lie at its edge.
///
/// # Errors
/// [`PhysicsError::OutOfBounds`] for an oxide outside 0–100; [`PhysicsError::UnsupportedOxides`] above [`UNKNOWN_LIMIT_WEIGHT_PERCENT`] (up to it they
/// are left out and the rest normalised); [`PhysicsError::NoGlass`] below [`SIO2_LEAST_WEIGHT_PERCENT`].
pub fn viscosity_curve(oxides: &Oxides) -> Result<Vft, PhysicsError> {
    for (name, value) in [
        ("SiO2", oxides.sio2),
        ("TiO2", oxides.tio2),
        ("Al2O3", oxides.al2o3),
        ("Fe2O3", oxides.fe2o3),
        ("FeO", oxides.feo),
        ("MnO", oxides.mno),
        ("MgO", oxides.mgo),
        ("CaO", oxides.cao),
        ("Na2O", oxides.na2o),
        ("K2O", oxides.k2o),
        ("P2O5", oxides.p2o5),
        ("F2O", oxides.f2o),
    ]
    .into_iter()
    .chain(oxides.unknown())
    {
        within(name, value, 0.0, 100.0)?;
    }
    let known = oxides.known();
    let known_sum: f64 = known.iter().sum();
    let unknown_sum: f64 = oxides.unknown().iter().map(|(_, w)| w).sum();
    let whole = known_sum + unknown_sum;
    if whole > 0.0 && unknown_sum / whole > UNKNOWN_LIMIT_WEIGHT_PERCENT / 100.0 {
        let first = oxides
            .unknown()
            .into_iter()
            .fold(
                ("other", 0.0),
                |most, of| if of.1 > most.1 { of } else { most },
            );
        return Err(PhysicsError::UnsupportedOxides {
            oxide: first.0,
            weight_percent: 100.0 * unknown_sum / whole,
            limit: UNKNOWN_LIMIT_WEIGHT_PERCENT,
        });
    }
    let silica = if known_sum > 0.0 {
        100.0 * known[0] / known_sum
    } else {
        0.0
    };
    if silica < SIO2_LEAST_WEIGHT_PERCENT {
        return Err(PhysicsError::NoGlass {
            sio2_weight_percent: silica,
            least: SIO2_LEAST_WEIGHT_PERCENT,
        });
    }
    let mut x = known;
    for (mole, mass) in x.iter_mut().zip(MOLAR_MASS) {
        *mole /= mass;
    }
    let moles: f64 = x.iter().sum();
    let [si, ti, al, fe, mn, mg, ca, na, k, p, fluorine] = x.map(|mole| 100.0 * mole / moles);

    // Groups as the paper names them; V is F2O−1 alone, as the melt is dry.
    let (ta, fm, nk, v) = (ti + al, fe + mn + mg, na + k, fluorine);
    let b_k = 159.56 * (si + ti) - 173.34 * al + 72.13 * (fe + mn + p) + 75.69 * mg
        - 38.98 * ca
        - 84.08 * (na + v)
        + 141.54 * v
        - 2.43 * (si + ti) * fm
        - 0.91 * (si + ta + p) * nk
        + 17.62 * al * nk;
    let c_k = 2.75 * si + 15.72 * ta + 8.32 * fm + 10.20 * ca - 12.29 * nk - 99.54 * v.ln_1p()
        + 0.30 * (al + fm + ca - p) * (nk + v);
    Ok(Vft { a: -4.55, b_k, c_k })
}

/// log10 of viscosity, Pa s, of a composition at `temperature_k`. See [`viscosity_curve`].
///
/// # Errors
/// As [`viscosity_curve`]; [`PhysicsError::OutOfBounds`] for a temperature outside 700–1700 °C or not above the curve's own `c_k` by 100 K.
pub fn log10_eta_pa_s(oxides: &Oxides, temperature_k: f64) -> Result<f64, PhysicsError> {
    let curve = viscosity_curve(oxides)?;
    within(
        "temperature_k",
        temperature_k,
        TEMPERATURE_K.0.max(curve.c_k + 100.0),
        TEMPERATURE_K.1,
    )?;
    Ok(curve.log10_eta_pa_s(temperature_k))
}

/// What an analysis says of log10 Phi at the reference firing, log10(1/Pa): mean and sd. It narrows a prior
/// ([`super::firing::narrowed`]); logged tiles decide.
///
/// # Errors
/// As [`viscosity_curve`]; [`PhysicsError::NeverSeals`] for a composition that is a solid at the reference peak.
pub fn log10_phi(oxides: &Oxides) -> Result<(f64, f64), PhysicsError> {
    let phi =
        Viscosity::Vft(viscosity_curve(oxides)?).phi_per_pa(&Schedule::reference(), SEAL_K)?;
    Ok((phi.log10(), SD_DECADES))
}
