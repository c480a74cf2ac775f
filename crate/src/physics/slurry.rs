//! The bucket: how much dry glaze a litre of slurry holds, from a reading of its specific gravity.
//!
//! Takes readings as a studio makes them (a weighed volume, a pint weight, a hydrometer) and the relative density of
//! the dry materials; gives specific gravity, dry solids per volume, and the water that thins one to another.

use super::constants::RHO_WATER;
use super::error::{PhysicsError, within};

/// Relative density of the dry materials of a glaze, median (5–95 %: 2.48–2.80; judged).
pub const DRY_DENSITY: f64 = 2.60;
/// Least relative density of dry materials taken.
pub const DRY_DENSITY_LEAST: f64 = 2.0;
/// Greatest relative density of dry materials taken (lead frits reach 5.5).
pub const DRY_DENSITY_MOST: f64 = 6.0;
/// Specific gravity of water: no slurry is lighter.
pub const SG_LEAST: f64 = 1.0;
/// Greatest specific gravity taken: such a slurry is a paste.
pub const SG_MOST: f64 = 2.2;
/// Spread (sd) of a reading of specific gravity, absolute (judged).
pub const SG_SIGMA: f64 = 0.01;
/// Spread (sd) of the specific gravity of a bucket that was not measured that day, absolute (judged).
pub const SG_SIGMA_UNMEASURED: f64 = 0.05;

/// One avoirdupois ounce, kg (exact by definition, 1959).
pub const OUNCE_KG: f64 = 0.028_349_523_125;
/// The rule of 20: an imperial pint of water taken as 20 oz. Exactly it is 20.045 ([`PintKind::water_oz`]).
pub const RULE_OF_TWENTY_OZ: f64 = 20.0;
/// Modulus of a Baumé hydrometer of the 60 °F scale.
pub const BAUME_60_F: f64 = 145.0;
/// Modulus of a Baumé hydrometer of the 15 °C scale.
pub const BAUME_15_C: f64 = 144.3;

/// Which pint is weighed; the two differ by a fifth and are never mixed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PintKind {
    /// 568.261 25 mL (exact by definition).
    Imperial,
    /// 473.176 473 mL (liquid pint, exact by definition).
    Us,
}

impl PintKind {
    /// Volume, m³.
    pub const fn volume_m3(self) -> f64 {
        match self {
            Self::Imperial => 568.261_25e-6,
            Self::Us => 473.176_473e-6,
        }
    }

    /// Weight of a pint of water, oz: 20.045 imperial, 16.691 US.
    pub const fn water_oz(self) -> f64 {
        self.volume_m3() * RHO_WATER / OUNCE_KG
    }

    /// What one ounce per pint is in kg/m³ (= g/L): 49.888 imperial, 59.913 US.
    pub const fn kg_per_m3_of_an_ounce(self) -> f64 {
        OUNCE_KG / self.volume_m3()
    }
}

/// Dry solids per volume of slurry, kg/m³ (= g/L), of specific gravity `sg` with dry materials of relative density
/// `dry_density`: `rho_w (G − 1) D/(D − 1)`.
///
/// Source: Brongniart, Traité des arts céramiques, 1854; worked in Norsker & Danisch, Forming Techniques for the
/// Self-Reliant Potter, GTZ 1991, appendix. Holds for `1 ≤ sg < dry_density`; the caller has checked both ([`check`]).
#[inline]
pub fn solids_kg_per_m3(sg: f64, dry_density: f64) -> f64 {
    RHO_WATER * (sg - 1.0) * dry_density / (dry_density - 1.0)
}

/// Dry solids as a share of the slurry's mass, 0–1. Range as in [`solids_kg_per_m3`].
#[inline]
pub fn solids_mass_fraction(sg: f64, dry_density: f64) -> f64 {
    solids_kg_per_m3(sg, dry_density) / (sg * RHO_WATER)
}

/// Dry solids as a share of the slurry's volume, 0–1: `(G − 1)/(D − 1)`. Range as in [`solids_kg_per_m3`].
#[inline]
pub fn solids_volume_fraction(sg: f64, dry_density: f64) -> f64 {
    (sg - 1.0) / (dry_density - 1.0)
}

/// Whether the two numbers describe a slurry: `sg` within [`SG_LEAST`]–[`SG_MOST`], `dry_density` within its bounds, and
/// the slurry lighter than its dry materials.
///
/// # Errors
/// [`PhysicsError::OutOfBounds`] for `dry_density` or `sg`.
pub fn check(sg: f64, dry_density: f64) -> Result<(), PhysicsError> {
    within(
        "dry_density",
        dry_density,
        DRY_DENSITY_LEAST,
        DRY_DENSITY_MOST,
    )?;
    // At the dry materials' own density there would be no water left.
    within("sg", sg, SG_LEAST, SG_MOST.min(dry_density - 0.05))?;
    Ok(())
}

