//! Two stacks through one firing, side by side: the lesson that twice as thick runs four times as fast.
//!
//! Takes a studio, what its log has taught, and two entries; gives each front through the firing at the medians, the square law in
//! numbers, and its words.

use super::middle::Middle;
use super::plan::Plan;
use super::spread::largest_of;
use super::stack;
use crate::digits::Fixed;
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
    pub run_mm: f64,
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

/// Compares two entries.
///
/// # Errors
/// What [`crate::studio::case::Case::of`] refuses of either.
pub fn compare(
    studio: &Studio,
    posterior: &Posterior,
    first: &Entry,
    second: &Entry,
) -> Result<Lesson, Refusal> {
    let plans = [
        Plan::new(studio, first, 16, 1)?,
        Plan::new(studio, second, 16, 1)?,
    ];
    let middles = [
        Middle::of(&plans[0].case, posterior),
        Middle::of(&plans[1].case, posterior),
    ];
    let clocks: Vec<FiringClock> = plans
        .iter()
        .filter_map(|p| FiringClock::new(&p.case.schedule, SEAL_K, SLOPE_DECADES_PER_100K).ok())
        .collect();
    let run_mm = |side: usize, share: f64| {
        let (plan, middle) = (&plans[side], &middles[side]);
        let longest = (middle.place_ln_sigma * largest_of(f64::from(plan.drips()), 0.5)).exp();
        let melt: Vec<f64> = middle.melt_m.iter().map(|h| h * longest).collect();
        let spent = share.max(1e-9).log10();
        let phi: Vec<f64> = middle
            .layer_log10_phi
            .iter()
            .map(|phi| phi + spent)
            .collect();
        let pair = |lower: usize, upper: usize| middle.pair(lower, upper);
        1e3 * plan
            .bands
            .run_m(&melt, &phi, &pair, middle.mixing, middle.retention_m2)
    };
    let moments = match &clocks[..] {
        [one, other] => {
            let (from, to) = (one.at_share(FIRST_SHARE).time_s, one.end_s());
            let moment = |i: usize| {
                let now = one.at_time(from + (to - from) * i as f64 / (MOMENTS - 1) as f64);
                LessonMoment {
                    minutes: now.time_s / 60.0,
                    temperature_c: now.temperature_k - ZERO_CELSIUS_K,
                    rising: now.trend == Trend::Rising,
                    run_mm: [
                        run_mm(0, now.share),
                        run_mm(1, other.at_time(now.time_s).share),
                    ],
                }
            };
            (0..MOMENTS).map(moment).collect()
        }
        _ => Vec::new(),
    };
    let side = |i: usize, entry: &Entry| {
        let (plan, middle) = (&plans[i], &middles[i]);
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
            run_mm: run_mm(i, 1.0),
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

/// A ratio with as many digits as are worth saying.
fn digits(ratio: f64) -> String {
    Fixed(ratio, if ratio < 9.95 { 1 } else { 0 }).to_string()
}

fn words(thickness: f64, fluidity: f64, speed: f64) -> String {
    let same = |ratio: f64| (ratio - 1.0).abs() < 0.05;
    let thick = digits(thickness);
    let square = format!("{thick} × {thick}");
    if same(thickness) && same(fluidity) {
        return "Both stacks are as thick and as fluid as one another, and run alike.".into();
    }
    let speeds = if same(speed) {
        "just as fast".into()
    } else {
        format!("{} times as fast", digits(speed))
    };
    if same(fluidity) {
        format!(
            "The second stack is {thick} times as thick and as fluid: it runs {speeds}, {square}."
        )
    } else if same(thickness) {
        format!(
            "The second stack is as thick and {} times as fluid: it runs {speeds}.",
            digits(fluidity)
        )
    } else {
        format!(
            "The second stack is {thick} times as thick and {} times as fluid: it runs {speeds}, {square} × {}.",
            digits(fluidity),
            digits(fluidity)
        )
    }
}
