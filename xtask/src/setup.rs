//! What a machine needs beyond rustup's Rust, node and npm.
//!
//! Takes the machine as it is; installs what may be installed, says what it does, and otherwise says in one
//! sentence what a person has to do.

pub mod chromium;
pub mod npm;
pub mod wasm_target;
