//! The run on a tile against published similarity solutions and exact kinematic waves.

use glazefall::physics::tile::*;
use glazefall_tests::{assert_near, assert_ratio};

fn standing(h0_mm: f64, length_mm: f64) -> Band {
    Band {
        h0_m: 1e-3 * h0_mm,
        length_m: 1e-3 * length_mm,
        sin_slope: 1.0,
    }
}

/// Huppert, Nature 300, 427 (1982): x_N = (9 A² g sinθ t/4 nu)^(1/3). A 1e-4 m², vertical, nu 1e-3 m²/s, 100 s → 0.280479 m, 0.534799 mm thick there.
/// In fluidity time t/(rho nu), whatever the density; tolerances are half of the last digit.
#[test]
fn huppert() {
    let rho = 1260.0;
    let band = standing(2.0, 50.0);
    let phi = 100.0 / (rho * 1e-3);
    let front = front_m(&band, phi, rho);
    assert_near(front, 0.280_479, 5e-7);
    assert_near(
        1e3 * thickness_behind_front_m(&band, front, phi, rho),
        0.534_799,
        5e-7,
    );
    // Below the front there is nothing yet.
    assert_near(
        thickness_behind_front_m(&band, front + 1e-6, phi, rho),
        0.0,
        0.0,
    );
    // A slope of 30° runs as half the gravity does.
    let leaning = Band {
        sin_slope: 0.5,
        ..band
    };
    assert_ratio(front_m(&leaning, 2.0 * phi, rho), front, 1e-12);
}

/// Jeffreys 1930: h = sqrt(eta x/(rho g t)) at x 0.1 m, 3600 s, eta 100 Pa s, rho 2400 → 343.544 µm.
#[test]
fn jeffreys() {
    let band = standing(10.0, 200.0);
    assert_near(
        1e6 * thickness_behind_front_m(&band, 0.1, 3600.0 / 100.0, 2400.0),
        343.544,
        5e-4,
    );
}

/// Exact kinematic waves beside an independent finite-volume solve of them (rho 2400): a band of 100 mm, 0.4 mm, Phi 6 has gone 7.5315072 mm; one of
/// 20 mm, Phi 20 20.7732 mm, 294.311 µm thick at its front. The solves (6400 cells) lie 1.3 µm from the first, 1.8 µm from the second.
#[test]
fn kinematic_waves() {
    let early = standing(0.4, 100.0);
    let front = front_m(&early, 6.0, 2400.0);
    assert_near(front, 0.107_531_507_2, 1e-10);
    assert_near(front + 0.010, 0.117_530_206_2, 1.4e-6);
    let late = standing(0.4, 20.0);
    let front = front_m(&late, 20.0, 2400.0);
    assert_near(front, 0.040_773_200_4, 1e-10);
    assert_near(front + 0.010, 0.050_771_430_2, 1.8e-6);
    assert_near(
        1e6 * thickness_behind_front_m(&late, front, 20.0, 2400.0),
        294.310_966,
        1e-6,
    );
}

/// Doubling the thickness makes the front four times as fast while it is at full thickness.
#[test]
fn twice_as_thick_four_times_as_far() {
    let (thin, thick) = (standing(0.2, 60.0), standing(0.4, 60.0));
    let of = |band| run_m(band, 2.0, 0.0, RHO);
    assert_ratio(of(&thick) / of(&thin), 4.0, 1e-12);
}

/// The front's two pieces meet in value and in speed where the advance is half the length.
#[test]
fn the_two_pieces_meet() {
    let band = standing(0.5, 40.0);
    let phi = band.length_m / 2.0 / (band.k(RHO) * band.h0_m.powi(2));
    assert_ratio(
        front_m(&band, phi * (1.0 + 1e-9), RHO),
        front_m(&band, phi, RHO),
        1e-8,
    );
    let speed = |a: f64, b: f64| {
        (front_m(&band, phi * b, RHO) - front_m(&band, phi * a, RHO)) / (phi * (b - a))
    };
    assert_ratio(speed(1.0, 1.0 + 1e-5), speed(1.0 - 1e-5, 1.0), 1e-4);
}

