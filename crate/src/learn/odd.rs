//! Entries that look like a blunder, and what would explain each.
//!
//! Takes each entry's chance of being a blunder and a point near the posterior's middle; gives the odd ones with a sentence, the oddest first.

use super::calibration::Judged;
use super::data::{Log, RunRead};
use super::likelihood::{Model, Stack};
use super::posterior::OddEntry;
use crate::order;
use crate::studio::case::Case;
use crate::studio::document::{Entry, How, Studio};

/// From this chance of a blunder on an entry is pointed out.
const ODD_FROM: f64 = 0.5;
/// Most entries that are pointed out.
const MOST: usize = 50;
/// A change explains an entry where it makes it this many times as likely, natural log: 20 times.
const EXPLAINS_LN: f64 = 3.0;

/// The odd entries of a log.
pub fn odd_entries(
    studio: &Studio,
    model: &Model,
    judged: &Judged,
    point: &[f64],
) -> Vec<OddEntry> {
    let log = &model.log;
    let mut odd = Vec::new();
    for (i, piece) in log.pieces.iter().enumerate() {
        let chance = judged.blunder[i];
        if chance >= ODD_FROM && !piece.kept {
            odd.push((chance, Some(i), piece.entry as usize));
        }
    }
    for (i, weighed) in log.weighed.iter().enumerate() {
        if judged.weigh_in_blunder[i] >= ODD_FROM {
            odd.push((judged.weigh_in_blunder[i], None, weighed.weigh_in as usize));
        }
    }
    order::by(&mut odd, |a, b| b.0.total_cmp(&a.0));
    odd.truncate(MOST);
    let mut found = Vec::new();
    for (chance, piece, place) in odd {
        let (id, why) = match piece {
            Some(number) => {
                let entry = &studio.entries[place];
                (entry.id.clone(), why(studio, model, number, entry, point))
            }
            None => (
                studio.weigh_ins[place].id.clone(),
                "It weighs far from what this hand lays down elsewhere: look at the grams, the area and the coats.".into(),
            ),
        };
        found.push(OddEntry { id, why, chance });
    }
    found
}

fn why(studio: &Studio, model: &Model, number: usize, entry: &Entry, point: &[f64]) -> String {
    let mut words = String::new();
    match model.log.pieces[number].run {
        Some(RunRead::Ruler { run_m, .. }) => {
            words.push_str("It was read as ");
            push_mm(&mut words, run_m);
        }
        Some(RunRead::Between { stuck: true, .. }) => {
            words.push_str("It is said not to have moved")
        }
        Some(RunRead::Between { least_m, .. }) if least_m > 0.0 => {
            words.push_str("It is said to have run at least ");
            push_mm(&mut words, least_m);
        }
        _ => words.push_str("Its run is odd"),
    }
    let now = model.now(point);
    let mut stack = Stack::default();
    let chance = model.run_chance(number, &now, point, &mut stack, &model.aim(number, 5e-3));
    let quantile = |p: f64| {
        let (mut low, mut high) = (0.0, 0.5);
        for _ in 0..30 {
            let middle = 0.5 * (low + high);
            if chance.below(middle, &model.aim(number, middle).marks) < p {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    };
    words.push_str(" where ");
    push_mm(&mut words, quantile(0.1));
    words.push_str(" to ");
    push_mm(&mut words, quantile(0.9));
    words.push_str(" were expected. ");
    words.push_str(explanation(studio, model, number, entry, point));
    words
}

/// The change that would explain an entry best, in words.
fn explanation(
    studio: &Studio,
    model: &Model,
    number: usize,
    entry: &Entry,
    point: &[f64],
) -> &'static str {
    let mut stack = Stack::default();
    let as_written = model
        .ln_likelihood(number, &model.now(point), point, &mut stack)
        .0;
    let mut best = (
        EXPLAINS_LN,
        "Look whether the reading, the glazes and the coats are those of this piece.",
    );
    let mut attempt = |changed: &Entry, words: &'static str| {
        if let Some(ln) = ln_as_if(studio, model, changed, point)
            && ln - as_written > best.0
        {
            best = (ln - as_written, words);
        }
    };
    if entry.layers.len() > 1 {
        let mut changed = entry.clone();
        changed.layers.reverse();
        attempt(
            &changed,
            "With the layers the other way round it would fit: look at their order.",
        );
    }
    for layer in 0..entry.layers.len() {
        for more in [-2_i32, -1, 1, 2] {
            let mut changed = entry.clone();
            let How::Brush { coats } = &mut changed.layers[layer].how else {
                continue;
            };
            let counted = *coats as i32 + more;
            if counted >= 1 {
                *coats = counted as u32;
                attempt(
                    &changed,
                    if more > 0 {
                        "With a coat or two more it would fit: look at the number of coats."
                    } else {
                        "With a coat or two fewer it would fit: look at the number of coats."
                    },
                );
            }
        }
    }
    best.1
}

/// Log likelihood of an entry as it would be if it had been written down otherwise.
fn ln_as_if(studio: &Studio, model: &Model, changed: &Entry, point: &[f64]) -> Option<f64> {
    let case = Case::of(studio, changed).ok()?;
    let one = Model::held(
        Log::of_one(studio, &model.log.unknowns, changed, &case),
        point,
    );
    let now = one.now(point);
    (!one.log.pieces.is_empty()).then(|| one.ln_likelihood(0, &now, point, &mut Stack::default()).0)
}

fn push_mm(words: &mut String, metres: f64) {
    words.push_str(&((metres * 1e3).round() as i64).to_string());
    words.push_str(" mm");
}
