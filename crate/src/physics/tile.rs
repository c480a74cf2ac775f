//! The run on a tile: the exact law of one film on a band, with what an edge on bare clay holds back.
//!
//! Takes a band (thickness, length, slope), a fluidity integral and the drained area that an edge retains; gives the
//! run, the thickness behind the front, the way back from a run to the fluidity, and the number of drips.

use super::constants::GRAVITY;
pub use super::constants::{CONTACT_RAD, GAMMA, RHO};
use super::root::cube_root;

/// Drained area that an edge on bare clay holds on a vertical wall, m², prior median:
/// `gamma (1 − cos contact)/(rho g)` at a contact angle of 25° is 1.41e-6 (judged).
pub const RETENTION_M2: f64 = 1.4e-6;
/// Natural-log sigma of the retention (judged).
pub const RETENTION_LN_SIGMA: f64 = 0.6;
/// Spacing of drips in capillary lengths (Troian, Herbolzheimer, Safran & Joanny 1989; from memory).
pub const DRIP_SPACING_IN_CAPILLARY_LENGTHS: f64 = 14.0;

/// A glazed band on a flat slope, its melt of one thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Melt thickness, m.
    pub h0_m: f64,
    /// Length down the slope, m.
    pub length_m: f64,
    /// Sine of the slope from horizontal: 1 for a standing tile.
    pub sin_slope: f64,
}

impl Band {
    /// `k = rho g sinθ/3`, Pa/m: the film's flux is `k h³` in fluidity time.
    #[inline]
    pub fn k(&self, rho: f64) -> f64 {
        rho * (GRAVITY / 3.0) * self.sin_slope
    }

    /// Melt volume per width, m².
    #[inline]
    pub fn volume_m2(&self) -> f64 {
        self.h0_m * self.length_m
    }

    /// Drained area held at its lower edge on bare clay, m²: that of a vertical wall over sinθ.
    #[inline]
    pub fn retained_m2(&self, retention_m2_vertical: f64) -> f64 {
        retention_m2_vertical / self.sin_slope
    }
}

/// Retention from surface tension, N/m, and contact angle, rad, on a vertical wall, m²: `gamma (1 − cos contact)/(rho g)`.
pub fn retention_m2(gamma: f64, contact_rad: f64, rho: f64) -> f64 {
    gamma * (1.0 - contact_rad.cos()) / (rho * GRAVITY)
}

/// Where the front of the film stands, m from the band's upper edge, with nothing held back.
///
/// Kinematic wave `h_t + (k h³)_x = 0` in fluidity time: the front moves `k h0² Phi` until that reaches half the length (the
/// thinning from the upper edge catches it), then `x_N = (27/4 h0² ℓ² k Phi)^(1/3)` (Jeffreys 1930; Huppert, Nature 300, 427, 1982). Exact for
/// gravity alone; surface tension is neglected.
#[inline]
pub fn front_m(band: &Band, phi_per_pa: f64, rho: f64) -> f64 {
    let kphi = band.k(rho) * phi_per_pa;
    let early = kphi * band.h0_m * band.h0_m;
    if early <= band.length_m / 2.0 {
        band.length_m + early
    } else {
        let v = band.volume_m2();
        cube_root(6.75 * v * v * kphi)
    }
}

/// Melt thickness at `x_m` from the band's upper edge, m: `min(h0, sqrt(x/(3 k Phi)))` down to the front, 0 past it.
pub fn thickness_behind_front_m(band: &Band, x_m: f64, phi_per_pa: f64, rho: f64) -> f64 {
    if !(x_m >= 0.0 && x_m <= front_m(band, phi_per_pa, rho)) {
        return 0.0;
    }
    let spread = 3.0 * band.k(rho) * phi_per_pa;
    // Written so that no fluidity at all divides nothing by nothing nowhere.
    if x_m >= spread * band.h0_m * band.h0_m {
        band.h0_m
    } else {
        (x_m / spread).sqrt()
    }
}

