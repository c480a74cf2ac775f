//! Exact draws from a posterior: Hamiltonian Monte Carlo that turns the posterior's Gaussian part exactly and is kicked by the rest only.
//!
//! Takes a [`Target`] and its [`Mode`]; gives draws of several chains, all seeded, one transition of all chains at a time.
//!
//! In coordinates whitened by the curvature at the mode the posterior is nearly a standard normal, whose flow is a
//! rotation. Splitting that off (Shahbaba, Lan, Johnson & Neal 2014, Statistics and Computing 24, 339) leaves an
//! error that only the non-Gaussian rest makes, so that a turn of a good quarter in a few kicks is a nearly independent draw; acceptance by
//! Metropolis's rule makes it exact.

use super::mode::Mode;
use super::target::Target;
use crate::chacha::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use std::f64::consts::FRAC_PI_2;

/// How long to sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Chains, 2 or more so that they can be compared.
    pub chains: usize,
    /// Transitions of each chain that only tune and are thrown away.
    pub warm_up: usize,
    /// Draws kept of each chain.
    pub draws: usize,
    /// Seed; chain c takes the generator's stream c.
    pub seed: u64,
}

/// One chain where it stands.
#[derive(Clone, Debug)]
struct Chain {
    rng: ChaCha8Rng,
    /// Whitened coordinates.
    u: Vec<f64>,
    /// Log density.
    ln_density: f64,
    /// Whitened gradient of the log density.
    gradient: Vec<f64>,
    draws: Vec<Vec<f64>>,
}

/// Sampling under way.
#[derive(Clone, Debug)]
pub struct Sampling {
    plan: Plan,
    mode: Mode,
    chains: Vec<Chain>,
    /// Kicks of a turn.
    kicks: usize,
    /// Transitions from one tuning to the next.
    part: usize,
    done: usize,
    accepted: f64,
    judged: usize,
    /// Densities worked out so far.
    pub evaluations: usize,
}

/// Draws of all chains.
#[derive(Clone, Debug)]
pub struct Draws {
    /// `chains[c][d]` is a point.
    pub chains: Vec<Vec<Vec<f64>>>,
    /// Mean chance of acceptance after the warm-up.
    pub acceptance: f64,
    /// Kicks of a turn after the warm-up.
    pub kicks: usize,
    /// Densities worked out in all.
    pub evaluations: usize,
}

/// Tuning happens this many times in the warm-up, at equal distances; more often where little is accepted.
const TUNINGS: usize = 2;
/// Kicks of a turn to begin with, and the most.
const KICKS: (usize, usize) = (4, 64);
/// With many unknowns as many as this times the fourth root of their number: the energy's error grows as the root of the number and falls as the step squared.
const KICKS_PER_ROOT: f64 = 0.84;

/// Least turn in quarters, and how much more it can be.
const TURN: (f64, f64) = (1.1, 0.5);

impl Sampling {
    /// Starts every chain at its own draw from the Gaussian at the mode.
    pub fn new(target: &dyn Target, mode: Mode, plan: Plan) -> Self {
        let n = target.len();
        let mut sampling = Self {
            plan,
            mode,
            chains: Vec::new(),
            kicks: KICKS
                .0
                .max((KICKS_PER_ROOT * (n as f64).sqrt().sqrt()).round() as usize),
            part: plan.warm_up.div_ceil(TUNINGS).max(1),
            done: 0,
            accepted: 0.0,
            judged: 0,
            evaluations: 0,
        };
        for c in 0..plan.chains {
            let mut rng = ChaCha8Rng::seed_from_u64(plan.seed);
            rng.set_stream(c as u64);
            let mut u: Vec<f64> = (0..n).map(|_| StandardNormal.sample(&mut rng)).collect();
            let mut gradient = vec![0.0; n];
            let mut ln_density = sampling.ln_density(target, &u, &mut gradient);
            // A start that the model cannot judge is drawn in towards the mode.
            for _ in 0..40 {
                if ln_density.is_finite() {
                    break;
                }
                u.iter_mut().for_each(|u| *u *= 0.5);
                ln_density = sampling.ln_density(target, &u, &mut gradient);
            }
            sampling.chains.push(Chain {
                rng,
                u,
                ln_density,
                gradient,
                draws: Vec::new(),
            });
        }
        sampling
    }

    /// Share of the work that is done, 0–1.
    pub fn progress(&self) -> f64 {
        self.done as f64 / self.transitions().max(1) as f64
    }

    fn transitions(&self) -> usize {
        self.plan.warm_up + self.plan.draws
    }

