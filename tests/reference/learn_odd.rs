//! Lines entered wrong are pointed out: in the demo and in seeded studios one entry at a time is written down wrong, in each of the ways that people do.
//!
//! What is wrong but as likely as right cannot be seen by anybody: hits are counted among those that the rest of the log speaks against as well.

use glazefall::studio::document::Studio;
use glazefall::studio::file;
use glazefall_tests::planted::{Found, KINDS, Kind, found, planted, sound};
use glazefall_tests::studios::Design;

const DEMO: &str = include_str!("../../fixtures/demo/studio.json");
const STUDIOS: u64 = 20;
/// Entries of each kind that are planted in the demo, which is one studio, and in each of the others.
const IN_DEMO: u64 = 4;
/// The rest of the log speaks against a reading from this chance of one as far out down.
const AGAINST: f64 = 0.05;

/// Of one kind of blunder.
#[derive(Clone, Copy, Debug, Default)]
struct Count {
    planted: usize,
    pointed_out: usize,
    against: usize,
    against_pointed_out: usize,
    reason: usize,
}

/// Sound entries, those of them pointed out, and blunders by kind.
#[derive(Clone, Copy, Debug, Default)]
struct Table {
    sound: usize,
    alarms: usize,
    kinds: [Count; KINDS.len()],
}

fn names(kind: Kind, why: &str) -> bool {
    match kind {
        Kind::OneCoat | Kind::TwoCoats => why.contains("a coat or two"),
        Kind::Order => why.contains("the other way round"),
        Kind::Word | Kind::DidNotMove => why.contains("another word"),
    }
}

fn judge(studio: &Studio, plants: u64, seed: u64, table: &mut Table) {
    let nothing_wrong = found(studio, seed);
    table.sound += nothing_wrong.as_far.len();
    table.alarms += nothing_wrong.odd.len();
    for ((kind, _), count) in KINDS.into_iter().zip(&mut table.kinds) {
        let mut done = Vec::new();
        for plant in 0..plants {
            let Some((wrong, id)) = planted(studio, kind, seed ^ (plant << 20)) else {
                continue;
            };
            if done.contains(&id) {
                continue;
            }
            let Found { odd, as_far } = found(&wrong, seed);
            let against = as_far.iter().any(|(one, p)| *one == id && *p <= AGAINST);
            let why = odd.iter().find(|(one, _)| *one == id);
            count.planted += 1;
            count.pointed_out += usize::from(why.is_some());
            count.against += usize::from(against);
            count.against_pointed_out += usize::from(against && why.is_some());
            count.reason += usize::from(why.is_some_and(|(_, why)| names(kind, why)));
            done.push(id);
        }
    }
}

fn print(of: &str, table: &Table) {
    let per_log = 60.0 * table.alarms as f64 / table.sound as f64;
    println!(
        "{of}: {} sound entries, {} pointed out, {per_log:.1} of sixty",
        table.sound, table.alarms
    );
    println!(
        "kind                          planted  pointed out  rest against it  of them pointed out  reason named"
    );
    for ((_, name), count) in KINDS.iter().zip(&table.kinds) {
        println!(
            "{name:28}  {:7}  {:11}  {:15}  {:19}  {:12}",
            count.planted,
            count.pointed_out,
            count.against,
            count.against_pointed_out,
            count.reason
        );
    }
}

#[test]
fn wrong_entries_are_pointed_out() {
    let mut demo = Table::default();
    let half = |odd: u64| {
        let mut table = Table::default();
        for seed in (1..=STUDIOS).filter(|seed| seed % 2 == odd) {
            judge(&sound(&Design::small(500 + seed)), 1, seed, &mut table);
        }
        table
    };
    let [one, other] = std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let one = half(0);
        judge(&file::read(DEMO).unwrap(), IN_DEMO, 1, &mut demo);
        [one, other.join().unwrap()]
    });
    let mut table = one;
    table.sound += other.sound;
    table.alarms += other.alarms;
    for (count, other) in table.kinds.iter_mut().zip(other.kinds) {
        count.planted += other.planted;
        count.pointed_out += other.pointed_out;
        count.against += other.against;
        count.against_pointed_out += other.against_pointed_out;
        count.reason += other.reason;
    }
    print("demo", &demo);
    print("seeded studios", &table);
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
