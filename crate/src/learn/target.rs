//! What the sampler needs to know of a model.
//!
//! Takes a point; gives the log density with its gradient and a positive curvature there.

use super::arrow::Arrow;
use super::mixture::Mixture;
use crate::real::Pair;

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

    /// The same at two points at once. By default one after the other; who can work both out in one pass does, and [`one_of_both`] is then [`Self::ln_density`].
    fn ln_densities(&self, at: &[Pair], gradient: &mut [Pair]) -> Pair {
        let mut sums = [0.0; 2];
        for (lane, sum) in sums.iter_mut().enumerate() {
            let own: Vec<f64> = at.iter().map(|x| x.to_array()[lane]).collect();
            let mut slopes = vec![0.0; own.len()];
            *sum = self.ln_density(&own, &mut slopes);
            for (both, slope) in gradient.iter_mut().zip(slopes) {
                both.as_mut_array()[lane] = slope;
            }
        }
        Pair::new(sums)
    }

    /// A positive (semi-)definite stand-in for the curvature of −log density: Gauss–Newton where the model is a sum of
    /// squares, expected (Fisher) or clipped elsewhere. It decides how quick sampling is, never what is sampled.
    fn curvature(&self, at: &[f64]) -> Arrow;

    /// The same as it is, clipped nowhere: what a mean over draws is taken of. Not always positive.
    fn bend(&self, at: &[f64]) -> Arrow {
        self.curvature(at)
    }

    /// Coordinates whose prior is one of two normals, what hangs on other coordinates of it as at a point.
    fn mixtures(&self, _at: &[f64]) -> Vec<Mixture> {
        Vec::new()
    }

    /// Coordinates whose curvature is better worked out by differences of the gradient once the mode is found.
    fn by_differences(&self) -> Vec<usize> {
        Vec::new()
    }
}

/// [`Target::ln_density`] by [`Target::ln_densities`] of the same point twice.
pub fn one_of_both(target: &dyn Target, at: &[f64], gradient: &mut [f64]) -> f64 {
    let mut slopes = vec![Pair::ZERO; at.len()];
    let sums = target.ln_densities(&both(at), &mut slopes);
    for (slope, both) in gradient.iter_mut().zip(slopes) {
        *slope = both.to_array()[0];
    }
    sums.to_array()[0]
}

/// A point twice.
pub fn both(at: &[f64]) -> Vec<Pair> {
    at.iter().map(|x| Pair::splat(*x)).collect()
}

/// Two points side by side.
pub fn beside(one: &[f64], other: &[f64]) -> Vec<Pair> {
    let mut pairs = Vec::with_capacity(one.len());
    for (x, y) in one.iter().zip(other) {
        pairs.push(Pair::new([*x, *y]));
    }
    pairs
}
