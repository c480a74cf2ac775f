//! The likelihood's own slopes against differences of its values.

use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::data::Log;
use glazefall::learn::likelihood::Model;
use glazefall::learn::target::Target;
use glazefall_tests::studios::{Design, from_the_prior};
use rand::SeedableRng;

/// Central differences, step 1e-5: rounding of a log density of some hundreds leaves 1e-8, the third derivative 1e-7; the texture's own slopes are
/// differences, to 1e-4. A corner of the law within the step can spoil one coordinate: the worst of each point but two must hold.
#[test]
fn slopes_are_those_of_the_values() {
    for seed in 0..6 {
        let (studio, _) = from_the_prior(&Design::small(seed));
        let mut model = Model::new(Log::of(&studio));
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let mut at = model.start();
        model.hold(&at);
        for (x, y) in at.iter_mut().zip(model.log.unknowns.draw(&mut rng)) {
            *x = 0.6 * *x + 0.4 * y;
        }
        let mut gradient = vec![0.0; model.len()];
        let mut other = gradient.clone();
        assert!(model.ln_density(&at, &mut gradient).is_finite());
        let mut errors: Vec<(f64, usize, f64)> = (0..model.len())
            .map(|i| {
                let mut value = |step: f64| {
                    let mut moved = at.clone();
                    moved[i] += step;
                    model.ln_density(&moved, &mut other)
                };
                let slope = (value(1e-5) - value(-1e-5)) / 2e-5;
                ((slope - gradient[i]).abs() / (1.0 + slope.abs()), i, slope)
            })
            .collect();
        errors.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (error, i, slope) in &errors[..6] {
            println!(
                "{seed} {i:3} off {error:.2e}: {slope:.6} against {:.6}",
                gradient[*i]
            );
        }
        assert!(errors[2].0 < 2e-4, "{:?}", &errors[..4]);
    }
}
