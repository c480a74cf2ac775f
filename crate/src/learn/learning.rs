//! Learning step by step, so that it can show how far it is and be stopped.
//!
//! Takes a checked studio; gives a [`Posterior`] once all steps are done. A step of any studio is a small part of the whole.

use super::calibration::{self, Cells};
use super::data::Log;
use super::diagnostics;
use super::handed::Start;
use super::likelihood::Model;
use super::mode::ModeSearch;
use super::odd;
use super::pairs::{Drawn, Pairs};
use super::params::Params;
use super::posterior::{Options, Posterior};
use super::sampler::Plan;
use super::settle::{self, Settling};
use super::summary::summarise;
use super::target::Target;
use super::update::Points;
use crate::chacha::ChaCha8Rng;
use crate::studio::document::Studio;
use rand::{RngExt, SeedableRng};
use std::sync::Arc;

/// Pairs of chains that are compared with one another.
const PAIRS: usize = 2;
/// The chains.
const CHAINS: usize = 2 * PAIRS;
/// Share of the whole work that looking for the mode is taken for.
const MODE_SHARE: f64 = 0.1;
/// Steps in which the mode is mostly found.
const MODE_STEPS: f64 = 12.0;
/// Share of the whole work that settling is taken for.
const SETTLE_SHARE: f64 = 0.15;

/// How far learning is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Share of the work done, 0–1.
    pub done: f64,
    /// Whether [`Learning::finish`] has something to give.
    pub ready: bool,
    /// Whether nothing is left to do but to wait for what is drawn elsewhere.
    pub waits: bool,
}

impl Progress {
    fn at(done: f64) -> Self {
        Self {
            done,
            ready: false,
            waits: false,
        }
    }
}

/// How sampling went.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Work {
    /// Mean chance of acceptance.
    pub acceptance: f64,
    /// Kicks of a turn, the most of any pair.
    pub kicks: usize,
    /// Densities worked out, two in a pass over the log.
    pub evaluations: usize,
}

/// Learning under way.
#[derive(Debug)]
pub struct Learning {
    model: Model,
    options: Options,
    stage: Stage,
    /// Points that the model's spreads were held at.
    held: Vec<Vec<f64>>,
    /// Pairs of chains, the last ones, that are to be drawn elsewhere.
    away: usize,
}

#[derive(Debug)]
enum Stage {
    Mode(Box<ModeSearch>, usize),
    Settling(Box<Settling>, usize),
    Sampling(Box<Pairs>),
}

impl Learning {
    /// Reads the log. The studio is one that passed its check; what the physics cannot take is left out.
    pub fn start(studio: &Studio, options: &Options) -> Self {
        let model = Model::new(Log::of(studio));
        let search = ModeSearch::new(&model);
        Self {
            model,
            options: *options,
            stage: Stage::Mode(Box::new(search), 0),
            held: Vec::new(),
            away: 0,
        }
    }

    /// The model that is learned.
    pub fn model(&self) -> &Model {
        &self.model
    }

    /// Whether the mode is found and draws are being made.
    pub fn is_sampling(&self) -> bool {
        matches!(self.stage, Stage::Sampling(_))
    }

    /// What all pairs of chains gave; nothing until all draws are made and judged.
    fn drawn(&self) -> Option<Vec<&Drawn>> {
        match &self.stage {
            Stage::Sampling(pairs) => pairs.all(),
            _ => None,
        }
    }

    /// How sampling went: zeros until all draws are made.
    pub fn work(&self) -> Work {
        let mut work = Work::default();
        for Drawn { draws, .. } in self.drawn().iter().flatten() {
            work.acceptance += draws.acceptance / PAIRS as f64;
            work.kicks = work.kicks.max(draws.kicks);
            work.evaluations += draws.evaluations;
        }
        work
    }

