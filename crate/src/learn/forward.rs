//! One forward law for learning and predicting: from what lies on a piece to how far its edge runs.
//!
//! Takes a [`Case`] and, layer by layer, melt thickness (m) and log10 of the fluidity integral (log10(1/Pa)); gives the run (m) below the
//! edge that is read. Every layer edge is one band of the layers that reach it, which runs as the film's table says ([`film_band`]) along the wall there ([`Wall`])
//! and pushes what lies below it before it ([`pushed`]); the furthest counts.
//!
//! Against fresh solves of the film (eight pieces from tile to wide bowl, 40 stacks a kind at three clocks; `cargo run --release -p glazefall-tests --example
//! forward_error`), half of the runs and nine in ten are right within: one layer or two to one edge 0.3 and 2.5 mm (bowls 0.9 and 4.5, runs to 30 mm at the middle); two layers
//! in steps 1.6 and 5.7 mm; three in steps 1.7 and 9.4 mm; an edge on another glaze 0.1 and 1.4 mm (0.4 and 3.3 without [`over_glaze`]). It overrates where a fluid glaze has to push one that is stiffer by
//! 30 times and more, whose melt then makes a bead that gravity's wave knows nothing of.

use super::over_glaze;
use super::wall::{Wall, Walls};
use crate::order;
use crate::physics::constants::{GAMMA, RHO};
use crate::physics::film_band;
use crate::physics::melt;
use crate::physics::tile::{self, Band};
use crate::studio::case::Case;
use crate::studio::document::Edge;
use std::sync::Arc;

/// Edges nearer to one another than this are one, m: a line drawn by hand.
const ONE_EDGE_M: f64 = 1e-3;
/// Shortest band, m.
const LEAST_LENGTH_M: f64 = 1e-3;
/// The wall's slope at an edge is the mean this far up and down, m.
const SLOPE_M: f64 = 0.005;
/// Least slope that counts, as [`Case::sin_slope`].
const LEAST_SIN_SLOPE: f64 = 0.087;

/// The glaze above one edge as a band.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeBand {
    /// The edge, m down from the rim's crest or the upper edge.
    pub edge_m: f64,
    /// From its top down to the edge, m.
    pub length_m: f64,
    /// Share of that length that each layer covers, 0–1, the wall first.
    pub cover: Vec<f64>,
    /// From this edge down to the one that the run is read at, m: 0 or more.
    pub gap_m: f64,
    /// The same as a run on a straight wall.
    pub gap_straight_m: f64,
    /// Sine of the slope at the edge.
    pub sin_slope: f64,
    /// From a run on a straight wall to one on this.
    pub wall: Arc<Wall>,
}

/// The bands of one entry and what holds their edges.
#[derive(Clone, Debug, PartialEq)]
pub struct EntryBands {
    /// One per edge, the one that is read first. Of an edge on another glaze: its own, then what lies below it and goes on.
    pub bands: Vec<EdgeBand>,
    /// False where the edge lies on another glaze, which does not hold it.
    pub held: bool,
}

impl EntryBands {
    /// The bands of a case whose run is read at `edge`.
    ///
    /// Onto glaze: the last layer's own lower edge with all that reaches it, and what goes on below it; where no glaze lies below that edge it is one onto
    /// bare clay. Else: every layer edge with the layers that reach it.
    pub fn of(case: &Case, edge: Edge) -> Self {
        Self::among(case, edge, &mut Walls::default())
    }

    /// The same, for one of many cases: walls worked out before are kept.
    pub fn among(case: &Case, edge: Edge, walls: &mut Walls) -> Self {
        let own = case.layers.last().map_or(case.lowest_m, |l| l.to_m);
        let onto_glaze = edge == Edge::OntoGlaze && own < case.lowest_m - ONE_EDGE_M;
        let read = if onto_glaze { own } else { case.lowest_m };
        let mut bands = vec![EdgeBand::of(case, read, read, walls)];
        if onto_glaze {
            let below = bands[0].below(case);
            bands.extend(below);
        } else {
            let mut edges: Vec<f64> = Vec::new();
            for layer in &case.layers {
                if layer.to_m < read - ONE_EDGE_M && layer.to_m > LEAST_LENGTH_M {
                    edges.push(layer.to_m);
                }
            }
            order::by(&mut edges, |a, b| b.total_cmp(a));
            edges.dedup_by(|a, b| (*a - *b).abs() < ONE_EDGE_M);
            for edge in edges {
                bands.push(EdgeBand::of(case, edge, read, walls));
            }
        }
        Self {
            bands,
            held: !onto_glaze,
        }
    }

