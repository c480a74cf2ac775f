//! What the film does on a piece in every draw, from a few solves: each draw lies between those that were solved.
//!
//! Takes a plan with its draws; gives the run, the thin rim, the roll and the melt past the foot of any draw, in m. One solve passes through
//! every Phi and serves every retained area: it gives the clock at which the edge comes to each place, and that is what is interpolated.

use super::drawn::Drawn;
use super::on_piece::OnPiece;
use super::plan::{Plan, Shot};
use super::spread::Sample;
use super::stack::{self, Stretch};
use super::surrogate::Surrogate;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::physics::constants::{GRAVITY, RHO};
use crate::physics::film::{self, Method, Solution};
use crate::studio::case::Case;
use core::f64::consts::{LN_10, TAU};

/// Accuracy of a solve: its run is then good to about 0.05 mm.
const ACCURACY: f64 = 1e-2;
/// Distance of two stops, decades of the clock.
const STOP_DECADES: f64 = 0.04;
/// The first stop is where a full front has gone this far, m.
const FIRST_RUN_M: f64 = 0.3e-3;
/// Solves go on to the clock that this share of the draws does not pass; beyond it the front goes on as a thinning band's.
const CLOCKS_COVERED: f64 = 0.98;
/// Places below the lowest line at which the edge's clock is kept: close together near the line.
const PLACES: usize = 28;
/// Retained areas at which it is kept, from the least to the largest of the draws; a solve ends when the edge of the one named second
/// has come to the last place.
const HELD: usize = 8;
const HELD_TO_THE_END: usize = 5;
/// Solves: for one stretch; more for each further one, which brings two unknowns.
const NODES_OF_ONE: usize = 5;
const NODES_OF_TWO: usize = 12;
const NODES_OF_MORE: usize = 20;
/// How many of them are picked before it is known which draws run.
const NODES_AT_FIRST: usize = 5;
/// A draw nearly runs if its clock is this close to running, decades.
const NEARLY: f64 = 0.4;
/// Nodes closer to one another than this tell nothing new.
const TOO_NEAR: f64 = 1e-2;
/// How much more the log of thickness and its ratio between stretches count than that of fluidity, between nodes (judged: by how much they bend
/// the answer once the clock has taken out `H² Phi`).
const THICKNESS_COUNTS: f64 = 0.3;
const RATIO_COUNTS: f64 = 0.5;
/// The wall is solved at least, and at most, this far past the foot, m.
const PAST_FOOT_M: [f64; 2] = [20e-3, 200e-3];
/// Share of the draws, by the law of bands, whose run times this lies within the wall that is solved.
const RUNS_COVERED: f64 = 0.93;
const FARTHER: f64 = 1.3;

/// What the film does in one draw, at a place of some thickness.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FilmPoint {
    /// Run of the visible edge, m, 0 or more.
    pub run_m: f64,
    /// Melt thickness at the thinnest place of the rim, m.
    pub rim_m: f64,
    /// Melt thickness of the highest roll at the lower edge of an upper layer on the outside, m; 0 without one.
    pub roll_m: f64,
    /// Melt past the foot per width of it, m².
    pub past_foot_m2: f64,
}

/// A draw as a point between the nodes.
#[derive(Clone, Debug)]
struct Point {
    /// log10 of `H² Phi` of the main stretch, log10(m²/Pa).
    clock: f64,
    /// Retained area over the main stretch's thickness, m.
    held_per_h: f64,
    /// Thickness of the main stretch, m.
    h_m: f64,
    features: Vec<f64>,
}

/// What one solve gave.
#[derive(Clone, Debug)]
struct Node {
    /// `[held][place]`: log10 of the clock at which the edge comes there.
    arrives: Vec<Vec<f64>>,
    /// `[place]`: when the edge is there, melt past the foot per width beyond what the edge holds, over the main stretch's thickness, m.
    past: Vec<f64>,
    /// `[stop]`: rim and roll over the main stretch's thickness.
    rim: Vec<f64>,
    roll: Vec<f64>,
}

/// What is to be solved.
struct Solve<'a> {
    case: &'a Case,
    params: &'a Params,
    drawn: &'a Drawn,
    point: &'a Point,
    /// log10 of the clock at which it ends at the latest.
    end: f64,
}

