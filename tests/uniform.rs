//! Whether ranks are uniform: the statistics of simulation-based calibration.
//!
//! Takes ranks of many independent studies, each one of 0 to L with equal chances if all is well; gives a p-value by the
//! distribution of the ranks as a whole, a chi-square, and scores of their middle and width that say which way they are off.

use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::normal::quantile;
use rand::{RngExt, SeedableRng};

/// Sets of ranks that the null distribution is simulated from.
const SIMULATED: usize = 20_000;
/// Bins of the chi-square.
pub const BINS: usize = 8;

/// What the ranks of one quantity say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// Chance of a set of uniform ranks whose distribution strays as far from the diagonal somewhere.
    pub p: f64,
    /// Pearson's chi-square over [`BINS`] equal bins: as many degrees of freedom less one.
    pub chi_square: f64,
    /// Mean of the ranks, in standard errors: positive where the truth lies above the draws too often.
    pub middle: f64,
    /// Mean squared distance of the ranks from the middle, in standard errors: positive where the draws are too narrow, negative where they are too wide.
    pub width: f64,
}

/// The null distribution for sets of `studies` ranks of 0 to `most`.
///
/// Säilynoja, Bürkner & Vehtari 2022 (Statistics and Computing 32, 32): at each place z the number of ranks below is binomial, and the set is
/// judged by its least two-sided binomial tail over all places; how small that least gets by chance is simulated, so that the p-value holds for all places at once.
#[derive(Clone, Debug)]
pub struct Uniform {
    studies: usize,
    most: usize,
    /// `tail[k][n]`: twice the smaller tail of `n` ranks below `k + 1`.
    tail: Vec<Vec<f64>>,
    /// Least tails of simulated sets, rising.
    least: Vec<f64>,
}

impl Uniform {
    /// Simulates the null distribution by a fixed seed.
    pub fn new(studies: usize, most: usize) -> Self {
        let tail = (1..=most)
            .map(|k| tails(studies, k as f64 / (most + 1) as f64))
            .collect();
        let mut uniform = Self {
            studies,
            most,
            tail,
            least: Vec::new(),
        };
        let mut rng = ChaCha8Rng::seed_from_u64(2022);
        let mut ranks = vec![0; studies];
        uniform.least = (0..SIMULATED)
            .map(|_| {
                ranks
                    .iter_mut()
                    .for_each(|r| *r = rng.random_range(0..=most));
                uniform.least_tail(&ranks)
            })
            .collect();
        uniform.least.sort_unstable_by(f64::total_cmp);
        uniform
    }

    fn least_tail(&self, ranks: &[usize]) -> f64 {
        let mut counts = vec![0; self.most + 1];
        ranks.iter().for_each(|r| counts[*r] += 1);
        let (mut below, mut least) = (0, 1.0_f64);
        for (count, tail) in counts.iter().zip(&self.tail) {
            below += count;
            least = least.min(tail[below]);
        }
        least
    }

    /// Judges one set of ranks.
    pub fn judge(&self, ranks: &[usize]) -> Judged {
        assert_eq!(ranks.len(), self.studies);
        let (n, places) = (self.studies as f64, (self.most + 1) as f64);
        let least = self.least_tail(ranks);
        let as_low = self.least.partition_point(|l| *l <= least);
        let mut bins = [0.0; BINS];
        let (mut mean, mut square) = (0.0, 0.0);
        for rank in ranks {
            bins[rank * BINS / (self.most + 1)] += 1.0;
            let off = (*rank as f64 + 0.5) / places - 0.5;
            mean += off / n;
            square += off * off / n;
        }
        let expected = n / BINS as f64;
        // Moments of a discrete uniform variable on the middles of `places` equal cells of the unit interval: variance (1 − places⁻²)/12, fourth moment 1/80 but for places⁻².
        let variance = (1.0 - places.powi(-2)) / 12.0;
        Judged {
            p: (as_low as f64 + 1.0) / (SIMULATED as f64 + 1.0),
            chi_square: bins.iter().map(|b| (b - expected).powi(2) / expected).sum(),
            middle: mean / (variance / n).sqrt(),
            width: (square - variance) / ((1.0 / 80.0 - 1.0 / 144.0) / n).sqrt(),
        }
    }
}

