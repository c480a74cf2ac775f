//! Two stacks through one firing, side by side: the lesson that twice as thick runs four times as fast.
//!
//! Takes a studio, what its log has taught, and two entries; gives the median of each longest drip through the firing, the square law in
//! numbers at the medians of thickness and fluidity, and its words.

use super::drawn::Drawn;
use super::film_runs::FilmRuns;
use super::middle::Middle;
use super::outcome::Quantiles;
use super::plan::{Plan, Shot};
use super::spread::Sample;
use super::stack;
use crate::digits::Fixed;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::physics::constants::{RHO, ZERO_CELSIUS_K};
use crate::physics::firing::{FiringClock, SEAL_K, SLOPE_DECADES_PER_100K, Trend};
use crate::physics::laydown::FIRED_PER_MELT;
use crate::physics::tile::Band;
use crate::studio::document::{Entry, Studio};
use crate::studio::error::Refusal;
use serde::Serialize;

/// Moments of the firing.
const MOMENTS: usize = 61;
/// The comparison starts when this share of the first stack's firing is spent: before, nothing is to be seen.
const FIRST_SHARE: f64 = 1e-3;

/// One moment of both.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct LessonMoment {
    /// Minutes since the first stack's schedule started.
    pub minutes: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Whether it goes up.
    pub rising: bool,
    /// Run of the longest drip of each stack, mm.
    pub run_mm: [f64; 2],
}

/// One stack in numbers, at the medians.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct LessonSide {
    /// The entry's identifier.
    pub id: String,
    /// Fired thickness where the layers overlap most, µm.
    pub fired_um: f64,
    /// log10 of the fluidity integral of that stack, log10(1/Pa).
    pub log10_phi: f64,
    /// How far a front of that thickness goes in the firing if nothing holds it and it does not thin, mm: `k h² Phi`.
    pub free_run_mm: f64,
    /// Run of the longest drip at the end, mm.
    pub run_mm: Quantiles,
    /// Bare wall below its lowest line, mm.
    pub bare_below_mm: f64,
}

/// Two stacks compared.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Lesson {
    /// Both stacks.
    pub sides: Vec<LessonSide>,
    /// Through the firing.
    pub moments: Vec<LessonMoment>,
    /// The second stack's thickness over the first's.
    pub thickness_ratio: f64,
    /// The second stack's fluidity over the first's.
    pub fluidity_ratio: f64,
    /// The second stack's speed over the first's: thickness ratio squared times fluidity ratio.
    pub speed_ratio: f64,
    /// The same in a sentence.
    pub words: String,
}

/// One stack with its draws, as the piece itself is answered.
struct Side {
    plan: Plan,
    middle: Middle,
    shots: Vec<Shot>,
    film: Option<FilmRuns>,
}

impl Side {
    fn new(
        studio: &Studio,
        posterior: &Posterior,
        entry: &Entry,
        draws: usize,
        seed: u64,
    ) -> Result<Self, Refusal> {
        let plan = Plan::new(studio, entry, draws, seed)?;
        let shots = plan.unrun(posterior);
        Ok(Self {
            middle: Middle::of(&plan.case, posterior),
            film: FilmRuns::of(&plan, posterior, &shots),
            plan,
            shots,
        })
    }

    /// The longest drip of all draws when each of these shares of the firing is spent, mm.
    fn runs_mm(&self, posterior: &Posterior, shares: &[f64]) -> Vec<Sample> {
        let to_come: Vec<f64> = shares.iter().map(|s| -s.max(1e-9).log10()).collect();
        let mut runs = vec![Vec::with_capacity(self.shots.len()); shares.len()];
        for (draw, shot) in self.shots.iter().enumerate() {
            let found = match (&self.film, posterior.params.get(shot.params)) {
                (Some(film), _) => film.runs_m(draw, &to_come),
                (None, Some(params)) => self.banded_m(params, &shot.drawn, &to_come),
                (None, None) => continue,
            };
            for (runs, run) in runs.iter_mut().zip(found) {
                runs.push(1e3 * run);
            }
        }
        runs.into_iter().map(Sample::new).collect()
    }

    /// The runs of one draw by the law of bands, m.
    fn banded_m(&self, params: &Params, drawn: &Drawn, to_come: &[f64]) -> Vec<f64> {
        let mut runs = Vec::with_capacity(to_come.len());
        let mut now = drawn.clone();
        for decades in to_come {
            for (now, end) in now.log10_phi.iter_mut().zip(&drawn.log10_phi) {
                *now = end - decades;
            }
            runs.push(self.plan.run_m(None, params, &now, 0.0));
        }
        runs
    }
}

