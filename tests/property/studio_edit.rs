//! An edit does all or nothing, says what changed, and can be taken back.

use glazefall::studio::document::{Entry, How, List, Studio};
use glazefall::studio::edit::{self, Edit};
use glazefall::studio::{any::AnyRecord, check, codes, file};
use proptest::prelude::*;

use crate::studio::small;

fn put(record: AnyRecord) -> Edit {
    Edit::Put { record, at: None }
}

/// The studio without the stamps of time and the marks of what was removed, which undo does not turn back.
fn timeless(studio: &Studio) -> Studio {
    let mut copy = studio.clone();
    copy.removed.clear();
    for list in [
        List::Glazes,
        List::Hands,
        List::Bodies,
        List::Firings,
        List::Forms,
        List::Entries,
        List::WeighIns,
    ] {
        for at in 0.. {
            let Some(mut record) = AnyRecord::copy_of(&copy, list, at) else {
                break;
            };
            record.listed_mut().stamp(0);
            record.put_into(&mut copy, at, true);
        }
    }
    copy
}

#[test]
fn put_remove_and_back() {
    let mut studio = small();
    let before = studio.clone();
    let mut entry = studio.entries[0].clone();
    entry.layers[0].how = How::Brush { coats: 3 };
    let applied = edit::apply(&mut studio, put(AnyRecord::Entry(Box::new(entry))), 1000).unwrap();
    assert_eq!(applied.changed.len(), 1);
    assert_eq!(studio.entries[0].changed_ms, 1000);
    assert!(applied.head.is_none());
    let stored: Entry = file::read_record(applied.changed[0].json.as_ref().unwrap()).unwrap();
    assert_eq!(stored, studio.entries[0]);

    // A clock set back does not make the newer copy look older.
    edit::apply(&mut studio, applied.inverse, 5).unwrap();
    assert_eq!(studio.entries[0].changed_ms, 1001);
    assert_eq!(timeless(&studio), timeless(&before));

    let gone = Edit::Remove {
        list: List::Entries,
        id: "t1".into(),
    };
    let applied = edit::apply(&mut studio, gone, 2000).unwrap();
    assert!(studio.entries.is_empty());
    assert_eq!(studio.removed.len(), 1);
    assert_eq!(applied.changed[0].json, None);
    assert!(applied.head.is_some());
    edit::apply(&mut studio, applied.inverse, 3000).unwrap();
    assert_eq!(timeless(&studio), timeless(&before));
    assert!(studio.removed.is_empty());
}

#[test]
fn what_is_used_stays() {
    let mut studio = small();
    let before = studio.clone();
    let gone = |list, id: &str| Edit::Remove {
        list,
        id: id.into(),
    };
    for (list, id) in [
        (List::Glazes, "moss"),
        (List::Hands, "a1"),
        (List::Forms, "tile"),
    ] {
        let refusal = edit::apply(&mut studio, gone(list, id), 1).unwrap_err();
        assert!(refusal.to_string().contains("entries[0]"), "{refusal}");
        assert_eq!(studio, before);
    }
    // Together with what uses it, it goes.
    let all = Edit::Many(vec![
        gone(List::Hands, "a1"),
        gone(List::Entries, "t1"),
        gone(List::WeighIns, "w1"),
    ]);
    let applied = edit::apply(&mut studio, all, 1).unwrap();
    assert_eq!(studio.removed.len(), 3);
    edit::apply(&mut studio, applied.inverse, 2).unwrap();
    assert_eq!(timeless(&studio), timeless(&before));
}

#[test]
fn a_refused_edit_changes_nothing() {
    let mut studio = small();
    let before = studio.clone();
    let mut bad = studio.entries[0].clone();
    bad.id = "t2".into();
    bad.code.clear();
    bad.layers[1].sg = Some(14.5);
    let refusal =
        edit::apply(&mut studio, put(AnyRecord::Entry(Box::new(bad.clone()))), 1).unwrap_err();
    assert_eq!(refusal.place, "layers[1].sg");
    assert_eq!(studio, before);
    // In the midst of many, too; the code of the first stands twice then.
    bad.layers[1].sg = None;
    bad.code = "k7".into();
    let many = Edit::Many(vec![
        Edit::Name("Other".into()),
        Edit::Remove {
            list: List::WeighIns,
            id: "w1".into(),
        },
        put(AnyRecord::Entry(Box::new(bad))),
    ]);
    let refusal = edit::apply(&mut studio, many, 1).unwrap_err();
    assert!(
        refusal.to_string().contains("is taken already"),
        "{refusal}"
    );
    assert_eq!(studio, before);
    // A form that shrinks under the glaze that lies on it.
    let text = r#"{"kind":"put","list":"forms","record":{"id":"tile","name":"Short","shape":{"family":"tile","width_mm":50,"length_mm":40,"slope_deg":90}}}"#;
    let refusal = edit::apply(&mut studio, edit::read(text).unwrap(), 1).unwrap_err();
    assert_eq!(refusal.place, "entries[0].layers[0].zone.to_mm");
    assert_eq!(studio, before);
}

