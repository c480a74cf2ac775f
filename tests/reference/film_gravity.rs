//! The film under gravity alone against exact laws of kinematic waves and exact shock speeds (fixtures/film_reference.json), and a wall that bends.

use crate::film::{figures, layer, near, number, numbers, reference_case, upright};
use glazefall::physics::{
    film::{self, Case},
    piece::{self, Part, Profile},
    tile::{self, Band},
};
use std::f64::consts::FRAC_PI_2;

#[test]
fn gravity_alone_follows_the_exact_law() {
    let figures = figures();
    for name in ["band_long", "band_short"] {
        let f = &figures["exact"][name];
        let band = numbers(&f["band_m"]);
        let tile = upright(0.16);
        let mut case = reference_case(&tile, vec![layer(4e-4, 1.0, band[0], band[1])]);
        case.gamma_n_per_m = 0.0;
        let solved = film::solve(&case, &[number(&f["phi_per_pa"])], 1e-3).unwrap();
        // The law itself: cells of a nanometre round the front.
        near(
            solved.front_s_m(0, 0.5).unwrap(),
            number(&f["front_m"]),
            2e-9,
            name,
        );
        near(
            solved.stops[0].thickness_m(number(&f["front_m"]) - 1e-6),
            number(&f["front_thickness_m"]),
            1e-8,
            name,
        );
        near(solved.run_m(0).unwrap(), number(&f["run_m"]), 3e-9, name);
    }
}

/// Two layers of one fluidity that stay apart: gravity moves them as one film, but by the general scheme.
pub(crate) fn one_film_in_two(tile: &Profile) -> Case<'_> {
    Case {
        gamma_n_per_m: 0.0,
        mixing: 0.0,
        ..reference_case(
            tile,
            vec![layer(2e-4, 1.0, 0.01, 0.03), layer(2e-4, 1.0, 0.01, 0.03)],
        )
    }
}

#[test]
fn gravity_alone_by_cells_agrees_with_the_exact_law() {
    // Cells of 0.25 mm: a front stands where its volume says.
    let tile = upright(0.12);
    let case = one_film_in_two(&tile);
    let solved = film::solve(&case, &[20.0], 1e-3).unwrap();
    near(
        solved.front_s_m(0, 0.4).unwrap(),
        0.0507732004,
        3e-5,
        "front",
    );
    assert!(solved.volume_error.abs() < 1e-11);
    // Jeffreys: h = sqrt(x/(3 k phi)) behind the front.
    let k = 2400.0 * 9.80665 / 3.0;
    for x in [0.005, 0.01, 0.02] {
        near(
            solved.stops[0].thickness_m(0.01 + x),
            (x / (3.0 * k * 20.0_f64)).sqrt(),
            3e-7,
            "tail",
        );
    }
}

#[test]
fn layers_that_stay_apart_run_at_their_exact_shock_speeds() {
    let figures = figures();
    for name in ["outer_ten_times", "wall_ten_times"] {
        let f = &figures["exact"][name];
        let ratio = numbers(&f["fluidity_ratio_wall_outer"]);
        let tile = upright(0.13);
        let layers = vec![
            layer(2e-4, ratio[0], 0.01, 0.11),
            layer(2e-4, ratio[1], 0.01, 0.11),
        ];
        let case = Case {
            gamma_n_per_m: 0.0,
            mixing: 0.0,
            ..reference_case(&tile, layers)
        };
        let solved = film::solve(&case, &[number(&f["phi_per_pa"])], 1e-3).unwrap();
        let moment = &solved.stops[0];
        let shares = solved.shares(0);
        // Half of the jump of each layer: the wall layer's whole thickness, the outer one's past the wall layer's front.
        let outer_past = number(&f["outer_thickness_past_wall_front_m"]);
        let last = |level: f64, part: &dyn Fn(usize) -> f64| {
            let i = (0..moment.h_m.len())
                .rev()
                .find(|&i| part(i) > level)
                .unwrap();
            moment.faces_m[i + 1]
        };
        let wall = last(1e-4, &|i| moment.h_m[i] * shares[0][i]);
        let outer = last(0.5 * outer_past, &|i| moment.h_m[i] * shares[1][i]);
        // A quarter of a cell: each layer's front stands where its volume says.
        near(wall, number(&f["wall_front_m"]), 6e-5, name);
        near(outer, number(&f["outer_front_m"]), 6e-5, name);
    }
}