    /// Effective draws and split R-hat of each coordinate; empty until all draws are made.
    pub fn mixing(&self) -> Vec<diagnostics::Mixing> {
        let Some(drawn) = self.drawn() else {
            return Vec::new();
        };
        let of = |i: usize| {
            let chains = chains(&drawn).map(|c| c.iter().map(|p| p[i]).collect());
            diagnostics::mixing(&chains.collect::<Vec<Vec<f64>>>())
        };
        (0..self.model.len()).map(of).collect()
    }

    /// Does a part of the work: a few tens of passes over the log at most.
    pub fn step(&mut self) -> Progress {
        match &mut self.stage {
            Stage::Mode(search, steps) => {
                *steps += 1;
                let done = MODE_SHARE * (*steps as f64 / MODE_STEPS).min(1.0);
                if let Some(mut mode) = search.step(&self.model) {
                    self.model.log.unknowns.fit(&mut mode);
                    self.model.hold(&mode.at);
                    self.held.push(mode.at.clone());
                    let settling = Settling::new(&self.model, mode.at, self.options.seed);
                    self.stage = Stage::Settling(Box::new(settling), 0);
                }
                Progress::at(done)
            }
            Stage::Settling(settling, steps) => {
                *steps += 1;
                let done = MODE_SHARE + SETTLE_SHARE * (*steps as f64 / settle::STEPS as f64);
                if let Some(middle) = settling.middle() {
                    // Spreads are held at the posterior's middle, which is where they are asked for.
                    self.model.hold(middle);
                    self.held.push(middle.to_vec());
                }
                if let Some(mode) = settling.step(&self.model) {
                    let plan = plan(self.model.log.pieces.len(), &self.options);
                    let mut pairs = Box::new(Pairs::new(mode, plan));
                    for number in 0..PAIRS - self.away {
                        pairs.begin(&self.model, number);
                    }
                    self.stage = Stage::Sampling(pairs);
                }
                Progress::at(done)
            }
            Stage::Sampling(pairs) => {
                let worked = pairs.step(&self.model);
                let before = MODE_SHARE + SETTLE_SHARE;
                let done = before + (1.0 - before) * pairs.progress();
                let ready = pairs.all().is_some();
                let waits = !worked && !ready;
                Progress { done, ready, waits }
            }
        }
    }

    /// Leaves so many pairs of chains, at most all but one, to be drawn elsewhere; said before sampling starts. They are numbered up to [`PAIRS`] − 1.
    pub fn leave(&mut self, pairs: usize) {
        self.away = pairs.min(PAIRS - 1);
    }

    /// Where sampling starts, once that is known, for a copy of this learning.
    pub fn start_numbers(&self) -> Option<Vec<f64>> {
        let Stage::Sampling(pairs) = &self.stage else {
            return None;
        };
        let start = Start {
            mode: pairs.mode().clone(),
            made_by: self.model.log.unknowns.made_by(),
            held: self.held.clone(),
        };
        Some(start.numbers())
    }

    /// Draws one pair of chains only, from where another copy of this learning, just as new, has found that sampling starts. False where that is no start of
    /// this model.
    pub fn start_at(&mut self, numbers: &[f64], pair: usize) -> bool {
        let model = &mut self.model;
        let Some(start) = Start::of(model.len(), model.separate(), numbers) else {
            return false;
        };
        model.log.unknowns.make_by(&start.made_by);
        for point in &start.held {
            model.hold(point);
        }
        let plan = plan(model.log.pieces.len(), &self.options);
        let mut pairs = Box::new(Pairs::new(start.mode, plan));
        pairs.begin(model, pair);
        self.stage = Stage::Sampling(pairs);
        true
    }

    /// What a pair gave, once it is drawn.
    pub fn pair_numbers(&self, pair: usize) -> Option<Vec<f64>> {
        match &self.stage {
            Stage::Sampling(pairs) => pairs.drawn(pair).map(Drawn::numbers),
            _ => None,
        }
    }

