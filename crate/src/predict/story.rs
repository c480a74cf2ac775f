//! The film before, during and after the firing, for the drawing: at the median of everything unknown.
//!
//! Takes a studio, what its log has taught, and an entry; gives layers in m along the profile at some twenty moments of the schedule.

use super::middle::Middle;
use super::outcome::{FilmMoment, FilmStory};
use super::plan::Plan;
use super::wave::{self, Layers, Wall};
use crate::learn::posterior::Posterior;
use crate::physics::constants::{GAMMA, GRAVITY, RHO, ZERO_CELSIUS_K};
use crate::physics::firing::{FiringClock, SEAL_K, SLOPE_DECADES_PER_100K};
use crate::physics::laydown::FIRED_PER_MELT;
use crate::physics::tile;
use crate::studio::case::Case;
use crate::studio::document::{Entry, Studio};
use crate::studio::error::Refusal;

/// Moments from sealing over to the end.
const MOMENTS: usize = 21;
/// Cell size of the wall, m, and the most cells.
const STEP_M: f64 = 0.5e-3;
const MOST_CELLS: f64 = 900.0;
/// Room temperature, °C.
const ROOM_C: f64 = 20.0;
/// The bead that an edge on bare clay holds back is drawn this many capillary lengths long.
const BEAD_IN_CAPILLARY_LENGTHS: f64 = 2.5;
/// Clocks tried for the one at which the drawn edge has run as far as the median says.
const CLOCKS: usize = 40;

/// The story of an entry. The thicknesses are the medians of the mean over the piece; the fluidity is such that the edge has run as far
/// as the median of the longest drip, so that drawing and number agree.
///
/// Gravity alone, so the rim is not pulled thin and an edge does not roll; what an edge on bare clay holds is drawn as a bead.
///
/// # Errors
/// What [`Case::of`] refuses.
pub fn story(
    studio: &Studio,
    posterior: &Posterior,
    entry: &Entry,
    run_mm: f64,
) -> Result<FilmStory, Refusal> {
    let plan = Plan::new(studio, entry, 16, 1)?;
    let case = &plan.case;
    let middle = Middle::of(case, posterior);
    let grid = Grid::of(case);
    let start = grid.lay(case, &middle.melt_m);
    let fluidity = |stack: &[f64]| 10f64.powf(middle.log10_phi(stack));
    let scale = grid.clock_for(&start, run_mm * 1e-3, middle.retention_m2, &fluidity);
    let shares: Vec<f64> = (0..MOMENTS)
        .map(|i| (i as f64 / (MOMENTS - 1) as f64).powf(1.5))
        .collect();
    let stops: Vec<f64> = shares.iter().map(|s| s * scale).collect();
    let clock = FiringClock::new(&case.schedule, SEAL_K, SLOPE_DECADES_PER_100K).ok();
    let moments = wave::run_down(&grid.wall, &start, &stops, &fluidity);
    let fired = shares.iter().zip(moments).map(|(share, mut layers)| {
        grid.hold_edge(&mut layers, middle.retention_m2);
        for thickness in layers.iter_mut().flatten() {
            *thickness *= FIRED_PER_MELT;
        }
        let kelvin = clock
            .as_ref()
            .map_or(SEAL_K, |c| c.at_share(*share).temperature_k);
        FilmMoment {
            temperature_c: kelvin - ZERO_CELSIUS_K,
            phi_share: *share,
            s_m: grid.s_m.clone(),
            layers_m: layers,
        }
    });
    Ok(FilmStory {
        raw: FilmMoment {
            temperature_c: ROOM_C,
            phi_share: 0.0,
            s_m: grid.s_m.clone(),
            layers_m: grid.lay(case, &middle.raw_m),
        },
        fired: fired.collect(),
    })
}

/// The wall in cells.
struct Grid {
    s_m: Vec<f64>,
    wall: Wall,
    rim_m: f64,
    lowest_m: f64,
    sin_slope: f64,
}

impl Grid {
    fn of(case: &Case) -> Self {
        let profile = &case.profile;
        let (rim_m, foot_m) = (profile.rim_s_m(), profile.foot_s_m());
        let step_m = STEP_M.max(foot_m / MOST_CELLS);
        let cells = (foot_m / step_m).ceil().max(1.0) as usize;
        let step_m = foot_m / cells as f64;
        let s_m: Vec<f64> = (0..cells).map(|c| (c as f64 + 0.5) * step_m).collect();
        let places = profile.at_each(&s_m);
        // On a tile everything is per width.
        let width = |r: f64| if case.is_tile { 1.0 } else { r.max(1e-6) };
        Self {
            wall: Wall {
                step_m,
                r_m: places.iter().map(|p| width(p.r_m)).collect(),
                pull: places
                    .iter()
                    .map(|p| -RHO * GRAVITY * p.psi_rad.sin() / 3.0)
                    .collect(),
            },
            s_m,
            rim_m,
            lowest_m: rim_m + case.lowest_m,
            sin_slope: case.sin_slope,
        }
    }

