//! Exact draws from a posterior: Hamiltonian Monte Carlo that turns the posterior's Gaussian part exactly and is kicked by the rest only.
//!
//! Takes a [`Target`] and its [`Mode`]; gives draws of two chains, each seeded, one transition of both at a time.
//!
//! In coordinates whitened by the curvature at the mode the posterior is nearly a standard normal, whose flow is a
//! rotation. Splitting that off (Shahbaba, Lan, Johnson & Neal 2014, Statistics and Computing 24, 339) leaves an
//! error that only the non-Gaussian rest makes, so that a turn of a good quarter in a few kicks is a nearly independent draw; acceptance by
//! Metropolis's rule makes it exact.

use super::mode::Mode;
use super::target::Target;
use crate::chacha::ChaCha8Rng;
use crate::real::{Mask, Pair, Real};
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use std::f64::consts::FRAC_PI_2;

/// How long to sample.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Pairs of chains: pair p has chains 2p and 2p + 1. A pair's draws do not hang on which others are made.
    pub pairs: usize,
    /// Transitions of each chain that only tune and are thrown away.
    pub warm_up: usize,
    /// Draws kept of each chain.
    pub draws: usize,
    /// Seed; chain c takes the generator's stream c.
    pub seed: u64,
}

/// A pair of chains under way: they go side by side, a kick of both by one pass over the log; tuned by one another and by nothing else.
#[derive(Clone, Debug)]
pub struct Sampling {
    plan: Plan,
    mode: Mode,
    rngs: [ChaCha8Rng; 2],
    /// Whitened coordinates.
    u: Vec<Pair>,
    /// Log densities.
    ln_density: Pair,
    /// Whitened gradients of the log densities.
    gradient: Vec<Pair>,
    draws: [Vec<Vec<f64>>; 2],
    /// Kicks of a turn.
    kicks: usize,
    /// Transitions that only tune.
    warm_up: usize,
    done: usize,
    accepted: f64,
    judged: usize,
    /// Densities worked out so far.
    evaluations: usize,
}

/// Draws of chains.
#[derive(Clone, Debug, Default)]
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

/// Kicks of a turn to begin with, with few and with many unknowns.
const KICKS: (usize, usize) = (4, 5);
/// Most kicks of a turn.
const MOST_KICKS: usize = 64;
/// Unknowns that are many.
const MANY: usize = 200;

/// Least turn in quarters, with few and with many unknowns.
const TURN: (f64, f64) = (1.1, 1.2);
/// How much more it can be.
const TURN_MORE: f64 = 0.5;
/// Share of a step by which a turn's first and last kick are shorter, and those next to them longer. A twelfth is what Gregory's rule has for smooth forces.
const END: f64 = 0.03;

impl Sampling {
    /// Starts the chains of a plan's pair by its number, each at its own draw from the Gaussian at the mode.
    pub fn new(target: &dyn Target, mode: Mode, plan: Plan, pair: usize) -> Self {
        let n = target.len();
        let rngs = [0, 1].map(|c| {
            let mut rng = ChaCha8Rng::seed_from_u64(plan.seed);
            rng.set_stream((2 * pair + c) as u64);
            rng
        });
        let mut sampling = Self {
            mode,
            rngs,
            u: Vec::new(),
            ln_density: Pair::ZERO,
            gradient: Vec::new(),
            draws: [Vec::new(), Vec::new()],
            kicks: if n < MANY { KICKS.0 } else { KICKS.1 },
            warm_up: plan.warm_up,
            done: 0,
            accepted: 0.0,
            judged: 0,
            evaluations: 0,
            plan,
        };
        let mut u = sampling.normals(n);
        let mut gradient = vec![Pair::ZERO; n];
        // A start that the model cannot judge is drawn in towards the mode.
        for _ in 0..40 {
            sampling.ln_density = sampling.look(target, &u, &mut gradient);
            let known = sampling.ln_density.is_finite();
            if known.everywhere() {
                break;
            }
            for u in &mut u {
                *u *= Pair::either(known, Pair::ONE, Pair::splat(0.5));
            }
        }
        (sampling.u, sampling.gradient) = (u, gradient);
        sampling
    }

    /// Transitions in all, as planned by now.
    fn all(&self) -> usize {
        self.warm_up + self.plan.draws
    }

    /// Share of the work that is done, 0–1.
    pub fn progress(&self) -> f64 {
        self.done as f64 / self.all().max(1) as f64
    }

    /// One transition of both chains. `Some` when all draws are made.
    pub fn step(&mut self, target: &dyn Target) -> Option<Draws> {
        if self.done < self.all() {
            self.transition(target);
            self.done += 1;
            if self.done <= self.warm_up {
                self.tune();
            } else {
                let point = self.point(&self.u);
                for (lane, draws) in self.draws.iter_mut().enumerate() {
                    draws.push(point.iter().map(|x| x.as_array()[lane]).collect());
                }
            }
        }
        (self.done >= self.all()).then(|| Draws {
            chains: std::mem::take(&mut self.draws).into(),
            acceptance: self.accepted / self.judged.max(1) as f64,
            kicks: self.kicks,
            evaluations: self.evaluations,
        })
    }