/// Twice the smaller tail of each count of a binomial, 1 at most.
fn tails(n: usize, p: f64) -> Vec<f64> {
    // By logs: the chance of none at all can be too small for a number.
    let mut ln = n as f64 * (-p).ln_1p();
    let mut chance = Vec::with_capacity(n + 1);
    for k in 0..=n {
        chance.push(ln.exp());
        ln += ((n - k) as f64 / (k + 1) as f64 * p / (1.0 - p)).ln();
    }
    // Each tail is summed from its own end, so that small ones keep their digits.
    let mut tails = vec![0.0; n + 1];
    let (mut below, mut above) = (0.0, 0.0);
    for k in 0..=n {
        below += chance[k];
        tails[k] = below;
    }
    for k in (0..=n).rev() {
        above += chance[k];
        tails[k] = (2.0 * f64::min(tails[k], above)).min(1.0);
    }
    tails
}

/// Upper quantile of chi-square by Wilson & Hilferty 1931: right to 1 % for the degrees of freedom here.
pub fn chi_square_above(degrees: f64, p: f64) -> f64 {
    let a = 2.0 / (9.0 * degrees);
    degrees * (1.0 - a + quantile(1.0 - p) * a.sqrt()).powi(3)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ranks(uniform: &Uniform, seed: u64, of: impl Fn(f64) -> f64) -> Vec<usize> {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let place = |u: f64| (of(u) * (uniform.most + 1) as f64) as usize;
        (0..uniform.studies)
            .map(|_| place(rng.random::<f64>()).min(uniform.most))
            .collect()
    }

    /// Sets of uniform ranks: p-values are themselves uniform. 400 of them: a share of 0.05 has a standard error of 0.011, one of 0.5 one of 0.025.
    #[test]
    fn uniform_ranks_are_taken_for_uniform() {
        let uniform = Uniform::new(200, 63);
        let p: Vec<f64> = (0..400)
            .map(|s| uniform.judge(&ranks(&uniform, s, |u| u)).p)
            .collect();
        let share = |at: f64| p.iter().filter(|p| **p <= at).count() as f64 / 400.0;
        assert!((share(0.05) - 0.05).abs() < 0.033, "{}", share(0.05));
        assert!((share(0.5) - 0.5).abs() < 0.075, "{}", share(0.5));
    }

    /// A posterior a third of an sd off, a quarter too narrow or a quarter too wide is found out, and the scores say which it is.
    #[test]
    fn wrong_posteriors_are_found_out() {
        use glazefall::learn::normal::cdf;
        let uniform = Uniform::new(200, 63);
        let judge = |of: &dyn Fn(f64) -> f64| uniform.judge(&ranks(&uniform, 7, of));
        let off = judge(&|u| cdf(quantile(u) + 1.0 / 3.0));
        let narrow = judge(&|u| cdf(quantile(u) / 0.75));
        let wide = judge(&|u| cdf(quantile(u) * 0.75));
        println!("{off:?}\n{narrow:?}\n{wide:?}");
        assert!(off.p < 0.002 && off.middle > 3.0);
        assert!(narrow.p < 0.05 && narrow.width > 3.0);
        assert!(wide.p < 0.05 && wide.width < -3.0);
    }

    /// Tables: chi-square of 7 degrees passes 14.07 with chance 0.05 and 24.32 with 0.001.
    #[test]
    fn chi_square_is_the_tabled_one() {
        assert!((chi_square_above(7.0, 0.05) - 14.07).abs() < 0.05);
        assert!((chi_square_above(7.0, 0.001) - 24.32).abs() < 0.25);
    }
}
