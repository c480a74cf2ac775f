//! The likelihood against the generator, without any sampling: at the truth its slopes are zero on average (the score identity, Fisher 1925).
//!
//! One mean over many thousand entries finds a chance that is counted twice, or not at all, which the ranks of small studios are too few to show.

use glazefall::learn::data::Log;
use glazefall::learn::likelihood::{Judged, Model};
use glazefall::learn::target::beside;
use glazefall::learn::unknowns::global;
use glazefall_tests::ranks::point;
use glazefall_tests::studios::{Design, from_the_prior};

const STUDIOS: u64 = 150;
/// Half the step of the differences, in the sampler's coordinates: of the order of one.
const STEP: f64 = 1e-4;
/// Standard errors that a mean may be off zero. Eleven means pass four by chance once in 1,400 sets of seeds; luck is linear in logs in the likelihood
/// but not in the generator, which over 40,000 entries showed as three for the coat spread.
const MOST: f64 = 4.5;

#[test]
fn slopes_at_the_truth_are_zero_on_average() {
    let numbers = [
        ("brush", global::LN_BRUSH),
        ("dip", global::LN_DIP),
        ("retention", global::LN_RETENTION),
        ("mixing", global::MIXING),
        ("thinning", global::THINNING),
        ("noise", global::NOISE),
        ("place spread", global::PLACE),
        ("coat spread", global::COAT),
        ("blunders", global::OUTLIER),
        ("stuck by word", global::STUCK),
        ("whole mm", global::WHOLE_MM),
    ];
    let mut sums = vec![[0.0_f64; 3]; numbers.len()];
    for seed in 0..STUDIOS {
        let (studio, truth) = from_the_prior(&Design {
            entries: 100,
            ..Design::small(9000 + seed)
        });
        let log = Log::of(&studio);
        let at = point(&log.unknowns, &truth);
        let model = Model::held(log, &at);
        let mut judged = Judged::default();
        for ((_, which), [n, sum, squares]) in numbers.iter().zip(&mut sums) {
            let place = model.log.unknowns.globals() + which;
            let moved = |by: f64| {
                let mut moved = at.clone();
                moved[place] += by;
                moved
            };
            let points = beside(&moved(STEP), &moved(-STEP));
            let now = model.now(&points);
            let lines = model.lines(&now);
            for i in 0..model.log.pieces.len() {
                let ln = model.ln_likelihood(i, &now, &lines, &points, &mut judged, &mut |_| ());
                let [above, below] = ln.to_array();
                let slope = (above - below) / (2.0 * STEP);
                *n += 1.0;
                *sum += slope;
                *squares += slope * slope;
            }
        }
    }
    println!("number            mean slope  standard errors  root mean square  entries");
    for ((name, _), [n, sum, squares]) in numbers.iter().zip(sums) {
        let mean = sum / n;
        let error = ((squares / n - mean * mean) / n).sqrt();
        println!(
            "{name:16}  {mean:10.5}  {:15.2}  {:16.4}  {n}",
            mean / error,
            (squares / n).sqrt()
        );
        assert!((mean / error).abs() < MOST, "{name}");
    }
}
