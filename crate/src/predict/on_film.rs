//! What the film solved on the piece adds to an answer: runs of the draws, the thin rim, the roll, the melt that is lost.
//!
//! Takes the film's runs and the draws; gives each draw its run, and bands in µm and g.

use super::film_runs::FilmRuns;
use super::on_piece::OnPiece;
use super::outcome::Band90;
use super::plan::{Plan, Shot};
use super::spread::Sample;
use crate::learn::normal;
use crate::learn::posterior::Posterior;
use crate::physics::constants::RHO;
use crate::physics::film;
use crate::physics::laydown::FIRED_PER_MELT;
use crate::studio::case::Case;
use core::f64::consts::PI;

/// Places round the foot over which the melt that is lost is summed, each standing for an equal share of it.
const PLACES_ROUND: usize = 8;
/// Where every draw is solved, the wall goes on this far past the foot, m.
const FAR_M: f64 = 0.4;

/// Gives each draw the film's run of its longest drip, and what passes the foot there. `shots` are those that the film was solved for.
pub fn run(film: &FilmRuns, case: &Case, shots: &mut [Shot]) {
    for (draw, shot) in shots.iter_mut().enumerate() {
        shot.run_m = film.run_m(draw);
        shot.past_foot_m2 = Some(if shot.run_m >= case.bare_below_m {
            film.past_foot_m2(draw, 1.0)
        } else {
            0.0
        });
    }
}

/// The run of each draw's longest drip from a solve of its own, m: what the runs between a few solves stand for, a hundred times slower. Not a number
/// where a film could not be followed.
pub fn each_solved_m(case: &Case, posterior: &Posterior, shots: &[Shot]) -> Vec<f64> {
    let outside = OnPiece::outside(case, FAR_M);
    let mut runs = Vec::with_capacity(shots.len());
    for shot in shots {
        let solved = posterior.params.get(shot.params).and_then(|params| {
            let (film, phi) = outside.draw(case, params, &shot.drawn, shot.drawn.longest_factor);
            let solution = film::solve(&film, &[phi], film::ACCURACY).ok()?;
            let edge = solution.visible_edge_for(0, params.retention_m2 / case.sin_slope)?;
            Some(edge - film.lowest_s_m())
        });
        runs.push(solved.unwrap_or(f64::NAN));
    }
    runs
}

/// Fired thickness where the glaze lies as thick as its mean, µm: at the thinnest place of the rim, and of the highest roll at the lower edge of
/// an upper layer; no roll where there is no such edge.
pub fn rim_and_roll_um(film: &FilmRuns, shots: &[Shot]) -> (Band90, Option<Band90>) {
    let mut rims = Vec::with_capacity(shots.len());
    let mut rolls = Vec::with_capacity(shots.len());
    for (draw, shot) in shots.iter().enumerate() {
        let [rim, roll] = film.rim_and_roll_m(draw, shot.drawn.longest_factor);
        rims.push(rim * FIRED_PER_MELT * 1e6);
        rolls.push(roll * FIRED_PER_MELT * 1e6);
    }
    let roll = Sample::new(rolls).band90();
    (Sample::new(rims).band90(), (roll.p95 > 0.0).then_some(roll))
}

/// Melt past the foot all round, g: the sum over places round the foot that lie as thick as places do.
pub fn melt_lost_g(film: &FilmRuns, plan: &Plan, posterior: &Posterior, shots: &[Shot]) -> Band90 {
    let around_m = PI * plan.case.foot_diameter_m.unwrap_or(0.0);
    let mut lost_g = Vec::with_capacity(shots.len());
    for (draw, shot) in shots.iter().enumerate() {
        let Some(params) = posterior.params.get(shot.params) else {
            continue;
        };
        let mut past_m2 = 0.0;
        // Where even the longest drip stays above the foot, all do.
        if shot.run_m >= plan.case.bare_below_m {
            for i in 0..PLACES_ROUND {
                let place = normal::quantile((i as f64 + 0.5) / PLACES_ROUND as f64);
                let factor = (params.place_ln_sigma * place).exp() / shot.drawn.longest_factor;
                past_m2 += film.past_foot_m2(draw, factor);
            }
        }
        lost_g.push(past_m2 / PLACES_ROUND as f64 * around_m * RHO * 1e3);
    }
    Sample::new(lost_g).band90()
}
