//! Glazefall's core: from coats of glaze to what comes out of the kiln.
//!
//! Knowledge flows one way: [`physics`] ← [`studio`] ← [`learn`] ← [`predict`] ← [`draw`] ← `wasm` ← the page.
//! Inside, everything is SI; a number that crosses a module's border carries its unit in its name.

pub mod draw;
pub mod learn;
pub mod order;
pub mod physics;
pub mod predict;
pub mod studio;
pub mod wasm;
