//! What a hand lays down: dry mass per area of clay from coats, dips, passes or a scale, and how thick that is.
//!
//! Takes coats or dips and the slurry; gives dry mass per area (kg/m²) and from it the raw, melt and fired
//! thickness (m); holds the prior medians and spreads of all of it, each once.

use super::constants::RHO_WATER;
pub use super::constants::{BUBBLES, RHO, RHO_FIRED, RHO_MELT};
use super::error::{PhysicsError, within};
use super::slurry::{self, solids_kg_per_m3, solids_volume_fraction};

/// Wet laydown of one brushed coat, m, median (5–95 %: 105–380 µm; judged; a kiln manual's "three coats about the
/// thickness of a postcard", 0.18–0.41 mm, agrees).
pub const WET_PER_COAT_M: f64 = 200e-6;
/// Natural-log sigma of the wet laydown where nothing else is known: person, coat and laydown together, the range
/// above. Use either this or the three parts below, never both.
pub const WET_PER_COAT_LN_SIGMA: f64 = 0.39;
/// Natural-log sigma from place to place on one pot (judged).
pub const PLACE_LN_SIGMA: f64 = 0.25;
/// Natural-log sigma from coat to coat of one hand; averages down with the number of coats (judged).
pub const COAT_LN_SIGMA: f64 = 0.20;
/// Natural-log sigma from person to person (judged).
pub const PERSON_LN_SIGMA: f64 = 0.30;
/// Natural-log sigma of the studio's wet laydown itself (judged).
pub const WET_LAYDOWN_LN_SIGMA: f64 = 0.15;

/// Cake constant K of a dip on absorbent bisque at [`CAKE_SG`], m²/s: 0.08 mm²/s (one measured 2 s dip: 0.41 mm raw, 0.20 mm fired).
pub const CAKE_K_M2_PER_S: f64 = 0.08e-6;
/// Natural-log sigma of K: a factor of 2 either way, read as 5–95 % (judged).
pub const CAKE_K_LN_SIGMA: f64 = 0.42;
/// Specific gravity at which [`CAKE_K_M2_PER_S`] holds.
pub const CAKE_SG: f64 = 1.45;
/// Share of the first dip's water that has gone from the body before the next dip, where nobody says (judged).
pub const DRY_GAP: f64 = 0.5;
/// The dip law is used up to this share of the packing: beyond it a slurry is nearly a cake already and r = P/phi_s − 1 goes to 0.
pub const DIP_SOLIDS_LIMIT: f64 = 0.95;
/// Bulk density of bisque, kg/m³ (judged).
pub const RHO_BODY: f64 = 1900.0;

/// Raw layer of one sprayed pass, m, median (20–100 µm; judged).
pub const SPRAY_RAW_M: f64 = 50e-6;
/// Natural-log sigma of a sprayed pass: the range above read as 5–95 %.
pub const SPRAY_LN_SIGMA: f64 = 0.49;

/// Packing of the dry layer: share of solids in its volume, median (judged).
pub const PACKING: f64 = 0.50;
/// Natural-log sigma of the packing (judged).
pub const PACKING_LN_SIGMA: f64 = 0.10;
/// Loss on ignition as a share of the dry mass, median (fritted 0.02–0.05, high carbonate up to 0.20; judged).
pub const LOI: f64 = 0.09;
/// Natural-log sigma of the loss on ignition (judged).
pub const LOI_LN_SIGMA: f64 = 0.40;

/// Dry mass of brushed coats, kg/m²: `coats · wet · c`. Unchecked: the caller has bounds ([`slurry::check`]).
///
/// `wet_m` is the wet laydown of one coat, m. For coats that go on thinner and thinner see [`effective_coats`].
#[inline]
pub fn brush_kg_per_m2(coats: f64, wet_m: f64, sg: f64, dry_density: f64) -> f64 {
    coats * wet_m * solids_kg_per_m3(sg, dry_density)
}

/// How many first coats `coats` later coats are worth, where each coat goes on thinner than the one before by the
/// share `thinning_per_coat` (0–1) and `coats_before` lie below: `Σ (1 − t)^(before + j)`, j from 0 to coats − 1.
///
/// Whole numbers of coats; the sum in closed form also answers between them.
#[inline]
pub fn effective_coats(coats_before: f64, coats: f64, thinning_per_coat: f64) -> f64 {
    // ln(1 − t) by ln_1p and expm1, so that a thinning of nearly nothing is not a difference of equal numbers.
    let ln_keep = (-thinning_per_coat).ln_1p();
    if ln_keep > -1e-12 {
        return coats;
    }
    (coats_before * ln_keep).exp() * (-(coats * ln_keep).exp_m1()) / thinning_per_coat
}

/// How the dry mass of a brushed coat hangs on the bucket: d ln m/d G = 1/(G − 1).
#[inline]
pub fn brush_ln_per_sg(sg: f64) -> f64 {
    1.0 / (sg - 1.0)
}

