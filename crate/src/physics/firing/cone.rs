//! Cones: the temperature at which each has bent, by the rate at which it got there.
//!
//! Takes a cone's name and a rate; gives its end point from one published chart. Charts differ (an older one has cone 6 at 1222 °C
//! when heated at 150 °C/h): they are never mixed.

use super::super::constants::ZERO_CELSIUS_K;
use super::super::error::{PhysicsError, within};

/// Slowest rate taken, K/s: 10 °C/h.
pub const CONE_RATE_LEAST_K_PER_S: f64 = 10.0 / 3600.0;
/// Fastest rate taken, K/s: 250 °C/h.
pub const CONE_RATE_MOST_K_PER_S: f64 = 250.0 / 3600.0;

/// Rates of the chart's columns, °C/h: over the last hundred degrees or so.
const RATES_C_PER_H: [f64; 3] = [15.0, 60.0, 150.0];

/// End points of self-supporting cones, °C, at 15, 60 and 150 °C/h: the published end-point chart, converted from °F. The columns of 60 and 150 are
/// as published; that of 15 is from memory, and only its cone 6 is checked (by the ratio of the work done, 2.1 times).
pub const CONES: [(&str, [f64; 3]); 8] = [
    ("06", [981.0, 998.0, 1013.0]),
    ("04", [1046.0, 1063.0, 1077.0]),
    ("5", [1159.0, 1186.0, 1207.0]),
    ("6", [1185.0, 1222.0, 1243.0]),
    ("7", [1201.0, 1239.0, 1257.0]),
    ("8", [1211.0, 1249.0, 1271.0]),
    ("9", [1224.0, 1260.0, 1280.0]),
    ("10", [1251.0, 1285.0, 1305.0]),
];

/// End point of `cone` heated at `rate_k_per_s`, K.
///
/// Between the chart's rates straight in the log of the rate; from 15 down to 10 and from 150 up to 250 °C/h the nearer line is drawn out
/// (an extrapolation, good to about 10 °C).
///
/// # Errors
/// [`PhysicsError::UnknownCone`]; [`PhysicsError::OutOfBounds`] for a rate outside 10–250 °C/h: enter the schedule by segments then.
pub fn cone_k(cone: &str, rate_k_per_s: f64) -> Result<f64, PhysicsError> {
    let Some((_, ends_c)) = CONES.iter().find(|(name, _)| *name == cone) else {
        return Err(PhysicsError::UnknownCone {
            cone: cone.to_owned(),
        });
    };
    within(
        "rate_k_per_s",
        rate_k_per_s,
        CONE_RATE_LEAST_K_PER_S,
        CONE_RATE_MOST_K_PER_S,
    )?;
    let rate = rate_k_per_s * 3600.0;
    let i = usize::from(rate > RATES_C_PER_H[1]);
    let along = (rate / RATES_C_PER_H[i]).ln() / (RATES_C_PER_H[i + 1] / RATES_C_PER_H[i]).ln();
    Ok(ends_c[i] + (ends_c[i + 1] - ends_c[i]) * along + ZERO_CELSIUS_K)
}
