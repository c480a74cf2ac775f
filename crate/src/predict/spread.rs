//! What a set of draws says: quantiles, chances, and the standard draws themselves.
//!
//! Takes samples in any unit; gives quantiles in the same unit and shares between 0 and 1.

use super::outcome::{Band80, Band90, Quantiles};
use crate::chacha::ChaCha8Rng;
use crate::learn::normal;
use crate::order;
use rand::{RngExt, SeedableRng};

/// The largest of `n` independent standard normals, where the chance of a smaller one is `u`: the quantile at
/// u^(1/n), exact for whole `n` ≥ 1 (order statistics).
pub fn largest_of(n: f64, u: f64) -> f64 {
    normal::quantile(u.clamp(0.0, 1.0).powf(1.0 / n.max(1.0)))
}

/// Samples in rising order, ready to be asked.
#[derive(Clone, Debug)]
pub struct Sample(Vec<f64>);

impl Sample {
    /// Sorts the samples. Those that are not finite are left out.
    pub fn new(mut values: Vec<f64>) -> Self {
        values.retain(|v| v.is_finite());
        order::ascending(&mut values);
        Self(values)
    }

    /// Quantile by linear interpolation between order statistics (type 7 of Hyndman & Fan 1996, The American
    /// Statistician 50, 361). 0 for an empty sample.
    pub fn quantile(&self, p: f64) -> f64 {
        let Some(last) = self.0.len().checked_sub(1) else {
            return 0.0;
        };
        let at = p.clamp(0.0, 1.0) * last as f64;
        let below = at.floor() as usize;
        let above = (below + 1).min(last);
        self.0[below] + (at - below as f64) * (self.0[above] - self.0[below])
    }

    /// Share of the samples that are at least `value`.
    pub fn share_from(&self, value: f64) -> f64 {
        if self.0.is_empty() {
            return 0.0;
        }
        (self.0.len() - self.0.partition_point(|v| *v < value)) as f64 / self.0.len() as f64
    }

    /// The 5th, 50th and 95th percentile.
    pub fn band90(&self) -> Band90 {
        Band90 {
            p05: self.quantile(0.05),
            p50: self.quantile(0.5),
            p95: self.quantile(0.95),
        }
    }

    /// The 10th, 50th and 90th percentile.
    pub fn band80(&self) -> Band80 {
        Band80 {
            p10: self.quantile(0.1),
            p50: self.quantile(0.5),
            p90: self.quantile(0.9),
        }
    }

    /// The five percentiles of a run.
    pub fn quantiles(&self) -> Quantiles {
        Quantiles {
            p05: self.quantile(0.05),
            p10: self.quantile(0.1),
            p50: self.quantile(0.5),
            p90: self.quantile(0.9),
            p95: self.quantile(0.95),
        }
    }

    /// Twenty samples that stand for all: the middles of twenty equal shares, in rising order (a quantile dot plot).
    pub fn twenty(&self) -> Vec<f64> {
        (0..20)
            .map(|i| self.quantile((f64::from(i) + 0.5) / 20.0))
            .collect()
    }
}

/// Standard draws: one row per draw, one column per unknown, each column spread evenly over the probabilities (Latin
/// hypercube: McKay, Beckman & Conover 1979, Technometrics 21, 239), so that few draws already give steady medians.
#[derive(Clone, Debug)]
pub struct StandardDraws {
    draws: usize,
    probability: Vec<f64>,
}

impl StandardDraws {
    /// `draws` rows and `unknowns` columns. Column `c` depends on `seed`, `draws` and `c` alone, so two plans that
    /// share an unknown share its draws and differ only by what was changed.
    pub fn new(draws: usize, unknowns: usize, seed: u64) -> Self {
        let mut probability = Vec::with_capacity(draws * unknowns);
        for column in 0..unknowns {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            rng.set_stream(column as u64);
            let mut order: Vec<usize> = (0..draws).collect();
            for i in (1..draws).rev() {
                order.swap(i, rng.random_range(0..=i));
            }
            probability.extend(
                order
                    .into_iter()
                    .map(|k| (k as f64 + rng.random::<f64>()) / draws as f64),
            );
        }
        Self { draws, probability }
    }

    /// Uniform draw, strictly inside 0–1 but for rounding.
    pub fn uniform(&self, draw: usize, unknown: usize) -> f64 {
        self.probability
            .get(unknown * self.draws + draw)
            .copied()
            .unwrap_or(0.5)
    }

    /// Standard normal draw.
    pub fn normal(&self, draw: usize, unknown: usize) -> f64 {
        normal::quantile(self.uniform(draw, unknown))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Type 7 on 1..=4 by hand: 0.25 lies three quarters of the way from 1 to 2 (Hyndman & Fan 1996).
    #[test]
    fn quantile_is_type_7() {
        let sample = Sample::new(vec![4.0, 1.0, 3.0, 2.0, f64::NAN]);
        assert!((sample.quantile(0.25) - 1.75).abs() < 1e-15);
        assert!((sample.quantile(0.5) - 2.5).abs() < 1e-15);
        assert_eq!(sample.quantile(1.0), 4.0);
        assert_eq!(sample.share_from(3.0), 0.5);
        assert_eq!(sample.share_from(4.5), 0.0);
    }

    /// Expected largest of 13 standard normals: 1.66799 (Harter 1961, Biometrika 48, 151, table 1). Midpoint sum over
    /// 20,000 probabilities: its tail error is below 1e-4.
    #[test]
    fn largest_of_thirteen_has_the_tabled_mean() {
        let steps = 20_000;
        let at = |i: i32| largest_of(13.0, (f64::from(i) + 0.5) / f64::from(steps));
        let mean = (0..steps).map(at).sum::<f64>() / f64::from(steps);
        assert!((mean - 1.667_99).abs() < 2e-4, "{mean}");
        assert!(largest_of(13.0, 0.0).is_finite() && largest_of(0.0, 1.0).is_finite());
    }

    #[test]
    fn empty_samples_answer() {
        let none = Sample::new(vec![]);
        assert_eq!(
            (
                none.quantile(0.5),
                none.share_from(0.0),
                none.twenty().len()
            ),
            (0.0, 0.0, 20)
        );
    }

    #[test]
    fn each_column_is_spread_evenly_and_repeats() {
        let draws = StandardDraws::new(64, 3, 5);
        for column in 0..3 {
            let mut strata: Vec<usize> = (0..64)
                .map(|d| (draws.uniform(d, column) * 64.0) as usize)
                .collect();
            order::sort(&mut strata);
            assert_eq!(strata, (0..64).collect::<Vec<_>>());
        }
        let more = StandardDraws::new(64, 5, 5);
        assert_eq!(more.normal(17, 2), draws.normal(17, 2));
        assert_ne!(draws.normal(17, 1), draws.normal(17, 2));
    }
}
