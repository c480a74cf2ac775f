//! The mode of a posterior by damped Gauss–Newton steps.
//!
//! Takes a [`Target`]; gives its mode (near enough to look for the middle from) and the Cholesky factor of the curvature there.

use super::arrow::{Arrow, Factor};
use super::target::{Target, both};
use crate::real::Pair;

/// Most steps; each costs one curvature and a few densities.
const STEPS: usize = 40;
/// Steps end where the square of the step that is left, in units of the posterior's own spread, is shorter than this and so much per unknown: the middle is looked for from there
/// on, and it is further from the mode than this.
const NEAR: (f64, f64) = (0.25, 0.01);

/// Step of the differences in units of the coordinate's own spread: wide enough to see past corners.
const DIFFERENCE: f64 = 1.0;
/// A step that gains too little is tried again so much shorter.
const SHORTER: f64 = 0.4;
/// Where they do not, a coordinate's share is halved up to so many times less one, then left out.
const HALVINGS: usize = 3;

/// The search for a mode, one step at a time.
#[derive(Clone, Debug)]
pub struct ModeSearch {
    /// The point.
    pub at: Vec<f64>,
    /// Log density there.
    pub ln_density: f64,
    gradient: Vec<f64>,
    steps: usize,
}

/// Where the search ended.
#[derive(Clone, Debug)]
pub struct Mode {
    /// The point.
    pub at: Vec<f64>,
    /// Factor of the curvature there.
    pub factor: Factor,
    /// Steps taken.
    pub steps: usize,
}

impl Mode {
    /// Works a curvature out better: the one given, but by differences of the gradient where the target asks for them.
    pub fn refine(&mut self, target: &dyn Target, mut arrow: Arrow) {
        let mut gradient = vec![Pair::ZERO; self.at.len()];
        let mut rows: Vec<(usize, Vec<f64>)> = Vec::new();
        for place in target.by_differences() {
            let step = DIFFERENCE / arrow.diagonal(place).max(1e-6).sqrt();
            let mut at = both(&self.at);
            at[place] += Pair::new([step, -step]);
            target.ln_densities(&at, &mut gradient);
            let change = |slopes: &Pair| {
                let [up, down] = slopes.to_array();
                (down - up) / (2.0 * step)
            };
            let row: Vec<f64> = gradient.iter().map(change).collect();
            if row[place] > 0.2 * arrow.diagonal(place) {
                rows.push((place, row));
            }
        }
        let mut all = arrow.clone();
        for (place, row) in &rows {
            all.replace(*place, row);
        }
        self.factor = all.factor();
        if self.factor.held == 0 {
            return;
        }
        // Not positive together: one by one, as much off the diagonal as goes with what went before.
        self.factor = arrow.clone().factor();
        for (place, row) in &mut rows {
            for _ in 0..HALVINGS {
                let mut tried = arrow.clone();
                tried.replace(*place, row);
                let factor = tried.clone().factor();
                if factor.held == 0 {
                    (arrow, self.factor) = (tried, factor);
                    break;
                }
                for (i, value) in row.iter_mut().enumerate() {
                    if i != *place {
                        *value *= 0.5;
                    }
                }
            }
        }
    }
}

impl ModeSearch {
    /// Starts where the target says.
    pub fn new(target: &dyn Target) -> Self {
        Self::from(target, target.start())
    }

    /// Starts at `at`.
    pub fn from(target: &dyn Target, at: Vec<f64>) -> Self {
        let mut gradient = vec![0.0; at.len()];
        let ln_density = target.ln_density(&at, &mut gradient);
        Self {
            at,
            ln_density,
            gradient,
            steps: 0,
        }
    }

    /// One step. `Some` when there is nothing left to gain.
    pub fn step(&mut self, target: &dyn Target) -> Option<Mode> {
        let factor = target.curvature(&self.at).factor();
        let mut direction = self.gradient.clone();
        factor.solve(&mut direction);
        let gain: f64 = direction
            .iter()
            .zip(&self.gradient)
            .map(|(d, g)| d * g)
            .sum();
        self.steps += 1;
        let near = NEAR.0 + NEAR.1 * direction.len() as f64;
        if gain < near || self.steps >= STEPS || !self.search_along(target, &direction, gain) {
            return Some(Mode {
                at: self.at.clone(),
                factor,
                steps: self.steps,
            });
        }
        None
    }

    /// Backtracking line search by Armijo's rule, from a full step; false where no step gains.
    fn search_along(&mut self, target: &dyn Target, direction: &[f64], gain: f64) -> bool {
        let mut gradient = vec![Pair::ZERO; direction.len()];
        // A first step from far away must not fly off to where a cubic root or an exponential is flat.
        let mut length =
            (5.0 / gain.sqrt())
                .clamp(0.02, 1.0)
                .max(if self.steps > 3 { 0.5 } else { 0.0 });
        // Two lengths at a time.
        for _ in 0..6 {
            let lengths = Pair::new([length, SHORTER * length]);
            let mut next = both(&self.at);
            for (x, d) in next.iter_mut().zip(direction) {
                *x += lengths * *d;
            }
            let ln_densities = target.ln_densities(&next, &mut gradient).to_array();
            for (lane, ln_density) in ln_densities.into_iter().enumerate() {
                if ln_density >= self.ln_density + 1e-4 * lengths.to_array()[lane] * gain {
                    let own = |all: &[Pair]| all.iter().map(|both| both.as_array()[lane]).collect();
                    self.at = own(&next);
                    self.ln_density = ln_density;
                    self.gradient = own(&gradient);
                    return true;
                }
            }
            length *= SHORTER * SHORTER;
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A corner: two coordinates whose slopes, three tenths away, hang on one another more than on themselves, and a third that is as it should be.
    struct Corner;

    impl Target for Corner {
        fn len(&self) -> usize {
            3
        }

        fn separate(&self) -> usize {
            0
        }

        fn start(&self) -> Vec<f64> {
            vec![0.0; 3]
        }

        fn ln_density(&self, at: &[f64], gradient: &mut [f64]) -> f64 {
            gradient[0] = -at[0] - 2.0 * at[1];
            gradient[1] = -at[1] - 2.0 * at[0];
            gradient[2] = -3.0 * at[2];
            0.0
        }

        fn curvature(&self, _: &[f64]) -> Arrow {
            let mut arrow = Arrow::zeros(3, 0);
            for i in 0..3 {
                arrow.add_diagonal(i, 1.0);
            }
            arrow
        }

        fn by_differences(&self) -> Vec<usize> {
            vec![0, 1, 2]
        }
    }

    /// Curvature by differences that is not positive is left out as far as it must be; what is positive beside it counts.
    #[test]
    fn a_corner_leaves_a_positive_curvature() {
        let mut mode = Mode {
            at: vec![0.0; 3],
            factor: Corner.curvature(&[]).factor(),
            steps: 0,
        };
        mode.refine(&Corner, Corner.curvature(&[]));
        assert_eq!(mode.factor.held, 0);
        let mut u = [1.0; 3];
        mode.factor.unwhiten(&mut u);
        assert!(u.iter().all(|u| u.abs() < 10.0), "{u:?}");
        assert!((u[2] - 1.0 / 3.0_f64.sqrt()).abs() < 1e-9, "{u:?}");
    }
}
