//! What a solve gives: the film at each stop, and what a potter asks of it.
//!
//! Takes mesh and volumes at the stops; gives thickness along the profile, front, visible edge, ridge, thin rim, relief, lost melt.

use super::{WorkDone, composition::Fluidity};
use std::f64::consts::PI;

/// The film at one moment.
#[derive(Clone, Debug)]
pub struct Moment {
    /// Φ of the clock, 1/Pa.
    pub phi_per_pa: f64,
    /// Faces of the cells, m: one more than cells.
    pub faces_m: Vec<f64>,
    /// Thickness perpendicular to the clay in each cell, m.
    pub h_m: Vec<f64>,
    /// Volume per area of clay in each cell, m.
    pub zeta_m: Vec<f64>,
    /// Melt volume between the start and each face: m³ per radian, on a tile m³ per m of width.
    pub(super) volume: Vec<f64>,
    /// ∫ r ds up to each face.
    pub(super) ground: Vec<f64>,
    /// Per layer and cell: its share, where layers flow apart.
    pub(super) apart: Option<Vec<Vec<f64>>>,
}

/// Where the colour of a layer ends now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColourEdge {
    /// Which layer, from the wall, from 0.
    pub layer: usize,
    /// Where that edge was laid down, m.
    pub laid_s_m: f64,
    /// Where the melt that lay there is now, m.
    pub now_s_m: f64,
    /// Greatest thickness from 10 mm above that place to 5 mm below: the roll, m.
    pub roll_m: f64,
}

/// Everything that a solve gives.
#[derive(Clone, Debug)]
pub struct Solution {
    /// The film at each stop.
    pub stops: Vec<Moment>,
    /// Work done.
    pub work: WorkDone,
    /// Relative error of the volume, lost melt counted.
    pub volume_error: f64,
    /// Length over which the profile's jumps of curvature and the ends of a relief are spread, m.
    pub smoothed_m: f64,
    pub(super) about: About,
}

/// What the measures need to know of the case.
#[derive(Clone, Debug)]
pub(super) struct About {
    pub turned: bool,
    pub melt: Fluidity,
    pub total: f64,
    pub precursor: f64,
    pub nominal: f64,
    pub lowest: f64,
    pub held: Option<f64>,
    pub rim: f64,
    pub foot: f64,
    pub arcs: Vec<(f64, f64)>,
    pub edges: Vec<(usize, f64, f64)>,
    pub relief: Option<super::relief::Clay>,
}

impl Moment {
    /// Middles of the cells, m.
    pub fn middles_m(&self) -> Vec<f64> {
        self.faces_m
            .windows(2)
            .map(|w| 0.5 * (w[0] + w[1]))
            .collect()
    }

    /// Thickness at a place, m: a monotone cubic of the volume, so that it is right at crests too.
    pub fn thickness_m(&self, s_m: f64) -> f64 {
        let n = self.h_m.len();
        let middle = |i: usize| 0.5 * (self.faces_m[i] + self.faces_m[i + 1]);
        let s = s_m.clamp(middle(0), middle(n - 1));
        // The cell whose middle lies at or before s.
        let i = self.faces_m.partition_point(|&f| f <= s).clamp(1, n) - 1;
        let i = if middle(i) > s {
            i.saturating_sub(1)
        } else {
            i
        }
        .min(n.saturating_sub(2));
        let (a, b) = (middle(i), middle(i + 1));
        let slope = |k: usize| {
            let (lo, hi) = (k.saturating_sub(1), (k + 1).min(n - 1));
            (self.h_m[hi] - self.h_m[lo]) / (middle(hi) - middle(lo)).max(1e-12)
        };
        let (d, t) = (b - a, (s - a) / (b - a));
        let chord = (self.h_m[i + 1] - self.h_m[i]) / d;
        // Keep the cubic between its ends where the film is steep.
        let held = |m: f64| {
            if m * chord <= 0.0 {
                0.0f64.max(m.abs().min(chord.abs())) * m.signum()
            } else {
                m.signum() * m.abs().min(3.0 * chord.abs())
            }
        };
        let (m0, m1) = (held(slope(i)), held(slope(i + 1)));
        let u = 1.0 - t;
        let h = self.h_m[i] * (1.0 + 2.0 * t) * u * u
            + self.h_m[i + 1] * t * t * (3.0 - 2.0 * t)
            + d * t * u * (m0 * u - m1 * t);
        h.max(self.h_m[i].min(self.h_m[i + 1]))
    }

