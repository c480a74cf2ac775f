//! A film case: what lies where on which profile.
//!
//! Takes numbers in SI units; checks them against what the solver is made for.

use super::{FilmError, Relief};
use crate::physics::{constants, melt, piece::Profile};

/// Usual precursor, m: the least film that lets a front advance over bare clay. Halving it takes 0.1–0.5 mm off a run of up to
/// 15 mm (derived).
pub const PRECURSOR_M: f64 = 3e-6;
/// Usual accuracy: the run of a jar is then good to about 0.02 mm.
pub const ACCURACY: f64 = 1e-3;

/// One layer as laid down, in the order from the wall outward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Melt volume per area of clay (ζ), m.
    pub thickness_m: f64,
    /// log10 of its fluidity relative to the fluidity whose Φ is the clock of [`super::solve`].
    pub log10_fluidity: f64,
    /// Where it starts along the profile, m.
    pub from_s_m: f64,
    /// Where it ends, m.
    pub to_s_m: f64,
}

/// How much a pair of layers runs more than its mean, decades (see [`melt::stack_log10_phi`]).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairShift {
    /// Index of the layer nearer the wall.
    pub under: usize,
    /// Index of the layer nearer the surface.
    pub over: usize,
    /// Decades.
    pub decades: f64,
}

/// A film case.
#[derive(Clone, Debug)]
pub struct Case<'a> {
    /// The clay.
    pub profile: &'a Profile,
    /// Layers, the wall first.
    pub layers: Vec<Layer>,
    /// Pair shifts; pairs that are not named have none.
    pub pair_shifts: Vec<PairShift>,
    /// 0: layers stay separate in the melt, 1: they melt together.
    pub mixing: f64,
    /// Relief of the clay.
    pub relief: Option<Relief>,
    /// Density of the melt, kg/m³; 0 leaves surface tension alone.
    pub rho_kg_per_m3: f64,
    /// Surface tension, N/m; 0 leaves gravity's flow along the wall alone.
    pub gamma_n_per_m: f64,
    /// Contact angle on bare clay, rad.
    pub contact_rad: f64,
    /// Precursor, m.
    pub precursor_m: f64,
}

impl<'a> Case<'a> {
    /// A case with the usual melt on bare clay without relief.
    pub fn new(profile: &'a Profile, layers: Vec<Layer>) -> Self {
        Self {
            profile,
            layers,
            pair_shifts: Vec::new(),
            mixing: melt::MIXING_MEAN,
            relief: None,
            rho_kg_per_m3: constants::RHO,
            gamma_n_per_m: constants::GAMMA,
            contact_rad: constants::CONTACT_RAD,
            precursor_m: PRECURSOR_M,
        }
    }

    /// Sum of the layers' thicknesses, m.
    pub fn nominal_m(&self) -> f64 {
        self.layers.iter().map(|l| l.thickness_m).sum()
    }

    /// Area that an edge on bare clay holds back at `s_m`, m²: `γ (1 − cos contact)/(ρ g sinθ)` (derived); none where the wall does
    /// not fall away from there.
    pub fn held_m2(&self, s_m: f64) -> Option<f64> {
        let fall = -self.profile.at(s_m).psi_rad.sin();
        let weight = self.rho_kg_per_m3 * constants::GRAVITY * fall;
        (fall > 1e-6 && weight > 0.0)
            .then(|| self.gamma_n_per_m * (1.0 - self.contact_rad.cos()) / weight)
    }

    /// Lowest edge of the glaze along the profile, m.
    pub fn lowest_s_m(&self) -> f64 {
        self.present().map(|l| l.to_s_m).fold(0.0, f64::max)
    }

    pub(super) fn present(&self) -> impl Iterator<Item = &Layer> {
        self.layers
            .iter()
            .filter(|l| l.thickness_m > 0.0 && l.to_s_m > l.from_s_m)
    }

    /// ln fluidity of layers of these thicknesses at one place.
    pub(super) fn ln_fluidity(&self, parts: &[f64]) -> f64 {
        let logs: Vec<f64> = self.layers.iter().map(|l| l.log10_fluidity).collect();
        let pair = |lower: usize, upper: usize| {
            self.pair_shifts
                .iter()
                .filter(|p| p.under == lower && p.over == upper)
                .map(|p| p.decades)
                .sum()
        };
        melt::stack_log10_phi(parts, &logs, &pair, self.mixing) * std::f64::consts::LN_10
    }

    /// Refuses what the solver is not made for.
    pub(super) fn check(&self, phis: &[f64], accuracy: f64) -> Result<(), FilmError> {
        let length = self.profile.length_m();
        within("accuracy", accuracy, 1e-6, 0.1)?;
        within("gamma_n_per_m", self.gamma_n_per_m, 0.0, 2.0)?;
        within("density_kg_per_m3", self.rho_kg_per_m3, 0.0, 10_000.0)?;
        within("contact_deg", self.contact_rad.to_degrees(), 0.0, 180.0)?;
        within("precursor_m", self.precursor_m, 1e-7, 5e-5)?;
        within("mixing", self.mixing, 0.0, 1.0)?;
        within("number of layers", self.layers.len() as f64, 1.0, 40.0)?;
        within("profile length, m", length, 1e-4, 10.0)?;
        for l in &self.layers {
            within("thickness_m", l.thickness_m, 0.0, 0.02)?;
            within("log10 of phi_per_pa", l.log10_fluidity, -9.0, 9.0)?;
            within("from_s_m", l.from_s_m, 0.0, length + 1e-9)?;
            within("to_s_m", l.to_s_m, l.from_s_m, length + 1e-9)?;
        }
        for p in &self.pair_shifts {
            within("decades", p.decades, -5.0, 5.0)?;
        }
        if let Some(r) = &self.relief {
            within("amplitude_m", r.amplitude_m, 0.0, 0.02)?;
            within("wavelength_m", r.wavelength_m, 1e-4, 1.0)?;
            within("crest_at_s_m", r.crest_at_s_m, -10.0, 20.0)?;
            within("relief from_s_m", r.from_s_m, -10.0, length)?;
            within("relief to_s_m", r.to_s_m, r.from_s_m, 20.0)?;
        }
        let mut before = 0.0;
        for &phi in phis {
            within("phi_per_pa", phi, before, 1e9)?;
            before = phi;
        }
        if self.present().next().is_none() {
            return Err(FilmError::NothingLaidDown);
        }
        Ok(())
    }
}

fn within(what: &'static str, value: f64, least: f64, most: f64) -> Result<(), FilmError> {
    if value >= least && value <= most {
        Ok(())
    } else {
        Err(FilmError::OutOfBounds {
            what,
            value,
            least,
            most,
        })
    }
}
