//! The film cases that benches and tests share: pots and tiles as a potter would glaze them.
//!
//! Takes nothing; gives profiles with their layers, each under a name that stays.

#![allow(dead_code)] // Each of the benches and tests uses a part.

use glazefall::physics::{
    constants::RHO,
    film::{Case, Layer, Relief},
    piece::{self, PieceError, Profile, Wall},
};
use std::f64::consts::FRAC_PI_2;

/// A film case that owns its clay.
pub struct Fixed {
    /// Its name in tables and snapshots.
    pub name: &'static str,
    /// The clay.
    pub profile: Profile,
    /// The layers, the wall first.
    pub layers: Vec<Layer>,
    /// Relief of the clay.
    pub relief: Option<Relief>,
    /// Density, surface tension, precursor.
    pub melt: [f64; 3],
    /// Φ of its stops, 1/Pa.
    pub phis: Vec<f64>,
}

impl Fixed {
    /// The case for the solver.
    pub fn case(&self) -> Case<'_> {
        Case {
            relief: self.relief,
            rho_kg_per_m3: self.melt[0],
            gamma_n_per_m: self.melt[1],
            precursor_m: self.melt[2],
            ..Case::new(&self.profile, self.layers.clone())
        }
    }
}

/// A layer of `mm` with `phi` times the clock's fluidity.
pub fn layer(mm: f64, phi: f64, from_s_m: f64, to_s_m: f64) -> Layer {
    Layer {
        thickness_m: mm * 1e-3,
        log10_fluidity: phi.log10(),
        from_s_m,
        to_s_m,
    }
}

fn wall(mm: f64) -> Wall {
    Wall {
        thickness_m: mm * 1e-3,
        rim_radius_m: None,
    }
}

const USUAL: [f64; 3] = [RHO, 0.33, 3e-6];

fn fixed(name: &'static str, profile: Profile, layers: Vec<Layer>, phis: &[f64]) -> Fixed {
    Fixed {
        name,
        profile,
        layers,
        relief: None,
        melt: USUAL,
        phis: phis.to_vec(),
    }
}

/// The jar of the figures: one film of 0.5 mm from 40 mm inside over the rim to 45 mm above the foot, Φ 12.
///
/// # Errors
/// None for these measures.
pub fn jar() -> Result<Fixed, PieceError> {
    let profile = piece::jar(0.15, 0.09, 0.125, 0.07, wall(5.0))?;
    let (rim, foot) = (profile.rim_s_m(), profile.foot_s_m());
    let layers = vec![layer(0.5, 1.0, rim - 0.04, foot - 0.045)];
    Ok(fixed("jar", profile, layers, &[12.0]))
}

/// Ten cases whose work is held by snapshots.
///
/// # Errors
/// None for these measures.
pub fn ten() -> Result<Vec<Fixed>, PieceError> {
    let mut out = vec![jar()?];

    let profile = piece::jar(0.15, 0.09, 0.125, 0.07, wall(5.0))?;
    let (rim, foot) = (profile.rim_s_m(), profile.foot_s_m());
    let layers = vec![
        layer(0.35, 0.4, rim - 0.04, foot - 0.02),
        layer(0.35, 12.0, rim - 0.02, rim + 0.05),
    ];
    out.push(fixed(
        "jar, fluid top layer from the rim",
        profile,
        layers,
        &[1.0, 3.0],
    ));

    let profile = piece::bowl(0.075, 0.16, 0.065, wall(5.0))?;
    let (rim, foot) = (profile.rim_s_m(), profile.foot_s_m());
    let layers = vec![
        layer(0.4, 1.0, 0.0, foot - 0.015),
        layer(0.3, 4.0, rim - 0.03, rim + 0.03),
    ];
    out.push(fixed(
        "bowl, dipped at the rim",
        profile,
        layers,
        &[1.0, 4.0],
    ));

    let profile = piece::mug(0.095, 0.085, 0.075, wall(4.0))?;
    let (rim, foot) = (profile.rim_s_m(), profile.foot_s_m());
    let layers = vec![
        layer(0.3, 1.0, 0.0, foot - 0.01),
        layer(0.25, 3.0, rim - 0.02, rim + 0.04),
    ];
    out.push(fixed("mug, two layers", profile, layers, &[5.0]));

    let profile = piece::plate(0.028, 0.26, 0.15, wall(6.0))?;
    let (rim, foot) = (profile.rim_s_m(), profile.foot_s_m());
    let layers = vec![
        layer(0.4, 1.0, 0.0, foot - 0.02),
        layer(0.3, 5.0, rim - 0.04, rim + 0.01),
    ];
    out.push(fixed("plate, two layers", profile, layers, &[5.0]));

    let profile = piece::vase(0.22, 0.08, 0.045, 0.12, 0.075, wall(5.0))?;
    let (rim, foot) = (profile.rim_s_m(), profile.foot_s_m());
    let layers = vec![layer(0.6, 1.0, rim - 0.02, foot - 0.08)];
    out.push(fixed("vase, a long run", profile, layers, &[2.0, 20.0]));

    let tile = piece::tile(0.12, FRAC_PI_2, 6e-3)?;
    let mut band = fixed(
        "band, Φ 6",
        tile,
        vec![layer(0.4, 1.0, 0.01, 0.11)],
        &[0.15, 6.0],
    );
    band.melt = [2400.0, 0.32, 2e-6];
    out.push(band);

    let tile = piece::tile(0.1, FRAC_PI_2, 6e-3)?;
    out.push(fixed(
        "band that holds",
        tile,
        vec![layer(0.2, 1.0, 0.01, 0.06)],
        &[1.0],
    ));

    let tile = piece::tile(0.1, FRAC_PI_2, 6e-3)?;
    let mut relief = fixed(
        "tile with rings",
        tile,
        vec![layer(0.3, 1.0, 0.01, 0.07)],
        &[1.5],
    );
    relief.relief = Some(Relief {
        amplitude_m: 0.4e-3,
        wavelength_m: 5e-3,
        crest_at_s_m: 0.03,
        from_s_m: 0.02,
        to_s_m: 0.06,
        stokes_correction: true,
    });
    out.push(relief);

    let profile = piece::jar(0.15, 0.09, 0.125, 0.07, wall(5.0))?;
    let (rim, foot) = (profile.rim_s_m(), profile.foot_s_m());
    let mut gravity = fixed(
        "jar, gravity alone",
        profile,
        vec![layer(0.5, 1.0, rim, foot - 0.06)],
        &[4.0],
    );
    gravity.melt[1] = 0.0;
    out.push(gravity);
    Ok(out)
}

/// A band of `thick_mm` and `long_mm` on an upright tile, Φ 12.
///
/// # Errors
/// Where the tile would be longer than a tile may be.
pub fn band(thick_mm: f64, long_mm: f64) -> Result<Fixed, PieceError> {
    let long_m = long_mm * 1e-3;
    let tile = piece::tile(0.07 + long_m, FRAC_PI_2, 6e-3)?;
    let layers = vec![layer(thick_mm, 1.0, 0.01, 0.01 + long_m)];
    Ok(fixed("band", tile, layers, &[12.0]))
}
