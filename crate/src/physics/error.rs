//! What the physics refuses, with the numbers that made it refuse.
//!
//! Takes nothing; gives one enum with data. Words for a potter are made at the edge; `Display` here is for developers.

use crate::digits::Plain;

/// A quantity outside what the physics can answer.
#[derive(Clone, Debug, PartialEq)]
pub enum PhysicsError {
    /// A number outside its bounds, or not a number at all.
    OutOfBounds {
        /// The argument or field, its unit in the name.
        field: &'static str,
        /// What it was.
        value: f64,
        /// Least that is allowed.
        least: f64,
        /// Most that is allowed.
        most: f64,
    },
    /// The slurry holds so much solid that a dip has no filter cake to tell it from: its solids fraction is near the packing of the dry layer.
    SlurryTooThickToDip {
        /// Specific gravity.
        sg: f64,
        /// Specific gravity up to which the law is used.
        limit_sg: f64,
    },
    /// A cone that the chart does not have.
    UnknownCone {
        /// As it was written.
        cone: String,
    },
    /// A schedule without a segment.
    EmptySchedule,
    /// One number of a schedule's segment is out of bounds.
    Segment {
        /// Which one, from 0.
        index: usize,
        /// The field, its unit in the name.
        field: &'static str,
        /// What it was.
        value: f64,
        /// Least that is allowed.
        least: f64,
        /// Most that is allowed.
        most: f64,
    },
    /// The firing never reaches the temperature at which the glaze seals over, so nothing flows.
    NeverSeals {
        /// Highest temperature of the schedule, K.
        peak_k: f64,
        /// Temperature at which the glaze has sealed over, K.
        seal_k: f64,
    },
    /// Measured viscosities through which no falling curve passes.
    ViscosityPoints {
        /// How many there were.
        count: usize,
        /// What is wrong with them.
        why: PointsWrong,
    },
    /// The oxide analysis has too much of what the composition model does not know.
    UnsupportedOxides {
        /// The largest of them.
        oxide: &'static str,
        /// All of them together, weight percent of the whole.
        weight_percent: f64,
        /// Most that is left out without refusing, weight percent.
        limit: f64,
    },
    /// The oxide analysis has no silica, or nothing at all.
    NoGlass {
        /// Silica, weight percent of the oxides that the model knows.
        sio2_weight_percent: f64,
        /// Least silica, weight percent.
        least: f64,
    },
}

/// What is wrong with measured viscosities.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PointsWrong {
    /// None, or more than three.
    Count,
    /// Two at the same temperature.
    SameTemperature,
    /// Viscosity does not fall as temperature rises.
    NotFalling,
    /// Viscosity falls by more than 20 decades per 100 K, as no melt's does.
    TooSteep,
    /// Three points that bend the wrong way for a Vogel–Fulcher–Tammann curve (it falls less steeply the hotter it gets).
    BendsTheWrongWay,
}

impl std::fmt::Display for PhysicsError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutOfBounds {
                field,
                value,
                least,
                most,
            } => {
                write!(
                    f,
                    "{field} is {}, outside {} to {}",
                    Plain(*value),
                    Plain(*least),
                    Plain(*most)
                )
            }
            Self::SlurryTooThickToDip { sg, limit_sg } => {
                write!(
                    f,
                    "sg {} is too thick to dip: the dip law holds up to {}",
                    Plain(*sg),
                    Plain(*limit_sg)
                )
            }
            Self::UnknownCone { cone } => write!(f, "cone {cone} is not on the chart"),
            Self::EmptySchedule => write!(f, "the schedule has no segment"),
            Self::Segment {
                index,
                field,
                value,
                least,
                most,
            } => {
                write!(
                    f,
                    "segment {index}: {field} is {}, outside {} to {}",
                    Plain(*value),
                    Plain(*least),
                    Plain(*most)
                )
            }
            Self::NeverSeals { peak_k, seal_k } => {
                write!(
                    f,
                    "the peak, {} K, is below {} K, where the glaze seals over",
                    Plain(*peak_k),
                    Plain(*seal_k)
                )
            }
            Self::ViscosityPoints { count, why } => write!(f, "{count} viscosity points: {why:?}"),
            Self::UnsupportedOxides {
                oxide,
                weight_percent,
                limit,
            } => {
                write!(
                    f,
                    "{} % of oxides unknown to the model ({oxide} first), limit {} %",
                    Plain(*weight_percent),
                    Plain(*limit)
                )
            }
            Self::NoGlass {
                sio2_weight_percent,
                least,
            } => {
                write!(
                    f,
                    "silica is {} %, least {} %",
                    Plain(*sio2_weight_percent),
                    Plain(*least)
                )
            }
        }
    }
}

impl std::error::Error for PhysicsError {}

/// `value` if it lies within `least..=most`; not-a-number never does.
///
/// # Errors
/// [`PhysicsError::OutOfBounds`] with the field, the value and the bounds.
pub fn within(field: &'static str, value: f64, least: f64, most: f64) -> Result<f64, PhysicsError> {
    if value >= least && value <= most {
        Ok(value)
    } else {
        Err(PhysicsError::OutOfBounds {
            field,
            value,
            least,
            most,
        })
    }
}
