//! The firing: all of its work on a run in one number, the fluidity integral Phi = ∫ dt/eta(T(t)), 1/Pa.
//!
//! Takes a schedule (ramps, holds, cooling; or a cone reached at a rate) and how viscosity falls with temperature;
//! gives Phi or its shift from the reference firing, prior medians and spreads, and the moment at which a share is spent.

mod clock;
mod cone;
mod schedule;
mod viscosity;

pub use clock::{FiringClock, Moment, Trend, temperature_at_share};
pub use cone::{CONE_RATE_LEAST_K_PER_S, CONE_RATE_MOST_K_PER_S, CONES, cone_k};
pub use schedule::{Leg, Schedule, Segment};
pub use viscosity::{Vft, Viscosity};

use super::constants::ZERO_CELSIUS_K;
use super::error::{PhysicsError, within};
use std::f64::consts::LN_10;

/// Peak of the reference firing, K: 1222 °C, cone 6 reached at 60 °C/h.
pub const REFERENCE_PEAK_K: f64 = 1222.0 + ZERO_CELSIUS_K;
/// Rate at which the reference firing reaches it, K/s: 60 °C/h.
pub const REFERENCE_RATE_K_PER_S: f64 = 60.0 / 3600.0;
/// How fast log10 viscosity falls with temperature near the peak, decades per 100 K (judged; 0.5–1.0).
pub const SLOPE_DECADES_PER_100K: f64 = 0.75;
/// Temperature from which a glaze has sealed over and flows as a film, K: 900 °C (judged). It matters little: with the slope
/// above, all that a firing to 1222 °C does below it is 0.4 % of its work.
pub const SEAL_K: f64 = 900.0 + ZERO_CELSIUS_K;
/// Effective time at the peak where no schedule is given, s (judged).
pub const EFFECTIVE_SECONDS: f64 = 3000.0;
/// Natural-log sigma of that time (judged).
pub const EFFECTIVE_LN_SIGMA: f64 = 0.40;
/// Spread (sd) of temperature from shelf to shelf of one kiln, K (judged).
pub const SHELF_SIGMA_K: f64 = 8.0;
/// Spread (sd) of log10 Phi where a glaze's viscosity was measured, decades: another batch, another melt (judged).
pub const MEASURED_SD_DECADES: f64 = 0.20;
/// Prior sd of one firing's own effect, decades (judged).
pub const FIRING_SD_DECADES: f64 = 0.15;

/// How a glaze is said to flow where nothing was logged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GlazeStiffness {
    /// log10 eta 4.2.
    Stiff,
    /// log10 eta 3.3.
    Medium,
    /// log10 eta 1.9.
    Fluid,
    /// log10 eta 3.0, twice the spread.
    NotKnown,
}

/// Prior of log10 viscosity at the peak of the reference firing, log10(Pa s): mean and sd (judged).
///
/// Much of the literature uses poise or dPa s: subtract 1 from its log.
pub const fn prior_log10_eta(kind: GlazeStiffness) -> (f64, f64) {
    match kind {
        GlazeStiffness::Stiff => (4.2, 0.35),
        GlazeStiffness::Medium => (3.3, 0.35),
        GlazeStiffness::Fluid => (1.9, 0.35),
        GlazeStiffness::NotKnown => (3.0, 0.70),
    }
}

/// Prior of log10 Phi at the reference firing, log10(1/Pa): mean and sd (judged).
///
/// Over [`EFFECTIVE_SECONDS`] at the peak: medians 0.19, 1.5, 38 1/Pa stiff, medium, fluid. (The reference ramp's own integral, 3460 s, is 0.06
/// decades more; that lies far within the spread, and the shift of a schedule is counted from the ramp.)
pub fn prior_log10_phi(kind: GlazeStiffness) -> (f64, f64) {
    let (eta, sd) = prior_log10_eta(kind);
    (EFFECTIVE_SECONDS.log10() - eta, sd)
}

/// What measured viscosities say of log10 Phi at the reference firing, log10(1/Pa): mean and sd.
///
/// # Errors
/// As [`Viscosity::phi_per_pa`].
pub fn measured_log10_phi(viscosity: &Viscosity) -> Result<(f64, f64), PhysicsError> {
    let phi = viscosity.phi_per_pa(&Schedule::reference(), SEAL_K)?;
    Ok((phi.log10(), MEASURED_SD_DECADES))
}

/// A prior narrowed by what else is known, both as mean and sd: normal densities multiplied (weights 1/sd²; any textbook).
pub fn narrowed(prior: (f64, f64), known: (f64, f64)) -> (f64, f64) {
    let (a, b) = (prior.1.powi(-2), known.1.powi(-2));
    (
        (a * prior.0 + b * known.0) / (a + b),
        (a + b).sqrt().recip(),
    )
}

/// Spread (sd) of a shelf's effect, decades: `s · 8 °C/100 °C`.
pub fn shelf_sd_decades(slope_decades_per_100k: f64) -> f64 {
    slope_decades_per_100k * SHELF_SIGMA_K / 100.0
}

/// Relative fluidity at `temperature_k` where that of the reference peak is 1: `10^(s (T − 1222 °C)/100)`.
pub fn relative_fluidity(temperature_k: f64, slope_decades_per_100k: f64) -> f64 {
    (LN_10 * slope_decades_per_100k * (temperature_k - REFERENCE_PEAK_K) / 100.0).exp()
}

/// Time at the reference peak that does the same work as the schedule, s: `∫ 10^(s (T − 1222 °C)/100) dt` from the moment the
/// glaze first reaches `seal_k` to the schedule's end; 0 where it never does.
///
/// Exact: each ramp and hold in closed form. A ramp up to 1222 °C counts `100/(s ln 10 · rate)`, 3474 s at 60 °C/h, less what lies below sealing. Only what the
/// schedule names is counted: cooling that nobody entered counts nothing (a kiln that falls 300 °C/h from the peak would add a fifth).
/// Valid within about 100 K of the peak, where one slope serves; fluidity further down is too small to matter.
pub fn equivalent_seconds(schedule: &Schedule, seal_k: f64, slope_decades_per_100k: f64) -> f64 {
    schedule
        .legs_from_sealing(seal_k)
        .iter()
        .map(|leg| leg.equivalent_seconds(slope_decades_per_100k))
        .sum()
}

/// How much more (or less) a schedule does than the reference firing, decades of Phi.
///
/// # Errors
/// [`PhysicsError::NeverSeals`] where the schedule stays below `seal_k`; [`PhysicsError::OutOfBounds`] for `seal_k` outside 500–1150 °C or a slope
/// outside 0–3 decades.
pub fn phi_shift_decades(
    schedule: &Schedule,
    seal_k: f64,
    slope_decades_per_100k: f64,
) -> Result<f64, PhysicsError> {
    check(seal_k, slope_decades_per_100k)?;
    let seconds = equivalent_seconds(schedule, seal_k, slope_decades_per_100k);
    if seconds <= 0.0 {
        return Err(PhysicsError::NeverSeals {
            peak_k: schedule.peak_k(),
            seal_k,
        });
    }
    let reference = equivalent_seconds(&Schedule::reference(), seal_k, slope_decades_per_100k);
    Ok((seconds / reference).log10())
}

fn check(seal_k: f64, slope_decades_per_100k: f64) -> Result<(), PhysicsError> {
    within(
        "seal_k",
        seal_k,
        500.0 + ZERO_CELSIUS_K,
        1150.0 + ZERO_CELSIUS_K,
    )?;
    within("slope_decades_per_100k", slope_decades_per_100k, 0.0, 3.0)?;
    Ok(())
}
