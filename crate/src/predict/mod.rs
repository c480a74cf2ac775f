//! What will come out of the kiln: a plan's outcome with its chances, coat charts, advice.
//!
//! Takes a checked studio, what its log has taught, and a plan; gives medians, bands, chances and sentences.

pub mod advice;
pub mod hangs_on;
pub mod normal;
pub mod outcome;
pub mod relief;
pub mod spread;
pub mod wave;
