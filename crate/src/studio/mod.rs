//! The saved document of a studio: what is in it, what may be in it, and what its entries mean to the physics.
//!
//! Takes JSON (or CSV) as people write it; gives a checked [`document::Studio`] and, for every plan or logged
//! piece, the numbers that the forward model needs.

pub mod any;
pub mod bounds;
pub mod case;
pub mod check;
pub mod codes;
pub mod csv;
pub mod decimal;
pub mod document;
pub mod edit;
mod empty;
pub mod error;
pub mod file;
pub mod json;
pub mod merge;
pub mod outline;
pub mod place;
pub mod reading;
pub mod walk;
