//! The table of a band's run against fresh solves over its whole range, and against gravity's law where surface tension goes to 0.

use glazefall::physics::{
    constants::{GAMMA, RHO},
    film::{self, Case, Layer},
    film_band, piece,
    tile::{self, Band},
};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A value between two, evenly by its logarithm.
fn between(rng: &mut ChaCha8Rng, least: f64, most: f64) -> f64 {
    least * (most / least).powf(rng.random_range(0.0..1.0))
}

/// Bands 10–200 mm long and 0.05–2 mm thick, from 45° to upright, held back by 0.2–8 mm² and no more than 0.8 of the melt, with runs up to
/// 0.25 m.
fn bands(seed: u64, count: usize) -> Vec<(Band, f64, f64)> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut out = Vec::new();
    while out.len() < count {
        let h0_m = between(&mut rng, 0.05e-3, 2e-3);
        let length_m = between(&mut rng, 10e-3, 0.2);
        let slope: f64 = if rng.random_range(0.0..1.0) < 0.5 {
            90.0
        } else {
            rng.random_range(45.0..90.0)
        };
        let retention = between(&mut rng, 0.2e-6, 8e-6);
        let phi = between(&mut rng, 0.02, 1000.0);
        let band = Band {
            h0_m,
            length_m,
            sin_slope: slope.to_radians().sin(),
        };
        let held = band.retained_m2(retention) / band.volume_m2();
        if held < 0.8 && (-2e-3..0.25).contains(&tile::signed_run_m(&band, phi, retention, RHO)) {
            out.push((band, phi, retention));
        }
    }
    out
}

fn solved(band: &Band, phi: f64, retention: f64) -> f64 {
    let law = tile::signed_run_m(band, phi, retention, RHO).max(0.0);
    let (above, below) = (0.015, 1.15 * law + 0.03);
    let tile = piece::tile(above + band.length_m + below, band.sin_slope.asin(), 6e-3).unwrap();
    let edge = above + band.length_m;
    let case = Case::new(
        &tile,
        vec![Layer {
            thickness_m: band.h0_m,
            log10_fluidity: 0.0,
            from_s_m: above,
            to_s_m: edge,
        }],
    );
    let solution = film::solve(&case, &[phi], 5e-4).unwrap();
    let place = solution
        .place_above(0, band.retained_m2(retention))
        .unwrap();
    (place - edge).max(0.0)
}

#[test]
fn the_table_stands_for_fresh_solves() {
    for (band, phi, retention) in bands(11, 240) {
        let want = solved(&band, phi, retention);
        let got = film_band::run_m(&band, phi, retention, RHO, GAMMA);
        assert!(
            (got - want).abs() <= 0.1e-3 + 0.01 * want,
            "{band:?} phi {phi} held {retention}: table {got}, solve {want}"
        );
    }
}

#[test]
fn without_surface_tension_it_is_the_law() {
    for (band, phi, retention) in bands(12, 200) {
        let law = tile::signed_run_m(&band, phi, retention, RHO);
        assert_eq!(
            film_band::run_slopes(&band, phi, retention, RHO, 0.0).signed_run_m,
            law
        );
        // Nearly without: capillary lengths of 0.02 mm and less. The precursor stays, and with it its share of the front's thickness.
        let got = film_band::run_slopes(&band, phi, retention, RHO, 1e-7).signed_run_m;
        let front = band.h0_m * (1.5 * band.length_m / (band.length_m + law.max(0.0))).min(1.0);
        let precursor = 2.0 * film::PRECURSOR_M / front * (law.abs() + 0.1 * band.length_m);
        assert!(
            (got - law).abs() <= 0.05e-3 + precursor,
            "{band:?} {phi} {retention}: {got} law {law}"
        );
    }
}

#[test]
fn its_slopes_are_those_of_its_values() {
    for (band, phi, retention) in bands(13, 300) {
        let at = |ln_h: f64, ln_phi: f64, ln_r: f64| {
            let band = Band {
                h0_m: band.h0_m * ln_h.exp(),
                ..band
            };
            film_band::run_slopes(
                &band,
                phi * ln_phi.exp(),
                retention * ln_r.exp(),
                RHO,
                GAMMA,
            )
        };
        let here = at(0.0, 0.0, 0.0);
        let d = 1e-5;
        let slopes = [
            (
                here.per_ln_h,
                (at(d, 0.0, 0.0).signed_run_m - at(-d, 0.0, 0.0).signed_run_m) / (2.0 * d),
            ),
            (
                here.per_ln_phi,
                (at(0.0, d, 0.0).signed_run_m - at(0.0, -d, 0.0).signed_run_m) / (2.0 * d),
            ),
            (
                here.per_ln_retention,
                (at(0.0, 0.0, d).signed_run_m - at(0.0, 0.0, -d).signed_run_m) / (2.0 * d),
            ),
        ];
        for (slope, difference) in slopes {
            // Differences over 2e-5 of a cubic's cell; a cell's border may lie between.
            assert!(
                (slope - difference).abs() <= 2e-4 * difference.abs() + 2e-6,
                "{band:?} {phi} {retention}: {slope} {difference}"
            );
        }
    }
}

#[test]
fn more_fluidity_never_runs_less_and_nothing_is_ever_not_a_number() {
    for (band, _, retention) in bands(14, 400) {
        let mut before = f64::NEG_INFINITY;
        for i in 0..400 {
            let phi = 1e-4 * (1e8_f64).powf(f64::from(i) / 399.0);
            let run = film_band::run_slopes(&band, phi, retention, RHO, GAMMA);
            assert!(
                [
                    run.signed_run_m,
                    run.per_ln_h,
                    run.per_ln_phi,
                    run.per_ln_retention
                ]
                .iter()
                .all(|x| x.is_finite())
            );
            // Splines do not overshoot their coefficients: nothing but the last digits may fall.
            let visible = run.signed_run_m.max(0.0);
            assert!(
                visible >= before - 1e-9,
                "{band:?} {phi} {retention}: {visible} after {before}"
            );
            before = before.max(visible);
        }
    }
    for h0_m in [1e-9, 1e-6, 1e-2] {
        for length_m in [1e-6, 1e-3, 5.0] {
            for phi in [0.0, 1e-12, 1e9] {
                let band = Band {
                    h0_m,
                    length_m,
                    sin_slope: 0.05,
                };
                let run = film_band::run_slopes(&band, phi, 1e-6, RHO, GAMMA);
                assert!(
                    [
                        run.signed_run_m,
                        run.per_ln_h,
                        run.per_ln_phi,
                        run.per_ln_retention
                    ]
                    .iter()
                    .all(|x| x.is_finite()),
                    "{band:?} {phi}: {run:?}"
                );
            }
        }
    }
}
