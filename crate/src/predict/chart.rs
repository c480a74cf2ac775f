//! The coat chart: amounts of the under glaze by amounts of the over glaze, each cell with its chances.
//!
//! Takes a plan of at least one layer; gives cells one by one, all counted from the same draws so that they differ by the amounts alone.

use super::advice::Amount;
use super::count::{self, Counts};
use super::film_runs::FilmRuns;
use super::outcome::Verdict;
use super::plan::Plan;
use crate::learn::posterior::Posterior;
use crate::studio::document::{Entry, Studio};
use crate::studio::error::Refusal;
use serde::Serialize;

/// Cells along each side of the usual chart.
pub const SIDE: u32 = 5;

/// One cell.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct ChartCell {
    /// Coats, dips or passes of the layer before the last; 0 where there is none.
    pub under: u32,
    /// Of the last layer.
    pub over: u32,
    /// Chance that it stays above the foot.
    pub p_holds: f64,
    /// Chance that it does not.
    pub p_reaches_foot: f64,
    /// Verdict at the studio's lines.
    pub verdict: Verdict,
    /// Chance that more than half of the relief is kept; null without texture.
    pub p_relief_over_half: Option<f64>,
    /// Chance that the last layer looks right; null where its look was never logged.
    pub p_look_right: Option<f64>,
    /// Median run, mm.
    pub run_p50_mm: f64,
}

/// A chart being filled.
#[derive(Clone, Debug)]
pub struct CoatChart {
    plan: Plan,
    /// The film where it was solved: one solve of the plan, by which every cell's draws are set right.
    film: Option<FilmRuns>,
    /// Amounts of the layer before the last along one side; empty where there is one layer only.
    pub under: Vec<u32>,
    /// Amounts of the last layer along the other.
    pub over: Vec<u32>,
}

impl CoatChart {
    /// Makes the chart of an entry ready: five amounts of each of the last two layers, the planned one among them.
    ///
    /// # Errors
    /// What [`crate::studio::case::Case::of`] refuses.
    pub fn new(
        studio: &Studio,
        posterior: &Posterior,
        entry: &Entry,
        draws: usize,
        seed: u64,
    ) -> Result<Self, Refusal> {
        let plan = Plan::new(studio, entry, draws, seed)?;
        let film = FilmRuns::quick(&plan, posterior, &plan.unrun(posterior));
        let side = |back: usize| {
            let layer = entry
                .layers
                .len()
                .checked_sub(back)
                .and_then(|i| entry.layers.get(i));
            layer.map_or(Vec::new(), |layer| {
                let planned = Amount::of(&layer.how);
                let from = planned
                    .count
                    .saturating_sub(SIDE / 2)
                    .max(1)
                    .min(planned.most().saturating_sub(SIDE - 1).max(1));
                (from..from + SIDE)
                    .filter(|n| *n <= planned.most())
                    .collect()
            })
        };
        Ok(Self {
            under: side(2),
            over: side(1),
            film,
            plan,
        })
    }

    /// One cell. `under` counts for nothing where there is one layer only.
    pub fn cell(&self, studio: &Studio, posterior: &Posterior, under: u32, over: u32) -> ChartCell {
        let layers = self.plan.case.layers.len();
        let mut plan = self.plan.with_units(layers.saturating_sub(1), over);
        if layers > 1 {
            plan = plan.with_units(layers - 2, under);
        }
        let film = self.film.as_ref();
        let shots = plan.shots_by(posterior, &mut |params, drawn| {
            plan.run_m(film, params, drawn, 0.0)
        });
        let counts = Counts::of(&plan, &shots, posterior, &studio.settings, false);
        ChartCell {
            under: if layers > 1 { under } else { 0 },
            over,
            p_holds: 1.0 - counts.p_reaches_foot,
            p_reaches_foot: counts.p_reaches_foot,
            verdict: count::verdict(counts.p_reaches_foot, &studio.settings),
            p_relief_over_half: counts.p_relief_over_half(),
            p_look_right: counts.look.map(|look| look.right),
            run_p50_mm: counts.run_mm.quantile(0.5),
        }
    }
}
