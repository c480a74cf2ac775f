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
use std::ops::Range;

/// How long to sample.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Pairs of chains by their numbers: pair p has chains 2p and 2p + 1. A pair's draws do not hang on which others are made.
    pub pairs: Range<usize>,
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

/// Two chains that go side by side, tuned by one another and by nothing else.
#[derive(Clone, Debug)]
struct Pair {
    chains: Vec<Chain>,
    /// Kicks of a turn.
    kicks: usize,
    /// Transitions that only tune.
    warm_up: usize,
    done: usize,
    accepted: f64,
    judged: usize,
}

/// Sampling under way.
#[derive(Clone, Debug)]
pub struct Sampling {
    plan: Plan,
    mode: Mode,
    pairs: Vec<Pair>,
    /// Densities worked out so far.
    pub evaluations: usize,
}

/// Draws of all chains.
#[derive(Clone, Debug, Default)]
pub struct Draws {
    /// `chains[c][d]` is a point.
    pub chains: Vec<Vec<Vec<f64>>>,
    /// Mean chance of acceptance after the warm-up.
    pub acceptance: f64,
    /// Kicks of a turn after the warm-up, the most of any chain.
    pub kicks: usize,
    /// Densities worked out in all.
    pub evaluations: usize,
}

/// Chains of a pair.
const TOGETHER: usize = 2;
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
        let kicks = (KICKS_PER_ROOT * (n as f64).sqrt().sqrt()).round() as usize;
        let mut sampling = Self {
            plan,
            mode,
            pairs: Vec::new(),
            evaluations: 0,
        };
        for p in sampling.plan.pairs.clone() {
            let mut pair = Pair {
                chains: Vec::new(),
                kicks: KICKS.0.max(kicks),
                warm_up: sampling.plan.warm_up,
                done: 0,
                accepted: 0.0,
                judged: 0,
            };
            for c in 0..TOGETHER {
                let chain = sampling.chain(target, p * TOGETHER + c);
                pair.chains.push(chain);
            }
            sampling.pairs.push(pair);
        }
        sampling
    }

    /// The chain of a number where it starts.
    fn chain(&mut self, target: &dyn Target, number: usize) -> Chain {
        let n = target.len();
        let mut rng = ChaCha8Rng::seed_from_u64(self.plan.seed);
        rng.set_stream(number as u64);
        let mut u: Vec<f64> = (0..n).map(|_| StandardNormal.sample(&mut rng)).collect();
        let mut gradient = vec![0.0; n];
        let mut ln_density = self.ln_density(target, &u, &mut gradient);
        // A start that the model cannot judge is drawn in towards the mode.
        for _ in 0..40 {
            if ln_density.is_finite() {
                break;
            }
            u.iter_mut().for_each(|u| *u *= 0.5);
            ln_density = self.ln_density(target, &u, &mut gradient);
        }
        Chain {
            rng,
            u,
            ln_density,
            gradient,
            draws: Vec::new(),
        }
    }

    /// Share of the work that is done, 0–1.
    pub fn progress(&self) -> f64 {
        let (mut done, mut all) = (0, 0);
        for pair in &self.pairs {
            done += pair.done;
            all += pair.warm_up + self.plan.draws;
        }
        done as f64 / all.max(1) as f64
    }

    /// One transition of every chain that has some left. `Some` when all draws are made.
    pub fn step(&mut self, target: &dyn Target) -> Option<Draws> {
        let mut left = false;
        for p in 0..self.pairs.len() {
            let pair = &self.pairs[p];
            if pair.done >= pair.warm_up + self.plan.draws {
                continue;
            }
            let warm = pair.done < pair.warm_up;
            for c in 0..TOGETHER {
                self.transition(target, p, c);
                if !warm {
                    let point = self.point(&self.pairs[p].chains[c].u);
                    self.pairs[p].chains[c].draws.push(point);
                }
            }
            let pair = &mut self.pairs[p];
            pair.done += 1;
            if warm {
                pair.tune(self.plan.warm_up);
            }
            left |= pair.done < pair.warm_up + self.plan.draws;
        }
        (!left).then(|| self.draws())
    }

    fn draws(&mut self) -> Draws {
        let mut draws = Draws {
            evaluations: self.evaluations,
            ..Draws::default()
        };
        let mut judged = 0;
        for pair in &mut self.pairs {
            for chain in &mut pair.chains {
                draws.chains.push(std::mem::take(&mut chain.draws));
            }
            draws.acceptance += pair.accepted;
            judged += pair.judged;
            draws.kicks = draws.kicks.max(pair.kicks);
        }
        draws.acceptance /= judged.max(1) as f64;
        draws
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

    /// One transition of chain `c` of pair `p`.
    fn transition(&mut self, target: &dyn Target, p: usize, c: usize) {
        let n = self.mode.at.len();
        let kicks = self.pairs[p].kicks;
        let chain = &mut self.pairs[p].chains[c];
        let rng = &mut chain.rng;
        let momentum: Vec<f64> = (0..n).map(|_| StandardNormal.sample(rng)).collect();
        // Never the same, so that no direction comes back to where it was again and again; a little more than a quarter on average, so that a draw lies across from
        // the one before and makes up for those that are refused.
        let turn = FRAC_PI_2 * (TURN.0 + TURN.1 * rng.random::<f64>());

        let threshold: f64 = rng.random();
        let mut v = momentum;
        let mut u = chain.u.clone();
        let mut gradient = chain.gradient.clone();
        let mut ln_density = chain.ln_density;
        let before = ln_density - 0.5 * square(&v);
        let step = turn / kicks as f64;
        let (sin, cos) = step.sin_cos();
        for _ in 0..kicks {
            kick(&mut v, &u, &gradient, 0.5 * step);
            for (u, v) in u.iter_mut().zip(v.iter_mut()) {
                (*u, *v) = (cos * *u + sin * *v, cos * *v - sin * *u);
            }
            ln_density = self.ln_density(target, &u, &mut gradient);
            if !ln_density.is_finite() {
                break;
            }
            kick(&mut v, &u, &gradient, 0.5 * step);
        }
        let change = ln_density - 0.5 * square(&v) - before;
        let chance = if change.is_finite() {
            change.min(0.0).exp()
        } else {
            0.0
        };
        let pair = &mut self.pairs[p];
        pair.accepted += chance;
        pair.judged += 1;
        if threshold < chance {
            let chain = &mut pair.chains[c];
            chain.u = u;
            chain.ln_density = ln_density;
            chain.gradient = gradient;
        }
    }
}

impl Pair {
    /// After each part of the warm-up, planned to be so long: more or fewer kicks by the acceptance.
    fn tune(&mut self, planned: usize) {
        let part = planned.div_ceil(TUNINGS).max(1);
        if !self.done.is_multiple_of(part) && self.done != self.warm_up {
            return;
        }
        let acceptance = self.accepted / self.judged.max(1) as f64;
        (self.accepted, self.judged) = (0.0, 0);
        if acceptance < 0.3 && self.kicks < KICKS.1 {
            self.kicks *= 2;
            // A posterior that is not like its Gaussian is warmed up until its draws are accepted.
            self.warm_up = self.warm_up.max(self.done + part);
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
