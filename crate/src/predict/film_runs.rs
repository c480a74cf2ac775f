//! What the film does on a piece in every draw, from a few solves: each draw is gravity's own wave, set right by the solves near it.
//!
//! Takes a plan with its draws; gives the run, the thin rim, the roll and the melt past the foot of any draw, in m. The wave is cheap enough to be
//! followed in every draw; how much later than the wave the film comes to a place is little and changes little from draw to draw: that is what is
//! interpolated. One solve passes through every Phi and serves every retained area.

mod node;

use self::node::{Node, Solve};
use super::drawn::Drawn;
use super::laid::{Laid, Point};
use super::on_piece::OnPiece;
use super::plan::{Plan, Shot};
use super::spread::Sample;
use super::surrogate::{self, Surrogate};
use super::track::{self, Track};
use super::wave::Slope;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::order;
use crate::physics::constants::{GRAVITY, RHO};
use crate::physics::film::{self, Method};
use crate::real::exp_ln;
use crate::studio::case::Case;

/// Accuracy of a solve: its run is then good to about 0.05 mm.
const ACCURACY: f64 = 1e-2;
/// The first stop is where a full front has gone this far, m.
const FIRST_RUN_M: f64 = 0.3e-3;
/// Solves go on to the clock that this share of the draws does not pass.
const CLOCKS_COVERED: f64 = 0.98;
/// Places below the lowest line at which it is kept how late the film is: close together near the line.
const PLACES: usize = 48;
/// Retained areas at which it is kept, from the least to the largest of the draws; a solve ends when the edge of the one named second
/// has come to the last place.
const HELD: usize = 6;
const HELD_TO_THE_END: usize = 4;
/// Distance of two stops, decades of the clock.
const STOP_DECADES: f64 = 0.06;
/// Solves to begin with: for one stretch; more for two or more, as each brings two unknowns. They are followed as far past the foot as named first, m,
/// where most draws run so far; those of draws that are read themselves as far as named second.
const NODES_OF_ONE: usize = 4;
const NODES_OF_TWO: usize = 7;
const NODES_OF_MORE: usize = 14;
const NEAR_M: f64 = 20e-3;
/// The first solve may go on this much longer than any draw, decades.
const LONGER_DECADES: f64 = 2.0;
/// A single solve is followed this far past the foot, m.
const QUICK_M: f64 = 5e-3;
const FAR_M: f64 = 60e-3;
/// A draw nearly runs if its clock is this close to running, decades; how much the others count as nodes are picked.
const NEARLY: f64 = 0.2;
const OTHERS_COUNT: f64 = 0.05;
/// Percentiles whose draws are solved themselves, so many times over, as solving them may bring others there.
const READ_AT: [f64; 3] = [0.1, 0.5, 0.9];
const ROUNDS: usize = 2;
/// Of the draws that run up to so many times as far or so many times less than one of them, that which is least like any node is solved too, if it
/// is further from all than this.
const ABOUT: f64 = 1.6;
const ALIKE: f64 = 0.2;
/// The wave is followed this far past a draw's own clock, decades: the film may be ahead of it.
const AHEAD: f64 = 0.1;

/// A front within a solve's own accuracy of the foot has reached it, m: on a low plate the melt of half the draws stands at the foot's edge, and a hundredth of
/// a millimetre would decide.
const AT_FOOT_M: f64 = 0.1e-3;

/// The solves of one plan, and the wave of each draw.
#[derive(Clone, Debug)]
pub struct FilmRuns {
    laid: Laid,
    slope: Slope,
    surrogate: Surrogate,
    nodes: Vec<Node>,
    points: Vec<Point>,
    tracks: Vec<Track>,
    /// Places below the lowest line, m.
    places_m: Vec<f64>,
    held_per_h: Vec<f64>,
    bare_m: f64,
    sin_slope: f64,
    /// log10 of the clock at the first stop.
    first: f64,
    /// The rim's least thickness on the whole piece over that on its outside alone.
    rim_of_whole: f64,
    whole: bool,
}

impl FilmRuns {
    /// Solves a few of the plan's draws; none on a tile, whose bands are a table, and where the film of a draw cannot be followed.
    pub fn of(plan: &Plan, posterior: &Posterior, shots: &[Shot]) -> Option<Self> {
        Self::from(plan, posterior, shots, usize::MAX, ROUNDS)
    }

    /// The same from one solve, in the middle of the draws that run or nearly do: quick, and without the rim, which lies on both sides.
    pub fn quick(plan: &Plan, posterior: &Posterior, shots: &[Shot]) -> Option<Self> {
        Self::from(plan, posterior, shots, 1, 0)
    }

