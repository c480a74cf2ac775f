//! Entries that look like a blunder, and what would explain each.
//!
//! Takes each entry's chance of being a blunder and points of the posterior; gives the odd ones with a sentence, the oddest first.

use super::calibration::{Judged, pareto};
use super::data::{Log, RunRead};
use super::likelihood::{EDGES, Judged as AtPoint, Lines, Margins, Marks, Model};
use super::posterior::OddEntry;
use super::target::beside;
use crate::order;
use crate::real::Pair;
use crate::studio::case::Cases;
use crate::studio::document::{Entry, How, Run, RunWord, Studio};

/// From this chance of a blunder on an entry is pointed out: a second look costs a minute, a wrong line that nobody sees more than nine (judged).
const ODD_FROM: f64 = 0.1;
/// From this chance of a blunder on an entry is tried against the mistakes below: what they add to less is hardly ever enough (measured).
const TRIED_FROM: f64 = 0.05;
/// Most entries that are tried, and so pointed out.
const MOST: usize = 50;
/// A change explains an entry where it makes it this many times as likely (judged).
const EXPLAINS: f64 = 6.0;
/// Shares of entries that have a layer's coats miscounted by one or two, the glazes of a stack the other way round, another word ticked: together half of the blunders thought of (judged).
/// Learning's own blunder is wide, so that it bends nothing; these are not, and speak up where one of them fits what was read.
const MISCOUNTED: f64 = 0.0075;
const SWAPPED: f64 = 0.01;
const OTHER_WORD: f64 = 0.005;
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
    let mut suspects = Vec::new();
    for (i, (piece, left)) in log.pieces.iter().zip(&judged.left).enumerate() {
        if left.blunder >= TRIED_FROM && !piece.kept {
            suspects.push((left.blunder, Some(i), piece.entry as usize));
        }
    }
    for (i, weighed) in log.weighed.iter().enumerate() {
        if judged.weigh_in_blunder[i] >= ODD_FROM {
            suspects.push((judged.weigh_in_blunder[i], None, weighed.weigh_in as usize));
        }
    }
    order::by(&mut suspects, |a, b| b.0.total_cmp(&a.0));
    suspects.truncate(MOST);
    let every = (points.len() / LOOKS).max(1);
    let points: Vec<&[f64]> = points.iter().step_by(every).copied().collect();
    let mut found = Vec::new();
    // The same few firings and shapes serve all.
    let mut cases = Cases::new(studio);
    for (blunder, piece, place) in suspects {
        let Some(number) = piece else {
            found.push(OddEntry {
                id: studio.weigh_ins[place].id.clone(),
                why: "It weighs far from what this hand lays down elsewhere: look at the grams, the area and the coats.".into(),
                chance: blunder,
            });
            continue;
        };
        let entry = &studio.entries[place];
        let tried = Tried::of(studio, model, &mut cases, entry, &points);
        let mut odds = blunder / (1.0 - blunder).max(1e-9);
        if let Some(tried) = &tried {
            odds += tried.odds;
        }
        let chance = odds / (1.0 + odds);
        if chance >= ODD_FROM {
            let read = model.log.pieces[number].run;
            found.push(OddEntry {
                id: entry.id.clone(),
                why: why(read, tried.as_ref(), &points),
                chance,
            });
        }
    }
    order::by(&mut found, |a, b| b.chance.total_cmp(&a.chance));
    found
}

/// An entry by itself, and what mistakes would say of it.
struct Tried {
    one: Model,
    /// What all others say: each point by one over what the entry says for it.
    weights: Vec<f64>,
    /// Odds of the mistakes together against the entry as it is written.
    odds: f64,
    /// The mistake that explains it best, in words; nothing where none does.
    explanation: &'static str,
}

impl Tried {
    fn of(
        studio: &Studio,
        model: &Model,
        cases: &mut Cases<'_>,
        entry: &Entry,
        points: &[&[f64]],
    ) -> Option<Self> {
        let mut alone = |entry: &Entry| {
            // A log of one entry, as it is or as it would be if it had been written down otherwise.
            let case = cases.of(entry).ok()?;
            let mut log = Log::of_one(studio, &model.log.unknowns, entry, &case);
            log.words = model.log.words;
            log.pieces.first()?;
            Some(Model::held(log, points.first()?))
        };
        let one = alone(entry)?;
        let ln_written = ln_likelihoods(&one, points);
        let mut weights: Vec<f64> = ln_written.iter().map(|ln| -ln).collect();
        pareto::smooth(&mut weights);
        let likely = |ln: &[f64]| {
            let mut sum = 0.0;
            for (ln, weight) in ln.iter().zip(&weights) {
                sum += weight * ln.exp();
            }
            sum
        };
        let as_written = likely(&ln_written);
        let (odds, explanation) = mistakes(entry, |changed| {
            alone(changed).map_or(0.0, |one| {
                likely(&ln_likelihoods(&one, points)) / as_written
            })
        });
        Some(Self {
            one,
            weights,
            odds,
            explanation,
        })
    }
}

