//! Prior of one coordinate, and how a value becomes one that a sampler can move in.
//!
//! Takes a coordinate; gives the value, its change, and the log density with its slope.

use super::normal::{cdf, quantile};
use crate::chacha::ChaCha8Rng;
use crate::real::Real;
use rand_distr::{Beta, Distribution, StandardNormal};

/// Prior of one coordinate, and what the coordinate stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Prior {
    /// The coordinate is the value.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// The coordinate is the natural log of the value.
    LogNormal {
        /// Median of the value.
        median: f64,
        /// Sd of its log.
        ln_sigma: f64,
    },
    /// The value is 0 or more; the coordinate is the normal score that its chance would have if its scale were `fold`: nothing piles up at 0. With `fold` its own scale the
    /// coordinate is standard normal; one that is learned to be near 0 has a normal posterior where `fold` is as wide as that is.
    HalfNormal {
        /// Scale of the value.
        scale: f64,
        /// Scale that the coordinate is made by.
        fold: f64,
    },
    /// The value is positive, its log is normal, and the coordinate is `2 sinh` of the log of the value over `unit`: the log itself far below, the value itself far above.
    Width {
        /// Median of the value.
        median: f64,
        /// Standard deviation of its log.
        ln_sigma: f64,
        /// Where the one goes over into the other.
        unit: f64,
    },
    /// The value lies between 0 and 1; its log odds are the coordinate x, and further out x² and −x²: see [`odds`].
    Beta {
        /// First shape.
        a: f64,
        /// Second shape.
        b: f64,
    },
}

impl Prior {
    /// The value at coordinate `at`.
    pub fn value(&self, at: f64) -> f64 {
        match *self {
            Self::Normal { .. } => at,
            Self::LogNormal { .. } => at.exp(),
            Self::HalfNormal { fold, .. } => fold * folded(at).0,
            Self::Width { unit, .. } => width(at).0 * unit,
            Self::Beta { .. } => logistic(odds(at).0).0,
        }
    }

    /// Change of the value per coordinate at `at`, where the value is `value`.
    pub fn slope(&self, at: f64, value: f64) -> f64 {
        match *self {
            Self::Normal { .. } => 1.0,
            Self::LogNormal { .. } => value,
            Self::HalfNormal { fold, .. } => fold * folded(at).1,
            Self::Width { .. } => value * width(at).1,
            Self::Beta { .. } => value * (1.0 - value) * odds(at).1,
        }
    }

    /// The value and its change per coordinate.
    #[inline]
    pub fn with_slope<R: Real>(&self, at: R) -> (R, R) {
        at.each(&|at| {
            let value = self.value(at);
            (value, self.slope(at, value))
        })
    }

    /// Log density of the coordinate but for a constant, and its slope.
    #[inline]
    pub fn ln_density<R: Real>(&self, at: R) -> (R, R) {
        match *self {
            Self::Normal { mean, sd } => normal_ln_density(at, mean, sd),
            Self::LogNormal { median, ln_sigma } => normal_ln_density(at, median.ln(), ln_sigma),
            Self::HalfNormal { scale, fold } => {
                let by = (fold / scale) * (fold / scale);
                at.each(&|at| {
                    let (z, per) = folded(at);
                    let fall = if at > FOLD_END { 0.0 } else { z * per - at };
                    (-0.5 * by * z * z + per.ln(), -by * z * per + fall)
                })
            }
            Self::Width {
                median,
                ln_sigma,
                unit,
            } => {
                let (v, per) = width(at);
                let median = (median / unit).ln();
                let (ln, slope) = normal_ln_density(v.logarithm(), median, ln_sigma);
                // Change of the log per coordinate is `per`.
                (ln + per.logarithm(), slope * per - at * per * per)
            }
            Self::Beta { a, b } => {
                // ln p = −ln(1 + e^−t), ln(1 − p) = −ln(1 + e^t); the odds' own change adds one to each shape, theirs per coordinate is a factor.
                let (t, per, bend) = odds(at);
                let ((p, above), a, b) = (logistic(t), R::all(a), R::all(b));
                (
                    a * t - (a + b) * above + per.logarithm(),
                    (a * (R::all(1.0) - p) - b * p) * per + bend / per,
                )
            }
        }
    }

    /// Curvature of −log density at `at`.
    pub fn curvature(&self, at: f64) -> f64 {
        match *self {
            Self::Normal { sd, .. } => 1.0 / (sd * sd),
            Self::LogNormal { ln_sigma, .. } => 1.0 / (ln_sigma * ln_sigma),
            Self::HalfNormal { scale, fold } => {
                let (z, per) = folded(at);
                let bend = if at > FOLD_END {
                    0.0
                } else {
                    z * per * (z * per - at)
                };
                let (by, curved) = ((fold / scale) * (fold / scale), per * per + bend);
                let fall = if at > FOLD_END { 0.0 } else { 1.0 - curved };
                by * curved + fall
            }
            Self::Width { ln_sigma, .. } => {
                let per = width(at).1;
                per * per * (1.0 + 1.0 / (ln_sigma * ln_sigma))
            }
            Self::Beta { a, b } => {
                let (t, per, _) = odds(at);
                let p = logistic(t).0;
                // Far out the log density is a straight line in the odds: never less than half of what the shape bends it by, or a step from out there would know no end.
                ((a + b) * p * (1.0 - p)).max(0.5 * a.min(b)) * per * per
            }
        }
    }

