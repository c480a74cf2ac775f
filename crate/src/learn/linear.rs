//! The linear-Gaussian part of the model: readings of log10 Phi that are sums of shares, pair weights and a firing.
//!
//! Takes rows with their weights, read or censored; gives a [`Target`] for the same engine that learns the whole model, so that the engine can be held to
//! figures from elsewhere.

use super::arrow::Arrow;
use super::normal::{cdf_pdf, ln_cdf, pdf};
use super::prior::Prior;
use super::target::Target;

/// What was read of one tile, log10(1/Pa).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading {
    /// The value.
    Read(f64),
    /// It did not move: below this.
    Below(f64),
    /// It ran off: above this.
    Above(f64),
}

/// One tile.
#[derive(Clone, Debug, PartialEq)]
pub struct LinearRow {
    /// Coordinates that it depends on, rising; at most one of them separate.
    pub places: Vec<u32>,
    /// Their weights.
    pub weights: Vec<f64>,
    /// What was read.
    pub reading: Reading,
}

/// The linear model: coefficients with normal priors, the last coordinate the noise, half-normal.
#[derive(Clone, Debug)]
pub struct Linear {
    /// Prior of each coordinate; the last is the noise's.
    pub priors: Vec<Prior>,
    /// How many of the first coordinates (the firings) no row has two of.
    pub separate: usize,
    /// The tiles.
    pub rows: Vec<LinearRow>,
}

impl Linear {
    fn sigma(&self, at: &[f64]) -> (f64, f64) {
        let last = at.len() - 1;
        let sigma = self.priors[last].value(at[last]).max(1e-9);
        (sigma, self.priors[last].slope(at[last], sigma))
    }
}

impl LinearRow {
    fn mean(&self, at: &[f64]) -> f64 {
        self.places
            .iter()
            .zip(&self.weights)
            .map(|(p, w)| at[*p as usize] * w)
            .sum()
    }
}

/// Log likelihood of a reading at standard score `z` with its slope and curvature in −z (`Read`: both plain; censored: Mills' ratio).
fn judge(reading: Reading, mean: f64, sigma: f64) -> (f64, f64, f64, f64) {
    match reading {
        Reading::Read(y) => {
            let z = (y - mean) / sigma;
            (
                -0.5 * z * z - sigma.ln(),
                z / sigma,
                1.0 / (sigma * sigma),
                (z * z - 1.0) / sigma,
            )
        }
        Reading::Below(y) => {
            let z = (y - mean) / sigma;
            let ratio = hazard(z);
            (
                ln_cdf(z),
                -ratio / sigma,
                ratio * (ratio + z) / (sigma * sigma),
                -ratio * z / sigma,
            )
        }
        Reading::Above(y) => {
            let z = (mean - y) / sigma;
            let ratio = hazard(z);
            (
                ln_cdf(z),
                ratio / sigma,
                ratio * (ratio + z) / (sigma * sigma),
                -ratio * z / sigma,
            )
        }
    }
}

/// `φ(z)/Φ(z)`, without dividing nothing by nothing far down.
fn hazard(z: f64) -> f64 {
    if z > -30.0 {
        let (below, density) = cdf_pdf(z);
        density / below
    } else {
        (pdf(0.0).ln() - 0.5 * z * z - ln_cdf(z)).exp()
    }
}

impl Target for Linear {
    fn len(&self) -> usize {
        self.priors.len()
    }

    fn separate(&self) -> usize {
        self.separate
    }

    fn start(&self) -> Vec<f64> {
        self.priors.iter().map(Prior::middle).collect()
    }

    fn ln_density(&self, at: &[f64], gradient: &mut [f64]) -> f64 {
        let (sigma, slope) = self.sigma(at);
        let mut sum = 0.0;
        for ((prior, x), g) in self.priors.iter().zip(at).zip(gradient.iter_mut()) {
            let (ln, d) = prior.ln_density(*x);
            sum += ln;
            *g = d;
        }
        let last = at.len() - 1;
        for row in &self.rows {
            let (ln, per_mean, _, per_sigma) = judge(row.reading, row.mean(at), sigma);
            sum += ln;
            gradient[last] += per_sigma * slope;
            for (place, weight) in row.places.iter().zip(&row.weights) {
                gradient[*place as usize] += per_mean * weight;
            }
        }
        if sum.is_finite() {
            sum
        } else {
            f64::NEG_INFINITY
        }
    }

    fn curvature(&self, at: &[f64]) -> Arrow {
        let (sigma, slope) = self.sigma(at);
        let mut arrow = Arrow::zeros(at.len(), self.separate);
        for (i, (prior, x)) in self.priors.iter().zip(at).enumerate() {
            arrow.add_diagonal(i, prior.curvature(*x));
        }
        let last = at.len() - 1;
        for row in &self.rows {
            let (_, _, curvature, _) = judge(row.reading, row.mean(at), sigma);
            arrow.add_outer(curvature, &row.places, &row.weights);
            if let Reading::Read(_) = row.reading {
                arrow.add_diagonal(last, 2.0 * (slope / sigma).powi(2));
            }
        }
        arrow
    }
}
