//! How long learning takes on invented studios of 60, 2,000 and 20,000 entries, and what its draws are worth.
//!
//! `cargo run --release -p glazefall-tests --example learn_speed [entries …]`

use glazefall::learn::{Learning, Options};
use glazefall_tests::studios::{Design, from_the_prior};
use std::time::Instant;

fn main() {
    let asked: Vec<usize> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let sizes = if asked.is_empty() {
        vec![60, 2000, 20_000]
    } else {
        asked
    };
    println!(
        "entries  unknowns  seconds  before draws  effective: worst  median  r_hat  acceptance  kicks  passes"
    );
    for entries in sizes {
        let of = if entries <= 100 {
            Design {
                entries,
                ..Design::small(1)
            }
        } else {
            Design::grown(entries, 1)
        };
        let (studio, _) = from_the_prior(&of);
        let start = Instant::now();
        let mut learning = Learning::start(&studio, &Options::default());
        let mut mode = None;
        while !learning.step().ready {
            if learning.is_sampling() && mode.is_none() {
                mode = Some(start.elapsed().as_secs_f64());
            }
        }
        let work = learning.work();
        let unknowns = learning.model().log.unknowns.len();
        let mut effective: Vec<f64> = learning.mixing().iter().map(|m| m.effective).collect();
        effective.sort_unstable_by(f64::total_cmp);
        let posterior = learning.finish(&studio);
        println!(
            "{entries:7}  {unknowns:8}  {:7.3}  {:12.3}  {:16.0}  {:6.0}  {:5.3}  {:10.3}  {:5}  {:6}",
            start.elapsed().as_secs_f64(),
            mode.unwrap_or(0.0),
            posterior.summary.effective_draws,
            effective[effective.len() / 2],
            posterior.summary.r_hat,
            work.acceptance,
            work.kicks,
            work.evaluations,
        );
    }
}
