//! One solve of the bench's jar as a bare wasm module, so that it can be timed outside a page: built and run by `cargo xtask bench`.

#![allow(unsafe_code)] // A bare export has no other way of keeping its name.

use glazefall::physics::film;
use std::sync::OnceLock;

#[path = "../benches/film/cases.rs"]
mod cases;

/// Run of the jar's edge, m, at an accuracy; not a number where there is no answer.
#[unsafe(no_mangle)]
pub extern "C" fn jar_run_m(accuracy: f64) -> f64 {
    static JAR: OnceLock<Option<cases::Fixed>> = OnceLock::new();
    JAR.get_or_init(|| cases::jar().ok())
        .as_ref()
        .and_then(|jar| film::solve(&jar.case(), &jar.phis, accuracy).ok()?.run_m(0))
        .unwrap_or(f64::NAN)
}
