//! The chains, in pairs that know nothing of one another: each is drawn and judges the log by itself, here or elsewhere.
//!
//! Takes a model and where to sample from; gives each pair's draws and what they say of every entry. A pair's numbers are the same wherever it is drawn.

use super::calibration::{self, Cells, Judging};
use super::likelihood::Model;
use super::mode::Mode;
use super::sampler::{Draws, Plan, Sampling};

/// Share of a pair's work that judging the log is taken for.
const JUDGING_SHARE: f64 = 0.2;

/// A pair as far as it is.
#[derive(Debug)]
enum Pair {
    /// Drawn elsewhere.
    Away,
    Sampling(Box<Sampling>),
    Judging(Box<Draws>, Box<Judging>, usize),
    Drawn(Box<Drawn>),
}

/// What a pair gives.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// Its draws.
    pub draws: Draws,
    /// What those of them that are judged say.
    pub cells: Cells,
}

/// All pairs of a learning.
#[derive(Debug)]
pub struct Pairs {
    mode: Mode,
    plan: Plan,
    list: Vec<Pair>,
}

impl Pairs {
    /// The pairs of a plan, from number 0 on; all are drawn elsewhere until they are begun.
    pub fn new(mode: Mode, plan: Plan) -> Self {
        let list = (0..plan.pairs).map(|_| Pair::Away).collect();
        Self { mode, plan, list }
    }

    /// Where they start from.
    pub fn mode(&self) -> &Mode {
        &self.mode
    }

    /// Begins to draw a pair here.
    pub fn begin(&mut self, model: &Model, number: usize) {
        if let Some(pair @ Pair::Away) = self.list.get_mut(number) {
            let sampling = Sampling::new(model, self.mode.clone(), self.plan.clone(), number);
            *pair = Pair::Sampling(Box::new(sampling));
        }
    }

    /// Puts in what a pair gave elsewhere, in place of how far it is here.
    pub fn put(&mut self, number: usize, drawn: Drawn) {
        if let Some(pair) = self.list.get_mut(number)
            && !matches!(pair, Pair::Drawn(_))
        {
            *pair = Pair::Drawn(Box::new(drawn));
        }
    }

    /// What a pair gave, once it is drawn.
    pub fn drawn(&self, number: usize) -> Option<&Drawn> {
        match self.list.get(number) {
            Some(Pair::Drawn(drawn)) => Some(drawn),
            _ => None,
        }
    }

    /// What all pairs gave, once they are drawn.
    pub fn all(&self) -> Option<Vec<&Drawn>> {
        (0..self.list.len())
            .map(|number| self.drawn(number))
            .collect()
    }

    /// Share of what is drawn here that is done, 0–1.
    pub fn progress(&self) -> f64 {
        let (mut sum, mut pairs) = (0.0, 0.0);
        for pair in &self.list {
            if let Some(done) = pair.progress() {
                (sum, pairs) = (sum + done, pairs + 1.0);
            }
        }
        if pairs > 0.0 { sum / pairs } else { 1.0 }
    }

    /// Goes on a little with the pair drawn here that is least far; false where there is none.
    pub fn step(&mut self, model: &Model) -> bool {
        let mut least = (1.0, 0);
        for (number, pair) in self.list.iter().enumerate() {
            match pair.progress() {
                Some(done) if done < least.0 => least = (done, number),
                _ => (),
            }
        }
        let Some(pair) = self.list.get_mut(least.1).filter(|_| least.0 < 1.0) else {
            return false;
        };
        match pair {
            Pair::Sampling(sampling) => {
                if let Some(draws) = sampling.step(model) {
                    *pair = Pair::Judging(Box::new(draws), Box::new(Judging::new(model)), 0);
                }
            }
            Pair::Judging(draws, judging, next) => {
                let all = self.plan.pairs * draws.chains.len() * self.plan.draws;
                let points = draws.chains.iter().filter_map(|chain| chain.get(*next));
                let two: Vec<&[f64]> = points.map(Vec::as_slice).collect();
                judging.judge(model, &two);
                *next += calibration::every(model, all);
                if *next >= self.plan.draws {
                    *pair = Pair::Drawn(Box::new(Drawn {
                        draws: std::mem::take(draws.as_mut()),
                        cells: std::mem::take(&mut judging.cells),
                    }));
                }
            }
            Pair::Away | Pair::Drawn(_) => (),
        }
        true
    }
}

impl Pair {
    /// How far it is here, below 1 until it is drawn; nothing where it is drawn elsewhere.
    fn progress(&self) -> Option<f64> {
        match self {
            Self::Away => None,
            Self::Sampling(sampling) => Some((1.0 - JUDGING_SHARE) * sampling.progress()),
            Self::Judging(draws, _, next) => {
                let draws = draws.chains.iter().map(Vec::len).min().unwrap_or(0);
                let left = 1.0 - *next as f64 / draws.max(1) as f64;
                Some(1.0 - JUDGING_SHARE * left)
            }
            Self::Drawn(_) => Some(1.0),
        }
    }
}
