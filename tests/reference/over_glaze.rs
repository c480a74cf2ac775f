//! The edge of a glaze on another against fresh solves of the film on the piece: the solver carries each layer's melt and says where the colours' edge has gone.

use glazefall::chacha::ChaCha8Rng;
use glazefall_tests::against_film::{FORMS, both, stack};
use rand::SeedableRng;

/// Stacks on each of the eight forms, at three clocks each. Seeds other than those that the constants were fitted with.
const STACKS: usize = 24;

/// The fit's own figures over 6,265 runs: no error in the mean, 1.4 mm at the ninth tenth (law alone: 1.2 mm and 3.3 mm). A tenth of that many is looked at here.
#[test]
fn an_edge_on_glaze_runs_as_the_film_says() {
    let mut errors = Vec::new();
    for (seed, (name, form, wall)) in (77..).zip(FORMS) {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let mut own = Vec::new();
        for _ in 0..STACKS {
            let (layers, log10_phi) = stack("onto", wall, &mut rng);
            let runs = both(form, &layers, &log10_phi, true, &mut rng).unwrap_or_default();
            for (film, law, _) in runs {
                if film.max(law) > 4e-4 {
                    own.push(1e3 * (law.min(0.06) - film.min(0.06)));
                }
            }
        }
        let mean = own.iter().sum::<f64>() / own.len() as f64;
        println!(
            "{name:10} {:3} runs, off by {mean:5.2} mm in the mean",
            own.len()
        );
        errors.extend(own);
    }
    let n = errors.len();
    let mean = errors.iter().sum::<f64>() / n as f64;
    let mut size: Vec<f64> = errors.iter().map(|e| e.abs()).collect();
    size.sort_by(f64::total_cmp);
    println!(
        "{n} runs: mean {mean:.2} mm, half within {:.2} mm, nine in ten within {:.2} mm, worst {:.1} mm",
        size[n / 2],
        size[n * 9 / 10],
        size[n - 1]
    );
    assert!(n > 400 && mean.abs() < 0.3 && size[n / 2] < 0.3 && size[n * 9 / 10] < 2.0);
}