    /// Where to start from: the prior's middle.
    pub fn middle(&self) -> f64 {
        match *self {
            Self::Normal { mean, .. } => mean,
            Self::LogNormal { median, .. } => median.ln(),
            Self::HalfNormal { .. } => self.at(0.0),
            Self::Width { median, .. } => self.at_value(median),
            Self::Beta { a, b } => at_odds((a / b).ln()),
        }
    }

    /// The coordinate at standard score `z` of the prior; for a Beta, of the normal that is as wide as its log odds at the middle.
    pub fn at(&self, z: f64) -> f64 {
        match *self {
            Self::Normal { mean, sd } => mean + sd * z,
            Self::LogNormal { median, ln_sigma } => median.ln() + ln_sigma * z,
            Self::HalfNormal { scale, .. } => self.at_value(scale * folded(z).0),
            Self::Width {
                median, ln_sigma, ..
            } => self.at_value(median * (ln_sigma * z).exp()),
            Self::Beta { .. } => self.middle() + z / self.curvature(self.middle()).sqrt(),
        }
    }

    /// The coordinate of a value, for priors whose coordinate can be made to fit.
    pub(super) fn at_value(&self, value: f64) -> f64 {
        match *self {
            Self::HalfNormal { fold, .. } => unfolded(value / fold),
            Self::Width { unit, .. } => at_width(value / unit),
            _ => value,
        }
    }

    /// The same prior, its coordinate as it was before it was made to fit.
    pub(super) fn plain(mut self) -> Self {
        if let Self::HalfNormal { scale: by, .. } | Self::Width { median: by, .. } = self {
            self.make_by(by);
        }
        self
    }

    /// A coordinate in that of [`Self::plain`].
    pub(super) fn unfit(&self, at: f64) -> f64 {
        match self {
            Self::HalfNormal { .. } | Self::Width { .. } => self.plain().at_value(self.value(at)),
            _ => at,
        }
    }

    /// What the coordinate is made by, if it can be made to fit.
    pub(super) fn made_by(&self) -> Option<f64> {
        match *self {
            Self::HalfNormal { fold: by, .. } | Self::Width { unit: by, .. } => Some(by),
            _ => None,
        }
    }

    /// Makes the coordinate by another number.
    pub(super) fn make_by(&mut self, by: f64) {
        if let Self::HalfNormal { fold: own, .. } | Self::Width { unit: own, .. } = self {
            *own = by;
        }
    }

    /// What the coordinate is best made by where the value is known to lie between `down` and `up`, a standard deviation to each side.
    pub(super) fn fits(&self, down: f64, value: f64, up: f64) -> f64 {
        match *self {
            // Never so narrow that the value is many scales from 0.
            Self::HalfNormal { scale, .. } => (FOLD_BY * (up - down))
                .max(up / FOLDS)
                .clamp(1e-3 * scale, scale),
            Self::Width { ln_sigma, .. } => {
                // What readings say is normal in the value, what the prior says in its log.
                let left = 0.5 * (up / down).ln() / ln_sigma;
                let power = (1.0 - left * left).clamp(0.0, MOST_POWER);
                value * ((1.0 - power) / (1.0 + power)).sqrt()
            }
            _ => f64::NAN,
        }
    }

    /// A draw of the coordinate.
    pub fn draw(&self, rng: &mut ChaCha8Rng) -> f64 {
        let mut normal = || -> f64 { StandardNormal.sample(rng) };
        match *self {
            Self::Normal { mean, sd } => mean + sd * normal(),
            Self::LogNormal { median, ln_sigma } => median.ln() + ln_sigma * normal(),
            Self::HalfNormal { .. } | Self::Width { .. } => self.at(normal()),
            Self::Beta { a, b } => {
                let p: f64 = Beta::new(a, b).map_or(a / (a + b), |d| d.sample(rng));
                let p = p.clamp(1e-12, 1.0 - 1e-12);
                at_odds((p / (1.0 - p)).ln())
            }
        }
    }
}

fn normal_ln_density<R: Real>(at: R, mean: f64, sd: f64) -> (R, R) {
    let (z, per_sd) = ((at - R::all(mean)) * R::all(1.0 / sd), R::all(1.0 / sd));
    (R::all(-0.5) * z * z, -z * per_sd)
}

/// Normal score from which on a half-normal's value goes on along a straight line: it nearly is one.
const FOLD_END: f64 = 6.0;
/// Most scales from 0 that a value known to a standard deviation more than that is folded at.
const FOLDS: f64 = 4.0;
/// Fold of a value by what is a standard deviation above and below.
const FOLD_BY: f64 = 0.8;
/// Most of a width's value, least of its log: see [`Prior::fits`].
const MOST_POWER: f64 = 0.9;

