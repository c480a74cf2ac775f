//! What can stop a solve.
//!
//! Takes nothing; data with each kind of failure, and its words for a potter.

use std::fmt;

use crate::digits::{Fixed, Plain};

/// Why a film case has no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum FilmError {
    /// A number of the case lies outside what the solver is made for.
    OutOfBounds {
        /// Which one, with its unit.
        what: &'static str,
        /// Its value.
        value: f64,
        /// At least.
        least: f64,
        /// At most.
        most: f64,
    },
    /// No layer has any thickness.
    NothingLaidDown,
    /// Nowhere does more lie than the precursor, which is what bare clay has.
    WithinPrecursor {
        /// What was laid down where it lies thickest, m.
        laid_m: f64,
        /// The precursor, m.
        precursor_m: f64,
    },
    /// The thickness was not positive where it must be.
    NotPositive {
        /// How far the solve had come, 1/Pa.
        phi_per_pa: f64,
    },
    /// The step size fell to nothing.
    Stalled {
        /// How far the solve had come, 1/Pa.
        phi_per_pa: f64,
    },
    /// The work limit was reached.
    TooMuchWork {
        /// Steps taken.
        steps: usize,
        /// How far the solve had come, 1/Pa.
        phi_per_pa: f64,
        /// How far it was to go, 1/Pa.
        wanted_per_pa: f64,
    },
}

impl fmt::Display for FilmError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfBounds {
                what,
                value,
                least,
                most,
            } => {
                write!(
                    f,
                    "{what} is {}; it must lie between {} and {}.",
                    Plain(*value),
                    Plain(*least),
                    Plain(*most)
                )
            }
            Self::NothingLaidDown => f.write_str(
                "no layer has any thickness: give at least one layer a thickness and a zone.",
            ),
            Self::WithinPrecursor {
                laid_m,
                precursor_m,
            } => write!(
                f,
                "the layers lie at most {} m thick, no more than the precursor of {} m that bare clay has: such a film does not run. \
                 Lay down more, or take a thinner precursor_m.",
                Plain(*laid_m),
                Plain(*precursor_m)
            ),
            Self::NotPositive { phi_per_pa } => {
                write!(
                    f,
                    "the film came out empty somewhere after {} 1/Pa: try a coarser accuracy or smoother layers.",
                    Fixed(*phi_per_pa, 3)
                )
            }
            Self::Stalled { phi_per_pa } => {
                write!(
                    f,
                    "the film could not be followed past {} 1/Pa: try a coarser accuracy or smoother layers.",
                    Fixed(*phi_per_pa, 3)
                )
            }
            Self::TooMuchWork {
                steps,
                phi_per_pa,
                wanted_per_pa,
            } => write!(
                f,
                "the work limit was reached after {steps} steps at {} of {} 1/Pa: try a coarser accuracy.",
                Fixed(*phi_per_pa, 3),
                Fixed(*wanted_per_pa, 3)
            ),
        }
    }
}

impl std::error::Error for FilmError {}