    fn from(
        plan: &Plan,
        posterior: &Posterior,
        shots: &[Shot],
        nodes: usize,
        rounds: usize,
    ) -> Option<Self> {
        let case = &plan.case;
        if case.is_tile {
            return None;
        }
        let laid = Laid::of(case, posterior, shots)?;
        let mut points = Vec::with_capacity(shots.len());
        for shot in shots {
            let params = posterior.params.get(shot.params)?;
            let factor = shot.drawn.longest_factor;
            points.push(laid.point(case, params, &shot.drawn, factor));
        }
        let slope = Slope::of(case);
        let mut tracks = Vec::with_capacity(points.len());
        for p in &points {
            // What cannot even nearly run need not be followed.
            let clock = exp_ln::ten_to(p.clock + NEARLY);
            tracks.push(if slope.may_run(&laid.lies(p), clock, 0.0) {
                track_of(&slope, &laid, p, case.sin_slope)
            } else {
                Track::default()
            });
        }
        let clocks = Sample::new(points.iter().map(|p| p.clock).collect());
        let held = Sample::new(points.iter().map(|p| p.held_per_h).collect());
        let (least, largest) = (held.quantile(0.0).max(1e-6), held.quantile(1.0));
        let ratio = (largest / least).max(1.01).powf(1.0 / (HELD - 1) as f64);
        let runs = Sample::new(
            tracks
                .iter()
                .zip(&points)
                .map(|(t, p)| t.edge_m(0, p.clock))
                .collect(),
        );
        let most_run_m = runs.quantile(0.92) + 3e-3;
        let [near_m, far_m] = if nodes > 1 {
            [NEAR_M, FAR_M]
        } else {
            [QUICK_M; 2]
        }
        .map(|past| most_run_m.min(case.bare_below_m + past).max(5e-3));
        let full = exp_ln::log10(FIRST_RUN_M * 3.0 / (RHO * GRAVITY * case.sin_slope));
        let mut picked = Vec::new();
        let mut runs = Self {
            surrogate: Surrogate::default(),
            nodes: Vec::new(),
            places_m: (0..PLACES)
                .map(|i| far_m * (i as f64 / (PLACES - 1) as f64).powi(2))
                .collect(),
            held_per_h: (0..HELD).map(|i| least * ratio.powi(i as i32)).collect(),
            bare_m: case.bare_below_m,
            sin_slope: case.sin_slope,
            first: full.max(clocks.quantile(0.0)).min(clocks.quantile(0.9)),
            rim_of_whole: 1.0,
            whole: nodes > 1,
            laid,
            slope,
            points,
            tracks,
        };
        let end = clocks.quantile(CLOCKS_COVERED) + STOP_DECADES;
        let most = match runs.laid.kinds() {
            1 => NODES_OF_ONE,
            2 => NODES_OF_TWO,
            _ => NODES_OF_MORE,
        };
        let outside = OnPiece::outside(case, far_m - case.bare_below_m + 0.03);
        let mut weights = Vec::with_capacity(runs.points.len());
        for (p, track) in runs.points.iter().zip(&runs.tracks) {
            let nearly = p.clock > track.arrives(0, 0.0) - NEARLY;
            weights.push(if nearly { 1.0 } else { OTHERS_COUNT });
        }
        let features: Vec<&[f64]> = runs.points.iter().map(|p| &p.features[..]).collect();
        let mut want = surrogate::medoids(&features, &weights, most.min(nodes));
        let mut rounds = rounds;
        while !want.is_empty() {
            let solve_far = if picked.is_empty() { near_m } else { far_m };
            for &i in &want {
                let params = posterior.params.get(shots[i].params)?;
                let solve = Solve {
                    case,
                    params,
                    drawn: &shots[i].drawn,
                    point: &runs.points[i],
                    end: if picked.is_empty() && runs.nodes.is_empty() {
                        // One of them to where it comes to the foot, however long that takes: thicker coats are set right by it too.
                        end + LONGER_DECADES
                    } else if picked.is_empty() {
                        end
                    } else {
                        runs.points[i].clock + 2.0 * STOP_DECADES
                    },
                    far_m: solve_far,
                };
                let node = runs.solve(&outside, &solve)?;
                runs.nodes.push(node);
            }
            picked.append(&mut want);
            let mut nodes = Vec::with_capacity(picked.len());
            for i in &picked {
                nodes.push(runs.points[*i].features.clone());
            }
            runs.surrogate = Surrogate::new(nodes)?;
            if rounds == 0 {
                break;
            }
            rounds -= 1;
            want = runs.read_at(&picked);
        }
        if !runs.whole {
            return Some(runs);
        }
        let middle = *picked.first()?;
        runs.rim_of_whole = runs.whole_over_outside(case, posterior, shots, middle)?;
        Some(runs)
    }