    /// Puts in what a pair gave elsewhere; where there is nothing to put in, or it is none of this model's, the pair is drawn here.
    pub fn put_pair(&mut self, pair: usize, numbers: &[f64]) {
        let Stage::Sampling(pairs) = &mut self.stage else {
            // Nothing has been handed out: all of them are drawn here.
            self.away = 0;
            return;
        };
        let log = &self.model.log;
        let read = [log.pieces.len(), log.weighed.len()];
        match Drawn::of(self.model.len(), read, numbers) {
            Some(drawn) => pairs.put(pair, drawn),
            None => pairs.begin(&self.model, pair),
        }
    }

    /// What was learned; does whatever steps are left.
    pub fn finish(mut self, studio: &Studio) -> Posterior {
        while !self.step().ready {
            for pair in 0..PAIRS {
                self.put_pair(pair, &[]);
            }
        }
        let drawn = self.drawn().unwrap_or_default();
        posterior(studio, &self.model, &drawn, &self.mixing(), &self.options)
    }
}

/// The chains of all pairs, in order.
fn chains<'a>(drawn: &'a [&Drawn]) -> impl Iterator<Item = &'a Vec<Vec<f64>>> {
    drawn.iter().flat_map(|pair| pair.draws.chains.iter())
}

/// Transitions of each chain that are thrown away: chains start at draws from a Gaussian that is near the posterior.
const WARM_UP: usize = 3;

/// How long to sample: the more entries, the dearer a draw. Fewer are made than are asked for, each nearly independent of those before: whoever asks for more
/// luck than that takes them again.
fn plan(entries: usize, options: &Options) -> Plan {
    let asked = options.draws.clamp(16, 8192);
    let made = if entries < 1000 { asked / 2 } else { asked / 4 };
    Plan {
        pairs: PAIRS,
        warm_up: WARM_UP,
        draws: made.div_ceil(CHAINS),
        seed: options.seed,
    }
}

fn posterior(
    studio: &Studio,
    model: &Model,
    drawn: &[&Drawn],
    mixing: &[diagnostics::Mixing],
    options: &Options,
) -> Posterior {
    let unknowns = &model.log.unknowns;
    // Seeds of what a draw makes up from the priors come from a stream of their own.
    let mut rng = ChaCha8Rng::seed_from_u64(options.seed);
    rng.set_stream(CHAINS as u64);
    // Chain by chain in turn, so that any first part of the draws has all chains in it.
    let kept = chains(drawn).map(Vec::len).min().unwrap_or(0);
    let points: Vec<&[f64]> = (0..kept)
        .flat_map(|d| chains(drawn).map(move |chain| chain[d].as_slice()))
        .collect();
    let mut params: Vec<Params> = Vec::new();
    // In the coordinates that a log has before it is learned from, which others go on from.
    let mut served: Vec<Vec<f64>> = Vec::new();
    let plain = unknowns.unfitted();
    for point in points.iter().take(options.draws.clamp(16, 8192)) {
        let mut point = point.to_vec();
        unknowns.unfit(&mut point);
        params.push(plain.params(&point, rng.random()));
        served.push(point);
    }
    let mut summary = summarise(studio, unknowns, &params, &model.log.counts);
    summary.effective_draws = mixing
        .iter()
        .fold(f64::INFINITY, |least, m| least.min(m.effective));
    summary.r_hat = mixing.iter().fold(1.0, |most, m| most.max(m.r_hat));
    let cells: Vec<&Cells> = drawn.iter().map(|pair| &pair.cells).collect();
    let judged = calibration::summed(model, &cells);
    let odd_entries = odd::odd_entries(studio, model, &judged, &points);
    let kept = Points::of(studio, &model.log, served, summary.effective_draws);
    Posterior {
        params,
        summary,
        calibration: judged.calibration,
        odd_entries,
        points: Arc::new(kept),
    }
}
