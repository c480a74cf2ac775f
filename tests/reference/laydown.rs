//! Laydown and thickness: worked values, and one measured dip.

use glazefall::physics::PhysicsError;
use glazefall::physics::laydown::*;
use glazefall::physics::slurry::{DRY_DENSITY, SG_SIGMA};
use glazefall_tests::{assert_near, assert_ratio};

/// The worked coat: SG 1.45, D 2.6, 200 µm wet → 146 g/m² → raw 112.5 µm → fired 57.2 µm, melt 59.6 µm, ratio 0.51. Tolerances are half of the last digit.
#[test]
fn one_brushed_coat() {
    let m = brush_kg_per_m2(1.0, WET_PER_COAT_M, 1.45, DRY_DENSITY);
    assert_near(1e3 * m, 146.0, 0.5);
    let (raw, fired, melt) = (
        raw_m(m, DRY_DENSITY, PACKING),
        fired_m(m, LOI),
        melt_m(m, LOI),
    );
    assert_near(1e6 * raw, 112.5, 0.05);
    assert_near(1e6 * fired, 57.2, 0.05);
    assert_near(1e6 * melt, 59.6, 0.05);
    assert_near(fired / raw, 0.51, 5e-3);
    assert_near(fired / melt, 0.959, 5e-4);
    assert_near(FIRED_PER_MELT, 0.959, 5e-4);
    assert_near(RHO, 2232.0, 0.6);
    // A tile of 5 × 10 cm gains about 0.73 g, and weighing it says so.
    let gained_kg = m * 0.05 * 0.10;
    assert_near(1e3 * gained_kg, 0.73, 5e-3);
    assert_ratio(
        weigh_in_kg_per_m2(gained_kg, 0.05 * 0.10).unwrap(),
        m,
        1e-12,
    );
}

/// SG 1.40 to 1.50 thickens a brushed coat by 0.50/0.40, since the dry content goes as G − 1 (Brongniart).
#[test]
fn a_thicker_bucket_thickens_a_coat() {
    let of = |sg| brush_kg_per_m2(1.0, WET_PER_COAT_M, sg, DRY_DENSITY);
    assert_ratio(of(1.50) / of(1.40), 1.25, 1e-12);
    // What learning takes for its slope, d ln m/dG, against that of the same law over 2e-4 (third order of it left).
    let secant = (of(1.4501) / of(1.4499)).ln() / 2e-4;
    assert_ratio(brush_ln_per_sg(1.45), secant, 1e-6);
}

/// The range of wet laydown, 105–380 µm (5–95 %), holds coat, person and laydown: together 0.39. The normal quantile of 95 % is 1.6449 (any table); ends
/// rounded to two digits leave 2 %.
#[test]
fn spreads_add_up_once() {
    let together =
        (COAT_LN_SIGMA.powi(2) + PERSON_LN_SIGMA.powi(2) + WET_LAYDOWN_LN_SIGMA.powi(2)).sqrt();
    assert_near(together, WET_PER_COAT_LN_SIGMA, 5e-3);
    assert_near(
        (380.0_f64 / 105.0).ln() / (2.0 * 1.6449),
        WET_PER_COAT_LN_SIGMA,
        5e-3,
    );
    assert_near(
        WET_PER_COAT_M * (-1.6449 * WET_PER_COAT_LN_SIGMA).exp(),
        105e-6,
        2e-6,
    );
    assert_near(
        SPRAY_LN_SIGMA,
        (100.0_f64 / 20.0).ln() / (2.0 * 1.6449),
        5e-3,
    );
    assert_near(CAKE_K_LN_SIGMA, 2.0_f64.ln() / 1.6449, 5e-3);
    assert_near(SG_SIGMA, 0.01, 0.0);
}

/// One measured dip of 2 s at SG 1.45: 0.41 mm raw, 0.20 mm fired. K itself was rounded from it, which leaves 0.01 mm.
#[test]
fn a_measured_dip() {
    let dip = DipParams::usual(2.0, 1.45);
    assert_near(1e3 * dip_raw_m(&dip).unwrap(), 0.41, 0.0101);
    let m = dip_kg_per_m2(&dip).unwrap();
    assert_near(1e3 * fired_m(m, LOI), 0.20, 5e-3);
    assert_ratio(
        raw_m(m, dip.dry_density, dip.packing),
        dip_raw_m(&dip).unwrap(),
        1e-12,
    );
}