/// Standard half-normal value of the same chance as the standard score `t`, and its change.
fn folded(t: f64) -> (f64, f64) {
    let near = if t > FOLD_END { FOLD_END } else { t };
    // Φ⁻¹((1 + Φ(t))/2) = −Φ⁻¹(Φ(−t)/2): the second keeps its digits far up.
    let z = -quantile(0.5 * cdf(-near));
    let per = 0.5 * (0.5 * (z * z - near * near)).exp();
    (z + per * (t - near), per)
}

/// The score of a value: [`folded`] turned round.
fn unfolded(z: f64) -> f64 {
    let (end, per) = folded(FOLD_END);
    if z > end {
        FOLD_END + (z - end) / per
    } else {
        -quantile(2.0 * cdf(-z))
    }
}

/// Positive number whose `2 sinh` of the log is `x`, and the change of that log.
fn width<R: Real>(x: R) -> (R, R) {
    let (one, half) = (R::all(1.0), R::all(0.5));
    let root = (x * x + R::all(4.0)).root();
    // Far below the sum would lose its digits.
    let v = half * (x.size() + root);
    (R::either(x.below(R::all(0.0)), one / v, v), one / root)
}

/// The coordinate of a width: [`width`] turned round.
fn at_width(v: f64) -> f64 {
    v - 1.0 / v
}

/// Log odds at coordinate `x`, their slope and their bend: `x √(1 + x²/k²)`, k = 2. Log odds of a share near 0 or 1 are skewed, their root is nearly normal.
fn odds<R: Real>(x: R) -> (R, R, R) {
    let (one, two, q) = (R::all(1.0), R::all(2.0), R::all(0.25) * x * x);
    let root = (one + q).root();
    (
        x * root,
        (one + two * q) / root,
        R::all(0.25) * x * (R::all(3.0) + two * q) / (root * root * root),
    )
}

/// The coordinate of log odds `t`.
pub fn at_odds(t: f64) -> f64 {
    let x = (2.0 * ((1.0 + t * t).sqrt() - 1.0)).sqrt();
    x.copysign(t)
}

/// The share with log odds `t`, and ln(1 + e^t), by the side on which the exponential is small.
fn logistic<R: Real>(t: R) -> (R, R) {
    let (zero, one, e) = (R::all(0.0), R::all(1.0), (-t.size()).exponential());
    let up = zero.below(t);
    let share = R::either(up, one, e) / (one + e);
    (share, R::either(up, t, zero) + (one + e).logarithm())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever its coordinate is made by, a prior is the same: the share of its density below a coordinate is the textbook's chance of a value below that
    /// coordinate's (the trapezoid rule's error is below 1e-6), and slopes agree with differences.
    #[test]
    fn a_coordinate_changes_no_prior() {
        let half_normal = |fold| Prior::HalfNormal { scale: 0.3, fold };
        let width = |unit| Prior::Width {
            median: 0.35,
            ln_sigma: 0.4,
            unit,
        };
        for fold in [0.3, 0.12, 0.05] {
            agrees(half_normal(fold), &|v| 2.0 * cdf(v / 0.3) - 1.0);
        }
        for unit in [0.1, 0.2, 0.35] {
            agrees(width(unit), &|v| cdf((v / 0.35).ln() / 0.4));
        }
    }

    fn agrees(prior: Prior, chance: &dyn Fn(f64) -> f64) {
        let (from, step) = (prior.at(-7.0).max(-8.0), 1e-3);
        let to = prior.at(7.0);
        let points = ((to - from) / step) as usize;
        let at = |i: usize| from + i as f64 * step;
        let density = |i: usize| prior.ln_density(at(i)).0.exp();
        let whole: f64 = (0..points).map(density).sum();
        let mut below = 0.0;
        for i in 0..points {
            below += density(i);
            if i % 500 == 250 {
                let x = at(i);
                let value = prior.value(x);
                let share = (below - 0.5 * density(i)) / whole;
                assert!((share - chance(value)).abs() < 1e-6, "{prior:?} at {x}");
                // So near 0 a value has few digits.
                if share < 1e-5 {
                    continue;
                }
                assert!((prior.at_value(value) - x).abs() < 1e-6, "{prior:?} at {x}");
                let (up, down) = (x + 1e-4, x - 1e-4);
                let slope = (prior.value(up) - prior.value(down)) / 2e-4;
                assert!(
                    (prior.slope(x, value) / slope - 1.0).abs() < 1e-5,
                    "{prior:?} at {x}: {slope}"
                );
                let slope = (prior.ln_density(up).0 - prior.ln_density(down).0) / 2e-4;
                let own = prior.ln_density(x).1;
                assert!(
                    (own - slope).abs() < 1e-5 * (1.0 + slope.abs()),
                    "{prior:?} at {x}: {own} for {slope}"
                );
                let bend = (prior.ln_density(down).1 - prior.ln_density(up).1) / 2e-4;
                let own = prior.curvature(x);
                let of_half = matches!(prior, Prior::HalfNormal { .. });
                assert!(
                    own > 0.0 && (!of_half || (own - bend).abs() < 1e-4 * (1.0 + bend)),
                    "{prior:?} at {x}: {own} for {bend}"
                );
            }
        }
    }
}
