//! The physics, in the order in which the data flows; each room imports only what is above it.
//!
//! slurry → laydown → firing → melt → piece → film → tile → texture.