    /// Melt thickness of the band, all layers together, m.
    pub fn thickness_m(band: &EdgeBand, melt_m: &[f64]) -> f64 {
        band.cover.iter().zip(melt_m).map(|(c, h)| c * h).sum()
    }

    /// How far the edge runs, m, not below 0: the furthest of all bands.
    ///
    /// `melt_m` is each layer's thickness where it lies, `log10_phi` that of each layer in this firing, `pair(lower, upper)` decades by place
    /// in the stack, `mixing` 0–1, `retention_m2` on a vertical wall.
    pub fn run_m(
        &self,
        melt_m: &[f64],
        log10_phi: &[f64],
        pair: &dyn Fn(usize, usize) -> f64,
        mixing: f64,
        retention_m2: f64,
    ) -> f64 {
        if !self.held {
            return self.run_over_glaze_m(melt_m, log10_phi, pair, mixing);
        }
        let mut furthest = 0.0_f64;
        let mut there = Vec::with_capacity(melt_m.len());
        // Of the bands so far: h² Phi of their glaze, and how long each lies below the one that comes.
        let mut below: Vec<(f64, f64)> = Vec::with_capacity(self.bands.len());
        let mut gap_m = 0.0;
        for band in &self.bands {
            there.clear();
            there.extend(band.cover.iter().zip(melt_m).map(|(c, h)| c * h));
            let log10_phi = melt::stack_log10_phi(&there, log10_phi, pair, mixing);
            let phi = 10_f64.powf(log10_phi.clamp(-12.0, 12.0));
            let film = Band {
                h0_m: there.iter().sum(),
                length_m: band.length_m,
                sin_slope: band.sin_slope,
            };
            let speed = film.h0_m * film.h0_m * phi;
            if let Some(last) = below.last_mut() {
                last.1 = band.gap_m - gap_m;
                gap_m = band.gap_m;
            }
            if film.h0_m > 0.0 {
                let held = band.wall.held() * retention_m2;
                let run = film_band::run_slopes(&film, phi, held, RHO, GAMMA).signed_run_m;
                let mut swept = 0.0;
                for (slow, long) in &below {
                    swept += long * pushed(&film, run, (slow / speed).sqrt());
                }
                let stretch = if band.gap_m > 0.0 {
                    band.gap_straight_m / band.gap_m
                } else {
                    1.0
                };
                furthest = furthest.max(band.wall.along_m(run + stretch * swept) - band.gap_m);
            }
            below.push((speed, 0.0));
        }
        furthest
    }

    /// The same for an edge on another glaze: gravity's law, and what it lags behind where the glaze below is the stiffer.
    fn run_over_glaze_m(
        &self,
        melt_m: &[f64],
        log10_phi: &[f64],
        pair: &dyn Fn(usize, usize) -> f64,
        mixing: f64,
    ) -> f64 {
        let mut there = Vec::with_capacity(melt_m.len());
        let mut film = |band: &EdgeBand| {
            there.clear();
            for (cover, h) in band.cover.iter().zip(melt_m) {
                there.push(cover * h);
            }
            let thickness: f64 = there.iter().sum();
            let log10_phi = melt::stack_log10_phi(&there, log10_phi, pair, mixing);
            (thickness, log10_phi.clamp(-12.0, 12.0))
        };
        let Some(band) = self.bands.first() else {
            return 0.0;
        };
        let (h0_m, above) = film(band);
        if h0_m <= 0.0 {
            return 0.0;
        }
        let own = Band {
            h0_m,
            length_m: band.length_m,
            sin_slope: band.sin_slope,
        };
        let mut run = tile::run_m(&own, 10_f64.powf(above), 0.0, RHO);
        if let Some(below) = self.bands.get(1) {
            run = over_glaze::run_m(run, above - film(below).1);
        }
        band.wall.along_m(run)
    }
}

/// How much of a stretch below an upper edge lies before that edge's front, 0–1: its melt is pushed along at the thickness at which it flows as fast
/// as what pushes it, so by `slower`, the root of its h² Phi over that of the upper band; where the upper band's tail has caught its front, the front is thinner
/// and the melt before it longer (derived: gravity alone, fluidity going with the melt).
pub fn pushed(upper: &Band, run_m: f64, slower: f64) -> f64 {
    let thinner = (upper.length_m + run_m) / (1.5 * upper.length_m);
    (slower * thinner.max(1.0)).min(1.0)
}

