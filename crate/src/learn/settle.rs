//! The Gaussian that lies nearest to a posterior: its middle and its mean curvature, which with many unknowns are far from those at the mode.
//!
//! Takes a [`Target`] and a point near its mode; gives a [`Mode`] to sample from, one pair of densities a step.
//!
//! Of all Gaussians the one nearest to a density (least Kullback–Leibler divergence from it) has the mean at which the density's mean gradient is zero and for its precision
//! the mean curvature, means over the Gaussian itself (Opper & Archambeau 2009, Neural Computation 21, 786). Noisy Newton steps find it (Khan & Rue 2023,
//! Journal of Machine Learning Research 24, 281), each by a draw and its mirror image, whose gradients' straight parts cancel.

use super::arrow::{Arrow, Factor};
use super::mode::Mode;
use super::target::Target;
use crate::chacha::ChaCha8Rng;
use crate::real::{Mask, Pair, Real};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};

/// Steps; the last [`LAST`] of them move the middle only.
pub const STEPS: usize = 24;
/// Steps after the curvature is done, whose mean gradient is taken at once.
const LAST: usize = 6;
/// Least share of the way that curvature and middle go in a step.
const LEAST: (f64, f64) = (0.15, 0.3);
/// A pair asks for a step whose square, in the posterior's own spreads, is seldom more than 4 and this much per unknown; what is beyond is cut off.
const LONGEST: f64 = 0.05;

/// The search for the nearest Gaussian, one step at a time.
#[derive(Clone, Debug)]
pub struct Settling {
    at: Vec<f64>,
    arrow: Arrow,
    factor: Factor,
    rng: ChaCha8Rng,
    steps: usize,
    /// Where it started, the log density and the curvature there.
    start: (Vec<f64>, f64, Factor),
    /// Sum of the last steps' mean gradients.
    last: Vec<f64>,
    /// Coordinates that both normals of a prior count in, and where they then are.
    both: Vec<(usize, f64)>,
}

/// Both normals count where they make a coordinate so many times as wide.
const BOTH_COUNT: f64 = 1.2;

impl Settling {
    /// Starts at `at` with the curvature there.
    pub fn new(target: &dyn Target, at: Vec<f64>, seed: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(u64::from(u32::MAX));
        let arrow = target.curvature(&at);
        let factor = arrow.clone().factor();
        let ln_density = target.ln_density(&at, &mut vec![0.0; at.len()]);
        Self {
            start: (at.clone(), ln_density, factor.clone()),
            factor,
            last: vec![0.0; at.len()],
            both: Vec::new(),
            at,
            arrow,
            rng,
            steps: 0,
        }
    }

    /// The middle as far as it is known, once: before its curvature is worked out.
    pub fn middle(&self) -> Option<&[f64]> {
        (self.steps + LAST == STEPS).then_some(&self.at)
    }

