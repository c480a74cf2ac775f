//! A thousandth of the fuzz chore with a fixed seed, and what is too large or too deep to come up there.

use std::fmt::Write;

use glazefall::studio::{csv, document::Studio, file};
use proptest::prelude::*;

use crate::studio::small;

#[path = "../../crate/examples/fuzz_documents/fuzz.rs"]
mod fuzz;

const DEMO: &str = include_str!("../../fixtures/demo/studio.json");

#[test]
fn mutated_documents_are_taken_whole_or_refused_with_words() {
    let counts = fuzz::run(DEMO, 1500, 7);
    assert_eq!(counts.broken, 0, "{}", counts.json());
    assert!(
        counts.taken > 100 && counts.refused > 500,
        "{}",
        counts.json()
    );
}

fn refused(text: &str) -> String {
    match file::read(text) {
        Ok(_) => panic!("taken"),
        Err(refusal) => refusal.to_string(),
    }
}

#[test]
fn what_is_too_deep_or_too_long_is_refused_in_words() {
    for open in ["[", "{\"a\":", "[{\"a\":"] {
        let deep = open.repeat(100_000);
        assert!(refused(&deep).contains("nested"), "{open}");
        let inside = DEMO.replacen("\"settings\":", &format!("\"x\": {deep}, \"settings\":"), 1);
        assert!(refused(&inside).contains("nested"), "{open}");
    }
    let long = DEMO.replacen("Wet Moss", &"w".repeat(600_000), 1);
    assert!(refused(&long).contains("600000 letters"));
    let spaces = " ".repeat(50_000_001);
    assert!(refused(&spaces).contains("MB"));
    // Ten thousand layers, and more keys than any record has.
    let layer =
        r#"{"glaze":"moss","zone":{"from_mm":0,"to_mm":60},"how":{"method":"brush","coats":1}},"#;
    let mut studio = file::write(&small());
    studio = studio.replacen(
        "\"layers\": [",
        &format!("\"layers\": [{}", layer.repeat(10_000)),
        1,
    );
    assert!(refused(&studio).contains("up to 12 are kept"));
    let mut keys = String::new();
    for number in 0..100_000 {
        write!(keys, "\"k{number}\": 1, ").unwrap();
    }
    let crowded = file::write(&small()).replacen("\"id\":", &format!("{keys}\"id\":"), 1);
    assert!(refused(&crowded).contains("up to 64 are kept"));
}

/// A studio of 20,000 entries is read and written, and a table of it comes back, without anything growing out of hand.
#[test]
fn a_long_log_is_read() {
    let mut studio: Studio = file::read(DEMO).unwrap();
    let entry = studio.entries[15].clone();
    studio.entries.clear();
    for number in 0..20_000 {
        let mut entry = entry.clone();
        entry.id = format!("e-{number}");
        entry.code.clear();
        studio.entries.push(entry);
    }
    let text = file::write(&studio);
    assert_eq!(file::read(&text).unwrap(), studio);
    let table = csv::write(&studio, csv::Table::Log, csv::Style::default());
    let read = csv::read(&table, &studio, csv::Table::Log, 1).unwrap();
    assert_eq!((read.same, read.problems.len()), (20_000, 0));
}

proptest! {
    #![proptest_config(crate::fixed(300, 20))]

    /// Any number anywhere is within its bounds or refused with the place where it stands.
    #[test]
    fn no_number_beyond_its_bounds_is_taken(value in prop::num::f64::ANY, key in 0usize..8) {
        let (key, old) = [
            ("usual_sg", "1.45"), ("wall_mm", "6"), ("absorption", "0.1"), ("width_mm", "50"),
            ("slope_deg", "90"), ("to_mm", "60"), ("coats", "2"), ("area_cm2", "50"),
        ][key];
        let text = file::write(&small());
        let with = text.replacen(&format!("\"{key}\": {old}"), &format!("\"{key}\": {value}"), 1);
        match file::read(&with) {
            Ok(studio) => prop_assert_eq!(file::read(&file::write(&studio)).unwrap(), studio),
            Err(refusal) if value.is_finite() => {
                prop_assert!(refusal.place.ends_with(key) || refusal.place.contains("shape") || refusal.place.contains("zone"), "{}", refusal);
            }
            Err(refusal) => prop_assert!(refusal.place.is_empty(), "{}", refusal),
        }
    }

    /// Any text for a name: taken only if every letter of it can be seen.
    #[test]
    fn names_show_all_their_letters(name in "\\PC{0,90}|[\\x00-\\x20\u{200b}-\u{202f}\u{e0000}-\u{e007f}a]{0,12}") {
        let mut studio = small();
        studio.glazes[0].name.clone_from(&name);
        let visible = !name.trim().is_empty() && name.chars().count() <= 80
            && !name.chars().any(|letter| letter.is_control() || matches!(letter, '\u{200b}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{e0000}'..='\u{e007f}'));
        match file::read(&file::write(&studio)) {
            Ok(read) => {
                prop_assert!(visible);
                prop_assert_eq!(read, studio);
            }
            Err(refusal) => prop_assert_eq!(refusal.place, "glazes[0].name"),
        }
    }
}
