//! Glazefall's core: from coats of glaze to what comes out of the kiln.
//!
//! Knowledge flows one way: [`physics`] ← [`studio`] ← [`learn`] ← [`predict`] ← [`draw`] ← `wasm` ← the page.
//! Inside, everything is SI; a number that crosses a module's border carries its unit in its name.

// The page's core is built for size (profile `page`); the few functions that most of its time is spent in ask for speed.
// That is an option which only the page's compiler run has switched on: everything else is built fast as it is.
#![cfg_attr(fast_by_function, feature(optimize_attribute))]

pub mod chacha;
mod digits;
pub mod draw;
pub mod learn;
pub mod order;
pub mod physics;
pub mod predict;
pub mod real;
pub mod studio;
pub mod wasm;
