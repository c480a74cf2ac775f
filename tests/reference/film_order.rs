//! How fast the film solver's error falls: with the cells where gravity flows alone, with the accuracy asked for on a piece with a rim.

use crate::{film::upright, film_gravity::one_film_in_two};
use glazefall::physics::{
    film::{self, Case, Layer, Method},
    piece,
};

#[path = "../../crate/benches/film/cases.rs"]
mod cases;

/// Jeffreys' film `sqrt(x/(3 k Φ))` ends in a shock (exact front 50.7732 mm): by cells, the first order that a shock leaves to any scheme.
#[test]
fn gravity_alone_is_of_first_order_in_the_cells() {
    let tile = upright(0.12);
    let case = one_film_in_two(&tile);
    let spread = 3.0 * 2400.0 * 9.80665 / 3.0 * 20.0;
    let off = |coarser: f64| {
        let usual = Method::default();
        let method = Method {
            bend: usual.bend * coarser,
            ..usual
        };
        let solved = film::solve_by(&case, &[20.0], &method).unwrap();
        let at = &solved.stops[0];
        let mut sum = 0.0;
        for (h, w) in at.h_m.iter().zip(at.faces_m.windows(2)) {
            let x = 0.5 * (w[0] + w[1]) - 0.01;
            let exact = if (0.0..0.040_773_200_4).contains(&x) {
                (x / spread).sqrt()
            } else {
                0.0
            };
            sum += (h - exact).abs() * (w[1] - w[0]);
        }
        sum / 8e-6
    };
    let errors = [8.0, 4.0, 2.0].map(off);
    // Where in its cell the shock stands makes each a little luckier or less.
    assert!(
        errors[0] > 1.4 * errors[1] && errors[1] > 1.4 * errors[2] && errors[0] > 3.0 * errors[2],
        "{errors:?}"
    );
    assert!(errors[2] < 0.01, "{errors:?}");
}

/// Spacings go with the root of the accuracy, the method is of order 2: the error goes with the accuracy itself. A tenth of it is to
/// leave a quarter of the error at most, since meshes are remade at other moments.
#[test]
fn a_tenth_of_the_accuracy_leaves_a_small_part_of_the_error() {
    let jar = cases::jar().unwrap();
    let case = jar.case();
    let told = |accuracy: f64| {
        let solved = film::solve(&case, &jar.phis, accuracy).unwrap();
        [
            solved.rim_minimum_m(0).unwrap(),
            solved.ridge(0).unwrap().0,
            solved.run_m(0).unwrap(),
        ]
    };
    let (exact, fine, usual, quick) = (told(2e-5), told(1e-4), told(1e-3), told(1e-2));
    let off = |x: [f64; 3], i: usize| (x[i] - exact[i]).abs();
    for i in 0..2 {
        assert!(
            off(fine, i) < 0.25 * off(usual, i),
            "{exact:?} {fine:?} {usual:?}"
        );
    }
    // What each is good for: a run to 0.02 mm, a rim to 1 %; in a hurry 0.1 mm and 5 %.
    assert!(off(usual, 2) < 0.02e-3 && off(usual, 0) < 0.015 * exact[0]);
    assert!(off(quick, 2) < 0.1e-3 && off(quick, 0) < 0.05 * exact[0]);
}

/// Fluid layers that run far over a stiff one, by up to a hundred times its fluidity, down a jar's outside: in a hurry the colour's edge and
/// the run are within 0.1 mm + 1 % of the way they went, against a solve at a tenth of the spacing. Where a face took the fluidity of its own
/// place they were off by up to 1.5 mm, to either side at every change of the tolerance.
#[test]
fn layers_that_overrun_far_are_met_in_a_hurry() {
    let wall = piece::Wall {
        thickness_m: 5e-3,
        rim_radius_m: None,
    };
    let whole = piece::jar(0.15, 0.09, 0.125, 0.07, wall).unwrap();
    let profile = whole.continued(0.149).after(whole.rim_s_m());
    for (under, log10_fluidity, over, phi) in [
        (2.723e-4, -1.815, 5.123e-4, 3.25),
        (4.67e-4, -2.05, 9.539e-4, 0.79),
    ] {
        let layers = vec![
            Layer {
                thickness_m: under,
                log10_fluidity,
                from_s_m: 0.0,
                to_s_m: 0.145,
            },
            Layer {
                thickness_m: over,
                log10_fluidity: 0.0,
                from_s_m: 0.0,
                to_s_m: 0.055,
            },
        ];
        let case = Case::new(&profile, layers);
        let phis = [10.0, 32.0, 63.0].map(|times| phi * times);
        let quick = film::solve(&case, &phis, 1e-2).unwrap();
        let exact = film::solve(&case, &phis, 1e-4).unwrap();
        for (k, phi) in phis.iter().enumerate() {
            let (a, b) = (quick.colour_edges(k)[0], exact.colour_edges(k)[0]);
            let within = 0.1e-3 + 0.01 * (b.now_s_m - b.laid_s_m);
            assert!(
                (a.now_s_m - b.now_s_m).abs() < within,
                "colour's edge at {phi}: {} {}",
                a.now_s_m,
                b.now_s_m
            );
            let (a, b) = (quick.run_m(k).unwrap(), exact.run_m(k).unwrap());
            assert!((a - b).abs() < 0.1e-3 + 0.01 * b, "run at {phi}: {a} {b}");
        }
    }
}
