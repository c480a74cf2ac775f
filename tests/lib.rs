//! Checks of the core against what stands outside it.

pub mod against_film;
pub mod broken;
pub mod fired;
pub mod left_out;
pub mod numbers;
pub mod plain;
pub mod planted;
pub mod ranks;
pub mod studios;
pub mod uniform;

/// Fails unless `got` lies within `tolerance` (absolute) of `want`.
#[track_caller]
pub fn assert_near(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, want {want} within {tolerance}"
    );
}

/// Fails unless `got` lies within `relative` of `want`, as a share of `want`.
#[track_caller]
pub fn assert_ratio(got: f64, want: f64, relative: f64) {
    assert_near(got, want, relative * want.abs());
}
