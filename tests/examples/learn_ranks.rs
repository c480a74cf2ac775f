//! Ranks of the truth in what is learned from many invented studios: more of them, or larger ones, than the test has time for.
//!
//! `cargo run --release -p glazefall-tests --example learn_ranks [studios] [entries] [first seed]`

use glazefall_tests::ranks::{Ranked, rank, ranked_design, table};
use glazefall_tests::studios::Design;

fn main() {
    let asked: Vec<usize> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let studios = asked.first().copied().unwrap_or(200) as u64;
    let entries = asked.get(1).copied().unwrap_or(20);
    let first = asked.get(2).copied().unwrap_or(1) as u64;
    let ranked: Vec<Ranked> = (first..first + studios)
        .map(|seed| {
            rank(&Design {
                entries,
                ..ranked_design(seed)
            })
        })
        .collect();
    for (seed, r) in (first..).zip(&ranked).filter(|(_, r)| r.r_hat > 1.5) {
        println!("seed {seed}: split R-hat {:.3}", r.r_hat);
    }
    table(&ranked);
}