/// The solves of one plan.
#[derive(Clone, Debug)]
pub struct FilmRuns {
    stretches: Vec<Stretch>,
    surrogate: Surrogate,
    nodes: Vec<Node>,
    /// Places below the lowest line, m.
    places_m: Vec<f64>,
    held_per_h: Vec<f64>,
    /// From the top of the glaze down to the lowest line, m.
    band_m: f64,
    bare_m: f64,
    sin_slope: f64,
    /// log10 of the clock at the first stop.
    first: f64,
    /// The rim's least thickness on the whole piece over that on its outside alone.
    rim_of_whole: f64,
}

impl FilmRuns {
    /// Solves a few of the plan's draws; none where the film of one cannot be followed.
    pub fn of(plan: &Plan, posterior: &Posterior, shots: &[Shot]) -> Option<Self> {
        let case = &plan.case;
        let stretches = stretches(case, posterior, shots)?;
        let mut points = Vec::with_capacity(shots.len());
        for shot in shots {
            let params = posterior.params.get(shot.params)?;
            let factor = shot.drawn.longest_factor;
            points.push(point(&stretches, case, params, &shot.drawn, factor));
        }
        let clocks = Sample::new(points.iter().map(|p| p.clock).collect());
        let held = Sample::new(points.iter().map(|p| p.held_per_h).collect());
        let (least, largest) = (held.quantile(0.0).max(1e-6), held.quantile(1.0));
        let ratio = (largest / least).max(1.01).powf(1.0 / (HELD - 1) as f64);
        let law = Sample::new(shots.iter().map(|s| s.run_m).collect()).quantile(RUNS_COVERED);
        let [little, much] = PAST_FOOT_M.map(|past| case.bare_below_m + past);
        let far_m = (FARTHER * law).clamp(little, much);
        let full = (FIRST_RUN_M * 3.0 / (RHO * GRAVITY * case.sin_slope)).log10();
        let top = case
            .layers
            .iter()
            .map(|l| l.from_m)
            .fold(case.lowest_m, f64::min);
        let mut picked = Vec::new();
        let mut runs = Self {
            surrogate: Surrogate::default(),
            nodes: Vec::new(),
            places_m: (0..PLACES)
                .map(|i| far_m * (i as f64 / (PLACES - 1) as f64).powi(2))
                .collect(),
            held_per_h: (0..HELD).map(|i| least * ratio.powi(i as i32)).collect(),
            band_m: (case.lowest_m - top.max(0.0)).max(1e-3),
            bare_m: case.bare_below_m,
            sin_slope: case.sin_slope,
            first: full.max(clocks.quantile(0.0)).min(clocks.quantile(0.9)),
            rim_of_whole: 1.0,
            stretches,
        };
        let end = clocks.quantile(CLOCKS_COVERED) + STOP_DECADES;
        let most = match runs.stretches.len() {
            1 => NODES_OF_ONE,
            2 => NODES_OF_TWO,
            _ => NODES_OF_MORE,
        };
        let outside = OnPiece::outside(case, far_m - case.bare_below_m + 0.03);
        pick(&points, &|_| true, NODES_AT_FIRST, &mut picked);
        loop {
            for &i in &picked[runs.nodes.len()..] {
                let params = posterior.params.get(shots[i].params)?;
                let solve = Solve {
                    case,
                    params,
                    drawn: &shots[i].drawn,
                    point: &points[i],
                    end,
                };
                let node = runs.solve(&outside, &solve)?;
                runs.nodes.push(node);
            }
            runs.surrogate = Surrogate::new(picked.iter().map(|i| &points[*i].features[..]))?;
            let before = picked.len();
            if before < most {
                // The rest among the draws that run or nearly do.
                let mut near = Vec::with_capacity(points.len());
                for p in &points {
                    let weights = runs.surrogate.weights(&p.features);
                    near.push(p.clock > runs.clock_at(&weights, p.held_per_h, 0) - NEARLY);
                }
                pick(&points, &|i| near[i], most, &mut picked);
            }
            if picked.len() == before {
                break;
            }
        }
        let middle = *picked.first()?;
        runs.rim_of_whole = runs.whole_over_outside(case, posterior, &shots[middle])?;
        Some(runs)
    }

