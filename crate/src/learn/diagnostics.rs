//! How many independent draws the draws of several chains are worth, and whether the chains agree.
//!
//! Takes one quantity's draws, chain by chain; gives effective draws and split R-hat
//! (Gelman et al. 2013, Bayesian Data Analysis, 3rd ed., 11.4–11.5; Geyer 1992, Statistical Science 7, 473).

/// Effective draws and split R-hat of one quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mixing {
    /// Effective draws, at least 1.
    pub effective: f64,
    /// Split R-hat; 1 is perfect.
    pub r_hat: f64,
}

/// Works both out from chains of one length, each cut in two halves. A quantity that never changes is perfectly known.
pub fn mixing(chains: &[Vec<f64>]) -> Mixing {
    let half = chains.iter().map(Vec::len).min().unwrap_or(0) / 2;
    if half < 4 {
        return Mixing {
            effective: 1.0,
            r_hat: f64::MAX,
        };
    }
    let halves: Vec<&[f64]> = chains
        .iter()
        .flat_map(|c| [&c[..half], &c[c.len() - half..]])
        .collect();
    let (m, n) = (halves.len() as f64, half as f64);
    let means: Vec<f64> = halves.iter().map(|c| c.iter().sum::<f64>() / n).collect();
    let grand = means.iter().sum::<f64>() / m;
    let between = means.iter().map(|x| (x - grand).powi(2)).sum::<f64>() * n / (m - 1.0);
    // Autocovariances of each half with divisor n; the first gives the within-chain variance.
    let covariance = |lag: usize| -> f64 {
        let of = |(c, mean): (&&[f64], &f64)| {
            c[..half - lag]
                .iter()
                .zip(&c[lag..])
                .map(|(a, b)| (a - mean) * (b - mean))
                .sum::<f64>()
                / n
        };
        halves.iter().zip(&means).map(of).sum::<f64>() / m
    };
    let within = covariance(0) * n / (n - 1.0);
    if within <= 0.0 {
        return Mixing {
            effective: m * n,
            r_hat: if between > 0.0 { f64::MAX } else { 1.0 },
        };
    }
    let total = within * (n - 1.0) / n + between / n;
    let correlation = |lag: usize| 1.0 - (within - covariance(lag)) / total;
    // Geyer's initial monotone sequence: sums of pairs, while positive, never rising.
    let (mut sum, mut last) = (-1.0, f64::INFINITY);
    let mut lag = 0;
    while lag + 1 < half {
        let even = if lag == 0 { 1.0 } else { correlation(lag) };
        let pair = (even + correlation(lag + 1)).min(last);
        if pair <= 0.0 {
            break;
        }
        sum += 2.0 * pair;
        last = pair;
        lag += 2;
    }
    // Antithetic chains can be worth more than their number; more than log10 of it times as much is not to be believed.
    let draws = m * n;
    Mixing {
        effective: (draws / sum.max(1.0 / draws.log10())).max(1.0),
        r_hat: (total / within).sqrt(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chacha::ChaCha8Rng;
    use rand::SeedableRng;
    use rand_distr::{Distribution, StandardNormal};

    /// An autoregressive chain of correlation ρ is worth n (1 − ρ)/(1 + ρ) draws (textbook); 4 × 4,000 draws know that to about 10 %.
    #[test]
    fn effective_draws_of_an_autoregressive_chain() {
        for rho in [0.0, 0.6, -0.3] {
            let chains: Vec<Vec<f64>> = (0..4)
                .map(|c| {
                    let mut rng = ChaCha8Rng::seed_from_u64(7);
                    rng.set_stream(c);
                    let mut x = 0.0;
                    let mut step = |_| {
                        let e: f64 = StandardNormal.sample(&mut rng);
                        x = rho * x + (1.0_f64 - rho * rho).sqrt() * e;
                        x
                    };
                    (0..4000).map(&mut step).collect()
                })
                .collect();
            let found = mixing(&chains);
            let expected = 16_000.0 * (1.0 - rho) / (1.0 + rho);
            assert!(
                (found.effective / expected - 1.0).abs() < 0.15,
                "{rho}: {found:?}"
            );
            assert!((found.r_hat - 1.0).abs() < 0.01, "{rho}: {found:?}");
        }
    }

    #[test]
    fn chains_that_disagree_show() {
        let chains: Vec<Vec<f64>> = (0..2)
            .map(|c| (0..100).map(|i| f64::from(c * 5 + (i * 37) % 7)).collect())
            .collect();
        assert!(mixing(&chains).r_hat > 1.3);
    }
}