/// The melt behind the front is the melt that was laid down: the thickness integrates to h0 ℓ at any time (the law's own conservation; midpoint rule of
/// 20,000 steps).
#[test]
fn volume_is_kept() {
    let band = standing(0.5, 40.0);
    for phi in [1e-3, 0.5, 8.0, 300.0] {
        let front = front_m(&band, phi, RHO);
        let n = 20_000;
        let dx = front / f64::from(n);
        let volume: f64 = (0..n)
            .map(|i| dx * thickness_behind_front_m(&band, (f64::from(i) + 0.5) * dx, phi, RHO))
            .sum();
        assert_ratio(volume, band.volume_m2(), 1e-5);
    }
}

/// Gravity's law with what the edge holds, contact 25°, gamma 0.33, rho 2232.5, vertical. Band 40 mm: 0.4 mm, Phi 3, 10 → 0 and 8.15 mm; 0.6 mm, Phi 3, 10, 40 → 5.53, 23.11, 60.18;
/// 20 mm, 0.6 mm, Phi 10 → 18.08. Printed to 0.01 mm.
#[test]
fn retention() {
    let held = retention_m2(GAMMA, CONTACT_RAD, RHO);
    assert_near(1e6 * held, 1.4, 0.05);
    assert_near(1e6 * RETENTION_M2, 1.4, 1e-12);
    for (h0, length, phi, run) in [
        (0.4, 40.0, 3.0, 0.0),
        (0.4, 40.0, 10.0, 8.15),
        (0.6, 40.0, 3.0, 5.53),
        (0.6, 40.0, 10.0, 23.11),
        (0.6, 40.0, 40.0, 60.18),
        (0.6, 20.0, 10.0, 18.08),
    ] {
        assert_near(
            1e3 * run_m(&standing(h0, length), phi, held, RHO),
            run,
            5.1e-3,
        );
    }
    // Less melt than the edge holds never runs; on a slope of 30° the edge holds twice as much.
    assert_near(run_m(&standing(0.1, 13.0), 1e6, 1.4e-6, RHO), 0.0, 0.0);
    let leaning = Band {
        sin_slope: 0.5,
        ..standing(0.1, 40.0)
    };
    assert_near(leaning.retained_m2(1.4e-6), 2.8e-6, 1e-18);
}

/// The visible edge by its definition: beyond it lies exactly the volume that the edge holds (midpoint rule over the thickness behind the front).
#[test]
fn the_visible_edge_by_volume() {
    let band = standing(0.6, 40.0);
    for phi in [3.0, 10.0, 40.0] {
        let edge = band.length_m + run_m(&band, phi, 1.4e-6, RHO);
        let front = front_m(&band, phi, RHO);
        let n = 20_000;
        let dx = (front - edge) / f64::from(n);
        let beyond: f64 = (0..n)
            .map(|i| {
                dx * thickness_behind_front_m(&band, edge + (f64::from(i) + 0.5) * dx, phi, RHO)
            })
            .sum();
        assert_ratio(beyond, 1.4e-6, 1e-5);
    }
}

/// Drips lie 14 capillary lengths apart (Troian, Herbolzheimer, Safran & Joanny 1989; the factor is from memory): under six brushed coats (0.36 mm of melt) a tile of 50 mm has
/// 2, a jar of 100 mm diameter 13; and 14 (0.33 · 0.4 mm/(2232.5 · 9.80665))^(1/3) is 25.48093 mm upright, at 30° 2^(1/3) as much.
#[test]
fn drips() {
    let h = 0.36e-3;
    assert_near(1e3 * drip_spacing_m(0.4e-3, 1.0), 25.480_93, 5e-6);
    assert_near(1e3 * drip_spacing_m(0.4e-3, 0.5), 32.103_96, 5e-6);
    assert_near(drip_count(0.050, h, 1.0).round(), 2.0, 0.0);
    assert_near(
        drip_count(std::f64::consts::PI * 0.100, h, 1.0).round(),
        13.0,
        0.0,
    );
    assert_near(drip_count(0.005, h, 1.0), 1.0, 0.0);
    assert_near(drip_count(0.050, h, 0.0), 1.0, 0.0);
    assert_near(drip_count(0.050, 0.0, 1.0), 1.0, 0.0);
    // About 2 mm, as the law's delay says.
    assert_near(1e3 * capillary_length_m(GAMMA, 0.5e-3, RHO, 1.0), 2.0, 0.05);
}
