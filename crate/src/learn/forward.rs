//! One forward law for learning and predicting: from what lies on a piece to how far its edge runs.
//!
//! Takes a [`Case`] and, layer by layer, melt thickness (m) and log10 of the fluidity integral (log10(1/Pa)); gives the run (m) below the
//! edge that is read. Every layer edge is one band: the glaze above it, spread over its length.

use crate::order;
use crate::physics::melt;
use crate::physics::tile::{self, Band};
use crate::studio::case::Case;
use crate::studio::document::Edge;

/// Edges nearer to one another than this are one, m: a line drawn by hand.
const ONE_EDGE_M: f64 = 1e-3;
/// Shortest band, m.
const LEAST_LENGTH_M: f64 = 1e-3;

/// The glaze above one edge as a band.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeBand {
    /// The edge, m down from the rim's crest or the upper edge.
    pub edge_m: f64,
    /// From the top of the glaze down to the edge, m.
    pub length_m: f64,
    /// Share of that length that each layer covers, 0–1, the wall first.
    pub cover: Vec<f64>,
    /// From this edge down to the one that the run is read at, m: 0 or more.
    pub gap_m: f64,
}

/// The bands of one entry and what holds their edges.
#[derive(Clone, Debug, PartialEq)]
pub struct EntryBands {
    /// One per edge, the one that is read first.
    pub bands: Vec<EdgeBand>,
    /// False where the edge lies on another glaze, which does not hold it.
    pub held: bool,
}

impl EntryBands {
    /// The bands of a case whose run is read at `edge`.
    ///
    /// Onto glaze: the last layer's own lower edge with the whole stack above it and nothing that holds it; where no glaze lies below that edge it is one onto
    /// bare clay. Else: every layer edge, the run of each counted from the lowest.
    pub fn of(case: &Case, edge: Edge) -> Self {
        let top = case
            .layers
            .iter()
            .map(|l| l.from_m.max(0.0))
            .fold(f64::INFINITY, f64::min);
        let top = if top.is_finite() { top } else { 0.0 };
        let own = case.layers.last().map_or(case.lowest_m, |l| l.to_m);
        let onto_glaze = edge == Edge::OntoGlaze && own < case.lowest_m - ONE_EDGE_M;
        let read = if onto_glaze { own } else { case.lowest_m };
        let band = |edge_m: f64| {
            let length_m = (edge_m - top).max(LEAST_LENGTH_M);
            let cover =
                |from: f64, to: f64| ((to.min(edge_m) - from.max(top)) / length_m).clamp(0.0, 1.0);
            EdgeBand {
                edge_m,
                length_m,
                cover: case
                    .layers
                    .iter()
                    .map(|l| cover(l.from_m, l.to_m))
                    .collect(),
                gap_m: (read - edge_m).max(0.0),
            }
        };
        let mut bands = vec![band(read)];
        if !onto_glaze {
            let mut edges: Vec<f64> = case
                .layers
                .iter()
                .map(|l| l.to_m)
                .filter(|e| *e < read - ONE_EDGE_M)
                .collect();
            order::by(&mut edges, |a, b| b.total_cmp(a));
            edges.dedup_by(|a, b| (*a - *b).abs() < ONE_EDGE_M);
            bands.extend(
                edges
                    .into_iter()
                    .filter(|e| *e > top + LEAST_LENGTH_M)
                    .map(band),
            );
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
        case: &Case,
        melt_m: &[f64],
        log10_phi: &[f64],
        pair: &dyn Fn(usize, usize) -> f64,
        mixing: f64,
        retention_m2: f64,
    ) -> f64 {
        let retention_m2 = if self.held { retention_m2 } else { 0.0 };
        let mut furthest = 0.0_f64;
        let mut there = Vec::with_capacity(melt_m.len());
        for band in &self.bands {
            there.clear();
            there.extend(band.cover.iter().zip(melt_m).map(|(c, h)| c * h));
            let phi = 10_f64
                .powf(melt::stack_log10_phi(&there, log10_phi, pair, mixing).clamp(-12.0, 12.0));
            let film = Band {
                h0_m: there.iter().sum(),
                length_m: band.length_m,
                sin_slope: case.sin_slope,
            };
            if film.h0_m > 0.0 {
                furthest =
                    furthest.max(tile::run_m(&film, phi, retention_m2, tile::RHO) - band.gap_m);
            }
        }
        furthest
    }
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

    /// One edge: the law of model.md 6 on the whole stack. 0.6 mm, 40 mm, Phi 10, retention 1.4078 mm² (gamma 0.33, contact 25°, rho 2232.5) → 23.11 mm there for
    /// a band of 40 mm; the stack is two layers of one glaze.
    #[test]
    fn one_edge_is_the_exact_law() {
        let case = case(40.0, 40.0);
        let bands = EntryBands::of(&case, Edge::OntoBareClay);
        assert_eq!(bands.bands.len(), 1);
        let held = tile::retention_m2(tile::GAMMA, tile::CONTACT_RAD, tile::RHO);
        let run = bands.run_m(&case, &[3e-4, 3e-4], &[1.0, 1.0], &|_, _| 0.0, 0.4, held);
        assert!((run - 23.11e-3).abs() < 5e-6, "{run}");
        assert_eq!(drips(&case, 3e-4), 2, "a 50 mm tile has 2 (model.md 6)");
    }

    /// A short thick fluid layer on top overtakes the lowest line: its own band counts, less the way down to that line; its own edge is not held.
    #[test]
    fn the_furthest_edge_counts() {
        let case = case(60.0, 50.0);
        let (melt, phi) = ([1e-4, 6e-4], [-1.0, 1.5]);
        let run =
            |edge| EntryBands::of(&case, edge).run_m(&case, &melt, &phi, &|_, _| 0.0, 0.7, 1.4e-6);
        let bare = EntryBands::of(&case, Edge::OntoBareClay);
        assert_eq!(bare.bands.len(), 2);
        assert!(
            (bare.bands[0].cover[1] - 50.0 / 60.0).abs() < 1e-12
                && bare.bands[1].cover == [1.0, 1.0]
        );
        assert!((bare.bands[1].gap_m - 0.010).abs() < 1e-12);
        let upper = Band {
            h0_m: 7e-4,
            length_m: 0.05,
            sin_slope: 1.0,
        };
        let stack = 10_f64.powf(melt::stack_log10_phi(&melt, &phi, &|_, _| 0.0, 0.7));
        assert!((run(Edge::OntoGlaze) - tile::run_m(&upper, stack, 0.0, tile::RHO)).abs() < 1e-12);
        assert!(run(Edge::OntoBareClay) >= tile::run_m(&upper, stack, 1.4e-6, tile::RHO) - 0.010);
        assert!(run(Edge::OntoGlaze) > run(Edge::OntoBareClay));
    }
}