    /// Arc lengths of the cells' middles with as many between as keep them `step_m` apart, from start to end.
    fn places(&self, step_m: f64) -> Vec<f64> {
        let mut at = vec![self.faces_m[0]];
        at.extend(self.middles_m());
        at.push(self.faces_m[self.faces_m.len() - 1]);
        let mut out = vec![at[0]];
        for w in at.windows(2) {
            let n = ((w[1] - w[0]) / step_m * (1.0 + 1e-9)).ceil().max(1.0) as usize;
            out.extend((1..=n).map(|i| w[0] + (w[1] - w[0]) * i as f64 / n as f64));
        }
        out
    }

    /// Arc length and thickness, m, at most `step_m` apart.
    pub fn sampled(&self, step_m: f64) -> Vec<[f64; 2]> {
        self.places(step_m)
            .into_iter()
            .map(|s| [s, self.thickness_m(s)])
            .collect()
    }

    /// Thickness and place of the highest cell between two places, the crest through its neighbours, m.
    pub fn highest(&self, from_m: f64, to_m: f64) -> Option<(f64, f64)> {
        self.extreme(from_m, to_m, 1.0)
    }

    /// Thickness and place of the thinnest cell between two places, m.
    pub fn thinnest(&self, from_m: f64, to_m: f64) -> Option<(f64, f64)> {
        self.extreme(from_m, to_m, -1.0)
    }

    fn extreme(&self, from: f64, to: f64, sign: f64) -> Option<(f64, f64)> {
        let s = self.middles_m();
        let inside = (0..s.len()).filter(|&i| s[i] >= from && s[i] <= to);
        let i = inside.max_by(|&a, &b| (sign * self.h_m[a]).total_cmp(&(sign * self.h_m[b])))?;
        if i == 0 || i + 1 == s.len() {
            return Some((self.h_m[i], s[i]));
        }
        // Parabola through the cell and its neighbours, where they are of a size.
        let (x0, x1) = (s[i - 1] - s[i], s[i + 1] - s[i]);
        let (y0, y1) = (self.h_m[i - 1] - self.h_m[i], self.h_m[i + 1] - self.h_m[i]);
        if x1 > -5.0 * x0 || -x0 > 5.0 * x1 {
            return Some((self.h_m[i], s[i]));
        }
        let a = (y1 / x1 - y0 / x0) / (x1 - x0);
        let b = y0 / x0 - a * x0;
        if a == 0.0 || sign * a > 0.0 {
            return Some((self.h_m[i], s[i]));
        }
        let x = (-0.5 * b / a).clamp(0.5 * x0, 0.5 * x1);
        // The crest of a parabola through a steep foot may lie below the clay.
        Some((
            (self.h_m[i] + x * (b + a * x)).max(0.5 * self.h_m[i]),
            s[i] + x,
        ))
    }

    /// Lowest place where the film is at least `level_m` thick; none where it is thinner everywhere.
    pub fn lowest_above(&self, level_m: f64) -> Option<f64> {
        let s = self.middles_m();
        let i = (0..s.len()).rev().find(|&i| self.h_m[i] >= level_m)?;
        if i + 1 == s.len() {
            return Some(self.faces_m[i + 1]);
        }
        let (a, b) = (self.h_m[i], self.h_m[i + 1]);
        Some(s[i] + (s[i + 1] - s[i]) * (a - level_m) / (a - b))
    }

