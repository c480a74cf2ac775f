//! One fixture for each kind of refusal, its words held as a snapshot: what is wrong, where, what to do.

use std::fmt::Write;
use std::path::Path;

use glazefall::studio::file;

/// All fixtures with the words a person reads for each.
#[test]
fn every_refusal_says_what_where_and_what_to_do() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/refusals");
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .collect();
    names.sort();
    let mut words = String::new();
    for path in names {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let message = match file::read(&text) {
            Ok(_) => panic!("{name} is taken"),
            Err(refusal) => refusal.message(),
        };
        assert!(
            message.problem.ends_with('.') && message.remedy.ends_with(['.', '?']),
            "{name}: {message:?}"
        );
        writeln!(
            words,
            "{name}\n  where:  {}\n  what:   {}\n  remedy: {}",
            message.place, message.problem, message.remedy
        )
        .unwrap();
    }
    insta::assert_snapshot!(words);
}