/// A film a hundred thousand times as fluid runs onto a stiff one: the step that takes it there must be cut at once, or more leaves a cell
/// than it holds. Melt is kept to rounding, where it was made 28-fold.
#[test]
fn gravity_alone_keeps_the_melt_where_fluid_meets_stiff() {
    let tile = piece::tile(0.0434, 0.9, 6e-3).unwrap();
    let cap = piece::from_parts(
        0.0,
        &[Part::Arc {
            radius_m: 0.134,
            from_rad: 0.0,
            to_rad: -1.14,
        }],
        true,
        None,
    )
    .unwrap();
    for (profile, layers, phi) in [
        (
            &tile,
            vec![
                layer(1.9e-4, 0.1, 0.0032, 0.0306),
                layer(1.7e-3, 1.0, 0.0044, 0.0169),
                layer(3.4e-6, 1e-5, 0.0257, 0.0434),
            ],
            900.0,
        ),
        (
            &cap,
            vec![
                layer(1.6e-5, 3e-5, 0.0, 0.095),
                layer(9.7e-5, 1.0, 0.0926, 0.0946),
                layer(2.9e-6, 6e-3, 0.0341, 0.1527),
            ],
            117.0,
        ),
    ] {
        let case = Case {
            gamma_n_per_m: 0.0,
            mixing: 0.3,
            ..Case::new(profile, layers)
        };
        let solved = film::solve(&case, &[phi], 1e-3).unwrap();
        assert!(solved.volume_error.abs() < 1e-12, "{}", solved.volume_error);
    }
}

fn line(length_m: f64, deg: f64) -> Part {
    Part::Line {
        length_m,
        psi_rad: deg.to_radians(),
    }
}

/// A strip that bends and bends back is no slope: the band lies on its upright middle and runs by the law of an upright wall (to what cells of
/// 0.25 mm leave), though both ends slope at 30°.
#[test]
fn a_bent_strip_runs_by_the_slope_of_each_place() {
    let strip = [line(0.02, -30.0), line(0.12, -90.0), line(0.02, -30.0)];
    let strip = piece::from_parts(0.0, &strip, false, None).unwrap();
    let mut case = reference_case(&strip, vec![layer(4e-4, 1.0, 0.03, 0.06)]);
    case.gamma_n_per_m = 0.0;
    let solved = film::solve(&case, &[8.0], 1e-3).unwrap();
    let band = Band {
        h0_m: 4e-4,
        length_m: 0.03,
        sin_slope: 1.0,
    };
    near(
        solved.run_m(0).unwrap(),
        tile::run_m(&band, 8.0, 0.0, 2400.0),
        0.03e-3,
        "run",
    );
}

/// A strip over a rim of 3 mm is what a ring of 9 m diameter is, to what its own curvature (0.2/m beside the rim's 333/m) and the
/// widening of its outside (some 50 mm in 4.5 m) leave.
#[test]
fn a_strip_over_a_rim_is_a_very_wide_ring() {
    let over = Part::Arc {
        radius_m: 3e-3,
        from_rad: FRAC_PI_2,
        to_rad: -FRAC_PI_2,
    };
    let parts = [line(0.03, 90.0), over, line(0.02, -60.0), line(0.05, -90.0)];
    let solved = |turned: bool, gamma: f64| {
        let start = if turned { 4.5 } else { 0.0 };
        let profile = piece::from_parts(start, &parts, turned, None).unwrap();
        let mut case = Case::new(&profile, vec![layer(5e-4, 1.0, 0.01, 0.06)]);
        case.gamma_n_per_m = gamma;
        let solved = film::solve(&case, &[4.0], 1e-3).unwrap();
        assert!(solved.volume_error.abs() < 1e-12);
        (
            solved.run_m(0).unwrap(),
            solved.rim_minimum_m(0).unwrap(),
            solved.ridge(0).unwrap().0,
        )
    };
    for gamma in [0.0, 0.33] {
        let (strip, ring) = (solved(false, gamma), solved(true, gamma));
        near(strip.0, ring.0, 0.02 * ring.0, "run");
        near(strip.1, ring.1, 0.01 * ring.1, "rim");
        near(strip.2, ring.2, 0.01 * ring.2, "ridge");
    }
    assert!(solved(false, 0.33).1 < 0.5 * solved(false, 0.0).1);
}
