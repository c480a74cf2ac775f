//! How a run comes to be written: rulers rounded to whole or half millimetres, edges that look stuck and are written down as nothing.
//!
//! Takes a reading in m with its error; gives variances, chances of being written as nothing, and where margins are wanted.

use super::super::data::RunRead;
use super::super::normal::{INV_SQRT_2PI, cdf, cdf_pdf};

/// Variance of rounding to whole millimetres, m² (uniform over a millimetre).
pub const ROUNDING_M2: f64 = 1e-6 / 12.0;
/// An edge that has run less than this looks as if it had not moved, m.
pub const LOOKS_STUCK_M: f64 = 0.5e-3;
/// A ruler reading below this is nothing, m; who writes whole millimetres writes nothing below [`LOOKS_STUCK_M`].
pub const READ_AS_NOTHING_M: f64 = 0.25e-3;
/// Readings that are written as nothing are about so many mm wide, in the mean of both kinds of writer.
pub const NOTHING_MM: f64 = 0.375;
/// Who does not round to whole millimetres writes halves, of which this share is whole.
pub const HALVES: f64 = 0.5;

/// Chances that a ruler's reading is written as nothing: by who writes whole millimetres, by who writes halves.
#[derive(Clone, Copy, Debug)]
pub struct Nothing([f64; 2]);

impl Nothing {
    /// For a reading error: of an edge that looks stuck, and of one that has run further, by up to the error: mean over runs that are all alike there, the few beyond counted.
    pub fn of(error_m: f64) -> [Self; 2] {
        let halves = READ_AS_NOTHING_M / error_m;
        let (p, density) = cdf_pdf(-halves);
        // ∫ Φ((limit − run)/error) d run from where an edge looks stuck, over the error.
        [
            Self([cdf(LOOKS_STUCK_M / error_m), 1.0 - p]),
            Self([INV_SQRT_2PI, density - halves * p]),
        ]
    }

    /// At a share of writers of whole millimetres.
    pub fn at(self, whole_mm: f64) -> f64 {
        whole_mm * self.0[0] + (1.0 - whole_mm) * self.0[1]
    }

    /// Its slope by that share.
    pub fn slope(self) -> f64 {
        self.0[0] - self.0[1]
    }
}

/// Variance of a reading, m²: its error's, and that of rounding where it is whole.
pub fn error_m2(error_m: f64, whole: bool) -> f64 {
    error_m * error_m + if whole { ROUNDING_M2 } else { 0.0 }
}

/// Where the margins of a reading are wanted: at its run or upper end, and at its lower end or where an edge looks stuck.
pub fn wanted(read: &RunRead) -> (f64, Option<f64>) {
    match *read {
        RunRead::Ruler {
            run_m,
            error_m,
            whole,
        } => {
            if run_m < READ_AS_NOTHING_M {
                return (LOOKS_STUCK_M + error_m, Some(LOOKS_STUCK_M));
            }
            let near = run_m * run_m < 20.0 * error_m2(error_m, whole);
            (run_m.max(LOOKS_STUCK_M), near.then_some(LOOKS_STUCK_M))
        }
        RunRead::Between {
            least_m, most_m, ..
        } => {
            let lower = (least_m > 0.0).then_some(least_m);
            (if most_m.is_finite() { most_m } else { least_m }, lower)
        }
    }
}
