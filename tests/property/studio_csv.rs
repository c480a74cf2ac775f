//! A table goes out and comes back letter by letter; what is not understood is said line by line, and nothing is half taken.

use glazefall::studio::csv::{self, Separator, Style, Table};
use glazefall::studio::document::{Entry, How, Run, Studio};
use glazefall::studio::edit::{self, Edit};
use glazefall::studio::file;
use proptest::prelude::*;

use crate::studio::small;

fn demo() -> Studio {
    file::read(include_str!("../../fixtures/demo/studio.json")).unwrap()
}

fn styles() -> Vec<Style> {
    let mut styles = Vec::new();
    for separator in [Separator::Comma, Separator::Semicolon, Separator::Tab] {
        for decimal_comma in [false, true] {
            styles.push(Style {
                separator,
                decimal_comma,
            });
        }
    }
    styles
}

/// The entries with their stamps taken off, which are the studio's and not the table's.
fn timeless(studio: &Studio) -> Vec<Entry> {
    let mut entries = studio.entries.clone();
    for entry in &mut entries {
        entry.changed_ms = 0;
    }
    entries
}

#[test]
fn the_demo_goes_out_and_comes_back() {
    let studio = demo();
    for style in styles() {
        for table in [Table::Log, Table::WeighIns] {
            let text = csv::write(&studio, table, style);
            // As it is, with other line ends, and without the mark of its encoding.
            for text in [
                text.clone(),
                text.replace("\r\n", "\n"),
                text.replace("\r\n", "\r"),
                text.trim_start_matches('\u{feff}').to_owned(),
            ] {
                let same = csv::read(&text, &studio, table, 1).unwrap();
                assert_eq!(same.problems, []);
                assert_eq!(same.separator, style.separator);
                assert!(same.columns.iter().all(|column| column.taken_for.is_some()));
                assert_eq!((same.new, same.changed), (0, 0), "{style:?} {table:?}");
                assert_eq!(same.edit, Edit::Many(vec![]));
            }
            let mut bare = studio.clone();
            match table {
                Table::Log => bare.entries.clear(),
                Table::WeighIns => bare.weigh_ins.clear(),
            }
            let read = csv::read(&text, &bare, table, 1).unwrap();
            assert_eq!(read.problems, []);
            edit::apply(&mut bare, read.edit, 1).unwrap();
            assert_eq!(timeless(&bare), timeless(&studio));
            assert_eq!(bare.weigh_ins.len(), studio.weigh_ins.len());
        }
    }
}

#[test]
fn lines_that_are_not_understood_are_listed_one_by_one() {
    let studio = small();
    let text = "Code;Form;Hand;Layer 1 glaze;Layer 1 how;Layer 1 from (mm);Layer 1 to (mm);Run mm;Colour of the moon\r\n\
        A3A;Test tile;A1;Moss;3 coats;0;60;12,5;silver\r\n\
        A3C;Test tile;nobody;Moss;3 coats;0;60;12,5;\r\n\
        A3E;Test tile;A1;Moss;three;0;60;;\r\n\
        A3F;Test tile;A1;Moss;3 coats;0;600;about 5;\r\n\
        A3H;Test tile;A1;Moss;30 coats;0;60;1.234,5;\r\n\
        A3K;;A1;Moss;2 coats;0;60;;\r\n\
        A3M;Test tile;A1;Moss;30 coats;0;600;3000;\r\n\
        K7;;;;;;;7;\r\n";
    let read = csv::read(text, &studio, Table::Log, 7).unwrap();
    assert_eq!(read.separator, Separator::Semicolon);
    assert_eq!(read.columns[8].taken_for, None);
    let mut words = String::new();
    for problem in &read.problems {
        words += &format!(
            "line {}, {} ({}): {} {}\n",
            problem.line,
            problem.column,
            problem.message.place,
            problem.message.problem,
            problem.message.remedy
        );
    }
    insta::assert_snapshot!(words);
}