    /// Layers as they were put on, each of its thickness, m, over its zone.
    fn lay(&self, case: &Case, thickness_m: &[f64]) -> Layers {
        let lay = |(layer, h): (&crate::studio::case::CaseLayer, &f64)| {
            let inside = if layer.over_rim {
                layer.inside_m
            } else {
                -layer.from_m
            };
            let (from, to) = (self.rim_m - inside, self.rim_m + layer.to_m);
            // A cell that the edge cuts is filled in part, so that no volume is lost.
            let half = 0.5 * self.wall.step_m;
            let on =
                |s: &f64| ((s + half).min(to) - (s - half).max(from)).max(0.0) / self.wall.step_m;
            self.s_m.iter().map(|s| h * on(s)).collect()
        };
        case.layers.iter().zip(thickness_m).map(lay).collect()
    }

    /// The place beyond which the melt's volume per width equals what the edge holds, m along the profile, not above the lowest line.
    fn edge(&self, layers: &Layers, retention_m2: f64) -> f64 {
        let held = retention_m2 / self.sin_slope;
        let mut beyond = 0.0;
        for c in (0..self.s_m.len()).rev() {
            let here: f64 = layers.iter().map(|l| l[c]).sum::<f64>() * self.wall.step_m;
            if beyond + here >= held {
                let edge =
                    self.s_m[c] + 0.5 * self.wall.step_m * (1.0 - 2.0 * (held - beyond) / here);
                return edge.max(self.lowest_m);
            }
            beyond += here;
        }
        self.lowest_m
    }

    /// The clock at the firing's end: 1, or what makes the edge run as far as `run_m`.
    fn clock_for(
        &self,
        start: &Layers,
        run_m: f64,
        retention_m2: f64,
        fluidity: &dyn Fn(&[f64]) -> f64,
    ) -> f64 {
        if run_m < self.wall.step_m {
            return 1.0;
        }
        // From a twentieth to twenty times the median fluidity.
        let clock = |i: usize| 20f64.powf(2.0 * i as f64 / (CLOCKS - 1) as f64 - 1.0);
        let clocks: Vec<f64> = (0..CLOCKS).map(clock).collect();
        let goal = (self.lowest_m + run_m).min(self.s_m.last().copied().unwrap_or(0.0));
        let mut before = (0.0, self.lowest_m);
        let mut found = None;
        let mut rest = clocks.iter();
        wave::run_through(&self.wall, start, &clocks, fluidity, &mut |layers| {
            let clock = rest.next().copied().unwrap_or(before.0);
            let edge = self.edge(layers, retention_m2);
            if edge >= goal {
                let along = if edge > before.1 {
                    (goal - before.1) / (edge - before.1)
                } else {
                    1.0
                };
                found = Some(before.0 + along * (clock - before.0));
            }
            before = (clock, edge);
            found.is_none()
        });
        found.unwrap_or(before.0)
    }

    /// Draws back what has crept past the visible edge on bare clay into a bead behind it.
    fn hold_edge(&self, layers: &mut Layers, retention_m2: f64) {
        let edge = self.edge(layers, retention_m2);
        let past = self.s_m.partition_point(|s| *s < edge);
        if past == 0 || past == self.s_m.len() {
            return;
        }
        let thickness: f64 = layers.iter().map(|l| l[past - 1]).sum();
        let length = BEAD_IN_CAPILLARY_LENGTHS
            * tile::capillary_length_m(GAMMA, thickness.max(1e-5), RHO, self.sin_slope);
        let bead = ((length / self.wall.step_m).ceil() as usize).clamp(1, past);
        // A parabola over the bead's cells, of weight 1 in all.
        let shape = |i: usize| {
            let x = (i as f64 + 0.5) / bead as f64;
            x * (1.0 - x)
        };
        let whole: f64 = (0..bead)
            .map(|i| shape(i) * self.wall.r_m[past - 1 - i])
            .sum();
        for layer in layers {
            let volume: f64 = (past..layer.len())
                .map(|c| layer[c] * self.wall.r_m[c])
                .sum();
            layer[past..].fill(0.0);
            for i in 0..bead {
                layer[past - 1 - i] += volume * shape(i) / whole;
            }
        }
    }
}
