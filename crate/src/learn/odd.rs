//! Entries that look like a blunder, and what would explain each.
//!
//! Takes each entry's chance of being a blunder and points of the posterior; gives the odd ones with a sentence, the oddest first.

use super::calibration::{Judged, pareto};
use super::data::{Log, RunRead};
use super::likelihood::{Model, RunChance, Stack};
use super::posterior::OddEntry;
use crate::order;
use crate::studio::case::Case;
use crate::studio::document::{Entry, How, Studio};

/// From this chance of a blunder on an entry is pointed out: a second look costs a minute, a wrong line that nobody sees more than nine (judged).
const ODD_FROM: f64 = 0.1;
/// Most entries that are pointed out.
const MOST: usize = 50;
/// A change explains an entry where it makes it this many times as likely (judged).
const EXPLAINS: f64 = 6.0;
/// Points that an odd entry is looked at by.
const LOOKS: usize = 32;

/// The odd entries of a log, by points of its posterior.
pub fn odd_entries(
    studio: &Studio,
    model: &Model,
    judged: &Judged,
    points: &[&[f64]],
) -> Vec<OddEntry> {
    let log = &model.log;
    let mut odd = Vec::new();
    for (i, (piece, left)) in log.pieces.iter().zip(&judged.left).enumerate() {
        if left.blunder >= ODD_FROM && !piece.kept {
            odd.push((left.blunder, Some(i), piece.entry as usize));
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
    let every = (points.len() / LOOKS).max(1);
    let points: Vec<&[f64]> = points.iter().step_by(every).copied().collect();
    for (chance, piece, place) in odd {
        let (id, why) = match piece {
            Some(number) => {
                let entry = &studio.entries[place];
                (entry.id.clone(), why(studio, model, number, entry, &points))
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

fn why(studio: &Studio, model: &Model, number: usize, entry: &Entry, points: &[&[f64]]) -> String {
    let mut words = String::new();
    let read = model.log.pieces[number].run;
    match read {
        Some(RunRead::Ruler { run_m, .. }) => {
            words.push_str("It was read as ");
            push_mm(&mut words, run_m);
        }
        Some(RunRead::Between { stuck: true, .. }) => {
            words.push_str("It is said not to have moved")
        }
        Some(RunRead::Between {
            least_m, most_m, ..
        }) => {
            words.push_str("It is said to have run ");
            if least_m <= 0.0 {
                words.push_str("at most ");
                push_mm(&mut words, most_m);
            } else if most_m.is_finite() {
                push_number(&mut words, least_m);
                words.push_str(" to ");
                push_mm(&mut words, most_m);
            } else {
                words.push_str("at least ");
                push_mm(&mut words, least_m);
            }
        }
        None => words.push_str("Its run is odd"),
    }
    // What all others say: each point by one over what the entry says for it.
    let mut stack = Stack::default();
    let near = model.aim(number, 5e-3);
    let (mut chances, mut weights, mut ln_written) = (Vec::new(), Vec::new(), Vec::new());
    for point in points {
        let now = model.now(point);
        let ln = model.ln_likelihood(number, &now, point, &mut stack).0;
        weights.push(-ln);
        ln_written.push(ln);
        chances.push(model.run_chance(number, &now, point, &mut stack, &near));
    }
    pareto::smooth(&mut weights);
    let low = quantile(model, number, &chances, &weights, 0.1);
    let high = quantile(model, number, &chances, &weights, 0.9);
    if high < 0.5e-3 {
        words.push_str(" where hardly any run was expected.");
    } else {
        words.push_str(" where ");
        push_number(&mut words, low);
        words.push_str(" to ");
        push_mm(&mut words, high);
        words.push_str(" were expected.");
    }
    let likely = |ln: &[f64]| {
        let mut sum = 0.0;
        for (ln, weight) in ln.iter().zip(&weights) {
            sum += weight * ln.exp();
        }
        sum
    };
    let as_written = likely(&ln_written);
    let better = |changed: &Entry| {
        ln_as_if(studio, model, changed, points).map_or(0.0, |ln| likely(&ln) / as_written)
    };
    words.push_str(explanation(entry, better));
    words.push_str(match read {
        Some(RunRead::Between { .. }) => " Look whether another word was meant,",
        _ => " Look at the reading,",
    });
    words.push_str(" at the coats and the glazes; if all is as written, keep it.");
    words
}

/// The run that an entry stays below with chance `p`, m, by weighted points.
fn quantile(
    model: &Model,
    number: usize,
    chances: &[RunChance<'_, { super::likelihood::EDGES }>],
    weights: &[f64],
    p: f64,
) -> f64 {
    let (mut low, mut high) = (0.0, 0.5);
    for _ in 0..12 {
        let middle = 0.5 * (low + high);
        let marks = model.aim(number, middle).marks;
        let (mut below, mut all) = (0.0, 0.0);
        for (chance, weight) in chances.iter().zip(weights) {
            below += weight * chance.below(middle, &marks);
            all += weight;
        }
        if below < p * all {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// The change that would explain an entry best, in words, by how many times as likely each makes it; nothing where none does.
fn explanation(entry: &Entry, better: impl Fn(&Entry) -> f64) -> &'static str {
    let mut best = (EXPLAINS, "");
    let mut attempt = |changed: &Entry, words: &'static str| {
        let times = better(changed);
        if times > best.0 {
            best = (times, words);
        }
    };
    if entry.layers.len() > 1 {
        let mut changed = entry.clone();
        let mut glazes: Vec<String> = entry.layers.iter().map(|l| l.glaze.clone()).collect();
        glazes.reverse();
        for (layer, glaze) in changed.layers.iter_mut().zip(glazes) {
            layer.glaze = glaze;
        }
        attempt(
            &changed,
            " With the glazes the other way round it would fit.",
        );
    }
    for layer in 0..entry.layers.len() {
        for &more in &[-2_i32, -1, 1, 2] {
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
                        " With a coat or two more it would fit."
                    } else {
                        " With a coat or two fewer it would fit."
                    },
                );
            }
        }
    }
    best.1
}

/// Log likelihood, by point, of an entry as it would be if it had been written down otherwise.
fn ln_as_if(
    studio: &Studio,
    model: &Model,
    changed: &Entry,
    points: &[&[f64]],
) -> Option<Vec<f64>> {
    let case = Case::of(studio, changed).ok()?;
    let mut log = Log::of_one(studio, &model.log.unknowns, changed, &case);
    log.words = model.log.words;
    let one = Model::held(log, points.first()?);
    let mut stack = Stack::default();
    let mut ln = Vec::new();
    for point in points {
        let now = one.now(point);
        one.log.pieces.first()?;
        ln.push(one.ln_likelihood(0, &now, point, &mut stack).0);
    }
    Some(ln)
}

fn push_mm(words: &mut String, metres: f64) {
    push_number(words, metres);
    words.push_str(" mm");
}

fn push_number(words: &mut String, metres: f64) {
    words.push_str(&((metres * 1e3).round() as i64).to_string());
}