    fn solve(&self, outside: &OnPiece, solve: &Solve) -> Option<Node> {
        let (case, point) = (solve.case, solve.point);
        let factor = solve.drawn.longest_factor;
        let (film_case, phi) = outside.draw(case, solve.params, solve.drawn, factor);
        // The solver's clock over the main stretch's H² Phi.
        let per = phi / 10f64.powf(point.clock);
        let stops = ((solve.end - self.first) / STOP_DECADES).ceil().max(2.0) as usize;
        let phis: Vec<f64> = (0..=stops)
            .map(|i| 10f64.powf(self.first + STOP_DECADES * i as f64) * per)
            .collect();
        let lowest = film_case.lowest_s_m();
        let far = self.places_m[PLACES - 1];
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
            arrives: Vec::with_capacity(HELD),
            past: vec![0.0; PLACES],
            rim: Vec::new(),
            roll: Vec::new(),
        };
        let around = TAU * case.foot_diameter_m.unwrap_or(1.0) * 0.5;
        let mut past = Vec::new();
        for stop in 0..solution.stops.len() {
            node.rim
                .push(solution.rim_minimum_m(stop).unwrap_or(0.0) / point.h_m);
            let mut roll = 0.0_f64;
            for edge in solution.colour_edges(stop) {
                roll = roll.max(edge.roll_m / point.h_m);
            }
            node.roll.push(roll);
            past.push(solution.past_foot_m3(stop).unwrap_or(0.0) / around);
        }
        for held in 0..HELD {
            let edges: Vec<f64> = (0..past.len()).map(|s| edge(&solution, s, held)).collect();
            node.arrives.push(self.arrivals(&edges));
            if held == HELD / 2 {
                let held_m2 = self.held_per_h[held] * point.h_m / self.sin_slope;
                for (p, &place) in self.places_m.iter().enumerate() {
                    let stop = edges.partition_point(|e| *e < place);
                    // Past the last stop nothing more is known; the front is thin there.
                    let stop = stop.min(past.len() - 1);
                    node.past[p] = (past[stop] - held_m2).max(0.0) / point.h_m;
                }
            }
        }
        Some(node)
    }

    /// log10 of the clock at which the edge comes to each place, from where it is at each stop.
    fn arrivals(&self, edges: &[f64]) -> Vec<f64> {
        let mut at = Vec::with_capacity(PLACES);
        let clock = |stop: usize| self.first + STOP_DECADES * stop as f64;
        let mut stop = 0;
        for &place in &self.places_m {
            while stop < edges.len() && edges[stop] < place {
                stop += 1;
            }
            at.push(if stop == 0 {
                // Before the first stop: as a full front's, which goes with the clock.
                let from = FIRST_RUN_M;
                self.first + ((place + from) / (edges[0] + from)).log10()
            } else if stop < edges.len() {
                let (a, b) = (edges[stop - 1], edges[stop]);
                clock(stop - 1) + STOP_DECADES * (place - a) / (b - a)
            } else {
                // Past the last stop: as a thinning band's, whose length goes with the cube root of the clock.
                let edge = edges[stop - 1].max(0.0);
                clock(stop - 1) + 3.0 * ((place + self.band_m) / (edge + self.band_m)).log10()
            });
        }
        at
    }

    /// log10 of the clock at which the edge of a draw comes to a place. While the front is at full thickness, run and held area over
    /// thickness add up to `k h² Phi`: the clock itself is straight in the held area.
    fn clock_at(&self, weights: &[f64], held_per_h: f64, place: usize) -> f64 {
        let i = self.held_per_h.partition_point(|h| *h < held_per_h);
        let i = i.clamp(1, HELD - 1);
        let (a, b) = (self.held_per_h[i - 1], self.held_per_h[i]);
        let along = ((held_per_h - a) / (b - a)).clamp(0.0, 1.0);
        let (mut less, mut more) = (0.0, 0.0);
        for (w, node) in weights.iter().zip(&self.nodes) {
            less += w * node.arrives[i - 1][place];
            more += w * node.arrives[i][place];
        }
        less + (1.0 + along * (10f64.powf(more - less) - 1.0))
            .max(1e-9)
            .log10()
    }

    /// What comes out in a draw at a place `factor` times as thick as its mean.
    pub fn at(&self, case: &Case, params: &Params, drawn: &Drawn, factor: f64) -> FilmPoint {
        let point = point(&self.stretches, case, params, drawn, factor);
        let weights = self.surrogate.weights(&point.features);
        let mut found = FilmPoint::default();
        let mut past = 0.0;
        let (mut before, mut place, mut clock) = ((0.0, f64::NEG_INFINITY), 0, f64::NEG_INFINITY);
        while place < PLACES {
            clock = self
                .clock_at(&weights, point.held_per_h, place)
                .max(before.1);
            if clock > point.clock {
                break;
            }
            before = (self.places_m[place], clock);
            place += 1;
        }
        if place == PLACES {
            let longer = 10f64.powf((point.clock - before.1) / 3.0);
            found.run_m = (before.0 + self.band_m) * longer - self.band_m;
        } else if place > 0 {
            let along = (point.clock - before.1) / (clock - before.1);
            found.run_m = before.0 + (self.places_m[place] - before.0) * along;
        }
        let at = ((point.clock - self.first) / STOP_DECADES).max(0.0);
        for (w, node) in weights.iter().zip(&self.nodes) {
            found.rim_m += w * straight(&node.rim, at);
            found.roll_m += w * straight(&node.roll, at);
            past += w * node.past[place.min(PLACES - 1)];
        }
        found.rim_m = (found.rim_m * point.h_m * self.rim_of_whole).max(0.0);
        found.roll_m = (found.roll_m * point.h_m).max(0.0);
        if found.run_m >= self.bare_m && found.run_m > 0.0 {
            let held_m2 = params.retention_m2 / self.sin_slope;
            found.past_foot_m2 = held_m2 + (past * point.h_m).max(0.0);
        }
        found
    }

    /// log10 of the fluidity integral at which a draw's longest drip reaches the foot, over the draw's own.
    fn decades_to_foot(&self, case: &Case, params: &Params, drawn: &Drawn) -> f64 {
        let point = point(&self.stretches, case, params, drawn, drawn.longest_factor);
        let weights = self.surrogate.weights(&point.features);
        let place = self.places_m.partition_point(|p| *p < self.bare_m);
        let place = place.clamp(1, PLACES - 1);
        let at = |place| self.clock_at(&weights, point.held_per_h, place);
        let (a, b) = (self.places_m[place - 1], self.places_m[place]);
        let along = ((self.bare_m - a) / (b - a)).clamp(0.0, 1.0);
        at(place - 1) * (1.0 - along) + at(place) * along - point.clock
    }

    /// What the law of bands is off the film, decades: the middle of a few draws, at the foot.
    pub fn law_off_decades(&self, plan: &Plan, posterior: &Posterior, shots: &[Shot]) -> f64 {
        let mut off = Vec::new();
        for shot in shots.iter().step_by((shots.len() / 16).max(1)) {
            if let Some(params) = posterior.params.get(shot.params) {
                let film = self.decades_to_foot(&plan.case, params, &shot.drawn);
                off.push(plan.decades_to_foot_by_law(params, &shot.drawn) - film);
            }
        }
        Sample::new(off).quantile(0.5)
    }

    /// The rim drains to both sides: its least thickness in one draw on the whole piece over that on the outside alone.
    fn whole_over_outside(&self, case: &Case, posterior: &Posterior, shot: &Shot) -> Option<f64> {
        let params = posterior.params.get(shot.params)?;
        let whole = OnPiece::of(case);
        let (film_case, phi) = whole.draw(case, params, &shot.drawn, 1.0);
        let method = Method::for_accuracy(ACCURACY);
        let solution = film::solve_by(&film_case, &[phi], &method).ok()?;
        let outside = self.at(case, params, &shot.drawn, 1.0).rim_m;
        match solution.rim_minimum_m(0) {
            Some(rim) if outside > 0.0 => Some((rim / outside).clamp(0.3, 3.0)),
            _ => Some(1.0),
        }
    }
}

