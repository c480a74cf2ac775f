//! Lines entered wrong are pointed out: in the demo and in seeded studios one entry at a time is written down wrong, in each of the ways that people do.
//!
//! What is wrong but as likely as right cannot be seen by anybody: hits are counted among those that the rest of the log speaks against as well.

use glazefall::studio::file;
use glazefall_tests::planted::{Count, Table, sound};
use glazefall_tests::studios::Design;

const DEMO: &str = include_str!("../../fixtures/demo/studio.json");
const STUDIOS: u64 = 20;
/// Entries of each kind that are planted in the demo, which is one studio, and in each of the others.
const IN_DEMO: u64 = 4;

#[test]
fn wrong_entries_are_pointed_out() {
    let mut demo = Table::default();
    let half = |odd: u64| {
        let mut table = Table::default();
        for seed in (1..=STUDIOS).filter(|seed| seed % 2 == odd) {
            table.judge(&sound(&Design::small(500 + seed)), 1, seed);
        }
        table
    };
    let [one, other] = std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let one = half(0);
        demo.judge(&file::read(DEMO).unwrap(), IN_DEMO, 1);
        [one, other.join().unwrap()]
    });
    let mut table = one;
    table.add(&other);
    demo.print("demo");
    table.print("seeded studios");
    let all = |of: fn(&Count) -> usize| -> f64 {
        let both = table.kinds.iter().chain(&demo.kinds);
        both.map(of).sum::<usize>() as f64
    };
    // Seeds are fixed. Four in five of what the rest speaks against, and no more than three false alarms in a log of sixty.
    let hits = all(|c| c.against_pointed_out) / all(|c| c.against);
    assert!(all(|c| c.against) >= 20.0 && hits >= 0.8, "{hits}");
    assert!(20 * table.alarms <= table.sound, "{table:?}");
    assert!(20 * demo.alarms <= demo.sound, "{demo:?}");
    let named = all(|c| c.reason) / all(|c| c.pointed_out);
    assert!(named >= 0.7, "{named}");
}
