//! Slurry readings against printed tables. A tolerance is half of the last printed digit unless it says otherwise.

use glazefall::physics::PhysicsError;
use glazefall::physics::slurry::*;
use glazefall_tests::{assert_near, assert_ratio};

/// Norsker & Danisch, Forming Techniques for the Self-Reliant Potter (GTZ 1991), appendix: 1700 g/L, D 2.5. The book cuts
/// 1166.67 to 1,166, hence 1 g/L; 30 L hold 35 kg.
#[test]
fn brongniart_as_worked_in_the_book() {
    let c = solids_kg_per_m3(1.7, 2.5);
    assert_near(c, 1166.0, 1.0);
    assert_near(c, 1_166.666_667, 1e-6);
    assert_near(c * 0.030, 35.0, 1e-9);
    assert_near(solids_kg_per_m3(1.5, 2.5), 833.333_333, 1e-6);
}

/// A published table for D 2.6, which cuts the decimals off: 81, 162, 812, 975, 1137 g/L.
#[test]
fn table_of_dry_content() {
    let table = [
        (1.05, 81.25, 81.0),
        (1.1, 162.5, 162.0),
        (1.5, 812.5, 812.0),
        (1.6, 975.0, 975.0),
        (1.7, 1137.5, 1137.0),
    ];
    for (sg, exact, printed) in table {
        let c = solids_kg_per_m3(sg, 2.6);
        assert_near(c, exact, 1e-9);
        // A hair above, since 975 comes out as 974.999…
        assert_near((c + 1e-9).floor(), printed, 0.0);
    }
}

/// The two fractions and the density of the slurry must tell one story: by volume, solids and water fill it; by mass, they weigh it.
#[test]
fn fractions_balance() {
    for (sg, d) in [(1.1, 2.6), (1.45, 2.6), (1.6, 2.48), (1.7, 2.8)] {
        let phi = solids_volume_fraction(sg, d);
        assert_near(phi * d + (1.0 - phi), sg, 1e-12);
        assert_near(solids_mass_fraction(sg, d), phi * d / sg, 1e-12);
    }
}

/// The rule of 20 (P 36, D 2.5 → 26.667 oz per imperial pint) beside the exact pint, 20.045 oz of water; 49.888 g/L per ounce.
#[test]
fn pint_weights() {
    assert_near(dry_oz_per_pint_rule_of_twenty(36.0, 2.5), 26.667, 5e-4);
    assert_near(PintKind::Imperial.water_oz(), 20.045, 5e-4);
    assert_near(PintKind::Imperial.kg_per_m3_of_an_ounce(), 49.888, 5e-4);
    assert_near(PintKind::Us.volume_m3() * 1e6, 473.176, 5e-4);
    // The exact reading is lighter by 0.045 D/(D − 1) oz and gives the same dry content as the specific gravity does.
    let exact = dry_oz_per_pint(36.0, PintKind::Imperial, 2.5);
    assert_near(26.667 - exact, 0.045 * 2.5 / 1.5, 1e-3);
    for pint in [PintKind::Imperial, PintKind::Us] {
        let oz = pint_weight_oz(1.5, pint);
        assert_near(sg_from_pint_weight(oz, pint).unwrap(), 1.5, 1e-12);
        assert_ratio(
            dry_oz_per_pint(oz, pint, 2.6) * pint.kg_per_m3_of_an_ounce(),
            solids_kg_per_m3(1.5, 2.6),
            1e-12,
        );
    }
    // One pint taken for the other is refused where it makes a liquid lighter than water.
    assert!(matches!(
        sg_from_pint_weight(18.0, PintKind::Imperial),
        Err(PhysicsError::OutOfBounds { field: "sg", .. })
    ));
}

/// Twaddell: 25 Tw is 1.125 (textile glossary). Baumé: SG 1.5 is 48.33 (145) and 48.10 (144.3); 66 Bé (145) is 1.8354;
/// 32 Bé (144.3) is 1.285 (A Textbook of Assaying).
#[test]
fn hydrometers() {
    assert_near(sg_from_twaddell(25.0).unwrap(), 1.125, 1e-12);
    assert_near(twaddell(1.5), 100.0, 1e-12);
    assert_near(baume(1.5, BAUME_60_F), 48.33, 5e-3);
    assert_near(baume(1.5, BAUME_15_C), 48.10, 5e-3);
    assert_near(sg_from_baume(66.0, BAUME_60_F).unwrap(), 1.8354, 5e-5);
    assert_near(sg_from_baume(32.0, BAUME_15_C).unwrap(), 1.285, 5e-4);
    for modulus in [BAUME_60_F, BAUME_15_C] {
        assert_near(
            sg_from_baume(baume(1.45, modulus), modulus).unwrap(),
            1.45,
            1e-12,
        );
    }
    assert!(sg_from_baume(48.0, 100.0).is_err());
    assert!(sg_from_baume(f64::NAN, BAUME_60_F).is_err());
}

/// By hand: 145 g in 100 ml.
#[test]
fn weighed_volume() {
    assert_near(sg_from_weighed_volume(145.0, 100.0).unwrap(), 1.45, 1e-12);
    assert!(sg_from_weighed_volume(95.0, 100.0).is_err());
    assert!(sg_from_weighed_volume(145.0, 0.0).is_err());
}

/// Thinning keeps the solids: their mass before and after is the same, whatever the dry density.
#[test]
fn thinning_keeps_the_solids() {
    let (volume, from, to) = (10.0, 1.55, 1.45);
    let water = thinning_water(volume, from, to).unwrap();
    assert_near(water, 10.0 * 0.10 / 0.45, 1e-12);
    for d in [2.48, 2.6, 2.8] {
        assert_ratio(
            (volume + water) * solids_kg_per_m3(to, d),
            volume * solids_kg_per_m3(from, d),
            1e-12,
        );
    }
    assert!(thinning_water(10.0, 1.4, 1.5).is_err());
    assert!(thinning_water(10.0, 1.4, 1.0).is_err());
}
