//! Checks of the core against what stands outside it.
