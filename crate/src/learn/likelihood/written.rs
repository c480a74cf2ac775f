//! How a run comes to be written: rulers rounded to whole or half millimetres, edges that look stuck and are written down as nothing.
//!
//! Takes a reading in m with its error; gives variances, chances of being written as nothing, and where margins are wanted.

use super::super::data::RunRead;
use super::super::normal::{INV_SQRT_2PI, cdf, cdf_pdf};
use crate::real::Pair;

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
    pub fn at(self, whole_mm: Pair) -> Pair {
        whole_mm * self.0[0] + (1.0 - whole_mm) * self.0[1]
    }

    /// Its slope by that share.
    pub fn slope(self) -> f64 {
        self.0[0] - self.0[1]
    }
}

/// What was read, as the likelihood asks for it.
#[derive(Clone, Copy, Debug)]
pub enum Reading {
    /// A ruler's nothing.
    Nothing {
        /// As [`Nothing::of`].
        nothing: [Nothing; 2],
    },
    /// A ruler's run.
    Ruler {
        /// Variance of the reading, m².
        error_m2: f64,
        /// Share of its error that lies beyond where an edge looks stuck, per mm: what reaches down there is counted there.
        seen: f64,
        /// Density of such a reading of an edge that looks stuck, per mm and per share of those not written by word; 0 where it is too long for that.
        stuck: f64,
        /// Whether it is whole millimetres.
        whole: bool,
    },
    /// A run between two.
    Between {
        /// Whether it has an upper end.
        ended: bool,
        /// Whether it has a lower one.
        from: bool,
        /// The word "did not move".
        stuck: bool,
    },
}

impl Reading {
    /// Of a run as read, in a log of which a share `words` of the edges that moved but not to the end is said in a word. That share is no unknown: each chance is
    /// counted per it or per the rest, a stuck edge's ruler with them.
    pub fn of(read: &RunRead, words: f64) -> Self {
        let lower = wanted(read).1.is_some();
        match *read {
            RunRead::Ruler { run_m, error_m, .. } if run_m < READ_AS_NOTHING_M => Self::Nothing {
                nothing: Nothing::of(error_m),
            },
            RunRead::Ruler {
                run_m,
                error_m,
                whole,
            } => {
                let error_m2 = error_m2(error_m, whole);
                let at_m = run_m.max(LOOKS_STUCK_M);
                // A ruler at an edge that looks stuck shows its error; below 0 nobody writes.
                let stuck = 1e-3 * INV_SQRT_2PI * (-0.5 * run_m * run_m / error_m2).exp()
                    / error_m2.sqrt()
                    / (1.0 - words);
                Self::Ruler {
                    error_m2,
                    seen: 1e-3 * cdf((at_m - LOOKS_STUCK_M) / error_m2.sqrt()),
                    stuck: if lower { stuck } else { 0.0 },
                    whole,
                }
            }
            RunRead::Between { most_m, stuck, .. } => Self::Between {
                ended: most_m.is_finite(),
                from: lower,
                stuck,
            },
        }
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