/// A dip on absorbent bisque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DipParams {
    /// Number of dips, one after another.
    pub dips: u32,
    /// Time in the slurry, s, each.
    pub seconds: f64,
    /// Specific gravity of the slurry.
    pub sg: f64,
    /// Relative density of its dry materials.
    pub dry_density: f64,
    /// Packing of the dry layer, 0–1.
    pub packing: f64,
    /// Cake constant at [`CAKE_SG`], m²/s.
    pub cake_k_m2_per_s: f64,
    /// Wall thickness, m.
    pub wall_m: f64,
    /// Bulk density of the body, kg/m³.
    pub body_kg_per_m3: f64,
    /// Water that the body takes up, as a share of its dry mass.
    pub absorption: f64,
    /// Sides of the wall that are glazed: 2 for a pot dipped whole, 1 for an outside only.
    pub glazed_sides: f64,
    /// Share of the water in the body that has gone again before the next dip, 0 (none) – 1 (bone dry).
    pub dry_gap: f64,
}

impl DipParams {
    /// One dip of `seconds` at the prior medians, on a 6 mm wall of 10 % absorption glazed on both sides.
    pub fn usual(seconds: f64, sg: f64) -> Self {
        Self {
            dips: 1,
            seconds,
            sg,
            dry_density: slurry::DRY_DENSITY,
            packing: PACKING,
            cake_k_m2_per_s: CAKE_K_M2_PER_S,
            wall_m: 6e-3,
            body_kg_per_m3: RHO_BODY,
            absorption: 0.10,
            glazed_sides: 2.0,
            dry_gap: DRY_GAP,
        }
    }
}

/// Volume of water that filters into the body per volume of cake, `r = P/phi_s − 1`.
///
/// Source: balance of solids and water, derived. Positive while the slurry is looser than the cake.
#[inline]
pub fn water_per_cake(sg: f64, dry_density: f64, packing: f64) -> f64 {
    packing / solids_volume_fraction(sg, dry_density) - 1.0
}

/// Cake constant of a dip at `sg`, m²/s: `K(G) = K(1.45) r(1.45)/r(G)`.
///
/// Source: derived from [`water_per_cake`] (the same suction draws the same water; it leaves more cake from a thicker slurry).
///
/// # Errors
/// [`PhysicsError::SlurryTooThickToDip`] where the solids fraction is above [`DIP_SOLIDS_LIMIT`] of the packing
/// (about SG 1.76 at D 2.6 and P 0.5; the law itself diverges at 1.80); [`PhysicsError::OutOfBounds`] for the rest.
pub fn cake_k_m2_per_s(
    k_at_reference: f64,
    sg: f64,
    dry_density: f64,
    packing: f64,
) -> Result<f64, PhysicsError> {
    slurry::check(sg, dry_density)?;
    within("packing", packing, 0.2, 0.74)?;
    within("cake_k_m2_per_s", k_at_reference, 1e-10, 1e-5)?;
    // At the reference a light packing or light materials can be past the limit themselves.
    let limit_sg = 1.0 + DIP_SOLIDS_LIMIT * packing * (dry_density - 1.0);
    for &of in &[sg, CAKE_SG] {
        if of > limit_sg {
            return Err(PhysicsError::SlurryTooThickToDip { sg: of, limit_sg });
        }
    }
    within("sg", sg, 1.005, slurry::SG_MOST)?;
    Ok(
        k_at_reference * water_per_cake(CAKE_SG, dry_density, packing)
            / water_per_cake(sg, dry_density, packing),
    )
}

/// Water that one glazed side of the body can take, as a depth, m: `wall · rho_body · absorption/(rho_w · sides)`.
#[inline]
pub fn body_water_m(wall_m: f64, body_kg_per_m3: f64, absorption: f64, glazed_sides: f64) -> f64 {
    wall_m * body_kg_per_m3 * absorption / (RHO_WATER * glazed_sides)
}

/// Raw cake of a dip, m, each dip and dry gap counted.
///
/// One dip: `L = sqrt(K(G) t)`, the square-root-of-time law of slip casting (Adcock & McDowall, 1957), stopped at
/// `L_max = cap/r(G)` when the body is full. A next dip starts from the water that the last one left after the dry gap, as if
/// that water had just gone in: with no gap it goes on where the last one stopped, bone dry it starts anew (derived).
///
/// # Errors
/// As [`cake_k_m2_per_s`]; [`PhysicsError::OutOfBounds`] for dips (1–20), seconds (0.05–600), wall (1–60 mm), body density
/// (1000–3500), absorption (0–0.4), glazed sides (1–2), dry gap (0–1).
pub fn dip_raw_m(dip: &DipParams) -> Result<f64, PhysicsError> {
    Ok(dip_cake(dip, 0)?.0)
}

/// What dips lay down, and how it hangs on the bucket.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DipLayer {
    /// Dry mass, kg/m².
    pub kg_per_m2: f64,
    /// d ln m/d G; 0 where nothing was laid down (a body that takes no water).
    pub ln_per_sg: f64,
}

