//! Leaving an entry out exactly: the log is learned anew without it, and it is predicted.
//!
//! Takes a studio and the entries to leave out; gives for each what the refit says of its reading, and what the program says that weighs the draws of the whole log anew instead.

use crate::ranks::point;
use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::calibration::calibrate;
use glazefall::learn::data::{Log, Piece};
use glazefall::learn::likelihood::Model;
use glazefall::learn::{Learning, Options, learn};
use glazefall::predict::simulate::simulate;
use glazefall::studio::case::Cases;
use glazefall::studio::document::{Edge, Run, RunWord, Studio};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

/// What is said of one entry by all the others.
#[derive(Clone, Copy, Debug)]
pub struct Said {
    /// Part of its reading inside the 80 % band.
    pub inside: f64,
    /// Where its reading lies in its prediction, 0–1: the middle of what it stands for.
    pub place: f64,
    /// Squared error of the chance of reaching the foot; none where what was read leaves it open.
    pub foot: Option<f64>,
    /// Shape of the weights' tail; 0 for a refit, which needs none.
    pub pareto_k: f64,
}

/// By refits and by the program's way, for the entries numbered `which` of those with a run.
pub fn both_ways(studio: &Studio, which: &[usize], options: &Options) -> Vec<[Said; 2]> {
    let log = Log::of(studio);
    let all = anew(studio, options);
    let one = |i: &usize| {
        let exact = refit(studio, log.pieces[*i].entry as usize, options);
        let exact = Said {
            inside: part(exact.0, 0.1, 0.9),
            place: 0.5 * (exact.0.0 + exact.0.1),
            foot: all[*i].foot.map(|_| exact.1),
            pareto_k: 0.0,
        };
        [exact, all[*i]]
    };
    which.iter().map(one).collect()
}

/// By the program's way, for every entry of the log.
pub fn anew(studio: &Studio, options: &Options) -> Vec<Said> {
    let mut learning = Learning::start(studio, options);
    while !learning.step().ready {}
    let log = learning.model().log.clone();
    let posterior = learning.finish(studio);
    let points: Vec<Vec<f64>> = posterior
        .params
        .iter()
        .map(|p| point(&log.unknowns, p))
        .collect();
    let points: Vec<&[f64]> = points.iter().map(Vec::as_slice).collect();
    let middle: Vec<f64> = (0..log.unknowns.len())
        .map(|i| points.iter().map(|p| p[i]).sum::<f64>() / points.len() as f64)
        .collect();
    let one = |piece: &Piece| {
        let mut alone = log.clone();
        alone.pieces = vec![piece.clone()];
        let judged = calibrate(&Model::held(alone, &middle), &points);
        let left = judged.left[0];
        let found = judged.calibration.expect("an entry with a run");
        Said {
            inside: found.coverage_80,
            place: 0.5 * (left.low + left.high),
            foot: found.brier_foot,
            pareto_k: left.pareto_k,
        }
    };
    log.pieces.iter().map(one).collect()
}

/// The part of a stretch of a distribution that lies between two of its shares.
fn part((low, high): (f64, f64), from: f64, to: f64) -> f64 {
    ((high.min(to) - low.max(from)) / (high - low)).clamp(0.0, 1.0)
}

/// The log without one entry, learned; where the entry's reading lies in what is then said of it, and the squared error of the chance of the foot.
fn refit(studio: &Studio, number: usize, options: &Options) -> ((f64, f64), f64) {
    let mut others = studio.clone();
    let mut entry = others.entries.remove(number);
    let outcome = entry.outcome.take().expect("an entry with a run");
    let params = learn(&others, options).params;
    let mut cases = Cases::new(studio);
    let case = cases.of(&entry).expect("a designed entry");
    let mut rng = ChaCha8Rng::seed_from_u64(options.seed ^ number as u64);
    let (mut runs, mut read): (Vec<f64>, Vec<f64>) = Default::default();
    // An edge that looks stuck shows a ruler's error; what has run further is spread much wider than that.
    let error_mm = match outcome.run {
        Some(Run::Ruler { run_mm, error_mm }) if run_mm < 4.0 * error_mm => error_mm,
        _ => 0.0,
    };
    for params in &params {
        // A few pieces by each draw: what is compared is the draws, not the luck of one piece.
        for _ in 0..8 {
            let fired = simulate(&case, params, 0.0, &mut rng);
            let run_mm = 1e3
                * match outcome.edge {
                    Edge::OntoGlaze => fired.run_onto_glaze_m,
                    _ => fired.run_m,
                };
            runs.push(run_mm);
            let z: f64 = StandardNormal.sample(&mut rng);
            read.push(if run_mm < 0.5 {
                (error_mm * z).max(0.0)
            } else {
                run_mm
            });
        }
    }
    let share =
        |of: &[f64], mm: f64| of.iter().filter(|r| **r < mm).count() as f64 / of.len() as f64;
    let below = |mm: f64| share(&read, mm);
    // What a reading stands for: half of the last digit to either side; less than half a millimetre is nothing.
    let (least, most) = match outcome.run {
        Some(Run::Ruler { run_mm, .. }) if run_mm < 0.5 => (0.0, 0.5),
        Some(Run::Ruler { run_mm, .. }) => {
            let half = if run_mm.fract() == 0.0 { 0.5 } else { 0.25 };
            (run_mm - half, run_mm + half)
        }
        Some(Run::Word {
            least_mm, most_mm, ..
        }) => (least_mm.unwrap_or(0.0), most_mm.unwrap_or(f64::INFINITY)),
        None => (0.0, f64::INFINITY),
    };
    let bare_mm = 1e3 * case.bare_below_m;
    // Who says "a lot" has not seen it reach the end.
    let to_the_end = matches!(
        outcome.run,
        Some(Run::Word {
            word: RunWord::RanOffTheEnd | RunWord::ReachedTheFoot,
            ..
        })
    );
    let most = if most.is_infinite()
        && !to_the_end
        && least < bare_mm
        && outcome.edge != Edge::OntoGlaze
    {
        bare_mm
    } else {
        most
    };
    let low = if least > 0.0 { below(least) } else { 0.0 };
    let reached = if least >= bare_mm - 1e-3 { 1.0 } else { 0.0 };
    let foot = 1.0 - share(&runs, bare_mm);
    (
        (low, below(most).max(low + 1e-9)),
        (foot - reached) * (foot - reached),
    )
}
