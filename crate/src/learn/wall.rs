//! A run on a wall that narrows, widens or bends, from the run on a straight one: the kinematic wave on any wall, solved once per edge.
//!
//! Takes the piece, an edge and the band above it; gives a monotone map between runs in m, both ways.
//!
//! Gravity's wave `r h_t + (k r sinθ h³)_s = 0` keeps `G h³`, `G = r sinθ`, along `ds/dΦ = 3 k sinθ h²`. What comes from a place `a` of the
//! band, laid down `h0` thick everywhere, meets the front once `2 k h0² Φ G(a) = ∫_a^edge r ds`, and by then stands where
//! `∫_a^front G^(2/3)/sinθ ds = 3 k h0² Φ G(a)^(2/3)`; where `a` would lie above the band, its upper end's fan gives
//! `∫_top^front G^(2/3)/sinθ ds = (27/4 (∫r ds)² k h0² Φ)^(1/3)` (derived; on a straight wall the law of [`crate::physics::tile`]). So a run hangs on the clock
//! `k h0² Φ` alone, and a run on the straight wall, surface tension and all, tells that clock.

use crate::physics::piece::Profile;
use crate::physics::root::cube_root;
use crate::studio::case::Case;
use std::sync::Arc;

/// Runs that the map is made for, m, and how many.
const LONGEST_M: f64 = 0.25;
const NODES: usize = 24;
/// Step along the wall, m.
const STEP_M: f64 = 2e-3;
/// Least slope that a wall counts with.
const LEAST_SIN: f64 = 0.03;

/// From runs on a straight wall to runs on this one.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// Runs on this wall, m, evenly by the root of [`straight_m`]; none: it is straight.
    along_m: Vec<f64>,
    /// What an edge holds counts this many times as much as on a straight wall.
    held: f64,
}

/// The run for which that is worked out, m.
const HELD_AT_M: f64 = 0.015;

/// Run on the straight wall at a node, m.
fn straight_m(node: usize) -> f64 {
    let share = node as f64 / (NODES - 1) as f64;
    LONGEST_M * share * share
}

impl Wall {
    /// A straight wall.
    pub fn straight() -> Self {
        Self {
            along_m: Vec::new(),
            held: 1.0,
        }
    }

