//! How fast the film solver's error falls: with the cells where gravity flows alone, with the accuracy asked for on a piece with a rim.

use crate::film::{one_film_in_two, upright};
use glazefall::physics::film::{self, Method};

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
