//! The boundary's types for TypeScript.
//!
//! Takes the core's types, which derive their declarations under the feature `typescript`; gives
//! `www/src/core/types.ts`. The writing is done by the very test that holds the file up to date.

use anyhow::Result;

use crate::house::House;
use crate::sh;

/// The variable that makes the test write instead of compare.
const WRITE: &str = "GLAZEFALL_WRITE_TYPES";

/// Writes the declarations anew.
pub fn write(house: &House) -> Result<()> {
    sh::run(
        // The whole workspace, so that features are the same as in `cargo xtask test` and nothing is compiled twice.
        sh::cargo(&house.root)
            .args(["test", "--workspace", "--test", "tidy", "--", "types::"])
            .env(WRITE, "1"),
    )
}