    /// The points of whitened coordinates.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn point(&self, u: &[Pair]) -> Vec<Pair> {
        let mut x = u.to_vec();
        self.mode.factor.unwhiten(&mut x);
        x.iter_mut().zip(&self.mode.at).for_each(|(x, m)| *x += *m);
        x
    }

    /// Log densities at whitened coordinates, their whitened gradients put into `gradient`.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn look(&mut self, target: &dyn Target, u: &[Pair], gradient: &mut [Pair]) -> Pair {
        self.evaluations += 2;
        let point = self.point(u);
        let ln_density = target.ln_densities(&point, gradient);
        self.mode.factor.whiten_gradient(gradient);
        ln_density
    }

    /// One transition of both chains.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn transition(&mut self, target: &dyn Target) {
        let n = self.mode.at.len();
        let mut v = self.normals(n);
        // Never the same, so that no direction comes back to where it was again and again; a little more than a quarter on average, so that a draw lies across from
        // the one before and makes up for those that are refused.
        let least = if n < MANY { TURN.0 } else { TURN.1 };
        let turn = FRAC_PI_2 * (least + TURN_MORE * self.uniform());
        let threshold = self.uniform();
        let mut u = self.u.clone();
        let mut gradient = self.gradient.clone();
        let mut ln_density = self.ln_density;
        let before = ln_density - 0.5 * square(&v);
        let step = turn * (1.0 / self.kicks as f64);
        let (sin, cos) = step.circle();
        // Where a chain has come to what the model cannot judge, it is refused.
        let mut known = Pair::ZERO.simd_eq(Pair::ZERO);
        kick(&mut v, &u, &gradient, length(0, self.kicks) * step);
        for number in 1..=self.kicks {
            for (u, v) in u.iter_mut().zip(v.iter_mut()) {
                (*u, *v) = (cos * *u + sin * *v, cos * *v - sin * *u);
            }
            ln_density = self.look(target, &u, &mut gradient);
            known &= ln_density.is_finite();
            if !known.somewhere() {
                break;
            }
            kick(&mut v, &u, &gradient, length(number, self.kicks) * step);
        }
        let change = ln_density - 0.5 * square(&v) - before;
        known &= change.is_finite();
        let chance = change.or_less(Pair::ZERO).exponential();
        let chance = Pair::either(known, chance, Pair::ZERO);
        self.accepted += chance.reduce_add();
        self.judged += 2;
        let goes = threshold.below(chance);
        self.ln_density = Pair::either(goes, ln_density, self.ln_density);
        for (own, new) in self.u.iter_mut().zip(u) {
            *own = Pair::either(goes, new, *own);
        }
        for (own, new) in self.gradient.iter_mut().zip(gradient) {
            *own = Pair::either(goes, new, *own);
        }
    }

    /// Standard normal draws, each chain's its own.
    fn normals(&mut self, n: usize) -> Vec<Pair> {
        let mut all = vec![Pair::ZERO; n];
        for (lane, rng) in self.rngs.iter_mut().enumerate() {
            for both in &mut all {
                both.as_mut_array()[lane] = StandardNormal.sample(rng);
            }
        }
        all
    }

    /// A draw between 0 and 1 of each chain.
    fn uniform(&mut self) -> Pair {
        let [one, other] = &mut self.rngs;
        Pair::new([one.random(), other.random()])
    }

    /// After the warm-up: more or fewer kicks by the acceptance.
    fn tune(&mut self) {
        if self.done < self.warm_up {
            return;
        }
        let acceptance = self.accepted / self.judged.max(1) as f64;
        (self.accepted, self.judged) = (0.0, 0);
        if acceptance < 0.3 && self.kicks < MOST_KICKS {
            self.kicks *= 2;
            // A posterior that is not like its Gaussian is warmed up until its draws are accepted.
            self.warm_up = self.done + self.plan.warm_up;
        } else if acceptance < 0.5 {
            self.kicks += 1;
        } else if acceptance > 0.995 {
            self.kicks -= 1;
        }
        self.kicks = self.kicks.clamp(1, MOST_KICKS);
    }
}

/// Length in steps of a turn's kick by its number, 0 to `kicks`.
fn length(number: usize, kicks: usize) -> f64 {
    match number.min(kicks - number) {
        // One step has nothing between its ends.
        0 if kicks == 1 => 0.5,
        0 => 0.5 - END,
        // Both ends' where there is one between them.
        1 if kicks == 2 => 1.0 + 2.0 * END,
        1 => 1.0 + END,
        _ => 1.0,
    }
}

/// The kick of all that is not the standard normal: its gradient is that of the density, less −u.
#[cfg_attr(fast_by_function, optimize(speed))]
fn kick(p: &mut [Pair], u: &[Pair], gradient: &[Pair], time: Pair) {
    for ((p, u), g) in p.iter_mut().zip(u).zip(gradient) {
        *p += time * (*g + *u);
    }
}

#[cfg_attr(fast_by_function, optimize(speed))]
fn square(p: &[Pair]) -> Pair {
    let mut sum = Pair::ZERO;
    for p in p {
        sum += *p * *p;
    }
    sum
}
