//! The longest of several drips: the largest of n standard normal draws as a mixture of two normals.
//!
//! Takes a number of drips; gives weights, means and sds. A mixture because a normal on top of it (noise) then stays a mixture, in closed form.

/// The largest of n standard normals, nearly: with chance `weight[k]` normal about `mean[k]` with `sd[k]`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Longest {
    /// Chances, adding up to 1.
    pub weight: [f64; 2],
    /// Means.
    pub mean: [f64; 2],
    /// Standard deviations.
    pub sd: [f64; 2],
    /// Mean of the mixture.
    pub middle: f64,
    /// Variance of the mixture.
    pub variance: f64,
}

/// n, weight of the first, means, sds. Fitted to the density `n φ(z) Φ(z)^(n−1)` by least Kullback–Leibler divergence (BFGS, on 6,001 points from −6 to 9; `fixtures/learn/README.md`);
/// the distribution is met within 0.0005 (n = 2) to 0.008 (n = 100), and noise on top takes that down further.
const FITTED: [(f64, f64, [f64; 2], [f64; 2]); 16] = [
    (2.0, 0.65085, [0.36222, 0.940681], [0.741974, 0.84167]),
    (3.0, 0.655601, [0.638553, 1.241725], [0.64654, 0.768259]),
    (4.0, 0.65897, [0.823048, 1.428061], [0.591834, 0.723756]),
    (5.0, 0.661374, [0.959197, 1.560945], [0.555185, 0.692911]),
    (6.0, 0.663191, [1.066083, 1.663227], [0.528401, 0.669815]),
    (8.0, 0.665801, [1.227222, 1.814831], [0.491062, 0.636784]),
    (10.0, 0.667633, [1.346306, 1.925323], [0.465655, 0.613713]),
    (13.0, 0.6696, [1.480262, 2.048446], [0.439142, 0.589079]),
    (16.0, 0.671035, [1.581992, 2.141321], [0.420387, 0.571278]),
    (20.0, 0.672473, [1.687424, 2.237152], [0.402134, 0.553631]),
    (25.0, 0.673819, [1.789122, 2.32929], [0.385611, 0.537361]),
    (32.0, 0.675214, [1.897614, 2.427363], [0.369093, 0.520793]),
    (40.0, 0.676403, [1.992331, 2.512874], [0.355557, 0.506971]),
    (50.0, 0.677531, [2.084105, 2.595683], [0.343186, 0.49413]),
    (64.0, 0.678716, [2.182458, 2.68443], [0.330694, 0.48095]),
    (100.0, 0.680717, [2.352587, 2.83807], [0.310826, 0.459498]),
];

/// The longest of `n` drips, between the fitted numbers by the logarithm of n; beyond 100 as 100.
pub fn longest_of(n: u32) -> Longest {
    if n < 2 {
        return Longest::new([1.0, 0.0], [0.0; 2], [1.0; 2]);
    }
    let n = f64::from(n).min(100.0);
    let above = FITTED
        .iter()
        .position(|row| row.0 >= n)
        .unwrap_or(FITTED.len() - 1);
    let (low, high) = (&FITTED[above.saturating_sub(1)], &FITTED[above]);
    let t = if high.0 > low.0 {
        (n / low.0).ln() / (high.0 / low.0).ln()
    } else {
        1.0
    };
    let between = |a: f64, b: f64| a + t * (b - a);
    let weight = between(low.1, high.1);
    let mean = [between(low.2[0], high.2[0]), between(low.2[1], high.2[1])];
    let sd = [between(low.3[0], high.3[0]), between(low.3[1], high.3[1])];
    Longest::new([weight, 1.0 - weight], mean, sd)
}

impl Longest {
    fn new(weight: [f64; 2], mean: [f64; 2], sd: [f64; 2]) -> Self {
        let middle = weight[0] * mean[0] + weight[1] * mean[1];
        let square = |k: usize| weight[k] * (mean[k] * mean[k] + sd[k] * sd[k]);
        Self {
            weight,
            mean,
            sd,
            middle,
            variance: square(0) + square(1) - middle * middle,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::normal::cdf;
    use super::*;

    /// Against `Φ(z)^n` itself; tolerances as the fits were measured, a little over for numbers between the fitted.
    #[test]
    fn mixtures_meet_the_distribution_of_the_largest() {
        for (n, most) in [
            (1, 1e-15),
            (2, 6e-4),
            (7, 3.5e-3),
            (13, 5e-3),
            (29, 6.5e-3),
            (100, 9e-3),
        ] {
            let longest = longest_of(n);
            for i in -40..60 {
                let z = f64::from(i) * 0.1;
                let fitted: f64 = (0..2)
                    .map(|k| longest.weight[k] * cdf((z - longest.mean[k]) / longest.sd[k]))
                    .sum();
                let error = (fitted - cdf(z).powi(n as i32)).abs();
                assert!(error < most, "{n} at {z}: {error}");
            }
        }
    }

    /// Expected largest of 13 standard normals: 1.66799, of 2: 1/√π (Harter 1961, Biometrika 48, 151). The fit keeps means to 1e-3.
    #[test]
    fn means_are_those_tabled() {
        assert!((longest_of(13).middle - 1.667_99).abs() < 2e-3);
        assert!((longest_of(2).middle - std::f64::consts::PI.sqrt().recip()).abs() < 1e-3);
    }
}
