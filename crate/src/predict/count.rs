//! What a set of draws counts up to: chances of moving, of the foot, of the shelf, of keeping the relief, of the look.
//!
//! Takes a plan with its shots; gives chances 0–1 and samples. Charts, scans over coats and whole answers all count here.

use super::drawn::Drawn;
use super::outcome::{Band90, LookChances, Verdict};
use super::plan::{Plan, Shot};
use super::shelf::{self, POOL_LEAST_M, Stand};
use super::spread::Sample;
use super::stack;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::physics::constants::{GAMMA, GRAVITY, RHO};
use crate::physics::texture::{self, Across, Film, Waves};
use crate::studio::case::Case;
use crate::studio::document::{Settings, TextureKind};

/// From this run on an edge has moved, m.
const MOVED_M: f64 = 1e-3;

/// Chances of one plan.
#[derive(Clone, Debug)]
pub struct Counts {
    /// Longest drip, mm.
    pub run_mm: Sample,
    /// Chance of more than 1 mm.
    pub p_moves: f64,
    /// Chance that the run passes the bare wall below.
    pub p_reaches_foot: f64,
    /// Chance that melt stands on the shelf.
    pub p_on_shelf: f64,
    /// Width of the pool, m.
    pub pool_m: Sample,
    /// Relief kept; none without a glazed texture.
    pub relief_kept: Option<Sample>,
    /// Look of the last layer; none where it was never logged.
    pub look: Option<LookChances>,
}

impl Counts {
    /// Counts the shots.
    pub fn of(plan: &Plan, shots: &[Shot], posterior: &Posterior, settings: &Settings) -> Self {
        let bare_m = plan.case.bare_below_m;
        let n = shots.len().max(1) as f64;
        let share =
            |yes: &dyn Fn(&Shot) -> bool| shots.iter().filter(|s| yes(s)).count() as f64 / n;
        let stand = stand(plan);
        let pools: Vec<f64> = shots
            .iter()
            .map(|s| pool_m(plan, posterior, s, stand))
            .collect();
        Self {
            p_moves: share(&|s| s.run_m > MOVED_M),
            p_reaches_foot: share(&|s| s.run_m >= bare_m),
            p_on_shelf: pools.iter().filter(|w| **w >= POOL_LEAST_M).count() as f64 / n,
            run_mm: Sample::new(shots.iter().map(|s| s.run_m * 1e3).collect()),
            pool_m: Sample::new(pools),
            relief_kept: kept(plan, shots, posterior, settings),
            look: look(plan, shots, posterior),
        }
    }

    /// Width of the pool, mm.
    pub fn pool_mm(&self) -> Band90 {
        let mm = |p| self.pool_m.quantile(p) * 1e3;
        Band90 {
            p05: mm(0.05),
            p50: mm(0.5),
            p95: mm(0.95),
        }
    }

    /// Chance that more than half of the relief is kept.
    pub fn p_relief_over_half(&self) -> Option<f64> {
        self.relief_kept.as_ref().map(|kept| kept.share_from(0.5))
    }
}

/// Verdict at the studio's lines.
pub fn verdict(p_reaches_foot: f64, settings: &Settings) -> Verdict {
    if p_reaches_foot <= settings.holds_up_to {
        Verdict::Holds
    } else if p_reaches_foot >= settings.runs_off_from {
        Verdict::WillRunOff
    } else {
        Verdict::MayReachTheFoot
    }
}

/// What the piece stands on.
pub fn stand(plan: &Plan) -> Stand {
    match plan.case.foot_diameter_m {
        Some(diameter) => Stand::Foot(0.5 * diameter),
        None => Stand::Edge(plan.case.around_m),
    }
}