impl EdgeBand {
    /// The layers that go on below this edge; none where there are none.
    fn below(&self, case: &Case) -> Option<Self> {
        let mut below = self.clone();
        let mut any = false;
        for (cover, layer) in below.cover.iter_mut().zip(&case.layers) {
            let goes_on =
                layer.from_m < self.edge_m + ONE_EDGE_M && layer.to_m > self.edge_m + ONE_EDGE_M;
            *cover = if goes_on { 1.0 } else { 0.0 };
            any |= goes_on;
        }
        any.then_some(below)
    }

    /// The layers that reach `edge_m`, as a band whose edge is `edge_m`; the run is read from `read_m` on.
    fn of(case: &Case, edge_m: f64, read_m: f64, walls: &mut Walls) -> Self {
        let reaches = |from: f64, to: f64| to > edge_m - ONE_EDGE_M && from < edge_m - ONE_EDGE_M;
        let mut top = edge_m;
        for layer in &case.layers {
            if reaches(layer.from_m, layer.to_m) {
                top = top.min(layer.from_m.max(0.0));
            }
        }
        let length_m = (edge_m - top).max(LEAST_LENGTH_M);
        let mut cover = Vec::with_capacity(case.layers.len());
        for layer in &case.layers {
            cover.push(if reaches(layer.from_m, layer.to_m) {
                ((edge_m - layer.from_m.max(top)) / length_m).clamp(0.0, 1.0)
            } else {
                0.0
            });
        }
        let sin_slope = sin_slope(case, edge_m);
        let wall = walls.of(case, edge_m, length_m, sin_slope);
        let gap_m = (read_m - edge_m).max(0.0);
        Self {
            edge_m,
            length_m,
            cover,
            gap_m,
            gap_straight_m: wall.straight_m(gap_m).0,
            sin_slope,
            wall,
        }
    }
}

/// Sine of the wall's slope about an edge, m down from the rim's crest.
fn sin_slope(case: &Case, edge_m: f64) -> f64 {
    if case.is_tile {
        return case.sin_slope;
    }
    let height = |down: f64| case.profile.at(case.profile.rim_s_m() + down).z_m;
    let (up, down) = (
        (edge_m - SLOPE_M).max(0.0),
        (edge_m + SLOPE_M).min(case.wall_length_m),
    );
    ((height(up) - height(down)) / (down - up).max(1e-6)).clamp(LEAST_SIN_SLOPE, 1.0)
}

