//! Draws weighed by what lines of a log say, and drawn again by their weights.
//!
//! Takes draws and lines; gives logs of weights, points of equal weight, and which of the lines look like blunders.

use super::lines::Changed;
use crate::chacha::ChaCha8Rng;
use crate::learn::calibration::calibrate;
use crate::learn::likelihood::Judged;
use crate::learn::odd;
use crate::learn::posterior::OddEntry;
use crate::learn::priors;
use crate::learn::target::beside;
use crate::learn::unknowns::global;
use crate::real::Pair;
use crate::studio::document::Studio;
use rand::{RngExt, SeedableRng};

/// Values that each draw tries for unknowns that are new: at most, at least, and judgements of lines in all, about.
const TRIES: (usize, usize, usize) = (32, 8, 20_000);
/// Every how many draws it is first looked where the new unknowns turn out to be.
const FIRST: usize = 4;
/// The generator's stream: those of the chains come before.
const STREAM: u64 = 64;

/// Draws being weighed.
pub struct Weighing {
    lines: Changed,
    /// The draws; what is new stands at the middle of its prior.
    draws: Vec<Vec<f64>>,
    /// Places of unknowns that are new.
    new: Vec<usize>,
    /// How many values of them each draw tries.
    tries: usize,
    /// Those values, draw by draw.
    tried: Vec<f64>,
    /// What each of them counts for among its draw's, 0–1.
    shares: Vec<f64>,
    /// Where spreads are held.
    middle: Vec<f64>,
    rng: ChaCha8Rng,
}

impl Weighing {
    /// Ready to weigh `draws`, in which the places `new` are to be drawn from their priors.
    pub fn new(mut lines: Changed, draws: Vec<Vec<f64>>, new: Vec<usize>, seed: u64) -> Self {
        let unknowns = &lines.model.log.unknowns;
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(STREAM);
        let mut middle = vec![0.0; unknowns.len()];
        for draw in &draws {
            for (middle, x) in middle.iter_mut().zip(draw) {
                *middle += x / draws.len() as f64;
            }
        }
        let mut judged = 1;
        for about in &lines.about {
            judged += draws.len() * usize::from(about.fresh);
        }
        let tries = if new.is_empty() {
            1
        } else {
            (TRIES.2 / judged).clamp(TRIES.1, TRIES.0)
        };
        let wrong_at = unknowns.globals() + global::OPINION_WRONG;
        let mut tried = Vec::with_capacity(draws.len() * tries * new.len());
        for draw in &draws {
            let wrong = unknowns.priors[wrong_at].value(draw[wrong_at]);
            for _ in 0..tries {
                for place in &new {
                    let number = place.wrapping_sub(unknowns.glaze_number(0));
                    let is_wrong = match unknowns.used.glazes.get(number) {
                        Some(glaze) if unknowns.opinions[*glaze].can_be_wrong => {
                            rng.random::<f64>() < wrong
                        }
                        _ => false,
                    };
                    let mut prior = &unknowns.priors[*place];
                    if is_wrong {
                        prior = &priors::WRONG_OPINION;
                    }
                    tried.push(prior.draw(&mut rng));
                }
            }
        }
        lines.model.hold(&middle);
        Self {
            lines,
            draws,
            new,
            tries,
            tried,
            shares: Vec::new(),
            middle,
            rng,
        }
    }

    fn put_new(&self, draw: usize, tried: usize, point: &mut [f64]) {
        let from = (draw * self.tries + tried) * self.new.len();
        for (place, value) in self.new.iter().zip(&self.tried[from..]) {
            point[*place] = *value;
        }
    }

    /// Log of each draw's weight.
    pub fn weigh(&mut self) -> Vec<f64> {
        if !self.new.is_empty() {
            let weights = self.weigh_every(FIRST);
            self.hold_at_means(&weights);
        }
        self.weigh_every(1)
    }