    /// Place up to which the melt volume from the start is `volume`.
    fn place_of(&self, volume: f64) -> f64 {
        let n = self.volume.len();
        let i = self.volume.partition_point(|&m| m < volume).clamp(1, n - 1);
        let (a, b) = (self.volume[i - 1], self.volume[i]);
        let t = if b > a {
            ((volume - a) / (b - a)).clamp(0.0, 1.0)
        } else {
            0.0
        };
        self.faces_m[i - 1] + t * (self.faces_m[i] - self.faces_m[i - 1])
    }
}

impl Solution {
    /// Lowest place where the film is at least `share` of the layers' nominal thickness and stands out from the precursor, at twice its
    /// thickness; m along the profile.
    pub fn front_s_m(&self, stop: usize, share: f64) -> Option<f64> {
        let level = (share * self.about.nominal).max(2.0 * self.about.precursor);
        self.stops.get(stop)?.lowest_above(level)
    }

    /// Place beyond which the melt's volume per width is what an edge on bare clay holds back, m along the profile; not above the
    /// lowest edge as laid down. None where the wall does not fall there.
    pub fn visible_edge_s_m(&self, stop: usize) -> Option<f64> {
        self.visible_edge_for(stop, self.about.held?)
    }

    /// As [`Solution::visible_edge_s_m`] for another drained area `held_m2` on the slope of the lowest edge; 0 is the front itself.
    pub fn visible_edge_for(&self, stop: usize, held_m2: f64) -> Option<f64> {
        let lowest = self.about.lowest;
        if held_m2 <= 0.0 {
            return self.front_s_m(stop, 0.01).map(|s| s.max(lowest));
        }
        self.place_above(stop, held_m2).map(|s| s.max(lowest))
    }

    /// Lowest place that has `volume_m2` of melt per width beyond it, what left at the profile's end counted and the precursor not;
    /// the profile's start where there is less.
    pub fn place_above(&self, stop: usize, volume_m2: f64) -> Option<f64> {
        let at = self.stops.get(stop)?;
        let n = at.faces_m.len();
        let (s, ground) = (&at.faces_m, &at.ground);
        let beyond = |j: usize| {
            let (lo, hi) = (j.saturating_sub(1), (j + 1).min(n - 1));
            let r = if self.about.turned {
                ((ground[hi] - ground[lo]) / (s[hi] - s[lo])).max(1e-9)
            } else {
                1.0
            };
            (self.about.total - at.volume[j] - self.about.precursor * (ground[n - 1] - ground[j]))
                / r
        };
        let mut below = beyond(n - 1);
        if below >= volume_m2 {
            return Some(s[n - 1]);
        }
        for j in (0..n - 1).rev() {
            let here = beyond(j);
            if here >= volume_m2 {
                return Some(
                    s[j] + (s[j + 1] - s[j])
                        * ((here - volume_m2) / (here - below)).clamp(0.0, 1.0),
                );
            }
            below = here;
        }
        Some(s[0])
    }

    /// Run of the visible edge beyond the lowest edge, m.
    pub fn run_m(&self, stop: usize) -> Option<f64> {
        self.visible_edge_s_m(stop).map(|s| s - self.about.lowest)
    }

    /// Highest place behind the lower front: thickness and arc length, m.
    pub fn ridge(&self, stop: usize) -> Option<(f64, f64)> {
        let front = self.front_s_m(stop, 0.1)?;
        let from = if front > self.about.rim {
            self.about.rim
        } else {
            0.0
        };
        self.stops.get(stop)?.highest(from, front)
    }

    /// Thinnest place at the rim, m: on convex arcs of a radius under 10 mm, widened by 1 mm to each side.
    pub fn rim_minimum_m(&self, stop: usize) -> Option<f64> {
        let at = self.stops.get(stop)?;
        let least = self
            .about
            .arcs
            .iter()
            .filter_map(|&(a, b)| at.thinnest(a - 1e-3, b + 1e-3))
            .map(|x| x.0);
        least.min_by(f64::total_cmp)
    }