/// Dry mass of dips that follow on `dips_before` others, whose water is in the body already (taken as dips in the same bucket).
///
/// # Errors
/// As [`dip_raw_m`]; [`PhysicsError::OutOfBounds`] for more than 200 dips before.
pub fn dip_layer(dip: &DipParams, dips_before: u32) -> Result<DipLayer, PhysicsError> {
    let (raw, raw_per_r) = dip_cake(dip, dips_before)?;
    // dr/dG = −(r + 1)/(G − 1)
    let r_per_sg = -(water_per_cake(dip.sg, dip.dry_density, dip.packing) + 1.0) / (dip.sg - 1.0);
    Ok(DipLayer {
        kg_per_m2: raw * dip.packing * dip.dry_density * RHO_WATER,
        ln_per_sg: if raw > 0.0 {
            raw_per_r * r_per_sg / raw
        } else {
            0.0
        },
    })
}

/// The cake of the dips after the first `before`, m, and its change per unit of r.
fn dip_cake(dip: &DipParams, before: u32) -> Result<(f64, f64), PhysicsError> {
    let k = cake_k_m2_per_s(dip.cake_k_m2_per_s, dip.sg, dip.dry_density, dip.packing)?;
    within("dips", f64::from(dip.dips), 1.0, 20.0)?;
    within("dips_before", f64::from(before), 0.0, 200.0)?;
    within("seconds", dip.seconds, 0.05, 600.0)?;
    within("wall_m", dip.wall_m, 1e-3, 60e-3)?;
    within("body_kg_per_m3", dip.body_kg_per_m3, 1000.0, 3500.0)?;
    within("absorption", dip.absorption, 0.0, 0.4)?;
    within("glazed_sides", dip.glazed_sides, 1.0, 2.0)?;
    within("dry_gap", dip.dry_gap, 0.0, 1.0)?;
    let r = water_per_cake(dip.sg, dip.dry_density, dip.packing);
    let cap = body_water_m(
        dip.wall_m,
        dip.body_kg_per_m3,
        dip.absorption,
        dip.glazed_sides,
    );
    // Water in the body as a depth: a dip adds r² K t to its square, and K r is the same for every bucket.
    let drawn = r * k * dip.seconds;
    let (mut raw, mut raw_per_r) = (0.0, 0.0);
    let (mut water, mut water_per_r) = (0.0, 0.0);
    for nth in 0..before + dip.dips {
        let free = (water * water + r * drawn).sqrt();
        let (after, after_per_r) = if free < cap {
            (free, (water * water_per_r + drawn / 2.0) / free)
        } else {
            (cap, 0.0)
        };
        if nth >= before {
            raw += (after - water) / r;
            raw_per_r += (after_per_r - water_per_r) / r - (after - water) / (r * r);
        }
        water = after * (1.0 - dip.dry_gap);
        water_per_r = after_per_r * (1.0 - dip.dry_gap);
    }
    Ok((raw, raw_per_r))
}

/// Dry mass of dips, kg/m²: the cake of [`dip_raw_m`] at its packing.
///
/// # Errors
/// As [`dip_raw_m`].
pub fn dip_kg_per_m2(dip: &DipParams) -> Result<f64, PhysicsError> {
    Ok(dip_layer(dip, 0)?.kg_per_m2)
}

/// Dry mass of sprayed passes of `raw_m` each, kg/m². Unchecked.
#[inline]
pub fn spray_kg_per_m2(passes: f64, raw_m: f64, dry_density: f64, packing: f64) -> f64 {
    passes * raw_m * packing * dry_density * RHO_WATER
}

/// Dry mass by weighing a tile before and after, both times dry, kg/m².
///
/// # Errors
/// [`PhysicsError::OutOfBounds`]: an area outside 1 cm² – 10 m², a gain below 0 or above 10 kg.
pub fn weigh_in_kg_per_m2(gained_kg: f64, area_m2: f64) -> Result<f64, PhysicsError> {
    within("area_m2", area_m2, 1e-4, 10.0)?;
    within("gained_kg", gained_kg, 0.0, 10.0)?;
    Ok(gained_kg / area_m2)
}

/// Thickness of the raw dry layer, m: `m/(rho_dry P)`. Unchecked.
#[inline]
pub fn raw_m(mass_kg_per_m2: f64, dry_density: f64, packing: f64) -> f64 {
    mass_kg_per_m2 / (dry_density * RHO_WATER * packing)
}

/// Thickness of the fired layer before it moves, m: `m (1 − LOI)/(rho_fired (1 − b))`. Unchecked.
#[inline]
pub fn fired_m(mass_kg_per_m2: f64, loi: f64) -> f64 {
    mass_kg_per_m2 * (1.0 - loi) / (RHO_FIRED * (1.0 - BUBBLES))
}

/// Thickness of the bubbly melt, m, which is what flows: `m (1 − LOI)/(rho_melt (1 − b))`. Unchecked.
#[inline]
pub fn melt_m(mass_kg_per_m2: f64, loi: f64) -> f64 {
    mass_kg_per_m2 * (1.0 - loi) / RHO
}

/// Fired over melt thickness, after the flow as well: `rho_melt/rho_fired`, 0.959.
pub const FIRED_PER_MELT: f64 = RHO_MELT / RHO_FIRED;