/// Number of drips along the edge, at least 1: width or circumference over the spacing at this melt thickness, whole drips.
pub fn drips(case: &Case, thickness_m: f64) -> u32 {
    tile::drip_count(case.around_m, thickness_m, case.sin_slope).clamp(1.0, 1000.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studio::document::Studio;

    /// Glaze b from the top to `low`, a over it down to `high`, mm, on a standing tile of 50 × 100 mm.
    fn case(low: f64, high: f64) -> Case {
        let json = format!(
            r#"{{"format":"glazefall-studio","version":1,"id":"s","name":"s","glazes":[
            {{"id":"a","name":"a","kind":"fluid","usual_sg":1.45}},{{"id":"b","name":"b","kind":"stiff","usual_sg":1.45}}],
            "forms":[{{"id":"t","name":"t","shape":{{"family":"tile","width_mm":50,"length_mm":100,"slope_deg":90}}}}],
            "entries":[{{"id":"e","form":"t","layers":[
            {{"glaze":"b","zone":{{"from_mm":0,"to_mm":{low}}},"how":{{"method":"brush","coats":3}}}},
            {{"glaze":"a","zone":{{"from_mm":0,"to_mm":{high}}},"how":{{"method":"brush","coats":3}}}}]}}]}}"#
        );
        let studio: Studio = serde_json::from_str(&json).unwrap();
        Case::of(&studio, &studio.entries[0]).unwrap()
    }

    /// One edge: the converged film of model.md 6 on the whole stack. 0.6 mm, 40 mm, Phi 10, retention 1.4078 mm² (gamma 0.33, contact 25°, rho 2232.5) → 21.17 ± 0.03
    /// mm there for a band of 40 mm; the stack is two layers of one glaze; the table adds 0.1 mm + 1 %.
    #[test]
    fn one_edge_is_the_film() {
        let case = case(40.0, 40.0);
        let bands = EntryBands::of(&case, Edge::OntoBareClay);
        assert_eq!(bands.bands.len(), 1);
        let held = tile::retention_m2(tile::GAMMA, tile::CONTACT_RAD, tile::RHO);
        let run = bands.run_m(&[3e-4, 3e-4], &[1.0, 1.0], &|_, _| 0.0, 0.4, held);
        assert!((run - 21.17e-3).abs() < 0.3e-3, "{run}");
        assert_eq!(drips(&case, 3e-4), 2, "a 50 mm tile has 2 (model.md 6)");
    }

    /// A short thick fluid layer on top overtakes the lowest line: its own band counts, less the way down to that line, plus what it pushes; its own edge is not
    /// held.
    #[test]
    fn the_furthest_edge_counts() {
        let case = case(60.0, 50.0);
        let (melt, phi) = ([1e-4, 6e-4], [-1.0, 1.5]);
        let run = |edge| EntryBands::of(&case, edge).run_m(&melt, &phi, &|_, _| 0.0, 0.7, 1.4e-6);
        let bare = EntryBands::of(&case, Edge::OntoBareClay);
        assert_eq!(bare.bands.len(), 2);
        assert!(bare.bands[0].cover == [1.0, 0.0] && bare.bands[1].cover == [1.0, 1.0]);
        assert!((bare.bands[1].gap_m - 0.010).abs() < 1e-12);
        let upper = Band {
            h0_m: 7e-4,
            length_m: 0.05,
            sin_slope: 1.0,
        };
        let stack = 10_f64.powf(melt::stack_log10_phi(&melt, &phi, &|_, _| 0.0, 0.7));
        let over = tile::run_m(&upper, stack, 0.0, RHO);
        let over = over_glaze::run_m(over, stack.log10() + 1.0);
        assert!((run(Edge::OntoGlaze) - over).abs() < 1e-12);
        let alone = film_band::run_m(&upper, stack, 1.4e-6, RHO, GAMMA) - 0.010;
        assert!(run(Edge::OntoBareClay) >= alone && run(Edge::OntoBareClay) < alone + 0.004);
        assert!(run(Edge::OntoGlaze) > 0.0);
    }

    /// Two equal layers of one glaze, the upper ending 15 mm higher: gravity's exact wave is 3/4 of the way behind the upper band alone where it has caught the lower
    /// edge, so `run = k (2h)² Phi − 15 mm (1 − 1/2)` (shock of the upper edge `k Phi (4 + 2 + 1) h²`, which has then gone 21 mm, 15 mm and the 3 mm of the lower edge behind it: derived).
    #[test]
    fn a_step_of_one_glaze_is_gravitys_own() {
        let upper = Band {
            h0_m: 4e-4,
            length_m: 0.05,
            sin_slope: 1.0,
        };
        let k = upper.k(RHO) * 1.6e-7;
        let phi = 0.012 / k;
        let swept = 0.015 * pushed(&upper, k * phi, 0.5);
        assert!((k * phi - 0.015 + swept - (0.012 - 0.0075)).abs() < 1e-9);
    }

    /// A pot whose wall is nearly straight is one: jar and mug within the change of their radius.
    #[test]
    fn a_mug_is_nearly_a_tile() {
        let json = r#"{"format":"glazefall-studio","version":1,"id":"s","name":"s","glazes":[{"id":"a","name":"a","kind":"fluid","usual_sg":1.45}],
            "forms":[{"id":"m","name":"m","shape":{"family":"mug","height_mm":100,"rim_diameter_mm":80,"foot_diameter_mm":80}}],
            "entries":[{"id":"e","form":"m","layers":[{"glaze":"a","zone":{"from_mm":10,"to_mm":60},"how":{"method":"brush","coats":3}}]}]}"#;
        let studio: Studio = serde_json::from_str(json).unwrap();
        let case = Case::of(&studio, &studio.entries[0]).unwrap();
        let bands = EntryBands::of(&case, Edge::OntoBareClay);
        let wall = &bands.bands[0].wall;
        for straight in [2e-3, 10e-3, 30e-3] {
            let along = wall.along_m(straight);
            assert!((along / straight - 1.0).abs() < 0.03, "{straight} {along}");
            assert!((wall.straight_m(along).0 / straight - 1.0).abs() < 1e-6);
        }
    }
}