    /// Film at the start of the profile (the floor's centre), m.
    pub fn centre_m(&self, stop: usize) -> Option<f64> {
        let at = self.stops.get(stop)?;
        let (a, b) = (at.h_m[0], *at.h_m.get(1)?);
        // Even about the start: a parabola through the first two cells.
        let (x, y) = (
            0.5 * (at.faces_m[0] + at.faces_m[1]),
            0.5 * (at.faces_m[1] + at.faces_m[2]),
        );
        Some(a - (b - a) * x * x / (y * y - x * x))
    }

    /// Melt beyond the foot, what left at the profile's end included, the precursor not: m³ (on a tile m³ per m of width).
    pub fn past_foot_m3(&self, stop: usize) -> Option<f64> {
        let at = self.stops.get(stop)?;
        let around = if self.about.turned { 2.0 * PI } else { 1.0 };
        let n = at.faces_m.len();
        let i = at
            .faces_m
            .partition_point(|&s| s <= self.about.foot)
            .clamp(1, n - 1);
        let t = ((self.about.foot - at.faces_m[i - 1]) / (at.faces_m[i] - at.faces_m[i - 1]))
            .clamp(0.0, 1.0);
        let upto = at.volume[i - 1] + t * (at.volume[i] - at.volume[i - 1]);
        let ground = at.ground[i - 1] + t * (at.ground[i] - at.ground[i - 1]);
        let film = self.about.precursor * (at.ground[n - 1] - ground);
        Some(around * (self.about.total - upto - film).max(0.0))
    }

    /// Crest and recess: mean thickness at the relief's crests and recesses between two places, m.
    pub fn crest_and_recess_m(&self, stop: usize, from_m: f64, to_m: f64) -> Option<(f64, f64)> {
        let (at, relief) = (self.stops.get(stop)?, self.about.relief?.relief);
        let half = 0.5 * relief.wavelength_m;
        let first = ((from_m - 1e-9 - relief.crest_at_s_m) / half).ceil() as i64;
        let last = ((to_m + 1e-9 - relief.crest_at_s_m) / half).floor() as i64;
        let mut sums = [(0.0, 0usize); 2];
        for k in first..=last {
            let sum = &mut sums[k.rem_euclid(2) as usize];
            sum.0 += at.thickness_m(relief.crest_at_s_m + k as f64 * half);
            sum.1 += 1;
        }
        let mean = |(sum, count): (f64, usize)| (count > 0).then(|| sum / count as f64);
        Some((mean(sums[0])?, mean(sums[1])?))
    }

    /// Amplitude of the glazed surface over that of the clay between two places, by least squares with the relief's own wave.
    pub fn relief_kept(&self, stop: usize, from_m: f64, to_m: f64) -> Option<f64> {
        let (at, clay) = (self.stops.get(stop)?, self.about.relief?);
        let relief = clay.relief;
        if relief.amplitude_m <= 0.0 || to_m <= from_m {
            return None;
        }
        let k = std::f64::consts::TAU / relief.wavelength_m;
        let n = ((to_m - from_m) / relief.wavelength_m * 64.0)
            .ceil()
            .clamp(32.0, 4000.0) as usize;
        // Least squares of surface on 1, cos and sin of the relief's phase.
        let mut a = [[0.0; 4]; 3];
        for i in 0..n {
            let s = from_m + (to_m - from_m) * (i as f64 + 0.5) / n as f64;
            let x = [
                1.0,
                (k * (s - relief.crest_at_s_m)).cos(),
                (k * (s - relief.crest_at_s_m)).sin(),
            ];
            let y = at.thickness_m(s) + clay.height_m(s);
            for (row, xi) in a.iter_mut().zip(x) {
                for (cell, xj) in row.iter_mut().zip(x.into_iter().chain([y])) {
                    *cell += xi * xj;
                }
            }
        }
        let [_, c, s] = solve3(a)?;
        Some(c.hypot(s) / relief.amplitude_m)
    }

