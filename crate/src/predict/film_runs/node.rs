//! One solve among the draws: how much later than its wave the film comes to each place, its rim and its roll.
//!
//! Takes a draw on the outside of a piece; gives decades of the clock by retained area and place, and thickness over the main stretch's by stop.

use super::FilmRuns;
use super::{ACCURACY, HELD, HELD_TO_THE_END, PLACES, STOP_DECADES};
use crate::learn::params::Params;
use crate::physics::film::{self, Method, Solution};
use crate::predict::drawn::Drawn;
use crate::predict::laid::Point;
use crate::predict::on_piece::OnPiece;
use crate::predict::track::{self, Track};
use crate::real::exp_ln;
use crate::studio::case::Case;

/// Over so many stops rim and roll are seen to thin before the last one.
const LATE: usize = 5;

/// What one solve gave.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// log10 of the clock at its first stop.
    pub(super) first: f64,
    /// `[held][place]`: how much later than the wave the film's edge comes there, decades of the clock.
    pub(super) late: Vec<Vec<f64>>,
    /// `[stop]`: rim and roll over the main stretch's thickness.
    pub(super) rim: Vec<f64>,
    pub(super) roll: Vec<f64>,
}

impl Node {
    /// Rim and roll at a reading of the clock, log10, over the main stretch's thickness.
    pub(super) fn rim_and_roll(&self, clock: f64) -> [f64; 2] {
        let at = (clock - self.first) / STOP_DECADES;
        [straight(&self.rim, at), straight(&self.roll, at)]
    }
}

/// What is to be solved.
pub(super) struct Solve<'a> {
    pub(super) case: &'a Case,
    pub(super) params: &'a Params,
    pub(super) drawn: &'a Drawn,
    pub(super) point: &'a Point,
    /// log10 of the clock at which it ends at the latest.
    pub(super) end: f64,
    /// As far as it is followed, m below the lowest line.
    pub(super) far_m: f64,
}

impl FilmRuns {
    /// Follows one draw's film and its wave.
    pub(super) fn solve(&self, outside: &OnPiece, solve: &Solve) -> Option<Node> {
        let (case, point) = (solve.case, solve.point);
        let factor = solve.drawn.longest_factor;
        let (film_case, phi) = outside.draw(case, solve.params, solve.drawn, factor);
        // The solver's clock over the main stretch's H² Phi.
        let per = phi / exp_ln::ten_to(point.clock);
        // One of the stops is where the draw itself ends.
        let away = (point.clock - self.first) / STOP_DECADES;
        let first = self.first + STOP_DECADES * (away - away.round());
        let stops = ((solve.end - first) / STOP_DECADES).ceil().max(2.0) as usize;
        let phis: Vec<f64> = (0..=stops)
            .map(|i| exp_ln::ten_to(first + STOP_DECADES * i as f64) * per)
            .collect();
        let lowest = film_case.lowest_s_m();
        let far = solve.far_m;
        let edge = |s: &Solution, stop: usize, held: usize| {
            let held_m2 = self.held_per_h[held] * point.h_m / self.sin_slope;
            s.place_above(stop, held_m2).unwrap_or(0.0) - lowest
        };
        let method = Method::for_accuracy(ACCURACY);
        let solution = film::solve_while(&film_case, &phis, &method, &mut |s| {
            edge(s, s.stops.len() - 1, HELD_TO_THE_END) < far
        })
        .ok()?;
        let mut node = Node {
            first,
            late: Vec::with_capacity(HELD),
            rim: Vec::new(),
            roll: Vec::new(),
        };
        for stop in 0..solution.stops.len() {
            node.rim
                .push(solution.rim_minimum_m(stop).unwrap_or(0.0) / point.h_m);
            let mut roll = 0.0_f64;
            for edge in solution.colour_edges(stop) {
                roll = roll.max(edge.roll_m / point.h_m);
            }
            node.roll.push(roll);
        }
        let helds: Vec<f64> = self.held_per_h.iter().map(|h| h / self.sin_slope).collect();
        let wave = Track::of(
            &self.slope,
            &self.laid.lies(point),
            film::PRECURSOR_M / point.h_m,
            &helds,
            |t| {
                t.last_edge(HELD - 1) > self.places_m[PLACES - 1]
                    || t.last_clock() > solve.end + 1.0
            },
        );
        for held in 0..HELD {
            let edges: Vec<f64> = (0..solution.stops.len())
                .map(|s| edge(&solution, s, held))
                .collect();
            let mut late = Vec::with_capacity(PLACES);
            let last = edges.len().checked_sub(1)?;
            let clock = |stop: usize| first + STOP_DECADES * stop as f64;
            for &place in &self.places_m {
                let seen = place.min(edges[last]).max(edges[0]);
                let b = edges
                    .partition_point(|e| *e < seen)
                    .min(last)
                    .max(1.min(last));
                let a = b.saturating_sub(1);
                let at = track::log_between((edges[a], clock(a)), (edges[b], clock(b)), seen);
                let wave_at = wave.arrives(held, seen);
                let later = if place > seen {
                    // Past where it was seen the film is as late by the clock itself: what delayed it lies behind it.
                    let now = wave.arrives(held, place);
                    let more = exp_ln::ten_to(at - now) - exp_ln::ten_to(wave_at - now);
                    exp_ln::log10((1.0 + more).max(0.1))
                } else {
                    at - wave_at
                };
                // Where it did not come to the line, what spread before it by surface tension says nothing of how it would run.
                late.push(if edges[last] < 0.0 && later < 0.0 {
                    0.0
                } else {
                    later
                });
            }
            node.late.push(late);
        }
        Some(node)
    }
}

/// Straight between values one apart; beyond them as their logs go on over the last [`LATE`], never rising.
fn straight(values: &[f64], at: f64) -> f64 {
    let last = values.len().saturating_sub(1);
    let at = if at > 0.0 { at } else { 0.0 };
    let i = (at as usize).min(last);
    let (Some(a), Some(b)) = (values.get(i), values.get((i + 1).min(last))) else {
        return 0.0;
    };
    if at <= last as f64 {
        return a + (at - i as f64) * (b - a);
    }
    let from = values[last.saturating_sub(LATE)];
    let falls = if *b > 0.0 && from > *b {
        (b / from).ln() / LATE as f64
    } else {
        0.0
    };
    b * ((at - last as f64) * falls).exp()
}
