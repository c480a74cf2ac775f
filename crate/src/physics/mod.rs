//! The physics, in the order in which the data flows; each room imports only what is above it.
//!
//! slurry → laydown → firing → composition → melt → piece → film → tile → texture.

pub mod composition;
pub mod constants;
pub mod error;
pub mod film;
pub mod film_band;
pub mod firing;
pub mod laydown;
pub mod melt;
pub mod piece;
pub mod root;
pub mod slurry;
pub mod texture;
pub mod tile;

pub use error::PhysicsError;
