//! What stands on the shelf: melt that ran past the foot, the pool it makes, the cookie that catches it.
//!
//! Takes how much melt passed the foot (m² per width of the foot) and the foot's radius (m); gives widths in m.

use crate::physics::constants::GRAVITY;
use crate::physics::tile::{CONTACT_RAD, GAMMA, RHO};
use core::f64::consts::PI;

/// Shelf left bare all round a pool, m (practice).
const MARGIN_M: f64 = 10e-3;
/// A pool at least this wide stands on the shelf; less hangs in the angle below the foot, m (judged).
pub const POOL_LEAST_M: f64 = 1e-3;

/// What a piece stands on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stand {
    /// A round foot of this radius, m.
    Foot(f64),
    /// A straight edge of this width, m.
    Edge(f64),
}

/// Height of a pool of melt at rest, m: `2 sqrt(gamma/(rho g)) sin(contact/2)`, the puddle of a large drop.
pub fn pool_height_m() -> f64 {
    2.0 * (GAMMA / (RHO * GRAVITY)).sqrt() * (0.5 * CONTACT_RAD).sin()
}

/// Width of the ring of melt round the foot, m, from the melt past it per width of its edge, m²:
/// `V = π((R + w)² − R²) h_p`.
pub fn pool_width_m(past_m2: f64, stand: Stand) -> f64 {
    let past = past_m2.max(0.0) / pool_height_m();
    match stand {
        // V = 2πR · past.
        Stand::Foot(r) if r > 0.0 => (r * r + 2.0 * r * past).sqrt() - r,
        Stand::Foot(_) => (past / PI).sqrt(),
        Stand::Edge(_) => past,
    }
}

/// Diameter of the cookie under a pool of this width, mm, in whole mm: foot, pool and 10 mm all round.
pub fn cookie_mm(pool_m: f64, stand: Stand) -> f64 {
    let across = match stand {
        Stand::Foot(r) => 2.0 * r,
        Stand::Edge(width) => width,
    };
    // A nanometre off, so that rounding does not make a whole millimetre more.
    ((across + 2.0 * (pool_m + MARGIN_M)) * 1e3 - 1e-6).ceil()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed with the formula: 1.7 mm at gamma 0.33 N/m and 25°, two digits.
    #[test]
    fn pool_height() {
        assert!(
            (pool_height_m() * 1e3 - 1.7).abs() < 0.05,
            "{}",
            pool_height_m()
        );
    }

    /// The ring's volume comes back: π((R + w)² − R²) h_p = 2πR · past.
    #[test]
    fn pool_holds_the_melt_that_passed() {
        let (r, past) = (0.035, 4e-6);
        let w = pool_width_m(past, Stand::Foot(r));
        let volume = PI * ((r + w) * (r + w) - r * r) * pool_height_m();
        assert!((volume / (2.0 * PI * r * past) - 1.0).abs() < 1e-12);
        assert_eq!(pool_width_m(0.0, Stand::Foot(r)), 0.0);
        assert_eq!(cookie_mm(0.0, Stand::Foot(0.035)), 90.0);
    }
}