    /// One transition of every chain. `Some` when all draws are made.
    pub fn step(&mut self, target: &dyn Target) -> Option<Draws> {
        if self.done < self.transitions() {
            let warm = self.done < self.plan.warm_up;
            for c in 0..self.chains.len() {
                self.transition(target, c);
            }
            self.done += 1;
            if warm {
                self.tune();
            } else {
                for c in 0..self.chains.len() {
                    let point = self.point(&self.chains[c].u);
                    self.chains[c].draws.push(point);
                }
            }
        }
        (self.done >= self.transitions()).then(|| Draws {
            chains: self
                .chains
                .iter_mut()
                .map(|c| std::mem::take(&mut c.draws))
                .collect(),
            acceptance: self.accepted / self.judged.max(1) as f64,
            kicks: self.kicks,
            evaluations: self.evaluations,
        })
    }

    /// The point of whitened coordinates.
    fn point(&self, u: &[f64]) -> Vec<f64> {
        let mut x = u.to_vec();
        self.mode.factor.unwhiten(&mut x);
        x.iter_mut().zip(&self.mode.at).for_each(|(x, m)| *x += m);
        x
    }

    /// Log density at whitened coordinates, its whitened gradient put into `gradient`.
    fn ln_density(&mut self, target: &dyn Target, u: &[f64], gradient: &mut [f64]) -> f64 {
        self.evaluations += 1;
        let point = self.point(u);
        let ln_density = target.ln_density(&point, gradient);
        self.mode.factor.whiten_gradient(gradient);
        ln_density
    }

    fn transition(&mut self, target: &dyn Target, c: usize) {
        let n = self.mode.at.len();
        let rng = &mut self.chains[c].rng;
        let momentum: Vec<f64> = (0..n).map(|_| StandardNormal.sample(rng)).collect();
        // Never the same, so that no direction comes back to where it was again and again; a little more than a quarter on average, so that a draw lies across from
        // the one before and makes up for those that are refused.
        let turn = FRAC_PI_2 * (TURN.0 + TURN.1 * rng.random::<f64>());

        let threshold: f64 = rng.random();
        let mut p = momentum;
        let mut u = self.chains[c].u.clone();
        let mut gradient = self.chains[c].gradient.clone();
        let mut ln_density = self.chains[c].ln_density;
        let before = ln_density - 0.5 * square(&p);
        let step = turn / self.kicks as f64;
        let (sin, cos) = step.sin_cos();
        for _ in 0..self.kicks {
            kick(&mut p, &u, &gradient, 0.5 * step);
            for (u, p) in u.iter_mut().zip(p.iter_mut()) {
                (*u, *p) = (cos * *u + sin * *p, cos * *p - sin * *u);
            }
            ln_density = self.ln_density(target, &u, &mut gradient);
            if !ln_density.is_finite() {
                break;
            }
            kick(&mut p, &u, &gradient, 0.5 * step);
        }
        let change = ln_density - 0.5 * square(&p) - before;
        let chance = if change.is_finite() {
            change.min(0.0).exp()
        } else {
            0.0
        };
        self.accepted += chance;
        self.judged += 1;
        if threshold < chance {
            let chain = &mut self.chains[c];
            chain.u = u;
            chain.ln_density = ln_density;
            chain.gradient = gradient;
        }
    }

    /// After each part of the warm-up: more or fewer kicks by the acceptance.
    fn tune(&mut self) {
        if !self.done.is_multiple_of(self.part) && self.done != self.plan.warm_up {
            return;
        }
        let acceptance = self.accepted / self.judged.max(1) as f64;
        (self.accepted, self.judged) = (0.0, 0);
        if acceptance < 0.3 && self.kicks < KICKS.1 {
            self.kicks *= 2;
            // A posterior that is not like its Gaussian is warmed up until its draws are accepted.
            self.plan.warm_up = self.plan.warm_up.max(self.done + self.part);
        } else if acceptance < 0.6 {
            self.kicks += 1;
        } else if acceptance > 0.95 {
            self.kicks -= 1;
        }
        self.kicks = self.kicks.clamp(1, KICKS.1);
    }
}

/// The kick of all that is not the standard normal: its gradient is that of the density, less −u.
fn kick(p: &mut [f64], u: &[f64], gradient: &[f64], time: f64) {
    for ((p, u), g) in p.iter_mut().zip(u).zip(gradient) {
        *p += time * (g + u);
    }
}

fn square(p: &[f64]) -> f64 {
    p.iter().map(|p| p * p).sum()
}
