//! How long learning takes on invented studios of 60, 2,000 and 20,000 entries, and what its draws are worth.
//!
//! `cargo run --release -p glazefall-tests --example learn_speed [entries …]`; in place of a number of entries it takes a studio's file.

use glazefall::learn::{Learning, Options};
use glazefall::studio::file;
use glazefall_tests::studios::of_size;
use std::fs;
use std::time::Instant;

fn main() {
    let mut asked: Vec<String> = std::env::args().skip(1).collect();
    if asked.is_empty() {
        asked = ["60", "2000", "20000"].map(str::to_owned).to_vec();
    }
    println!(
        "entries  unknowns  seconds  before draws  effective: worst  median  r_hat  acceptance  kicks  densities"
    );
    for what in asked {
        let studio = match what.parse() {
            Ok(entries) => of_size(entries),
            Err(_) => file::read(&fs::read_to_string(&what).expect("a studio's file"))
                .unwrap_or_else(|refusal| panic!("{what}: {refusal}")),
        };
        let entries = studio.entries.len();
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
            "{entries:7}  {unknowns:8}  {:7.3}  {:12.3}  {:16.0}  {:6.0}  {:5.3}  {:10.3}  {:5}  {:9}",
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