/// The stretches of the outside that differ from their neighbours, the main one first: that with the largest `H² Phi` in the middle draw.
fn stretches(case: &Case, posterior: &Posterior, shots: &[Shot]) -> Option<Vec<Stretch>> {
    let mut all = stack::stretches(case, 0.0, case.lowest_m);
    all.dedup_by(|a, b| a.layers == b.layers);
    let shot = shots.get(shots.len() / 2)?;
    let params = posterior.params.get(shot.params)?;
    let mut main = (0, f64::NEG_INFINITY);
    for (i, stretch) in all.iter().enumerate() {
        let alone = core::slice::from_ref(stretch);
        let clock = point(alone, case, params, &shot.drawn, 1.0).clock;
        if clock > main.1 {
            main = (i, clock);
        }
    }
    if all.is_empty() {
        return None;
    }
    all.swap(0, main.0);
    Some(all)
}

/// A draw at a place `factor` times as thick as its mean.
fn point(stretches: &[Stretch], case: &Case, params: &Params, drawn: &Drawn, factor: f64) -> Point {
    let of = |s: &Stretch| {
        let h: f64 = s.layers.iter().map(|l| drawn.melt_m[*l]).sum();
        let phi = stack::stack_log10_phi(case, params, drawn, &s.layers);
        ((h * factor).max(1e-7), phi)
    };
    let (h_m, log10_phi) = stretches.first().map_or((1e-7, 0.0), of);
    let mut features = vec![THICKNESS_COUNTS * h_m.ln()];
    for s in stretches.iter().skip(1) {
        let (h, phi) = of(s);
        let thicker = (h / h_m).ln();
        features.push(RATIO_COUNTS * thicker);
        features.push(2.0 * thicker / LN_10 + phi - log10_phi);
    }
    Point {
        clock: 2.0 * h_m.log10() + log10_phi,
        held_per_h: params.retention_m2 / h_m,
        h_m,
        features,
    }
}

