//! Writes invented studios for a second opinion (`fixtures/learn/second_opinion.py`): the log in plain numbers, and what is learned of it here.
//!
//! `cargo run --release -p glazefall-tests --example learn_numbers -- whole|broken ENTRIES SEED FOLDER`

use glazefall::learn::{Options, learn};
use glazefall::studio::file;
use glazefall_tests::broken::broken;
use glazefall_tests::numbers::numbers;
use glazefall_tests::ranks::{Quantity, quantities};
use glazefall_tests::studios::{Design, from_the_prior};
use serde_json::{Map, Value, json};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let [kind, entries, seed, folder] = asked.as_slice() else {
        return Err("learn_numbers whole|broken ENTRIES SEED FOLDER".into());
    };
    let (entries, seed): (usize, u64) = (entries.parse()?, seed.parse()?);
    let (studio, truth) = match kind.as_str() {
        "whole" => from_the_prior(&Design {
            entries,
            stepped: 0.0,
            ..Design::small(seed)
        }),
        _ => {
            let broken = broken(entries, entries.min(240) / 2, seed);
            (broken.studio, broken.truth)
        }
    };
    let posterior = learn(&studio, &Options { draws: 2048, seed });
    let draws: Vec<Vec<Quantity>> = posterior.params.iter().map(quantities).collect();
    let mut ours = Map::new();
    for (i, (name, true_value)) in quantities(&truth).into_iter().enumerate() {
        let n = draws.len() as f64;
        let mean = draws.iter().map(|d| d[i].1).sum::<f64>() / n;
        let sd = (draws.iter().map(|d| (d[i].1 - mean).powi(2)).sum::<f64>() / n).sqrt();
        ours.insert(name, json!({"mean": mean, "sd": sd, "truth": true_value}));
    }
    let name = format!("{folder}/{kind}_{entries}_{seed}");
    std::fs::write(format!("{name}.studio.json"), file::write(&studio))?;
    std::fs::write(format!("{name}.numbers.json"), numbers(&studio).to_string())?;
    std::fs::write(
        format!("{name}.ours.json"),
        serde_json::to_string_pretty(&Value::Object(ours))?,
    )?;
    println!(
        "{name}: effective draws {:.0}, split R-hat {:.3}",
        posterior.summary.effective_draws, posterior.summary.r_hat
    );
    Ok(())
}
