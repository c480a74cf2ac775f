//! The piece: a smooth profile that glaze can lie on and run down.
//!
//! Takes the measures of a form (or points, or lines and arcs); gives arc length, radius, height, wall angle and
//! both curvatures at every place, the rim's crest, the foot, and the section of the clay.

mod curve;
mod error;
mod families;
mod parts;
mod profile;
mod section;
mod turned;

pub use error::PieceError;
pub use families::{Wall, bowl, jar, mug, plate, tile, turned_from_points, vase};
pub use parts::{Part, from_parts};
pub use profile::{LEAST_RADIUS_M, Place, Profile, SMOOTHED_M};
pub use section::Section;
