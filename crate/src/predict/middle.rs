//! The middle of what is known: one stack at the median of everything, for drawings and lessons.
//!
//! Takes a case and what the log has taught; gives medians, each by itself, in SI.

use super::drawn::{Drawn, Luck};
use super::spread::Sample;
use super::stack;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::physics::melt;
use crate::studio::case::Case;

/// Medians of one case.
#[derive(Clone, Debug)]
pub struct Middle {
    /// Raw thickness of each layer where it lies, m.
    pub raw_m: Vec<f64>,
    /// Melt thickness of each layer where it lies, m.
    pub melt_m: Vec<f64>,
    /// log10 of each layer's fluidity integral in this firing, log10(1/Pa).
    pub layer_log10_phi: Vec<f64>,
    /// `pairs[upper][lower]`, decades.
    pairs: Vec<Vec<f64>>,
    /// 0 still separate – 1 melted together.
    pub mixing: f64,
    /// Drained area that an edge on bare clay holds on a vertical wall, m².
    pub retention_m2: f64,
}

impl Middle {
    /// The medians of a case.
    pub fn of(case: &Case, posterior: &Posterior) -> Self {
        let luck = Luck {
            longest: 0.5,
            ..Luck::default()
        };
        let draw = |p| Drawn::new(case, p, 1.0, &luck);
        let drawn: Vec<Drawn> = posterior.params.iter().map(draw).collect();
        let layers = 0..case.layers.len();
        let of_drawn =
            |of: &dyn Fn(&Drawn) -> f64| Sample::new(drawn.iter().map(of).collect()).quantile(0.5);
        let of_params = |of: &dyn Fn(&Params) -> f64| {
            Sample::new(posterior.params.iter().map(of).collect()).quantile(0.5)
        };
        let melt_m: Vec<f64> = layers.clone().map(|l| of_drawn(&|d| d.melt_m[l])).collect();
        let raw = |(l, h): (&crate::studio::case::CaseLayer, &f64)| h / l.melt_m_per * l.raw_m_per;
        let below = |upper: usize| {
            (0..upper)
                .map(|lower| of_params(&|p| stack::pair(case, p, lower, upper)))
                .collect()
        };
        Self {
            raw_m: case.layers.iter().zip(&melt_m).map(raw).collect(),
            layer_log10_phi: layers
                .clone()
                .map(|l| of_drawn(&|d| d.log10_phi[l]))
                .collect(),
            pairs: layers.map(below).collect(),
            mixing: of_params(&|p| p.mixing),
            retention_m2: of_params(&|p| p.retention_m2),
            melt_m,
        }
    }

    /// Pair shift of two layers, counted from the wall, decades.
    pub fn pair(&self, lower: usize, upper: usize) -> f64 {
        self.pairs
            .get(upper)
            .and_then(|below| below.get(lower))
            .copied()
            .unwrap_or(0.0)
    }

    /// log10 of the fluidity integral of a stack of these layers, melt thickness in m each, log10(1/Pa).
    pub fn log10_phi(&self, stack: &[f64]) -> f64 {
        melt::stack_log10_phi(
            stack,
            &self.layer_log10_phi,
            &|lower, upper| self.pair(lower, upper),
            self.mixing,
        )
    }
}
