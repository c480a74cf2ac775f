//! A learning shared between two engines gives what one alone gives, bit for bit, whatever becomes of the share.

use glazefall::learn::{Learning, Options, Posterior, learn};
use glazefall::studio::document::Studio;
use glazefall::studio::file;
use glazefall_tests::studios::of_size;

const OPTIONS: Options = Options { draws: 64, seed: 5 };
/// The pair of chains that is drawn elsewhere.
const PAIR: usize = 1;

fn demo() -> Studio {
    file::read(include_str!("../../fixtures/demo/studio.json")).unwrap()
}

/// All that was learned; each float as its shortest text, which no other float has.
fn all(known: &Posterior) -> String {
    format!("{known:?}")
}

/// A learning whose own part is done, and where its sampling starts.
fn own_part(studio: &Studio) -> (Learning, Vec<f64>) {
    let mut learning = Learning::start(studio, &OPTIONS);
    assert!(learning.start_numbers().is_none());
    learning.leave(1);
    while !learning.step().waits {}
    let start = learning.start_numbers().unwrap();
    (learning, start)
}

/// What another engine that was given the studio's document draws from there.
fn other_part(studio: &Studio, start: &[f64]) -> Option<Vec<f64>> {
    let given = file::read(&file::write(studio)).unwrap();
    let mut learning = Learning::start(&given, &OPTIONS);
    assert!(learning.start_at(start, PAIR));
    while !learning.step().waits {}
    learning.pair_numbers(PAIR)
}

#[test]
fn shares_drawn_apart_give_what_one_alone_gives() {
    for studio in [demo(), of_size(40)] {
        let alone = all(&learn(&studio, &OPTIONS));
        let (mut learning, start) = own_part(&studio);
        let drawn = other_part(&studio, &start).unwrap();
        learning.put_pair(PAIR, &drawn);
        assert!(learning.step().ready);
        assert!(all(&learning.finish(&studio)) == alone);
    }
}

#[test]
fn a_share_that_is_lost_is_drawn_after_all() {
    let studio = demo();
    let alone = all(&learn(&studio, &OPTIONS));
    // Lost before anything was handed out.
    let mut learning = Learning::start(&studio, &OPTIONS);
    learning.leave(1);
    learning.put_pair(PAIR, &[]);
    assert!(all(&learning.finish(&studio)) == alone);
    // Lost later, or given up: nobody draws it until that is said.
    let (mut learning, start) = own_part(&studio);
    assert!(learning.step().waits);
    learning.put_pair(PAIR, &[]);
    assert!(!learning.step().waits);
    // It comes while it is being drawn here.
    let drawn = other_part(&studio, &start).unwrap();
    learning.put_pair(PAIR, &drawn);
    assert!(learning.step().ready);
    assert!(all(&learning.finish(&studio)) == alone);
    // What is not of this model counts as lost, cut short or of another log.
    let (mut learning, _) = own_part(&studio);
    learning.put_pair(PAIR, &drawn[..drawn.len() - 1]);
    assert!(!learning.step().waits);
    assert!(all(&learning.finish(&studio)) == alone);
}

#[test]
fn a_start_of_another_model_is_not_taken() {
    let (_, start) = own_part(&of_size(20));
    let mut learning = Learning::start(&demo(), &OPTIONS);
    assert!(!learning.start_at(&start, PAIR));
    assert!(!learning.start_at(&[], PAIR));
}
