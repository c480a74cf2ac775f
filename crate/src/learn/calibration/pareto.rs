//! Pareto-smoothed importance weights: the largest are replaced by what a generalised Pareto distribution fitted to them says.
//!
//! Takes logs of raw weights; gives weights and the fitted shape, which says how far they can be trusted (Vehtari, Simpson, Gelman, Yao & Gabry 2024, Journal
//! of Machine Learning Research 25(72); the fit is that of Zhang & Stephens 2009, Technometrics 51, 316, with the paper's weak prior on the shape).

use crate::order;
use crate::real::exp_ln::{exp, ln};

/// Fewest tail weights that a distribution is fitted to.
const LEAST_TAIL: usize = 5;
/// The prior on the shape: this, worth so many weights.
const PRIOR_SHAPE: (f64, f64) = (0.5, 10.0);

/// Factors that are multiplied before a logarithm is taken.
const FEW: usize = 8;

/// A generalised Pareto distribution above 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pareto {
    /// Shape k: from 1 on there is no mean.
    pub shape: f64,
    /// Scale.
    pub scale: f64,
}

impl Pareto {
    /// Zhang & Stephens's estimate from values above 0, rising.
    fn of(rising: &[f64]) -> Option<Self> {
        let n = rising.len();
        let largest = *rising.last()?;
        let quartile = rising[((n as f64 / 4.0 + 0.5) as usize).clamp(1, n) - 1];
        if n < LEAST_TAIL || quartile <= 0.0 {
            return None;
        }
        let shape = |theta: f64| {
            // Logs of products: a few factors at a time are far from the ends of what a number holds.
            let mut sum = 0.0;
            for few in rising.chunks(FEW) {
                let mut product = 1.0;
                for x in few {
                    product *= 1.0 - theta * x;
                }
                sum += ln(product);
            }
            sum / n as f64
        };
        let tried = 30 + (n as f64).sqrt() as usize;
        let mut thetas = Vec::with_capacity(tried);
        let mut most = f64::NEG_INFINITY;
        for j in 1..=tried {
            let theta =
                1.0 / largest + (1.0 - (tried as f64 / (j as f64 - 0.5)).sqrt()) / (3.0 * quartile);
            let k = shape(theta);
            let ln = n as f64 * ((-theta / k).ln() - k - 1.0);
            if ln.is_finite() {
                most = if ln > most { ln } else { most };
                thetas.push((theta, ln));
            }
        }
        let (mut sum, mut weights) = (0.0, 0.0);
        for (theta, ln) in &thetas {
            let weight = exp(ln - most);
            sum += weight * theta;
            weights += weight;
        }
        let theta = sum / weights;
        let k = shape(theta);
        let scale = -k / theta;
        let n = n as f64;
        let shape = (k * n + PRIOR_SHAPE.0 * PRIOR_SHAPE.1) / (n + PRIOR_SHAPE.1);
        (scale.is_finite() && scale > 0.0).then_some(Self { shape, scale })
    }

    /// The value with chance `p` below it.
    fn quantile(&self, p: f64) -> f64 {
        let ln = (-p).ln_1p();
        if self.shape.abs() < 1e-9 {
            return -self.scale * ln;
        }
        self.scale * (-self.shape * ln).exp_m1() / self.shape
    }
}

/// The shape up to which weights of so many draws can be trusted.
pub fn most_shape(draws: usize) -> f64 {
    let by_draws = 1.0 - 1.0 / (draws.max(11) as f64).log10();
    if by_draws < 0.7 { by_draws } else { 0.7 }
}

/// Turns logs of raw weights into smoothed weights, the largest raw one 1; gives the fitted shape, 0 where the weights are all but equal.
pub fn smooth(weights: &mut [f64]) -> f64 {
    let s = weights.len();
    let largest = weights.iter().fold(
        f64::NEG_INFINITY,
        |most, w| {
            if *w > most { *w } else { most }
        },
    );
    for w in weights.iter_mut() {
        *w = exp(*w - largest);
    }
    let tail = (0.2 * s as f64).min(3.0 * (s as f64).sqrt()).ceil() as usize;
    if tail < LEAST_TAIL || tail >= s {
        return 0.0;
    }
    let mut places: Vec<usize> = (0..s).collect();
    order::by(&mut places, |a, b| weights[*a].total_cmp(&weights[*b]));
    let cut = weights[places[s - tail - 1]];
    let mut above = Vec::with_capacity(tail);
    for place in &places[s - tail..] {
        above.push(weights[*place] - cut);
    }
    let Some(fit) = Pareto::of(&above) else {
        return 0.0;
    };
    for (i, place) in places[s - tail..].iter().enumerate() {
        let w = cut + fit.quantile((i as f64 + 0.5) / tail as f64);
        weights[*place] = if w < 1.0 { w } else { 1.0 };
    }
    fit.shape
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Evenly spaced quantiles of a distribution of known shape: its fit finds shape and scale. 400 values leave the estimate a standard error of (1 + k)/20
    /// (Zhang & Stephens 2009, table 2, nearly that of maximum likelihood); the even spacing and the prior's pull of 10 in 410 stay within one.
    #[test]
    fn the_fit_finds_the_shape() {
        for (shape, scale) in [(0.1, 1.0), (0.5, 2.0), (0.9, 0.3)] {
            let made = Pareto { shape, scale };
            let values: Vec<f64> = (0..400)
                .map(|i| made.quantile((f64::from(i) + 0.5) / 400.0))
                .collect();
            let fit = Pareto::of(&values).unwrap();
            assert!((fit.shape - shape).abs() < (1.0 + shape) / 20.0, "{fit:?}");
            assert!((fit.scale / scale - 1.0).abs() < 0.1, "{fit:?}");
        }
    }

    /// Weights that draws of the standard exponential have for the exponential of rate `1 − k`, `e^(k x)`, are Pareto with shape k. Their mean of x is 1/(1 − k): smoothed
    /// weights come nearer to it than raw ones where the tail is heavy. 1,000 draws at even quantiles.
    #[test]
    fn smoothing_mends_a_heavy_tail() {
        let draws: Vec<f64> = (0..1000)
            .map(|i| -((f64::from(i) + 0.5) / 1000.0_f64).ln())
            .collect();
        for k in [0.3, 0.6] {
            let mean = |weights: &[f64]| {
                let sum: f64 = weights.iter().zip(&draws).map(|(w, x)| w * x).sum();
                sum / weights.iter().sum::<f64>()
            };
            let mut weights: Vec<f64> = draws.iter().map(|x| k * x).collect();
            let raw: Vec<f64> = weights.iter().map(|w| w.exp()).collect();
            let shape = smooth(&mut weights);
            assert!((shape - k).abs() < 0.12, "{k}: {shape}");
            let (off, raw_off) = (
                mean(&weights) * (1.0 - k) - 1.0,
                mean(&raw) * (1.0 - k) - 1.0,
            );
            assert!(
                off.abs() < 0.12 && off.abs() < raw_off.abs() + 0.02,
                "{k}: {off} raw {raw_off}"
            );
        }
        let mut even = vec![-3.0; 100];
        assert_eq!(smooth(&mut even), 0.0);
        assert!(even.iter().all(|w| *w == 1.0));
        assert!((most_shape(256) - 0.585).abs() < 1e-3 && most_shape(1_000_000) == 0.7);
    }
}
