//! A prior that is one normal or another, and what readings make of it.
//!
//! Takes a Gaussian that is near a posterior; gives the mean and the variance that it has in a coordinate with such a prior once both normals are looked at.
//!
//! A Gaussian fitted where one of the two holds knows nothing of the other. Everything but this prior taken for normal, as wide as the Gaussian says, its product with both is two normals, whose
//! moments are in closed form (expectation propagation: Minka 2001, Uncertainty in Artificial Intelligence 17, 362).

/// One of two normals.
#[derive(Clone, Copy, Debug)]
pub struct Part {
    /// Its share.
    pub share: f64,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// A coordinate whose prior is one of two normals.
#[derive(Clone, Copy, Debug)]
pub struct Mixture {
    /// The coordinate.
    pub place: usize,
    /// Both; the curvature that a target gives counts the first alone.
    pub parts: [Part; 2],
}

/// Points at which a mean over a Gaussian is taken, to either side, and how far apart they lie in its spreads.
const POINTS: (i32, f64) = (16, 0.25);
/// Least share of a Gaussian's precision that is left to the readings.
const LEAST_LEFT: f64 = 0.05;

impl Mixture {
    /// Mean and variance of the coordinate, where a Gaussian of the posterior says `mean` and `variance`, the first part counted for the prior's curvature.
    pub fn moments(&self, mean: f64, variance: f64) -> (f64, f64) {
        let sd = variance.sqrt();
        let (mut sum, mut all) = (0.0, 0.0);
        for point in -POINTS.0..=POINTS.0 {
            let z = POINTS.1 * f64::from(point);
            let weight = (-0.5 * z * z).exp();
            sum += weight * self.slope(mean + z * sd);
            all += weight;
        }
        // What is left of the Gaussian without the prior: its middle is where the prior's mean slope came from.
        let own = self.parts[0].sd.powi(-2);
        let left = 1.0 / (1.0 / variance - own).max(LEAST_LEFT / variance);
        let middle = mean - left * sum / all;
        let (mut all, mut first, mut second) = (0.0, 0.0, 0.0);
        for part in &self.parts {
            let square = part.sd * part.sd;
            let both = left + square;
            let off = middle - part.mean;
            let weight = part.share / both.sqrt() * (-0.5 * off * off / both).exp();
            let at = (middle * square + part.mean * left) / both;
            all += weight;
            first += weight * at;
            second += weight * (at * at + left * square / both);
        }
        let at = first / all;
        (at, second / all - at * at)
    }

    /// Slope of the prior's log density.
    fn slope(&self, at: f64) -> f64 {
        let (mut density, mut slope) = (f64::MIN_POSITIVE, 0.0);
        for part in &self.parts {
            let z = (at - part.mean) / part.sd;
            let own = part.share / part.sd * (-0.5 * z * z).exp();
            density += own;
            slope -= own * z / part.sd;
        }
        slope / density
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where both parts are one, and where the Gaussian is the posterior of the first alone, nothing changes; where readings say little, two parts have the textbook's moments of a mixture.
    #[test]
    fn moments_are_those_of_the_product() {
        let part = |share, mean, sd| Part { share, mean, sd };
        let alike = Mixture {
            place: 0,
            parts: [part(0.9, -0.7, 0.35), part(0.1, -0.7, 0.35)],
        };
        let (mean, variance) = alike.moments(0.1, 0.04);
        assert!((mean - 0.1).abs() < 1e-3 && (variance - 0.04).abs() < 1e-3);
        // Readings that say 1.0 within 0.6, a prior of −0.7 within 0.35, and another a tenth as likely: by the trapezoid rule over the product.
        let two = Mixture {
            place: 0,
            parts: [part(0.9, -0.7, 0.35), part(0.1, 0.5, 0.9)],
        };
        let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
        for i in -6000..6000 {
            let x = 1e-3 * f64::from(i);
            let mut density = 0.0;
            for p in two.parts {
                let z = (x - p.mean) / p.sd;
                density += p.share / p.sd * (-0.5 * z * z).exp();
            }
            density *= (-0.5 * ((x - 1.0) / 0.6).powi(2)).exp();
            sum += density;
            first += density * x;
            second += density * x * x;
        }
        let truth = first / sum;
        let spread = second / sum - truth * truth;
        // The nearest Gaussian with the first part's curvature: where the mean slope of all is zero.
        let variance = 1.0 / (0.6_f64.powi(-2) + 0.35_f64.powi(-2));
        let mut at = 0.0;
        for _ in 0..200 {
            let mut pull = (0.0, 0.0);
            for i in -40..=40 {
                let z = 0.1 * f64::from(i);
                let (x, weight) = (at + z * variance.sqrt(), (-0.5 * z * z).exp());
                pull.0 += weight * (two.slope(x) + (1.0 - x) / 0.36);
                pull.1 += weight;
            }
            at += 0.3 * variance * pull.0 / pull.1;
        }
        let (mean, found) = two.moments(at, variance);
        assert!((mean - truth).abs() < 2e-3, "{mean} {truth}");
        assert!((found / spread - 1.0).abs() < 5e-3, "{found} {spread}");
    }
}