#[test]
fn what_no_column_says_stays_as_it_was() {
    let mut studio = small();
    // By the code alone: one more column, the rest untouched.
    let read = csv::read(
        "code,note\nk7,\"said \"\"stuck\"\"\ntwice\"\n",
        &studio,
        Table::Log,
        7,
    )
    .unwrap();
    assert_eq!(read.problems, []);
    assert_eq!((read.new, read.changed, read.same), (0, 1, 0));
    edit::apply(&mut studio, read.edit, 7).unwrap();
    let mut expected = small().entries.remove(0);
    expected.note = "said \"stuck\"\ntwice".into();
    expected.code = "k7".into();
    expected.changed_ms = 7;
    assert_eq!(studio.entries, [expected]);
}

#[test]
fn formulas_are_made_harmless_and_come_back() {
    let mut studio = small();
    let nasty = [
        "=1+1", "+1", "-1", "@SUM(A1)", "'=x", "''", "'", "plain", " =spaced", "＝wide",
        "a;b,c\td", "5\" tile", "\"", "x\ny",
    ];
    for text in nasty {
        studio.entries[0].note = text.into();
        for style in styles() {
            let table = csv::write(&studio, Table::Log, style);
            let read = csv::read(&table, &studio, Table::Log, 1).unwrap();
            assert_eq!(
                (read.problems.len(), read.same),
                (0, 1),
                "{text:?} {style:?}\n{table}"
            );
            for cell in table.split(['\n', style.separator.letter()]) {
                let start = cell.trim_start_matches(['"', ' ']);
                assert!(!start.starts_with(['=', '+', '-', '@', '＝']), "{cell:?}");
            }
        }
    }
}

#[test]
fn what_is_no_table_is_refused() {
    let studio = small();
    for (text, word) in [
        ("", "nothing"),
        ("\u{feff}\r\n \n", "nothing"),
        ("code,note\nK7,\"open", "quote"),
        ("alpha,beta\n1,2\n", "header"),
    ] {
        let refusal = csv::read(text, &studio, Table::Log, 1).unwrap_err();
        assert!(refusal.to_string().contains(word), "{text:?}: {refusal}");
    }
    // Twice the same line, twice the same column.
    let read = csv::read("id,note,Note\nt1,a,a\nt1,b,b\n", &studio, Table::Log, 1).unwrap();
    assert_eq!(read.problems.len(), 2);
}

proptest! {
    #![proptest_config(crate::fixed(256, 15))]

    /// Notes of any visible letters, numbers of any size within bounds, any style.
    #[test]
    fn any_entry_goes_out_and_comes_back(
        note in "[ -~\u{a1}-\u{ac}\u{391}-\u{3a9}\n\t]{0,40}",
        name in "[!-~]{0,20}",
        to in 2.0f64..100.0,
        run in 0.0f64..2000.0,
        error in 0.1f64..50.0,
        coats in 1u32..20,
        style in 0usize..6,
    ) {
        let mut studio = small();
        let entry = &mut studio.entries[0];
        entry.note = note;
        entry.name = name;
        entry.layers[0].zone.to_mm = to;
        entry.layers[1].how = How::Brush { coats };
        if let Some(outcome) = &mut entry.outcome {
            outcome.run = Some(Run::Ruler { run_mm: run, error_mm: error });
        }
        let table = csv::write(&studio, Table::Log, styles()[style]);
        let read = csv::read(&table, &studio, Table::Log, 1).unwrap();
        prop_assert!(read.problems.is_empty(), "{:?}\n{}", read.problems, table);
        prop_assert_eq!(read.same, 1, "{}", table);
    }

    /// Whatever the text, no panic, and what is understood passes the checks or is refused as a whole.
    #[test]
    fn any_text_is_read_or_refused(text in "(code|id|note|form|layer 1 glaze|layer 1 how|run mm|edge|[,;\t\r\n\"'=. ]|K7|t1|Moss|[0-9]{1,4}|\\PC){0,60}") {
        let mut studio = small();
        if let Ok(read) = csv::read(&text, &studio, Table::Log, 1) && read.problems.is_empty() {
            let before = studio.clone();
            if edit::apply(&mut studio, read.edit, 1).is_err() {
                prop_assert_eq!(&studio, &before);
            }
            prop_assert!(glazefall::studio::check::check(&studio).is_ok());
        }
    }
}
