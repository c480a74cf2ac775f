//! What other amounts of the last layer would do.
//!
//! Takes a plan and its entry; gives the most that holds, the most that keeps the texture, the amount that looks best.

use super::advice::Amount;
use super::count::{self, Counts};
use super::film_runs::FilmRuns;
use super::outcome::Verdict;
use super::plan::{Plan, Shot};
use crate::learn::posterior::Posterior;
use crate::studio::document::{Entry, Studio};

/// Up to how many coats are tried where fewer are planned: more are hardly ever put on.
const TRIED: u32 = 12;

/// What other amounts of the last layer would do.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Scan {
    /// Most that still holds at the studio's line, all smaller amounts holding too; none where even one does not.
    pub most_safe: Option<u32>,
    /// Up to which amount was tried.
    pub tried_up_to: u32,
    /// Most that more likely than not keeps over half of the relief; none without a texture, or where one already does not.
    pub most_that_keeps: Option<u32>,
    /// The amount that most likely looks right among those that hold, where it is not the planned one.
    pub better_look: Option<u32>,
}

impl Scan {
    /// Tries the amounts one by one with the plan's own draws. `planned` is what was counted for the plan as it is, `film` what was solved for it.
    #[allow(clippy::too_many_arguments, reason = "all that was found for the plan")]
    pub fn of(
        studio: &Studio,
        posterior: &Posterior,
        entry: &Entry,
        plan: &Plan,
        shots: &[Shot],
        planned: &Counts,
        film: Option<&FilmRuns>,
        quick: bool,
    ) -> Self {
        let Some(last) = entry.layers.last() else {
            return Self::default();
        };
        let amount = Amount::of(&last.how);
        let tried_up_to = amount.most().min(TRIED.max(2 * amount.count));
        let mut scan = Self {
            tried_up_to,
            ..Self::default()
        };
        let mut holding = true;
        let mut keeping = planned.relief_kept.is_some();
        let mut best = (0, 0.0);
        for count in 1..=tried_up_to {
            if !holding && !keeping {
                break;
            }
            let other;
            let (plan, shots) = if count == amount.count {
                (plan, shots)
            } else {
                let plan = plan.with_units(entry.layers.len() - 1, count);
                let bare_m = plan.case.bare_below_m;
                // Once too many have reached the foot it is not asked of any more.
                let most = studio.settings.holds_up_to * plan.draws() as f64;
                let mut reach = if holding { 0.0 } else { most + 1.0 };
                let shots = plan.shots_by(posterior, &mut |params, drawn| {
                    if reach > most {
                        return bare_m;
                    }
                    let run_m = plan.run_m(film, params, drawn, bare_m);
                    reach += f64::from(run_m >= bare_m);
                    run_m
                });
                other = (plan, shots);
                (&other.0, &other.1[..])
            };
            let settings = &studio.settings;
            holding = holding
                && count::verdict(count::p_reaches_foot(plan, shots), settings) == Verdict::Holds;
            if holding {
                scan.most_safe = Some(count);
                let look = count::look(plan, shots, posterior);
                if let Some(look) = look.filter(|look| look.right > best.1) {
                    best = (count, look.right);
                }
            }
            keeping = keeping
                && if count == amount.count {
                    planned.p_relief_over_half().is_some_and(|p| p >= 0.5)
                } else {
                    count::keeps_half(plan, shots, posterior, settings, quick)
                };
            if keeping {
                scan.most_that_keeps = Some(count);
            }
        }
        scan.better_look = (best.0 != amount.count && best.0 > 0).then_some(best.0);
        scan
    }
}