    /// The draws that the answer's percentiles are read at, but for those that are nodes already or do not run.
    fn read_at(&self, nodes: &[usize]) -> Vec<usize> {
        let mut order: Vec<(f64, usize)> = Vec::with_capacity(self.points.len());
        for draw in 0..self.points.len() {
            order.push((self.run_m(draw), draw));
        }
        order::by(&mut order, |a, b| a.0.total_cmp(&b.0));
        let mut want = Vec::new();
        for percentile in READ_AT {
            let at = percentile * (order.len() - 1) as f64;
            for &(run, draw) in &order[at.floor() as usize..=at.ceil() as usize] {
                if run > 0.0 && !nodes.contains(&draw) && !want.contains(&draw) {
                    want.push(draw);
                }
            }
            let about = order[at as usize].0;
            want.extend(self.least_alike(&order, about, nodes, &want));
        }
        want
    }

    /// Of the draws that run about as far, given with their runs, that which is least like any node or one that is to be one.
    fn least_alike(
        &self,
        runs: &[(f64, usize)],
        about: f64,
        nodes: &[usize],
        want: &[usize],
    ) -> Option<usize> {
        let mut found = (ALIKE, None);
        for &(run, draw) in runs {
            if run > 0.0 && run > about / ABOUT && run < about * ABOUT {
                let features = &self.points[draw].features;
                let mut nearest = f64::INFINITY;
                for &node in nodes.iter().chain(want) {
                    let to = Surrogate::distance(&self.points[node].features, features);
                    nearest = if to < nearest { to } else { nearest };
                }
                if nearest > found.0 {
                    found = (nearest, Some(draw));
                }
            }
        }
        found.1
    }

