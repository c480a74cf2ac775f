//! How much of a texture is still there after the firing: lives with the physics, [`crate::physics::texture`].

pub use crate::physics::texture::*;
