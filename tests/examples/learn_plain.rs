//! Writes the broken studios in plain numbers for the rival (`fixtures/learn/rival.py`).
//!
//! `cargo run --release -p glazefall-tests --example learn_plain -- ENTRIES HELD_OUT FIRST_SEED LAST_SEED FOLDER`

use glazefall_tests::broken::broken;
use glazefall_tests::plain::plain;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let [entries, held_out, first, last, folder] = asked.as_slice() else {
        return Err("learn_plain ENTRIES HELD_OUT FIRST_SEED LAST_SEED FOLDER".into());
    };
    let (entries, held_out): (usize, usize) = (entries.parse()?, held_out.parse()?);
    for seed in first.parse()?..=last.parse::<u64>()? {
        let studio = broken(entries, held_out, seed);
        std::fs::write(
            format!("{folder}/broken_{entries}_{seed}.json"),
            plain(&studio).to_string(),
        )?;
    }
    Ok(())
}