fn as_sg(sg: f64) -> Result<f64, PhysicsError> {
    within("sg", sg, SG_LEAST, SG_MOST)
}

/// Specific gravity from a weighed volume (the tare taken off): grams over millilitres.
///
/// Weigh 100 ml or more: air entrained in a gummed brushing glaze makes it read light, and a larger volume beats a hydrometer (practice).
///
/// # Errors
/// [`PhysicsError::OutOfBounds`]: the volume outside 1 ml – 100 L, or a specific gravity that no slurry has.
pub fn sg_from_weighed_volume(mass_g: f64, volume_ml: f64) -> Result<f64, PhysicsError> {
    within("volume_ml", volume_ml, 1.0, 1e5)?;
    as_sg(mass_g / volume_ml)
}

/// Specific gravity from a pint weight in ounces (the tare taken off), with the pint's own weight of water.
///
/// # Errors
/// [`PhysicsError::OutOfBounds`] for a specific gravity that no slurry has; a US pint weight taken as imperial often ends here.
pub fn sg_from_pint_weight(weight_oz: f64, pint: PintKind) -> Result<f64, PhysicsError> {
    as_sg(weight_oz / pint.water_oz())
}

/// Pint weight, oz, of a slurry of specific gravity `sg`.
pub fn pint_weight_oz(sg: f64, pint: PintKind) -> f64 {
    sg * pint.water_oz()
}

/// Dry solids in a pint of slurry, oz: `(P − P_water) D/(D − 1)`, with the pint's exact weight of water.
///
/// Source: Brongniart's formula in ounces. Range as in [`solids_kg_per_m3`].
pub fn dry_oz_per_pint(weight_oz: f64, pint: PintKind, dry_density: f64) -> f64 {
    (weight_oz - pint.water_oz()) * dry_density / (dry_density - 1.0)
}

/// Dry solids in an imperial pint of slurry, oz, by the rule of 20: `(P − 20) D/(D − 1)`.
///
/// The rule rounds 20.045 to 20 and so reads high by 0.045 D/(D − 1) oz (0.07 oz at D 2.6, under half a percent at P 36);
/// kept because books and buckets are marked with it. Imperial pints only.
pub fn dry_oz_per_pint_rule_of_twenty(weight_oz: f64, dry_density: f64) -> f64 {
    (weight_oz - RULE_OF_TWENTY_OZ) * dry_density / (dry_density - 1.0)
}

/// Specific gravity from degrees Twaddell, `Tw = 200 (G − 1)` (textile glossary).
///
/// # Errors
/// [`PhysicsError::OutOfBounds`] for a specific gravity that no slurry has.
pub fn sg_from_twaddell(degrees: f64) -> Result<f64, PhysicsError> {
    as_sg(1.0 + degrees / 200.0)
}

/// Degrees Twaddell of specific gravity `sg`.
pub fn twaddell(sg: f64) -> f64 {
    200.0 * (sg - 1.0)
}

/// Specific gravity from degrees Baumé for liquids heavier than water, `Bé = M − M/G`.
///
/// The modulus M is marked on the hydrometer: [`BAUME_60_F`] or [`BAUME_15_C`] (A Textbook of Assaying uses the latter).
///
/// # Errors
/// [`PhysicsError::OutOfBounds`]: a modulus outside 140–150, or a specific gravity that no slurry has.
pub fn sg_from_baume(degrees: f64, modulus: f64) -> Result<f64, PhysicsError> {
    within("modulus", modulus, 140.0, 150.0)?;
    within("degrees_baume", degrees, 0.0, modulus - 1.0)?;
    as_sg(modulus / (modulus - degrees))
}

/// Degrees Baumé (heavier than water) of specific gravity `sg` on a hydrometer of `modulus`.
pub fn baume(sg: f64, modulus: f64) -> f64 {
    modulus - modulus / sg
}

/// Water that thins `volume` of slurry from `sg_from` to `sg_to`, in the unit of `volume`: `V (G1 − G2)/(G2 − 1)`.
///
/// Source: conservation of mass and volume.
///
/// # Errors
/// [`PhysicsError::OutOfBounds`]: a volume below 0, `sg_to` at that of water or above `sg_from` (water only thins).
pub fn thinning_water(volume: f64, sg_from: f64, sg_to: f64) -> Result<f64, PhysicsError> {
    within("volume", volume, 0.0, 1e9)?;
    within("sg_from", sg_from, SG_LEAST, SG_MOST)?;
    within("sg_to", sg_to, 1.005, sg_from)?;
    Ok(volume * (sg_from - sg_to) / (sg_to - 1.0))
}