/// Relative thickness of a dip at SG 1.40 and 1.50 (derived): 0.882 and 1.139; and the square root of time (Adcock & McDowall 1957): four times as long, twice as thick.
#[test]
fn a_dip_by_gravity_and_time() {
    let of = |seconds, sg| dip_raw_m(&DipParams::usual(seconds, sg)).unwrap();
    assert_near(of(1.0, 1.40) / of(1.0, 1.45), 0.882, 5e-4);
    assert_near(of(1.0, 1.50) / of(1.0, 1.45), 1.139, 5e-4);
    assert_ratio(of(4.0, 1.45) / of(1.0, 1.45), 2.0, 1e-12);
}

/// The law diverges at SG 1.80 (D 2.6, P 0.5); it is refused from 95 % of that solids content, 1.76, and says so.
#[test]
fn a_slurry_too_thick_to_dip() {
    assert!(dip_kg_per_m2(&DipParams::usual(2.0, 1.75)).is_ok());
    let Err(PhysicsError::SlurryTooThickToDip { sg, limit_sg }) =
        dip_kg_per_m2(&DipParams::usual(2.0, 1.78))
    else {
        panic!("a paste was dipped");
    };
    assert_near(sg, 1.78, 0.0);
    assert_near(limit_sg, 1.76, 1e-12);
    assert!(water_per_cake(1.7999, DRY_DENSITY, PACKING) > 0.0);
    assert!(water_per_cake(1.8001, DRY_DENSITY, PACKING) < 0.0);
}

/// The body's water stops the cake: 6 mm of 1900 kg/m³ at 10 % between two sides take 0.57 mm of water, so at SG 1.45 (r 7/9) L_max is 0.733 mm, by hand.
#[test]
fn a_body_that_is_full() {
    let dip = DipParams::usual(600.0, 1.45);
    assert_near(
        1e3 * body_water_m(dip.wall_m, dip.body_kg_per_m3, dip.absorption, 2.0),
        0.57,
        1e-12,
    );
    let full = dip_raw_m(&dip).unwrap();
    assert_near(1e3 * full, 0.57 / (7.0 / 9.0), 1e-9);
    // With no gap nothing more goes on; bone dry the same again.
    let twice = |dry_gap| {
        dip_raw_m(&DipParams {
            dips: 2,
            dry_gap,
            ..dip
        })
        .unwrap()
    };
    assert_ratio(twice(0.0), full, 1e-12);
    assert_ratio(twice(1.0), 2.0 * full, 1e-12);
    assert_ratio(twice(0.3), 1.3 * full, 1e-12);
}

/// Two dips with no gap are one dip of twice the time; bone dry between them, twice one dip; any gap lies between.
#[test]
fn second_dips() {
    let one = DipParams::usual(1.0, 1.45);
    let raw = |dips, dry_gap| {
        dip_raw_m(&DipParams {
            dips,
            dry_gap,
            ..one
        })
        .unwrap()
    };
    assert_ratio(
        raw(2, 0.0),
        dip_raw_m(&DipParams {
            seconds: 2.0,
            ..one
        })
        .unwrap(),
        1e-12,
    );
    assert_ratio(raw(2, 1.0), 2.0 * raw(1, 1.0), 1e-12);
    let between = raw(2, 0.5);
    assert!(raw(2, 0.0) < between && between < raw(2, 1.0));
    // Counted one after another they add up to the same.
    let kg = |dips, before| {
        dip_layer(&DipParams { dips, ..one }, before)
            .unwrap()
            .kg_per_m2
    };
    assert_ratio(kg(1, 0) + kg(1, 1) + kg(2, 2), kg(4, 0), 1e-12);
    // A body that takes no water takes no glaze, and nothing there hangs on the bucket.
    let tight = dip_layer(
        &DipParams {
            absorption: 0.0,
            ..one
        },
        1,
    )
    .unwrap();
    assert_eq!((tight.kg_per_m2, tight.ln_per_sg), (0.0, 0.0));
}

/// Spray: 50 µm raw a pass, so three passes lie 150 µm thick.
#[test]
fn sprayed_passes() {
    let m = spray_kg_per_m2(3.0, SPRAY_RAW_M, DRY_DENSITY, PACKING);
    assert_near(1e6 * raw_m(m, DRY_DENSITY, PACKING), 150.0, 1e-9);
}

/// Coats that thin: the closed form against the sum written out.
#[test]
fn coats_that_thin() {
    for t in [0.0, 1e-14, 1e-6, 0.05, 0.4] {
        for (before, coats) in [(0, 1), (0, 4), (3, 2)] {
            let sum: f64 = (before..before + coats)
                .map(|j| (1.0_f64 - t).powi(j))
                .sum();
            assert_near(
                effective_coats(f64::from(before), f64::from(coats), t),
                sum,
                1e-9,
            );
        }
    }
}