/// The run before it is cut off at zero, m: where the place beyond which the melt's volume per width equals what the edge holds lies
/// from the lower edge. Negative: the edge is not full yet. Smooth in everything but for one kink in its second derivative.
///
/// Law as in [`run_m`]. A flat tile (`sin_slope` 0) gives −`length_m`.
#[inline]
pub fn signed_run_m(band: &Band, phi_per_pa: f64, retention_m2_vertical: f64, rho: f64) -> f64 {
    let (h, l) = (band.h0_m, band.length_m);
    let held = band.retained_m2(retention_m2_vertical);
    let left = h * l - held;
    if left <= 0.0 {
        return -l;
    }
    let kphi = band.k(rho) * phi_per_pa;
    let early = kphi * h * h;
    if left >= 2.0 * h * early {
        early - held / h
    } else {
        cube_root(6.75 * left * left * kphi) - l
    }
}

/// Run of the visible edge, m, on bare clay: the place beyond which the melt's volume per width equals the area A that the edge holds.
///
/// `run = k h0² Phi − A/h0` while `A ≤ h0 (ℓ − 2 k h0² Phi)`, then `(27/4 (h0 ℓ − A)² k Phi)^(1/3) − ℓ`; 0 if `h0 ℓ ≤ A`; not below 0
/// (derived from [`front_m`]'s law). A is `retention_m2_vertical/sinθ`; 0 for an edge on another glaze. This is gravity's law: surface tension delays the start, so the
/// film is behind it by up to one [`capillary_length_m`].
#[inline]
pub fn run_m(band: &Band, phi_per_pa: f64, retention_m2_vertical: f64, rho: f64) -> f64 {
    signed_run_m(band, phi_per_pa, retention_m2_vertical, rho).max(0.0)
}

/// A run with its slopes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunSlopes {
    /// [`signed_run_m`], m.
    pub signed_run_m: f64,
    /// Change per natural log of the thickness, m.
    pub per_ln_h: f64,
    /// Change per natural log of the fluidity integral, m (2.3026 times as much per decade).
    pub per_ln_phi: f64,
    /// Change per natural log of the retention, m.
    pub per_ln_retention: f64,
}

/// [`signed_run_m`] with its slopes; where the run is cut off at 0 they are those of the law below it.
#[inline]
pub fn run_slopes(band: &Band, phi_per_pa: f64, retention_m2_vertical: f64, rho: f64) -> RunSlopes {
    let (h, l) = (band.h0_m, band.length_m);
    let held = band.retained_m2(retention_m2_vertical);
    let left = h * l - held;
    if left <= 0.0 {
        return RunSlopes {
            signed_run_m: -l,
            per_ln_h: 0.0,
            per_ln_phi: 0.0,
            per_ln_retention: 0.0,
        };
    }
    let kphi = band.k(rho) * phi_per_pa;
    let early = kphi * h * h;
    if left >= 2.0 * h * early {
        let short = held / h;
        RunSlopes {
            signed_run_m: early - short,
            per_ln_h: 2.0 * early + short,
            per_ln_phi: early,
            per_ln_retention: -short,
        }
    } else {
        let x = cube_root(6.75 * left * left * kphi);
        let third = x / 3.0;
        RunSlopes {
            signed_run_m: x - l,
            per_ln_h: 2.0 * third * h * l / left,
            per_ln_phi: third,
            per_ln_retention: -2.0 * third * held / left,
        }
    }
}

/// The fluidity integral that gives `run_m` (0 or more), 1/Pa; none where none does (the edge holds all the melt there is, or the tile lies flat).
///
/// The exact inverse of [`run_m`]: `(run + A/h0)/(k h0²)` while the edge is in the full thickness, else `4 (ℓ + run)³/(27 k (h0 ℓ − A)²)`.
#[inline]
pub fn phi_for_run(band: &Band, run_m: f64, retention_m2_vertical: f64, rho: f64) -> Option<f64> {
    phi_slopes(band, run_m, retention_m2_vertical, rho).map(|s| s.phi_per_pa)
}

