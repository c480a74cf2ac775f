//! How many lines entered wrong are pointed out, and how many sound ones, in seeded studios of sixty entries.
//!
//! `cargo run --release -p glazefall-tests --example learn_odd -- FIRST_SEED LAST_SEED PLANTS`: `PLANTS` entries of each kind in each studio, one at a time.

use glazefall_tests::planted::{Table, sound};
use glazefall_tests::studios::Design;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let [first, last, plants] = asked.as_slice() else {
        return Err("learn_odd FIRST_SEED LAST_SEED PLANTS".into());
    };
    let mut table = Table::default();
    for seed in first.parse()?..=last.parse::<u64>()? {
        table.judge(&sound(&Design::small(500 + seed)), plants.parse()?, seed);
    }
    table.print("seeded studios");
    Ok(())
}
