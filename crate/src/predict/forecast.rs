//! The whole answer about one plan: medians, bands, chances, what it hangs on, what to do.
//!
//! Takes a checked studio, what its log has taught, and an entry; gives a [`PlanOutcome`], or the refusal of an entry that
//! makes no sense to the physics.

use super::advice::{self, Amount, Facts, LookFacts, TextureFacts};
use super::count::{self, Counts};
use super::film_runs::FilmRuns;
use super::on_film;
use super::outcome::{AnsweredBy, PlanOutcome};
use super::plan::Plan;
use super::scan::Scan;
use super::shelf;
use super::spread::Sample;
use super::thickness;
use super::unknown::{self, Share};
use crate::learn::posterior::Posterior;
use crate::studio::document::{Entry, Studio};
use crate::studio::error::Refusal;

/// Draws of a full answer.
pub const FULL_DRAWS: usize = 512;
/// Draws of a quick one: its medians are good to about a tenth of the spread.
pub const QUICK_DRAWS: usize = 128;

/// The full answer: by the film solved on a piece, by the film's table of bands on a tile, or where a film cannot be followed. `draws` is held within
/// 16–8192; the same studio, posterior, entry, draws and seed give the same answer.
///
/// # Errors
/// What [`crate::studio::case::Case::of`] refuses.
pub fn predict(
    studio: &Studio,
    posterior: &Posterior,
    entry: &Entry,
    draws: usize,
    seed: u64,
) -> Result<PlanOutcome, Refusal> {
    answer(studio, posterior, entry, draws, seed, false)
}

/// A first answer from few draws by one solve of the film, for while the full one is being made.
///
/// # Errors
/// As [`predict`].
pub fn quick(
    studio: &Studio,
    posterior: &Posterior,
    entry: &Entry,
    seed: u64,
) -> Result<PlanOutcome, Refusal> {
    answer(studio, posterior, entry, QUICK_DRAWS, seed, true)
}

fn answer(
    studio: &Studio,
    posterior: &Posterior,
    entry: &Entry,
    draws: usize,
    seed: u64,
    quick: bool,
) -> Result<PlanOutcome, Refusal> {
    let plan = &Plan::new(studio, entry, draws, seed)?;
    let mut shots = plan.unrun(posterior);
    let film = if quick {
        FilmRuns::quick(plan, posterior, &shots)
    } else {
        FilmRuns::of(plan, posterior, &shots)
    };
    match &film {
        Some(film) => on_film::run(film, &plan.case, &mut shots),
        None => shots = plan.shots(posterior),
    }
    let (shots, film) = (&shots[..], film.as_ref());
    let counts = Counts::of(plan, shots, posterior, &studio.settings, quick);
    let scan = Scan::of(studio, posterior, entry, plan, shots, &counts, film, quick);
    let shares = unknown::what_it_hangs_on(studio, posterior, plan, shots);
    let (layers, fired_total_um) = thickness::bands(studio, posterior, plan, shots);
    let holds_up_to = studio.settings.holds_up_to;
    let whole = film.filter(|film| film.is_whole());
    let rim_and_roll_um = whole.map(|film| on_film::rim_and_roll_um(film, shots));
    let mut outcome = PlanOutcome {
        id: entry.id.clone(),
        draws: plan.draws() as u32,
        layers,
        fired_total_um,
        run_mm: counts.run_mm.quantiles(),
        p_moves: counts.p_moves,
        p_reaches_foot: counts.p_reaches_foot,
        p_on_shelf: counts.p_on_shelf,
        verdict: count::verdict(counts.p_reaches_foot, &studio.settings),
        relief_kept: counts.relief_kept.as_ref().map(Sample::band80),
        p_relief_over_half: counts.p_relief_over_half(),
        look: counts.look,
        most_safe_coats: scan.most_safe,
        bare_foot_mm: bare_foot_mm(&counts.run_mm, holds_up_to),
        pool_mm: counts.pool_mm(),
        melt_lost_g: whole.map(|film| on_film::melt_lost_g(film, plan, posterior, shots)),
        rim_thinnest_um: rim_and_roll_um.map(|found| found.0),
        roll_um: rim_and_roll_um.and_then(|found| found.1),
        cookie_mm: cookie_mm(plan, &counts, holds_up_to),
        hangs_on: shares.iter().map(|s| s.hangs_on.clone()).collect(),
        advice: String::new(),
        twenty_runs_mm: counts.run_mm.twenty(),
        drips: plan.drips(),
        bare_below_mm: plan.case.bare_below_m * 1e3,
        answered_by: match film {
            Some(_) => AnsweredBy::Film,
            None => AnsweredBy::BandTable,
        },
        predict_ms: 0.0,
    };
    outcome.advice = sentence(studio, posterior, entry, plan, &scan, &shares, &outcome);
    Ok(outcome)
}

/// Bare wall at which the share of pots that reach the foot is at most `holds_up_to`, whole mm.
fn bare_foot_mm(run_mm: &Sample, holds_up_to: f64) -> f64 {
    let mut bare = run_mm.quantile(1.0 - holds_up_to).floor().max(0.0);
    while run_mm.share_from(bare) > holds_up_to {
        bare += 1.0;
    }
    bare
}

/// Cookie under all but the share `holds_up_to` of pots; none where no more than that share stands in its melt.
fn cookie_mm(plan: &Plan, counts: &Counts, holds_up_to: f64) -> Option<f64> {
    (counts.p_on_shelf > holds_up_to).then(|| {
        shelf::cookie_mm(
            counts.pool_m.quantile(1.0 - holds_up_to),
            count::stand(plan),
        )
    })
}

fn sentence(
    studio: &Studio,
    posterior: &Posterior,
    entry: &Entry,
    plan: &Plan,
    scan: &Scan,
    shares: &[Share],
    outcome: &PlanOutcome,
) -> String {
    let Some(last) = entry.layers.last() else {
        return String::new();
    };
    let name = |index: usize| studio.glazes.get(index).map_or("", |g| g.name.as_str());
    let last_glaze = plan.case.layers.last().map_or("", |l| name(l.glaze));
    let texture = plan.case.texture.as_ref().zip(outcome.p_relief_over_half);
    advice::advice(&Facts {
        verdict: outcome.verdict,
        p_reaches_foot: outcome.p_reaches_foot,
        on_tile: plan.case.is_tile,
        last_glaze,
        planned: Amount::of(&last.how),
        most_safe: scan.most_safe,
        tried_up_to: scan.tried_up_to,
        bare_below_mm: outcome.bare_below_mm,
        bare_foot_mm: outcome.bare_foot_mm,
        wall_mm: (plan.case.lowest_m + plan.case.bare_below_m) * 1e3,
        cookie_mm: outcome.cookie_mm,
        texture: texture.map(|(texture, p_over_half)| TextureFacts {
            kind: texture.kind,
            p_over_half,
            most_that_keeps: scan.most_that_keeps,
        }),
        look: outcome.look.map(|look| LookFacts {
            too_little: look.too_little,
            too_much: look.too_much,
            better: scan.better_look,
        }),
        narrow: unknown::worth_a_tile(studio, posterior, shares)
            .map(|(glaze, coats)| (name(glaze), coats)),
    })
}