/// Adds nodes up to `most`: the draw nearest to the middle first, then always the one farthest from those that were picked, the outermost
/// left aside.
fn pick(points: &[Point], matters: &dyn Fn(usize) -> bool, most: usize, picked: &mut Vec<usize>) {
    let mut pool: Vec<usize> = (0..points.len()).filter(|i| matters(*i)).collect();
    let dims = points.first().map_or(0, |p| p.features.len());
    let mut middle = Vec::with_capacity(dims);
    let mut inside = vec![true; points.len()];
    for d in 0..dims {
        let column = Sample::new(pool.iter().map(|i| points[*i].features[d]).collect());
        middle.push(column.quantile(0.5));
        let (low, high) = (column.quantile(0.01), column.quantile(0.99));
        for (inside, p) in inside.iter_mut().zip(points) {
            *inside &= p.features[d] >= low && p.features[d] <= high;
        }
    }
    pool.retain(|i| inside[*i]);
    while picked.len() < most {
        let mut best = (None, f64::NEG_INFINITY);
        for &i in &pool {
            let to = |other: &[f64]| Surrogate::distance(&points[i].features, other);
            let far = if picked.is_empty() {
                -to(&middle)
            } else {
                let nearest = |n: f64, p: &usize| n.min(to(&points[*p].features));
                picked.iter().fold(f64::INFINITY, nearest) - TOO_NEAR
            };
            if far > best.1 {
                best = (Some(i), far);
            }
        }
        match best {
            (Some(i), far) if picked.is_empty() || far > 0.0 => picked.push(i),
            _ => break,
        }
    }
}

/// Straight between values one apart; the last one beyond them.
fn straight(values: &[f64], at: f64) -> f64 {
    let last = values.len().saturating_sub(1);
    let i = (at.floor().max(0.0) as usize).min(last);
    let (a, b) = (values.get(i), values.get((i + 1).min(last)));
    match (a, b) {
        (Some(a), Some(b)) => a + (at - i as f64).clamp(0.0, 1.0) * (b - a),
        _ => 0.0,
    }
}
