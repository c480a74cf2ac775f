//! What the sampler needs to know of a model.
//!
//! Takes a point; gives the log density with its gradient and a positive curvature there.

use super::arrow::Arrow;

/// A posterior density over real coordinates.
pub trait Target {
    /// How many coordinates there are.
    fn len(&self) -> usize;

    /// Never by itself; a model without coordinates has nothing to sample.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// How many of the first coordinates meet one another nowhere in the curvature.
    fn separate(&self) -> usize;

    /// Where to look for the mode from.
    fn start(&self) -> Vec<f64>;

    /// Log density but for a constant; its gradient is put into `gradient`. Never not-a-number: a point that the model cannot judge is `-inf`.
    fn ln_density(&self, at: &[f64], gradient: &mut [f64]) -> f64;

    /// A positive (semi-)definite stand-in for the curvature of −log density: Gauss–Newton where the model is a sum of
    /// squares, expected (Fisher) or clipped elsewhere. It decides how quick sampling is, never what is sampled.
    fn curvature(&self, at: &[f64]) -> Arrow;

    /// The same as it is, clipped nowhere: what a mean over draws is taken of. Not always positive.
    fn bend(&self, at: &[f64]) -> Arrow {
        self.curvature(at)
    }

    /// Coordinates whose curvature is better worked out by differences of the gradient once the mode is found.
    fn by_differences(&self) -> Vec<usize> {
        Vec::new()
    }
}
