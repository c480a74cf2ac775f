//! Leaves out every entry of the demo's log in turn, exactly: the log is learned anew without it. Writes what the others then say of each.
//!
//! `cargo run --release -p glazefall-tests --example learn_left_out > fixtures/learn/left_out.json`, in a minute or so.

use glazefall::learn::Options;
use glazefall::studio::file;
use glazefall_tests::left_out::both_ways;
use serde_json::json;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let studio = file::read(include_str!("../../fixtures/demo/studio.json"))
        .map_err(|refusal| refusal.to_string())?;
    let options = Options {
        draws: 512,
        seed: 3,
    };
    let logged: Vec<&str> = (studio.entries.iter())
        .filter(|entry| entry.outcome.as_ref().is_some_and(|o| o.run.is_some()))
        .map(|entry| entry.id.as_str())
        .collect();
    let which: Vec<usize> = (0..logged.len()).collect();
    let rounded = |x: f64| (x * 1e4).round() / 1e4;
    println!("[");
    for (i, (id, [exact, anew])) in logged
        .iter()
        .zip(both_ways(&studio, &which, &options))
        .enumerate()
    {
        let line = json!({"entry": id, "place": rounded(exact.place), "inside": rounded(exact.inside), "foot": exact.foot.map(rounded)});
        println!("{line}{}", if i + 1 < logged.len() { "," } else { "" });
        eprintln!(
            "{id:6} {:.3} {:.3} k {:.2}",
            exact.place, anew.place, anew.pareto_k
        );
    }
    println!("]");
    Ok(())
}