    fn weigh_every(&mut self, every: usize) -> Vec<f64> {
        let mut judged = Judged::default();
        let unknowns = &self.lines.model.log.unknowns;
        // What is worked out of a point beforehand holds its glazes and hands.
        let shared = unknowns.glaze_number(0)..unknowns.globals();
        let anew = self.new.iter().any(|place| shared.contains(place));
        let (mut shares, mut weights) = (Vec::new(), Vec::new());
        let numbers: Vec<usize> = (0..self.draws.len()).step_by(every).collect();
        let mut said = vec![Pair::ZERO; self.tries];
        for two in numbers.chunks(2) {
            let ends = [two[0], two[two.len() - 1]];
            let mut points = [self.draws[ends[0]].clone(), self.draws[ends[1]].clone()];
            let mut point = beside(&points[0], &points[1]);
            let mut now = self.lines.model.now(&point);
            let marks = self.lines.model.lines(&now);
            let rest = self.lines.ln(false, &point, &now, &marks, &mut judged);
            for (t, said) in said.iter_mut().enumerate() {
                for (draw, own) in ends.into_iter().zip(&mut points) {
                    self.put_new(draw, t, own);
                }
                for place in &self.new {
                    point[*place] = Pair::new([points[0][*place], points[1][*place]]);
                }
                if anew {
                    now = self.lines.model.now(&point);
                }
                *said = self.lines.ln(true, &point, &now, &marks, &mut judged);
            }
            for (lane, rest) in rest.as_array()[..two.len()].iter().enumerate() {
                let (from, mut most) = (shares.len(), f64::NEG_INFINITY);
                for said in &said {
                    let ln = said.as_array()[lane];
                    most = if ln > most { ln } else { most };
                    shares.push(ln);
                }
                let mut sum = 0.0;
                for share in &mut shares[from..] {
                    *share = (*share - most).exp();
                    sum += *share;
                }
                for share in &mut shares[from..] {
                    *share /= sum;
                }
                let weight = rest + most + sum.ln();
                // What the model cannot judge is not likely.
                weights.push(if weight.is_finite() { weight } else { -1e9 });
            }
        }
        self.shares = shares;
        weights
    }

    /// Holds spreads where the new unknowns turn out to be, by weights of every [`FIRST`]th draw.
    fn hold_at_means(&mut self, ln_weights: &[f64]) {
        let mut most = f64::NEG_INFINITY;
        for ln in ln_weights {
            most = if *ln > most { *ln } else { most };
        }
        for place in &self.new {
            self.middle[*place] = 0.0;
        }
        let mut all = 0.0;
        for ln in ln_weights {
            all += (ln - most).exp();
        }
        let mut shares = self.shares.iter();
        for (i, ln) in ln_weights.iter().enumerate() {
            for t in 0..self.tries {
                let weight = (ln - most).exp() / all * shares.next().unwrap_or(&0.0);
                let from = (i * FIRST * self.tries + t) * self.new.len();
                for (place, value) in self.new.iter().zip(&self.tried[from..]) {
                    self.middle[*place] += weight * value;
                }
            }
        }
        self.lines.model.hold(&self.middle);
    }

    /// As many points as there were draws, each draw as often as it counts, in their order (systematic resampling: Kitagawa 1996, Journal of Computational and
    /// Graphical Statistics 5, 1).
    pub fn drawn_again(&mut self, weights: &[f64]) -> Vec<Vec<f64>> {
        let mut sum = 0.0;
        for weight in weights {
            sum += weight;
        }
        let step = sum / weights.len() as f64;
        let mut at = step * self.rng.random::<f64>();
        let mut points = Vec::with_capacity(weights.len());
        for (d, weight) in weights.iter().enumerate() {
            let last = d + 1 == weights.len();
            while points.len() < weights.len() && (at < *weight || last) {
                at += step;
                let (mut left, mut t): (f64, usize) = (self.rng.random(), 0);
                while t + 1 < self.tries && left >= self.shares[d * self.tries + t] {
                    left -= self.shares[d * self.tries + t];
                    t += 1;
                }
                let mut point = self.draws[d].clone();
                self.put_new(d, t, &mut point);
                points.push(point);
            }
            at -= weight;
        }
        points
    }

    /// Which of the lines, as they are, look like blunders.
    pub fn odd(&self, studio: &Studio, points: &[Vec<f64>]) -> Vec<OddEntry> {
        let model = &self.lines.model;
        let points: Vec<&[f64]> = points.iter().map(Vec::as_slice).collect();
        let mut judged = calibrate(model, &points);
        let blunders = judged.left.iter_mut().map(|left| &mut left.blunder);
        let blunders = blunders.chain(&mut judged.weigh_in_blunder);
        for (blunder, about) in blunders.zip(&self.lines.about) {
            if about.sign < 0.0 {
                *blunder = 0.0;
            }
        }
        odd::odd_entries(studio, model, &judged, &points)
    }
}
