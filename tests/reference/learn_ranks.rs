//! Simulation-based calibration of the whole model (Talts, Betancourt, Simpson, Vehtari & Gelman 2018, arXiv 1804.06788): a truth from the priors, a log written by it,
//! the truth's rank among the draws learned from that log: uniform for every unknown, if and only if the learning is right.

use glazefall_tests::ranks::{Ranked, rank, ranked_design, table};
use glazefall_tests::uniform::{BINS, chi_square_above};

const STUDIES: usize = 200;
/// Of some fifty quantities the least p-value is below this by chance in one set of seeds of twenty.
const LEAST_P: f64 = 1e-3;

#[test]
fn truths_rank_evenly_among_what_is_learned() {
    // Two halves at once; each study has its own seed, so the order does not count.
    let half = |odd: u64| -> Vec<Ranked> {
        (0..STUDIES as u64 / 2)
            .map(|s| rank(&ranked_design(1 + 2 * s + odd)))
            .collect()
    };
    let ranked: Vec<Ranked> = std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let mut all = half(0);
        all.extend(other.join().unwrap());
        all
    });
    let judged = table(&ranked);
    let most = chi_square_above(BINS as f64 - 1.0, LEAST_P);
    for (name, one) in &judged {
        assert!(
            one.p > LEAST_P && one.chi_square < most,
            "{name}: {one:?}, chi-square at most {most:.1}"
        );
    }
    // Twentieths: of n quantities n/20 are expected below 0.05, with a standard deviation of less than √(n/20) were they independent; they are not quite.
    let low = judged.iter().filter(|(_, one)| one.p < 0.05).count();
    assert!(low <= judged.len() / 8, "{low} of {}", judged.len());
}