    /// The wall about `edge_m`, down from the rim's crest, with glaze over `length_m` above it.
    pub fn of(case: &Case, edge_m: f64, length_m: f64, sin_slope: f64) -> Self {
        if case.is_tile {
            return Self::straight();
        }
        // From the band's top downwards: r sinθ, and the two integrals up to each place.
        let top_m = edge_m - length_m;
        let above = (length_m / STEP_M).ceil().max(1.0);
        let step = length_m / above;
        let edge = above as usize;
        let (mut pull, mut ground, mut stretched) = (Vec::new(), vec![0.0], vec![0.0]);
        let (mut r_sum, mut way) = (0.0, 0.0);
        let places = edge + ((2.0 * LONGEST_M) / step) as usize;
        let mut last = (0.0, 0.0);
        for i in 0..places {
            let down = top_m + (i as f64 + 0.5) * step;
            // Below the foot the wall goes on as it ended.
            if down < case.wall_length_m || i == 0 {
                let at = case.profile.at(case.profile.rim_s_m() + down.max(0.0));
                last = (at.r_m.max(1e-4), (-at.psi_rad.sin()).max(LEAST_SIN));
            }
            let (r, sin) = last;
            r_sum += r * step;
            way += (r * sin).powf(2.0 / 3.0) / sin * step;
            pull.push(r * sin);
            ground.push(r_sum);
            stretched.push(way);
        }
        let laid = ground[edge];
        let mut along_m = Vec::with_capacity(NODES);
        let mut from = edge;
        for node in 0..NODES {
            let straight = straight_m(node);
            let clock = if straight <= 0.5 * length_m {
                straight / sin_slope
            } else {
                (length_m + straight).powi(3) / (6.75 * length_m * length_m * sin_slope)
            };
            // The place whose melt is at the front now; it only moves up.
            while from > 0 && laid - ground[from - 1] < 2.0 * clock * pull[from - 1] {
                from -= 1;
            }
            let reached = if from == 0 {
                cube_root(6.75 * laid * laid * clock)
            } else {
                // Between that place and the next one up, where the difference changes its sign.
                let over =
                    |place: usize| laid - ground[place] - 2.0 * clock * pull[place.min(edge - 1)];
                let (low, high) = (over(from), over(from - 1));
                let part = if high > low {
                    (-low / (high - low)).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let between = |of: &[f64]| of[from] + part * (of[from - 1] - of[from]);
                // r sinθ there by the same balance, which holds where it changes quickly too.
                let g = (laid - between(&ground)) / (2.0 * clock).max(1e-12);
                between(&stretched) + 3.0 * clock * g.powf(2.0 / 3.0)
            };
            let at = order_of(&stretched, reached);
            let run = (at - edge as f64) * step;
            let least = along_m.last().map_or(0.0, |last: &f64| last + 1e-6);
            along_m.push(if node == 0 { 0.0 } else { run.max(least) });
        }
        // The front is thicker than on a straight wall and goes faster; a volume is shorter there, and a length on the straight wall counts for more.
        let mut wall = Self { along_m, held: 1.0 };
        let (_, slope) = wall.straight_m(HELD_AT_M);
        let sin_there = {
            let at = case
                .profile
                .at(case.profile.rim_s_m() + (edge_m + HELD_AT_M).min(case.wall_length_m));
            (-at.psi_rad.sin()).max(LEAST_SIN)
        };
        let thicker = (sin_slope / (slope * sin_there)).max(0.1).sqrt();
        wall.held = (slope / thicker).clamp(0.1, 3.0);
        wall
    }

    /// Whether a run here is one on a straight wall.
    pub fn is_straight(&self) -> bool {
        self.along_m.is_empty()
    }

    /// How many times as much an edge here holds, in what it takes off a run on a straight wall.
    pub fn held(&self) -> f64 {
        self.held
    }

    /// The run on this wall where it is `straight_m` on a straight one; below 0 as it is.
    pub fn along_m(&self, straight: f64) -> f64 {
        if self.along_m.is_empty() || straight <= 0.0 {
            return straight;
        }
        let at = (straight / LONGEST_M).sqrt() * (NODES - 1) as f64;
        let node = (at as usize).min(NODES - 2);
        let part = (straight - straight_m(node)) / (straight_m(node + 1) - straight_m(node));
        self.along_m[node] + part * (self.along_m[node + 1] - self.along_m[node])
    }

    /// The run on a straight wall where it is `run_m` on this one, and its change per run.
    pub fn straight_m(&self, run_m: f64) -> (f64, f64) {
        if self.along_m.is_empty() || run_m <= 0.0 {
            return (run_m, 1.0);
        }
        let node = self
            .along_m
            .partition_point(|m| *m <= run_m)
            .clamp(1, NODES - 1)
            - 1;
        let slope = (straight_m(node + 1) - straight_m(node))
            / (self.along_m[node + 1] - self.along_m[node]);
        (
            straight_m(node) + slope * (run_m - self.along_m[node]),
            slope,
        )
    }
}

/// Where in a rising list, its places counted, `value` lies.
fn order_of(list: &[f64], value: f64) -> f64 {
    let after = list
        .partition_point(|x| *x <= value)
        .clamp(1, list.len() - 1);
    let (a, b) = (list[after - 1], list[after]);
    (after - 1) as f64 + ((value - a) / (b - a)).min(1e3)
}

/// Walls already worked out: most entries of a log are on few forms, glazed down to few lines.
#[derive(Debug, Default)]
pub struct Walls(Vec<(Arc<Profile>, [f64; 2], Arc<Wall>)>);

/// Most that are kept.
const KEPT: usize = 1024;

impl Walls {
    /// As [`Wall::of`].
    pub fn of(&mut self, case: &Case, edge_m: f64, length_m: f64, sin_slope: f64) -> Arc<Wall> {
        if case.is_tile {
            return Arc::new(Wall::straight());
        }
        let lines = [edge_m, length_m];
        for (profile, known, wall) in &self.0 {
            if *known == lines && Arc::ptr_eq(profile, &case.profile) {
                return Arc::clone(wall);
            }
        }
        let wall = Arc::new(Wall::of(case, edge_m, length_m, sin_slope));
        if self.0.len() < KEPT {
            self.0
                .push((Arc::clone(&case.profile), lines, Arc::clone(&wall)));
        }
        wall
    }
}