    /// One step. `Some` when it is done.
    pub fn step(&mut self, target: &dyn Target) -> Option<Mode> {
        let n = self.at.len();
        if self.steps + LAST == STEPS {
            // As it is at the middle: a mean over the few draws that led here is noise in hundreds of directions.
            let changes = self.look_at_both(target);
            let mut mode = Mode {
                at: std::mem::take(&mut self.at),
                factor: self.factor.clone(),
                steps: 0,
            };
            let mut arrow = target.curvature(&mode.at);
            for (place, change) in changes {
                arrow.add_diagonal(place, change);
            }
            mode.refine(target, arrow);
            (self.at, self.factor) = (mode.at, mode.factor);
        }
        let mut u: Vec<f64> = (0..n)
            .map(|_| StandardNormal.sample(&mut self.rng))
            .collect();
        self.factor.unwhiten(&mut u);
        let mut points = Vec::with_capacity(n);
        let mut at = Vec::with_capacity(n);
        for (m, u) in self.at.iter().zip(&u) {
            points.push(Pair::new([m + u, m - u]));
            at.push(m - u);
        }
        let mut gradient = vec![Pair::ZERO; n];
        // A draw lies about n/2 below the start, and the middle a little: far more, and this is no Gaussian of the posterior's.
        let least = self.start.1 - (n as f64 + 40.0);
        let ln_density = target.ln_densities(&points, &mut gradient);
        let sane = Pair::splat(least).below(ln_density).everywhere();
        let mut mean: Vec<f64> = gradient.iter().map(|g| 0.5 * g.reduce_add()).collect();
        if !sane {
            // Half way back, where it was narrower.
            mean.fill(0.0);
            for (x, start) in self.at.iter_mut().zip(&self.start.0) {
                *x = 0.5 * (*x + start);
            }
            let here = target.curvature(&self.at);
            self.arrow.blend(&here, 0.5);
            self.factor = self.arrow.clone().factor();
        }
        self.factor.whiten_gradient(&mut mean);
        // One far draw must not carry the middle away.
        let longest = 4.0 + LONGEST * n as f64;
        let square: f64 = mean.iter().map(|m| m * m).sum();
        if square > longest {
            let by = (longest / square).sqrt();
            mean.iter_mut().for_each(|m| *m *= by);
        }
        self.steps += 1;
        if self.steps + LAST > STEPS {
            for (sum, m) in self.last.iter_mut().zip(&mean) {
                *sum += m / LAST as f64;
            }
            if self.steps < STEPS {
                return None;
            }
            let mut mean = std::mem::take(&mut self.last);
            self.advance(&mut mean, 1.0);
            // A few draws' mean gradient says nothing of a coordinate that has two tops.
            for (place, at) in &self.both {
                self.at[*place] = *at;
            }
            // The middle is not the mode, but where it is far less likely it is none.
            if target.ln_density(&self.at, &mut mean) < self.start.1 - (0.25 * n as f64 + 10.0) {
                (self.at, self.factor) = (self.start.0.clone(), self.start.2.clone());
            }
            return Some(Mode {
                at: std::mem::take(&mut self.at),
                factor: self.factor.clone(),
                steps: self.steps,
            });
        }
        let share = 1.0 / (self.steps as f64 + 0.5);
        let way = share.max(LEAST.1);
        self.advance(&mut mean, way);
        // Every other step is enough for the curvature, which is the dearer half.
        if sane && self.steps % 2 == 1 {
            self.bend(target, &at, (2.0 * share).clamp(LEAST.0, 0.7));
        }
        None
    }

    /// Moves the middle to where it is with both normals of each prior that has two; gives what their curvature then is beyond the first's.
    fn look_at_both(&mut self, target: &dyn Target) -> Vec<(usize, f64)> {
        let mut changes = Vec::new();
        for mixture in target.mixtures(&self.at) {
            let place = mixture.place;
            let mut along = vec![0.0; self.at.len()];
            along[place] = 1.0;
            self.factor.solve(&mut along);
            let (at, variance) = (self.at[place], along[place]);
            let (_, other) = mixture.moments(at, variance);
            changes.push((place, 1.0 / other - 1.0 / variance));
            if other > BOTH_COUNT * BOTH_COUNT * variance {
                self.both.push((place, at));
            }
        }
        changes
    }

    /// Moves the curvature a share of the way to that at a point.
    fn bend(&mut self, target: &dyn Target, at: &[f64], share: f64) {
        let mut blended = self.arrow.clone();
        blended.blend(&target.bend(at), share);
        let mut factor = blended.clone().factor();
        if factor.held > 0 {
            blended = self.arrow.clone();
            blended.blend(&target.curvature(at), share);
            factor = blended.clone().factor();
        }
        (self.arrow, self.factor) = (blended, factor);
    }

    /// Moves the middle a share of the way to where the mean gradient given, whitened, is zero.
    fn advance(&mut self, mean: &mut [f64], way: f64) {
        self.factor.unwhiten(mean);
        for (x, m) in self.at.iter_mut().zip(mean) {
            *x += way * *m;
        }
    }
}
