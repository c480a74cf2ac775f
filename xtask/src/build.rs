//! The page, built.
//!
//! Takes the core and the page's sources; gives `www/dist/site/` (served, installable) and `www/dist/glazefall.html`
//! (one file). What is up to date is not made again.

pub mod core;
mod inline;
mod near;
mod page;
mod pool;
pub mod site;
mod stamp;
pub mod types;

use anyhow::Result;

use crate::house::House;
use crate::setup;

/// Sets up what is missing and builds the served page.
pub fn site(house: &House) -> Result<()> {
    setup::npm::install(house)?;
    let wasm = core::build(house)?;
    site::write(house, &wasm)
}

/// Sets up what is missing and builds the one-file version.
pub fn one_file(house: &House) -> Result<()> {
    setup::npm::install(house)?;
    let wasm = core::build(house)?;
    inline::write(house, &wasm)
}

/// Both, for the tests.
pub fn all(house: &House) -> Result<()> {
    setup::npm::install(house)?;
    let wasm = core::build(house)?;
    site::write(house, &wasm)?;
    inline::write(house, &wasm)
}
