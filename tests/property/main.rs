//! Properties that hold for every input.

mod demo;
mod draw;
mod draw_bowl;
mod draw_known;
mod film;
mod learn_shared;
mod studio;
mod studio_csv;
mod studio_edit;
mod studio_fuzz;
mod studio_merge;

mod physics;
mod predict;

/// So many cases of a property, the same ones at every run.
fn fixed(cases: u32, seed: u64) -> proptest::test_runner::Config {
    proptest::test_runner::Config {
        cases,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(seed),
        ..Default::default()
    }
}
