//! Two copies of one studio come together to the same, whichever takes in the other; nothing is lost, nothing stands twice.

use glazefall::studio::any::AnyRecord;
use glazefall::studio::document::{List, Studio};
use glazefall::studio::edit::{self, Edit};
use glazefall::studio::merge::{self, ConflictKind};
use glazefall::studio::{check, codes};
use proptest::prelude::*;

use crate::studio::small;

fn put(studio: &mut Studio, record: AnyRecord, now: u64) {
    edit::apply(studio, Edit::Put { record, at: None }, now).unwrap();
}

fn remove(studio: &mut Studio, list: List, id: &str, now: u64) {
    let id = id.into();
    edit::apply(studio, Edit::Remove { list, id }, now).unwrap();
}

fn entry(studio: &Studio, id: &str, note: &str) -> AnyRecord {
    let mut entry = small().entries.remove(0);
    entry.id = id.into();
    entry.note = note.into();
    entry.code = codes::fresh_code(studio);
    AnyRecord::Entry(Box::new(entry))
}

/// Without order, which each copy has its own of.
fn sorted(studio: &Studio) -> Studio {
    let mut studio = studio.clone();
    studio.glazes.sort_by(|a, b| a.id.cmp(&b.id));
    studio.entries.sort_by(|a, b| a.id.cmp(&b.id));
    studio.weigh_ins.sort_by(|a, b| a.id.cmp(&b.id));
    studio
}

#[test]
fn each_brings_what_it_has_and_the_newer_copy_wins() {
    let (mut laptop, mut tablet) = (small(), small());
    let record = entry(&laptop, "from-laptop", "");
    put(&mut laptop, record, 100);
    let record = entry(&tablet, "from-tablet", "");
    put(&mut tablet, record, 110);
    let record = entry(&laptop, "t1", "changed on the laptop");
    put(&mut laptop, record, 120);
    let record = entry(&tablet, "t1", "changed on the tablet, later");
    put(&mut tablet, record, 130);
    remove(&mut tablet, List::WeighIns, "w1", 140);

    let (laptop_before, mut tablet_after) = (laptop.clone(), tablet.clone());
    let merged = merge::merge(&mut laptop, &tablet).unwrap();
    assert_eq!((merged.new, merged.newer, merged.removed), (1, 1, 1));
    check::check(&laptop).unwrap();
    assert_eq!(laptop.entries.len(), 3);
    assert_eq!(laptop.entries[0].note, "changed on the tablet, later");
    // Both gave the same first code to their new entry; it stands once.
    let kinds: Vec<_> = merged
        .conflicts
        .iter()
        .map(|conflict| conflict.kind)
        .collect();
    assert!(
        kinds.contains(&ConflictKind::Changed) && kinds.contains(&ConflictKind::CodeTwice),
        "{kinds:?}"
    );

    // Once more changes nothing; the other way round comes to the same.
    let again = merge::merge(&mut laptop, &tablet).unwrap();
    assert_eq!(again.applied.changed, []);
    merge::merge(&mut tablet_after, &laptop).unwrap();
    assert_eq!(sorted(&tablet_after), sorted(&laptop));

    // One undo.
    edit::apply(&mut laptop, merged.applied.inverse, 200).unwrap();
    assert_eq!(laptop.entries.len(), laptop_before.entries.len());
    assert_eq!(laptop.weigh_ins.len(), 1);
}

#[test]
fn what_is_removed_here_and_used_there_stays() {
    let (mut laptop, mut tablet) = (small(), small());
    for studio in [&mut laptop, &mut tablet] {
        put(
            studio,
            AnyRecord::Glaze(Box::new(glazefall::studio::document::Glaze {
                id: "tide".into(),
                name: "Tide".into(),
                usual_sg: 1.4,
                ..Default::default()
            })),
            10,
        );
    }
    remove(&mut laptop, List::Glazes, "tide", 50);
    let mut record = entry(&tablet, "uses-it", "");
    if let AnyRecord::Entry(entry) = &mut record {
        entry.layers[0].glaze = "tide".into();
    }
    put(&mut tablet, record, 60);
    let mut other = tablet.clone();
    let merged = merge::merge(&mut laptop, &tablet).unwrap();
    assert_eq!(merged.conflicts[0].kind, ConflictKind::RemovedButUsed);
    check::check(&laptop).unwrap();
    merge::merge(&mut other, &laptop).unwrap();
    assert_eq!(sorted(&other), sorted(&laptop));
}

#[test]
fn another_studio_is_not_merged() {
    let (mut ours, mut theirs) = (small(), small());
    theirs.id = "elsewhere".into();
    let refusal = merge::merge(&mut ours, &theirs).unwrap_err();
    assert!(refusal.to_string().contains("another studio"), "{refusal}");
    assert_eq!(ours, small());
}

fn do_one(studio: &mut Studio, who: &str, what: u8, which: u8, now: u64) {
    let id = format!("t{which}");
    match what {
        0 | 1 => {
            let record = entry(studio, &id, &format!("{who} {now}"));
            _ = edit::apply(studio, Edit::Put { record, at: None }, now);
        }
        2 => {
            _ = edit::apply(
                studio,
                Edit::Remove {
                    list: List::Entries,
                    id,
                },
                now,
            )
        }
        3 => {
            _ = edit::apply(
                studio,
                Edit::Remove {
                    list: List::WeighIns,
                    id: "w1".into(),
                },
                now,
            )
        }
        4 => {
            _ = edit::apply(
                studio,
                Edit::Remove {
                    list: List::Glazes,
                    id: "amber".into(),
                },
                now,
            )
        }
        _ => {
            let mut glaze = small().glazes.remove(1);
            glaze.note = format!("{who} {now}");
            _ = edit::apply(
                studio,
                Edit::Put {
                    record: AnyRecord::Glaze(Box::new(glaze)),
                    at: None,
                },
                now,
            );
        }
    }
}

proptest! {
    #![proptest_config(crate::fixed(300, 12))]

    /// Two copies with edits of their own: merged both ways they hold the same records, pass their checks, and merging again does nothing.
    #[test]
    fn merging_settles(
        ours in prop::collection::vec((0u8..6, 1u8..5, 1u64..40), 0..10),
        theirs in prop::collection::vec((0u8..6, 1u8..5, 1u64..40), 0..10),
    ) {
        let (mut laptop, mut tablet) = (small(), small());
        ours.iter().for_each(|(what, which, now)| do_one(&mut laptop, "laptop", *what, *which, *now));
        theirs.iter().for_each(|(what, which, now)| do_one(&mut tablet, "tablet", *what, *which, *now));
        let before: Vec<String> = laptop.entries.iter().chain(&tablet.entries).map(|entry| entry.id.clone()).collect();
        merge::merge(&mut laptop, &tablet).unwrap();
        prop_assert!(check::check(&laptop).is_ok());
        for entry in &laptop.entries {
            prop_assert!(before.contains(&entry.id));
        }
        merge::merge(&mut tablet, &laptop).unwrap();
        prop_assert!(check::check(&tablet).is_ok());
        merge::merge(&mut laptop, &tablet).unwrap();
        prop_assert_eq!(sorted(&laptop), sorted(&tablet));
        let again = merge::merge(&mut laptop, &tablet).unwrap();
        prop_assert_eq!(again.applied.changed, vec![]);
    }
}