/// Width of the pool under a shot, m. The melt past the foot is the area that the edge holds and what lies between the
/// visible edge and the foot at the front's thickness; the longest drip's, as if it stood all round.
fn pool_m(plan: &Plan, posterior: &Posterior, shot: &Shot, stand: Stand) -> f64 {
    if let Some(past_foot_m2) = shot.past_foot_m2 {
        return shelf::pool_width_m(past_foot_m2, stand);
    }
    let over = shot.run_m - plan.case.bare_below_m;
    if over <= 0.0 {
        return 0.0;
    }
    let Some(params) = posterior.params.get(shot.params) else {
        return 0.0;
    };
    let sin = plan.case.sin_slope;
    let total: f64 = shot.drawn.melt_m.iter().sum::<f64>() * shot.drawn.longest_factor;
    let everywhere: Vec<usize> = (0..plan.case.layers.len()).collect();
    let phi = 10f64.powf(stack::stack_log10_phi(
        &plan.case,
        params,
        &shot.drawn,
        &everywhere,
    ));
    // The thinning behind the front, h = sqrt(x/(3 k Phi)), where it has caught up with it.
    let behind = (plan.case.lowest_m + shot.run_m) / (RHO * GRAVITY * sin * phi);
    let front = total.min(behind.max(0.0).sqrt());
    shelf::pool_width_m(params.retention_m2 / sin + front * over, stand)
}

/// Relief kept in each draw.
fn kept(plan: &Plan, shots: &[Shot], posterior: &Posterior, settings: &Settings) -> Option<Sample> {
    let of = |shot: &Shot| {
        let params = posterior.params.get(shot.params)?;
        relief_of(&plan.case, params, &shot.drawn, settings.recess_share)
    };
    shots
        .iter()
        .map(of)
        .collect::<Option<Vec<f64>>>()
        .map(Sample::new)
}

/// Relief kept, 0–1: the mean over the stretches of the texture, which differ by the layers over them. None without a texture, or with
/// no glaze on it.
pub fn relief_of(case: &Case, params: &Params, drawn: &Drawn, recess_share: f64) -> Option<f64> {
    let marks = case.texture.as_ref()?;
    let stretches = stack::stretches(case, marks.from_m, marks.to_m);
    let length: f64 = stretches.iter().map(|s| s.length_m).sum();
    if length <= 0.0 {
        return None;
    }
    let waves = Waves {
        wavelength_m: marks.repeat_m,
        depth_m: marks.depth_m,
        across: match marks.kind {
            TextureKind::UprightFlutes => Across::Level,
            TextureKind::Rings | TextureKind::Pressed => Across::Run,
        },
        recess_share,
    };
    let kept = stretches.iter().map(|stretch| {
        let film = Film {
            melt_m: stretch.layers.iter().map(|l| drawn.melt_m[*l]).sum(),
            phi_per_pa: 10f64.powf(stack::stack_log10_phi(case, params, drawn, &stretch.layers)),
            weight_n_per_m3: RHO * GRAVITY,
            gamma_n_per_m: GAMMA,
            sin_slope: case.sin_slope,
        };
        stretch.length_m / length * texture::relief_kept(&waves, &film)
    });
    // Shares of lengths add up to 1 but for rounding.
    Some(kept.sum::<f64>().min(1.0))
}

/// Chances of too little, right and too much of the last layer, by its fired thickness and its share of the stack where that is
/// thickest; none where its look was never logged.
pub fn look_of(case: &Case, params: &Params, drawn: &Drawn) -> Option<[f64; 3]> {
    let last = case.layers.len().checked_sub(1)?;
    let layer = &case.layers[last];
    let melt = drawn.melt_m[last];
    let total: f64 = stack::fullest(case, Some(last))
        .iter()
        .map(|l| drawn.melt_m[*l])
        .sum();
    params.look_chances(
        layer.glaze,
        melt / layer.melt_m_per * layer.fired_m_per,
        melt / total.max(melt),
    )
}

fn look(plan: &Plan, shots: &[Shot], posterior: &Posterior) -> Option<LookChances> {
    let (mut sum, n) = ([0.0; 3], shots.len() as f64);
    for shot in shots {
        let chances = look_of(&plan.case, posterior.params.get(shot.params)?, &shot.drawn)?;
        for (sum, chance) in sum.iter_mut().zip(chances) {
            *sum += chance / n;
        }
    }
    (n > 0.0).then_some(LookChances {
        too_little: sum[0],
        right: sum[1],
        too_much: sum[2],
    })
}