fn why(read: Option<RunRead>, tried: Option<&Tried>, points: &[&[f64]]) -> String {
    let mut words = String::new();
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
    let Some(tried) = tried else {
        return words;
    };
    let [low, high] = quantiles(&tried.one, points, &tried.weights);
    if high < 0.5e-3 {
        words.push_str(" where hardly any run was expected.");
    } else {
        words.push_str(" where ");
        push_number(&mut words, low);
        words.push_str(" to ");
        push_mm(&mut words, high);
        words.push_str(" were expected.");
    }
    words.push_str(tried.explanation);
    words.push_str(match read {
        Some(RunRead::Between { .. }) => " Look whether another word was meant,",
        _ => " Look at the reading,",
    });
    words.push_str(" at the coats and the glazes; if all is as written, keep it.");
    words
}

/// The runs that the only entry of a log stays below with chance 0.1 and 0.9, m, by weighted points.
fn quantiles(one: &Model, points: &[&[f64]], weights: &[f64]) -> [f64; 2] {
    let mut judged = AtPoint::default();
    let mut chances = Vec::new();
    for (two, weights) in points.chunks(2).zip(weights.chunks(2)) {
        let point = &beside(two[0], two[two.len() - 1])[..];
        let weight = Pair::new([weights[0], *weights.get(1).unwrap_or(&0.0)]);
        let now = one.now(point);
        let lines = one.lines(&now);
        one.ln_likelihood(0, &now, &lines, point, &mut judged, &mut |chance| {
            chances.push((chance.clone(), now.ln_retention, weight));
        });
    }
    let mut all = 0.0;
    for weight in weights {
        all += weight;
    }
    let mut margins = Margins::default();
    let mut ends = [0.0; 2];
    for (end, p) in ends.iter_mut().zip([0.1, 0.9]) {
        let (mut low, mut high) = (0.0, 0.5);
        for _ in 0..12 {
            let middle = 0.5 * (low + high);
            let mut marks = Marks::for_strips(EDGES);
            let numbers = one.aim(0, middle, &mut marks);
            let mut below = Pair::ZERO;
            for (chance, ln_retention, weight) in &chances {
                let lines = Lines::of(&marks, *ln_retention);
                let lines = lines.of_edges(&numbers[..chance.edges]);
                chance.margins(&lines, false, &mut margins);
                below += *weight * chance.below(&margins);
            }
            if below.reduce_add() < p * all {
                low = middle;
            } else {
                high = middle;
            }
        }
        *end = 0.5 * (low + high);
    }
    ends
}

/// Odds of mistakes that people make against an entry as it is written, and the one that explains it best in words, by how many times as likely each makes it.
fn mistakes(entry: &Entry, mut better: impl FnMut(&Entry) -> f64) -> (f64, &'static str) {
    let mut best = (EXPLAINS, "");
    let mut attempt = |changed: &Entry, words: &'static str| {
        let times = better(changed);
        if times > best.0 {
            best = (times, words);
        }
        times
    };
    let mut odds = 0.0;
    let mut changed = entry.clone();
    let last = entry.layers.len().saturating_sub(1);
    let mut another = false;
    for (i, layer) in changed.layers.iter_mut().enumerate() {
        let glaze = &entry.layers[last - i].glaze;
        another |= layer.glaze != *glaze;
        layer.glaze.clone_from(glaze);
    }
    if another {
        odds += SWAPPED
            * attempt(
                &changed,
                " With the glazes the other way round it would fit.",
            );
    }
    let (mut sum, mut ways) = (0.0, 0.0);
    for layer in 0..entry.layers.len() {
        for &more in &[-2_i32, -1, 1, 2] {
            let mut changed = entry.clone();
            let How::Brush { coats } = &mut changed.layers[layer].how else {
                continue;
            };
            let counted = *coats as i32 + more;
            if counted >= 1 {
                *coats = counted as u32;
                ways += 1.0;
                sum += attempt(
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
    if ways > 0.0 {
        odds += MISCOUNTED * sum / ways;
    }
    if let Some(outcome) = &entry.outcome
        && let Some(Run::Word { word: said, .. }) = outcome.run
    {
        for (word, least_mm, most_mm) in RunWord::RANGES_MM {
            if word != said {
                let mut changed = entry.clone();
                let mut outcome = outcome.clone();
                outcome.run = Some(Run::Word {
                    word,
                    least_mm,
                    most_mm,
                });
                changed.outcome = Some(outcome);
                odds += OTHER_WORD / (RunWord::RANGES_MM.len() - 1) as f64 * better(&changed);
            }
        }
    }
    (odds, best.1)
}

/// Log likelihood of the only entry of a log, by point.
fn ln_likelihoods(one: &Model, points: &[&[f64]]) -> Vec<f64> {
    let mut judged = AtPoint::default();
    let mut ln = Vec::with_capacity(points.len());
    for two in points.chunks(2) {
        let point = &beside(two[0], two[two.len() - 1])[..];
        let now = one.now(point);
        let lines = one.lines(&now);
        let both = one.ln_likelihood(0, &now, &lines, point, &mut judged, &mut |_| ());
        ln.extend_from_slice(&both.as_array()[..two.len()]);
    }
    ln
}

fn push_mm(words: &mut String, metres: f64) {
    push_number(words, metres);
    words.push_str(" mm");
}

fn push_number(words: &mut String, metres: f64) {
    words.push_str(&((metres * 1e3).round() as i64).to_string());
}
