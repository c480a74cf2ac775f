//! The core as the page loads it.
//!
//! Takes the core, compiled function by function for size; gives the module, optimised as a whole at another level: see the
//! profile `page` in the workspace's `Cargo.toml`. What the browser calls is exported by the core itself.

pub use glazefall::wasm;