    /// How much later than the wave the film comes to a place, decades of the clock.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn late(&self, weights: &[f64], held_per_h: f64, place: usize) -> f64 {
        let i = self.held_per_h.partition_point(|h| *h < held_per_h);
        let i = i.clamp(1, HELD - 1);
        let (a, b) = (self.held_per_h[i - 1], self.held_per_h[i]);
        let along = ((held_per_h - a) / (b - a)).clamp(0.0, 1.0);
        let mut late = 0.0;
        for (w, node) in weights.iter().zip(&self.nodes) {
            late += w * (node.late[i - 1][place] * (1.0 - along) + node.late[i][place] * along);
        }
        late
    }

    /// Whether rim, roll and the melt that is lost may be asked for.
    pub fn is_whole(&self) -> bool {
        self.whole
    }

    /// The run of a draw's longest drip, m, 0 or more.
    pub fn run_m(&self, draw: usize) -> f64 {
        self.run(&self.points[draw], &self.tracks[draw])
    }

    /// The run of a draw's longest drip where the layers lie in other amounts, m; 0 where it cannot be as much as `least_m`.
    pub fn run_of_m(&self, case: &Case, params: &Params, drawn: &Drawn, least_m: f64) -> f64 {
        let point = self.laid.point(case, params, drawn, drawn.longest_factor);
        let clock = exp_ln::ten_to(point.clock + AHEAD);
        if !self
            .slope
            .may_run(&self.laid.lies(&point), clock, least_m - AT_FOOT_M)
        {
            return 0.0;
        }
        let track = track_of(&self.slope, &self.laid, &point, self.sin_slope);
        self.run(&point, &track)
    }

    /// The same of a draw at moments of the firing, each named by how many decades of the clock are still to come.
    pub fn runs_m(&self, draw: usize, to_come: &[f64]) -> Vec<f64> {
        let (point, track) = (&self.points[draw], &self.tracks[draw]);
        let weights = self.surrogate.weights(&point.features);
        let mut clocks = Vec::with_capacity(PLACES);
        for place in 0..PLACES {
            clocks.push(self.arrives(&weights, point, track, place));
        }
        let mut runs = Vec::with_capacity(to_come.len());
        for decades in to_come {
            let clock = point.clock - decades;
            runs.push(self.run_at(clock, track, &mut |place| clocks[place]));
        }
        runs
    }

    fn run(&self, point: &Point, track: &Track) -> f64 {
        let weights = self.surrogate.weights(&point.features);
        self.run_at(point.clock, track, &mut |place| {
            self.arrives(&weights, point, track, place)
        })
    }

    /// When the film comes to a place, log10 of the clock.
    fn arrives(&self, weights: &[f64], point: &Point, track: &Track, place: usize) -> f64 {
        track.arrives(0, self.places_m[place]) + self.late(weights, point.held_per_h, place)
    }

    /// The run at a reading of the clock, where the film `arrives` at each place.
    fn run_at(&self, end: f64, track: &Track, arrives: &mut dyn FnMut(usize) -> f64) -> f64 {
        let run = self.front_at(end, track, arrives);
        if run < self.bare_m && run > self.bare_m - AT_FOOT_M && run > 0.0 {
            return self.bare_m;
        }
        run
    }

    #[cfg_attr(fast_by_function, optimize(speed))]
    fn front_at(&self, end: f64, track: &Track, arrives: &mut dyn FnMut(usize) -> f64) -> f64 {
        if track.last_clock() == f64::NEG_INFINITY {
            return 0.0;
        }
        let mut before = (0.0, f64::NEG_INFINITY);
        for (place, &at) in self.places_m.iter().enumerate() {
            let clock = arrives(place);
            let clock = if clock > before.1 { clock } else { before.1 };
            if clock > end {
                if place == 0 {
                    return 0.0;
                }
                return track::between_logs(before, (at, clock), end);
            }
            before = (at, clock);
        }
        // Past the last place the film is as late as it was there by the clock itself: what delayed it lies behind it.
        let delay = exp_ln::ten_to(before.1) - exp_ln::ten_to(track.arrives(0, before.0));
        let clock = exp_ln::ten_to(end) - delay;
        track
            .edge_m(0, exp_ln::log10(clock.max(1e-30)))
            .max(before.0)
    }

    /// Melt past the foot per width of it at a place `factor` times as thick as a draw's longest drip, m².
    pub fn past_foot_m2(&self, draw: usize, factor: f64) -> f64 {
        let point = self.points[draw].thicker(factor);
        let weights = self.surrogate.weights(&point.features);
        let i = self.places_m.partition_point(|p| *p < self.bare_m);
        let i = i.clamp(1, PLACES - 1);
        let (a, b) = (self.places_m[i - 1], self.places_m[i]);
        let along = ((self.bare_m - a) / (b - a)).clamp(0.0, 1.0);
        let late = |place| self.late(&weights, point.held_per_h, place);
        let late = late(i - 1) * (1.0 - along) + late(i) * along;
        let past = self.tracks[draw].past_foot(point.clock - late);
        // Less than what the edge holds has not brought it there.
        if past >= point.held_per_h / self.sin_slope {
            past * point.h_m
        } else {
            0.0
        }
    }

    /// Melt thickness at the thinnest place of the rim and of the highest roll at the lower edge of an upper layer on the outside (0 without one) where a
    /// draw lies as thick as its mean, m.
    pub fn rim_and_roll_m(&self, draw: usize, longest_factor: f64) -> [f64; 2] {
        let point = self.points[draw].thicker(1.0 / longest_factor);
        let weights = self.surrogate.weights(&point.features);
        let (mut rim, mut roll) = (0.0, 0.0);
        for (w, node) in weights.iter().zip(&self.nodes) {
            let [its_rim, its_roll] = node.rim_and_roll(point.clock);
            rim += w * its_rim;
            roll += w * its_roll;
        }
        [
            (rim * point.h_m * self.rim_of_whole).max(0.0),
            (roll * point.h_m).max(0.0),
        ]
    }

    /// The rim drains to both sides: its least thickness in one draw on the whole piece over that on the outside alone.
    fn whole_over_outside(
        &self,
        case: &Case,
        posterior: &Posterior,
        shots: &[Shot],
        draw: usize,
    ) -> Option<f64> {
        let shot = shots.get(draw)?;
        let params = posterior.params.get(shot.params)?;
        let whole = OnPiece::of(case);
        let (film_case, phi) = whole.draw(case, params, &shot.drawn, 1.0);
        let method = Method::for_accuracy(ACCURACY);
        let solution = film::solve_by(&film_case, &[phi], &method).ok()?;
        let [outside, _] = self.rim_and_roll_m(draw, shot.drawn.longest_factor);
        match solution.rim_minimum_m(0) {
            Some(rim) if outside > 0.0 => Some((rim / outside).clamp(0.3, 3.0)),
            _ => Some(1.0),
        }
    }
}

/// The wave of a draw up to a little past its own clock.
fn track_of(slope: &Slope, laid: &Laid, point: &Point, sin_slope: f64) -> Track {
    let end = point.clock + AHEAD;
    Track::of(
        slope,
        &laid.lies(point),
        film::PRECURSOR_M / point.h_m,
        &[point.held_per_h / sin_slope],
        |t| t.last_clock() >= end,
    )
}
