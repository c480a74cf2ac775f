//! What can be wrong with a piece.
//!
//! Takes nothing; data with each kind of refusal, and its words for a potter.

use std::fmt;

use crate::digits::Fixed;

/// Why a profile cannot be made.
#[derive(Clone, Debug, PartialEq)]
pub enum PieceError {
    /// A measure lies outside what can be made, or does not fit the others.
    Measure {
        /// Which measure.
        what: &'static str,
        /// Its value, m.
        value_m: f64,
        /// At least, m.
        least_m: f64,
        /// At most, m.
        most_m: f64,
    },
    /// An angle lies outside what can be made.
    Angle {
        /// Which angle.
        what: &'static str,
        /// Its value, degrees.
        value_deg: f64,
        /// At least, degrees.
        least_deg: f64,
        /// At most, degrees.
        most_deg: f64,
    },
    /// The profile bends more tightly than [`super::LEAST_RADIUS_M`].
    TooTight {
        /// Arc length from the profile's start, m.
        s_m: f64,
        /// Height of the place, m.
        z_m: f64,
        /// Radius there, m.
        radius_m: f64,
    },
    /// The inside and the outside do not leave a wall between them.
    NoRoomInside {
        /// Height of the place, m.
        z_m: f64,
    },
    /// The profile crosses its axis.
    CrossesAxis {
        /// Arc length from the profile's start, m.
        s_m: f64,
    },
    /// Too few or too many points or pieces.
    Count {
        /// Of what.
        what: &'static str,
        /// How many there are.
        count: usize,
        /// At least.
        least: usize,
        /// At most.
        most: usize,
    },
}

impl fmt::Display for PieceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Measure {
                what,
                value_m,
                least_m,
                most_m,
            } => write!(
                f,
                "{what} is {} mm; with the other measures it must lie between {} and {} mm.",
                Fixed(value_m * 1e3, 1),
                Fixed(least_m * 1e3, 1),
                Fixed(most_m * 1e3, 1)
            ),
            Self::Angle {
                what,
                value_deg,
                least_deg,
                most_deg,
            } => {
                write!(
                    f,
                    "{what} is {}°; it must lie between {}° and {}°.",
                    Fixed(value_deg, 1),
                    Fixed(least_deg, 1),
                    Fixed(most_deg, 1)
                )
            }
            Self::TooTight { s_m, z_m, radius_m } => write!(
                f,
                "the profile bends with a radius of {} mm, {} mm from its start ({} mm above the shelf); \
                 glaze needs at least 0.5 mm: move the points apart, or make the wall thinner there.",
                Fixed(radius_m * 1e3, 2),
                Fixed(s_m * 1e3, 1),
                Fixed(z_m * 1e3, 1)
            ),
            Self::NoRoomInside { z_m } => write!(
                f,
                "the wall leaves no room inside, {} mm above the shelf: make the wall thinner or the form wider.",
                Fixed(z_m * 1e3, 1)
            ),
            Self::CrossesAxis { s_m } => write!(
                f,
                "the profile crosses the axis {} mm from its start: every place needs a radius above zero.",
                Fixed(s_m * 1e3, 1)
            ),
            Self::Count {
                what,
                count,
                least,
                most,
            } => {
                write!(
                    f,
                    "there are {count} {what}; between {least} and {most} are needed."
                )
            }
        }
    }
}

impl std::error::Error for PieceError {}