/// The fluidity integral of a run with its slopes at that run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhiSlopes {
    /// Fluidity integral, 1/Pa.
    pub phi_per_pa: f64,
    /// d ln Phi/d run, 1/m.
    pub ln_per_run_m: f64,
    /// d ln Phi/d ln h0.
    pub ln_per_ln_h: f64,
    /// d ln Phi/d ln retention.
    pub ln_per_ln_retention: f64,
}

/// [`phi_for_run`] with its slopes: what a reading says of the fluidity and how that hangs on thickness and retention.
#[inline]
pub fn phi_slopes(
    band: &Band,
    run_m: f64,
    retention_m2_vertical: f64,
    rho: f64,
) -> Option<PhiSlopes> {
    let (h, l) = (band.h0_m, band.length_m);
    let k = band.k(rho);
    let held = band.retained_m2(retention_m2_vertical);
    let left = h * l - held;
    if !(left > 0.0 && k > 0.0) {
        return None;
    }
    let short = held / h;
    let gone = run_m + short;
    Some(if left >= 2.0 * h * gone {
        // A run of 0 with nothing held needs no fluidity, and then the slopes of a log have no meaning: they are 0.
        let per = if gone > 0.0 { 1.0 / gone } else { 0.0 };
        PhiSlopes {
            phi_per_pa: gone / (k * h * h),
            ln_per_run_m: per,
            ln_per_ln_h: -2.0 - short * per,
            ln_per_ln_retention: short * per,
        }
    } else {
        let x = l + run_m;
        PhiSlopes {
            phi_per_pa: x * x * x / (6.75 * k * left * left),
            ln_per_run_m: 3.0 / x,
            ln_per_ln_h: -2.0 * h * l / left,
            ln_per_ln_retention: 2.0 * held / left,
        }
    })
}

/// Fluidity integrals, 1/Pa, between which the run lies between `least_m` and `most_m`; none stands for an open end. `None` altogether where
/// no fluidity makes the band run.
pub fn phi_interval(
    band: &Band,
    least_m: Option<f64>,
    most_m: Option<f64>,
    retention_m2_vertical: f64,
    rho: f64,
) -> Option<(Option<f64>, Option<f64>)> {
    let of = |run: Option<f64>| match run {
        Some(run) => phi_for_run(band, run, retention_m2_vertical, rho).map(Some),
        None => Some(None),
    };
    phi_for_run(band, 0.0, retention_m2_vertical, rho)?;
    Some((of(least_m)?, of(most_m)?))
}

/// Runs, m, between which the run lies while the fluidity integral lies between the two given, 1/Pa: the law only ever rises.
pub fn run_interval_m(
    band: &Band,
    phi_per_pa: (f64, f64),
    retention_m2_vertical: f64,
    rho: f64,
) -> (f64, f64) {
    (
        run_m(band, phi_per_pa.0, retention_m2_vertical, rho),
        run_m(band, phi_per_pa.1, retention_m2_vertical, rho),
    )
}

/// Capillary length of a film on a slope, m: `(gamma h/(rho g sinθ))^(1/3)`, about 2 mm.
#[inline]
pub fn capillary_length_m(gamma: f64, h_m: f64, rho: f64, sin_slope: f64) -> f64 {
    cube_root(gamma * h_m / (rho * GRAVITY * sin_slope))
}

/// Spacing of the drips below an edge, m: 14 capillary lengths at [`GAMMA`] and [`RHO`]
/// (Troian, Herbolzheimer, Safran & Joanny 1989; from memory).
#[inline]
pub fn drip_spacing_m(h_m: f64, sin_slope: f64) -> f64 {
    DRIP_SPACING_IN_CAPILLARY_LENGTHS * capillary_length_m(GAMMA, h_m, RHO, sin_slope)
}

/// How many drips a width or circumference has, at least 1: a real number, to be rounded by whoever counts them.
#[inline]
pub fn drip_count(width_m: f64, h_m: f64, sin_slope: f64) -> f64 {
    let spacing = drip_spacing_m(h_m, sin_slope);
    // A flat slope has an endless spacing, no film an endless number.
    if spacing > 0.0 {
        (width_m / spacing).max(1.0)
    } else {
        1.0
    }
}