#[test]
fn edits_are_read_as_they_are_written() {
    let studio = small();
    let edit = Edit::Many(vec![
        put(AnyRecord::Entry(Box::new(studio.entries[0].clone()))),
        put(AnyRecord::WeighIn(Box::new(studio.weigh_ins[0].clone()))),
        Edit::Remove {
            list: List::Glazes,
            id: "moss".into(),
        },
        Edit::Settings(studio.settings.clone()),
        Edit::Name("Other".into()),
    ]);
    assert_eq!(edit::read(&edit::write(&edit)).unwrap(), edit);
    let refusal = edit::read(
        r#"{"kind":"many","edits":[{"kind":"put","list":"entries","record":{"id":"a","form":"b","layers":[{"glaze":3}]}}]}"#,
    );
    assert_eq!(
        refusal.unwrap_err().place,
        "edits[0].record.layers[0].glaze"
    );
}

#[test]
fn a_studio_is_put_together_from_its_records() {
    let studio = small();
    let head = file::write_head(&studio);
    let mut records = Vec::new();
    for list in [
        List::Glazes,
        List::Hands,
        List::Bodies,
        List::Forms,
        List::Entries,
        List::WeighIns,
    ] {
        for id in glazefall::studio::any::ids(&studio, list) {
            records.push((
                list,
                id.to_owned(),
                edit::record_text(&studio, list, id).unwrap(),
            ));
        }
    }
    let borrowed = |records: &[(List, String, String)], head: &str| {
        file::assemble(
            head,
            records
                .iter()
                .map(|(list, id, text)| (*list, id.as_str(), text.as_str())),
        )
    };
    let whole = borrowed(&records, &head);
    assert!(whole.left_out.is_empty());
    assert_eq!(whole.studio, studio);
    // One damaged glaze costs itself, the entry and the weigh-in on it, and nothing else.
    records[0].2.truncate(20);
    let damaged = borrowed(&records, "{");
    let lost: Vec<_> = damaged
        .left_out
        .iter()
        .map(|one| (one.list, one.id.as_str()))
        .collect();
    assert_eq!(
        lost,
        [
            (None, ""),
            (Some(List::Glazes), "moss"),
            (Some(List::Entries), "t1"),
            (Some(List::WeighIns), "w1")
        ]
    );
    assert_eq!(damaged.studio.glazes.len(), 1);
    check::check(&damaged.studio).unwrap();
}

#[test]
fn an_empty_studio_passes_its_checks() {
    let studio = Studio::empty("our-kiln", "Our kiln");
    if let Err(refusals) = check::check(&studio) {
        panic!("{}", refusals[0]);
    }
    assert_eq!(file::read(&file::write(&studio)).unwrap(), studio);
}

#[test]
fn codes_are_told_apart() {
    let mut studio = small();
    let mut seen = vec!["K7".to_owned()];
    // Beyond the 576 shortest.
    for number in 0..700 {
        let code = codes::fresh_code(&studio);
        assert!(!seen.contains(&code), "{code}");
        assert!(
            code.len() == if number < 576 { 3 } else { 4 },
            "{number} {code}"
        );
        assert!(!code.contains([
            '0', '1', '2', '5', '6', '8', 'B', 'D', 'G', 'I', 'J', 'L', 'N', 'O', 'Q', 'S', 'U',
            'V', 'W', 'Z'
        ]));
        let mut entry = studio.entries[0].clone();
        entry.code.clone_from(&code);
        studio.entries.push(entry);
        seen.push(code);
    }
    assert_eq!(codes::fresh_id(&small(), List::Glazes, "Moss", 0), "moss-2");
    assert_eq!(codes::fresh_id(&small(), List::Hands, "ÅÄ", 36), "h-10");
    assert_eq!(
        codes::fresh_id(&small(), List::Forms, "  Tall jar / 2 ", 36),
        "tall-jar-2"
    );
}

proptest! {
    #![proptest_config(crate::fixed(200, 14))]

    /// Any run of edits taken back in turn leaves what was there.
    #[test]
    fn edits_taken_back_leave_no_trace(steps in prop::collection::vec((0u8..6, 1u32..6, 0u64..5000), 1..12)) {
        let mut studio = small();
        let before = timeless(&studio);
        let mut undo = Vec::new();
        for (what, coats, now) in steps {
            let mut entry = small().entries.remove(0);
            entry.layers[0].how = How::Brush { coats };
            let edit = match what {
                0 => put(AnyRecord::Entry(Box::new(entry))),
                1 => {
                    entry.id = format!("t{}", coats + 1);
                    entry.code = codes::fresh_code(&studio);
                    put(AnyRecord::Entry(Box::new(entry)))
                }
                2 => Edit::Remove { list: List::Entries, id: format!("t{coats}") },
                3 => Edit::Remove { list: List::WeighIns, id: "w1".into() },
                4 => Edit::Name(format!("Name {coats}")),
                _ => {
                    let mut settings = studio.settings.clone();
                    settings.recess_share = f64::from(coats) * 0.1;
                    Edit::Many(vec![Edit::Settings(settings), Edit::Remove { list: List::Hands, id: "a1".into() }])
                }
            };
            let as_it_was = studio.clone();
            match edit::apply(&mut studio, edit, now) {
                Ok(applied) => undo.push(applied.inverse),
                Err(_) => prop_assert_eq!(&studio, &as_it_was),
            }
            prop_assert!(check::check(&studio).is_ok());
        }
        while let Some(inverse) = undo.pop() {
            edit::apply(&mut studio, inverse, 9).unwrap();
        }
        prop_assert_eq!(timeless(&studio), before);
    }
}