    /// Where the colours' edges have gone, and the roll near each: edges of layers that have glaze on both sides.
    pub fn colour_edges(&self, stop: usize) -> Vec<ColourEdge> {
        let Some(at) = self.stops.get(stop) else {
            return Vec::new();
        };
        let edges = self.about.edges.iter();
        edges
            .map(|&(layer, laid_s_m, volume)| {
                let now_s_m = at.place_of(volume);
                let roll_m = at
                    .highest(now_s_m - 10e-3, now_s_m + 5e-3)
                    .map_or(0.0, |x| x.0);
                ColourEdge {
                    layer,
                    laid_s_m,
                    now_s_m,
                    roll_m,
                }
            })
            .collect()
    }

    /// Share of each layer in the melt of each cell: `[layer][cell]`.
    pub fn shares(&self, stop: usize) -> Vec<Vec<f64>> {
        let Some(at) = self.stops.get(stop) else {
            return Vec::new();
        };
        if let Some(apart) = &at.apart {
            return apart.clone();
        }
        let per_cell: Vec<Vec<f64>> = at
            .volume
            .windows(2)
            .map(|w| self.about.melt.shares(0.5 * (w[0] + w[1])))
            .collect();
        let layers = per_cell.first().map_or(0, Vec::len);
        (0..layers)
            .map(|l| per_cell.iter().map(|x| x[l]).collect())
            .collect()
    }

    /// Arc length and share of each layer, at most `step_m` apart: `[layer][place]`.
    pub fn shares_sampled(&self, stop: usize, step_m: f64) -> Vec<Vec<[f64; 2]>> {
        let Some(at) = self.stops.get(stop) else {
            return Vec::new();
        };
        let n = at.h_m.len();
        let cell = |s: f64| at.faces_m.partition_point(|&f| f <= s).clamp(1, n) - 1;
        let shares = self.shares(stop);
        shares
            .iter()
            .map(|share| {
                at.places(step_m)
                    .into_iter()
                    .map(|s| [s, share[cell(s)]])
                    .collect()
            })
            .collect()
    }

    /// Width of the ring of melt that stands round the foot, m: `V = π((R + w)² − R²) h_p` with the height of a puddle
    /// `h_p = 2 sqrt(γ/ρg) sin(contact/2)`.
    pub fn pool_width_m(volume_m3: f64, foot_radius_m: f64, case: &super::Case) -> f64 {
        let weight = case.rho_kg_per_m3 * crate::physics::constants::GRAVITY;
        let height = 2.0 * (case.gamma_n_per_m / weight).sqrt() * (0.5 * case.contact_rad).sin();
        if height <= 0.0 || volume_m3 <= 0.0 {
            return 0.0;
        }
        (foot_radius_m * foot_radius_m + volume_m3 / (PI * height)).sqrt() - foot_radius_m
    }

    /// Steepest slope of the relief against its wall, degrees: above 45° the film equation is outside its range.
    pub fn relief_slope_deg(&self) -> Option<f64> {
        let r = self.about.relief?.relief;
        Some(
            (r.amplitude_m * std::f64::consts::TAU / r.wavelength_m)
                .atan()
                .to_degrees(),
        )
    }
}

/// Solves three equations, each with its right-hand side last, by Cramer's rule.
fn solve3(a: [[f64; 4]; 3]) -> Option<[f64; 3]> {
    let det = |i: usize, j: usize, k: usize| {
        let minor = |r: usize, s: usize| a[r][j] * a[s][k] - a[r][k] * a[s][j];
        a[0][i] * minor(1, 2) - a[1][i] * minor(0, 2) + a[2][i] * minor(0, 1)
    };
    let whole = det(0, 1, 2);
    let solved = [
        det(3, 1, 2) / whole,
        det(0, 3, 2) / whole,
        det(0, 1, 3) / whole,
    ];
    solved.iter().all(|x| x.is_finite()).then_some(solved)
}
