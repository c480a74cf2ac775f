//! How often any test could find a line entered wrong: the best one there is for one kind of mistake alone, which compares how likely the reading is as written and as it would be without it.
//!
//! `cargo run --release -p glazefall-tests --example learn_odd_limit -- FIRST_SEED LAST_SEED PLANTS`: the shares of wrong lines found where one and two in a hundred sound lines are pointed
//! out too, what all others say known from the draws (Neyman & Pearson's lemma: no test of this kind of mistake finds more).

use glazefall::learn::calibration::pareto;
use glazefall::learn::data::Log;
use glazefall::learn::likelihood::{Judged, Model};
use glazefall::learn::target::both;
use glazefall::learn::{Learning, Options};
use glazefall::studio::case::Cases;
use glazefall::studio::document::{Entry, Studio};
use glazefall_tests::planted::{KINDS, Kind, planted, sound, wrong};
use glazefall_tests::ranks::point;
use glazefall_tests::studios::Design;
use rand::SeedableRng;

/// Ways of a mistake that are tried of each entry, and draws that judge.
const WAYS: usize = 8;
const DRAWS: usize = 128;

/// How many times as likely the reading of an entry is if the mistake was made in writing it down, by entry; of all entries or of one.
fn ratios(studio: &Studio, seed: u64, only: Option<&str>) -> Vec<[f64; KINDS.len()]> {
    let mut learning = Learning::start(studio, &Options { draws: 512, seed });
    while !learning.step().ready {}
    let model = learning.model().clone();
    let params = learning.finish(studio).params;
    let every = params.len() / DRAWS;
    let points: Vec<Vec<f64>> = (params.iter().step_by(every))
        .map(|p| point(&model.log.unknowns, p))
        .collect();
    let mut cases = Cases::new(studio);
    let mut ln = |entry: &Entry| -> Option<Vec<f64>> {
        let case = cases.of(entry).ok()?;
        let mut log = Log::of_one(studio, &model.log.unknowns, entry, &case);
        log.words = model.log.words;
        log.pieces.first()?;
        let one = Model::held(log, points.first()?);
        let mut judged = Judged::default();
        let judge = |point: &Vec<f64>| {
            let at = both(point);
            let now = one.now(&at);
            let lines = one.lines(&now);
            one.ln_likelihood(0, &now, &lines, &at, &mut judged, &mut |_| ())
                .to_array()[0]
        };
        Some(points.iter().map(judge).collect())
    };
    let mut rng = glazefall::chacha::ChaCha8Rng::seed_from_u64(seed);
    let entries = (studio.entries.iter()).filter(|entry| only.is_none_or(|id| entry.id == id));
    let mut all = Vec::new();
    for entry in entries {
        let Some(written) = ln(entry) else { continue };
        let mut weights: Vec<f64> = written.iter().map(|ln| -ln).collect();
        pareto::smooth(&mut weights);
        let likely =
            |ln: &[f64]| -> f64 { ln.iter().zip(&weights).map(|(ln, w)| w * ln.exp()).sum() };
        let of_kind = |(kind, _): (Kind, &str)| {
            // Who writes "did not move" for 15 mm can have meant any other word.
            let undone = if kind == Kind::DidNotMove {
                Kind::Word
            } else {
                kind
            };
            let ways: Vec<f64> = (0..WAYS)
                .filter_map(|_| Some(likely(&ln(&wrong(entry, undone, &mut rng)?)?)))
                .collect();
            let mean = ways.iter().sum::<f64>() / ways.len() as f64;
            if ways.is_empty() {
                1.0
            } else {
                mean / likely(&written)
            }
        };
        all.push(KINDS.map(of_kind));
    }
    all
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let [first, last, plants] = asked.as_slice() else {
        return Err("learn_odd_limit FIRST_SEED LAST_SEED PLANTS".into());
    };
    let mut sound_ones = Vec::new();
    let mut wrong_ones: [Vec<f64>; KINDS.len()] = Default::default();
    for seed in first.parse()?..=last.parse::<u64>()? {
        let studio = sound(&Design::small(500 + seed));
        sound_ones.extend(ratios(&studio, seed, None));
        for (number, (kind, _)) in KINDS.into_iter().enumerate() {
            for plant in 0..plants.parse::<u64>()? {
                let Some((studio, id)) = planted(&studio, kind, seed ^ (plant << 20)) else {
                    continue;
                };
                let found = ratios(&studio, seed, Some(&id));
                wrong_ones[number].extend(found.iter().map(|of| of[number]));
            }
        }
    }
    for (number, (_, name)) in KINDS.iter().enumerate() {
        let mut rising: Vec<f64> = sound_ones.iter().map(|of| of[number]).collect();
        rising.sort_unstable_by(f64::total_cmp);
        let found = [0.01, 0.02].map(|alarms| {
            let from = rising[((1.0 - alarms) * rising.len() as f64) as usize];
            let hits = wrong_ones[number].iter().filter(|ratio| **ratio > from);
            100.0 * hits.count() as f64 / wrong_ones[number].len() as f64
        });
        println!(
            "{name:28}: of {} found {:.0} % at one sound line in a hundred, {:.0} % at two",
            wrong_ones[number].len(),
            found[0],
            found[1]
        );
    }
    Ok(())
}
