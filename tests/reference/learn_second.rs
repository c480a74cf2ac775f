//! The whole model against a second opinion: the same studio learned by a NumPyro program (`fixtures/learn/second_opinion.py`, how it was run in the README beside it).

use glazefall::learn::{Options, learn};
use glazefall::studio::file;
use glazefall_tests::ranks::quantities;
use serde_json::Value;

const STUDIO: &str = include_str!("../../fixtures/learn/whole.studio.json");
const SECOND: &str = include_str!("../../fixtures/learn/whole.second.json");

/// What the two programs do not share: here luck is held as at the mode and the film's lag is a quartic, there luck is followed and the law is a table.
/// In sds of the unknown, beside three Monte Carlo errors of both; 0.08 was the most seen.
const APART: f64 = 0.10;
/// Widths may be apart by this share, beside their own Monte Carlo errors.
const WIDTH: f64 = 0.05;

#[test]
fn a_second_program_says_the_same_of_a_whole_studio() {
    let studio = file::read(STUDIO).unwrap();
    let second: Value = serde_json::from_str(SECOND).unwrap();
    let posterior = learn(
        &studio,
        &Options {
            draws: 8192,
            seed: 4,
        },
    );
    let draws: Vec<_> = posterior.params.iter().map(quantities).collect();
    let n = draws.len() as f64;
    // The worst unknown's; most have more.
    let effective = posterior.summary.effective_draws;
    let mut compared = 0;
    println!("quantity                      here           there          apart in sds  widths");
    for (i, (name, _)) in draws[0].iter().enumerate() {
        let there = &second["parameters"][name];
        let number = |key: &str| there[key].as_f64();
        let (Some(mean), Some(sd), Some(mcse), Some(ess)) =
            (number("mean"), number("sd"), number("mcse"), number("ess"))
        else {
            continue;
        };
        let here = draws.iter().map(|d| d[i].1).sum::<f64>() / n;
        let width = (draws.iter().map(|d| (d[i].1 - here).powi(2)).sum::<f64>() / n).sqrt();
        let apart = (here - mean) / sd;
        println!(
            "{name:28} {here:9.4} ± {width:.4}  {mean:9.4} ± {sd:.4}  {apart:6.3}  {:.3}",
            width / sd
        );
        let by_chance = (1.0 / effective + (mcse / sd).powi(2)).sqrt();
        assert!(apart.abs() < APART + 3.0 * by_chance, "{name}: {apart}");
        let by_chance = (0.5 / effective + 0.5 / ess).sqrt();
        assert!(
            (width / sd).ln().abs() < WIDTH + 3.0 * by_chance,
            "{name}: {width} against {sd}"
        );
        compared += 1;
    }
    assert!(compared > 30, "{compared}");
}