/// Compares two entries: runs are medians over as many draws, answered as [`super::predict`] does, so that both say the same of the same pot.
///
/// # Errors
/// What [`crate::studio::case::Case::of`] refuses of either.
pub fn compare(
    studio: &Studio,
    posterior: &Posterior,
    entries: [&Entry; 2],
    draws: usize,
    seed: u64,
) -> Result<Lesson, Refusal> {
    let [first, second] = entries;
    let stacks = [
        Side::new(studio, posterior, first, draws, seed)?,
        Side::new(studio, posterior, second, draws, seed)?,
    ];
    let clock = |side: &Side| {
        FiringClock::new(&side.plan.case.schedule, SEAL_K, SLOPE_DECADES_PER_100K).ok()
    };
    let mut moments = Vec::with_capacity(MOMENTS);
    // The firing's end comes last.
    let mut shares = [Vec::new(), Vec::new()];
    if let (Some(one), Some(other)) = (clock(&stacks[0]), clock(&stacks[1])) {
        let (from, to) = (one.at_share(FIRST_SHARE).time_s, one.end_s());
        for i in 0..MOMENTS {
            let now = one.at_time(from + (to - from) * i as f64 / (MOMENTS - 1) as f64);
            shares[0].push(now.share);
            shares[1].push(other.at_time(now.time_s).share);
            moments.push(LessonMoment {
                minutes: now.time_s / 60.0,
                temperature_c: now.temperature_k - ZERO_CELSIUS_K,
                rising: now.trend == Trend::Rising,
                run_mm: [0.0; 2],
            });
        }
    }
    let mut at_the_end = Vec::new();
    for side in 0..2 {
        shares[side].push(1.0);
        let runs = stacks[side].runs_mm(posterior, &shares[side]);
        for (moment, runs) in moments.iter_mut().zip(&runs) {
            moment.run_mm[side] = runs.quantile(0.5);
        }
        at_the_end.extend(runs.last().map(Sample::quantiles));
    }
    let side = |i: usize, entry: &Entry| {
        let Side { plan, middle, .. } = &stacks[i];
        let lies = stack::fullest(&plan.case, None);
        let there = |(l, h): (usize, &f64)| if lies.contains(&l) { *h } else { 0.0 };
        let stack: Vec<f64> = middle.melt_m.iter().enumerate().map(there).collect();
        let melt: f64 = stack.iter().sum();
        let log10_phi = middle.log10_phi(&stack);
        let band = Band {
            h0_m: melt,
            length_m: plan.case.lowest_m,
            sin_slope: plan.case.sin_slope,
        };
        LessonSide {
            id: entry.id.clone(),
            fired_um: melt * FIRED_PER_MELT * 1e6,
            log10_phi,
            free_run_mm: 1e3 * band.k(RHO) * melt * melt * 10f64.powf(log10_phi),
            run_mm: at_the_end[i],
            bare_below_mm: plan.case.bare_below_m * 1e3,
        }
    };
    let sides = vec![side(0, first), side(1, second)];
    let thickness_ratio = sides[1].fired_um / sides[0].fired_um;
    let fluidity_ratio = 10f64.powf(sides[1].log10_phi - sides[0].log10_phi);
    let speed_ratio = thickness_ratio * thickness_ratio * fluidity_ratio;
    Ok(Lesson {
        words: words(thickness_ratio, fluidity_ratio, speed_ratio),
        sides,
        moments,
        thickness_ratio,
        fluidity_ratio,
        speed_ratio,
    })
}

/// A ratio with so many decimals that what is multiplied on the page comes to what is said there.
fn digits(ratio: f64, decimals: u32) -> String {
    Fixed(ratio, if ratio < 9.95 { decimals } else { 0 }).to_string()
}

fn words(thickness: f64, fluidity: f64, speed: f64) -> String {
    let same = |ratio: f64| (ratio - 1.0).abs() < 0.05;
    let thick = digits(thickness, 2);
    let square = format!("{thick} × {thick}");
    if same(thickness) && same(fluidity) {
        return "Both stacks are as thick and as fluid as one another, and run alike.".into();
    }
    let speeds = if same(speed) {
        "just as fast".into()
    } else {
        format!("{} times as fast", digits(speed, 1))
    };
    if same(fluidity) {
        format!(
            "The second stack is {thick} times as thick and as fluid: it runs {speeds}, {square}."
        )
    } else if same(thickness) {
        format!(
            "The second stack is as thick and {} times as fluid: it runs {speeds}.",
            digits(fluidity, 2)
        )
    } else {
        format!(
            "The second stack is {thick} times as thick and {} times as fluid: it runs {speeds}, {square} × {}.",
            digits(fluidity, 2),
            digits(fluidity, 2)
        )
    }
}
