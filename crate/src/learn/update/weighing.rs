//! Draws weighed by what lines of a log say, and drawn again by their weights.
//!
//! Takes draws and lines; gives logs of weights, points of equal weight, and which of the lines look like blunders.

use super::Points;
use super::lines::Lines;
use crate::chacha::ChaCha8Rng;
use crate::learn::calibration::{Judged, Left};
use crate::learn::likelihood::Stack;
use crate::learn::odd;
use crate::learn::posterior::OddEntry;
use crate::learn::priors;
use crate::learn::unknowns::global;
use crate::studio::document::Studio;
use rand::{RngExt, SeedableRng};

/// Values that each draw tries for unknowns that are new: at most, at least, and judgements of lines in all, about.
const TRIES: (usize, usize, usize) = (32, 8, 20_000);
/// Every how many draws it is first looked where the new unknowns turn out to be.
const FIRST: usize = 4;
/// Points that lines are looked at by for being odd.
const LOOKS: usize = 64;
/// The generator's stream: those of the chains come before.
const STREAM: u64 = 64;

/// Draws being weighed.
pub struct Weighing<'a> {
    lines: Lines,
    base: &'a Points,
    of_base: Vec<Option<usize>>,
    /// Places of unknowns that are new.
    new: Vec<usize>,
    /// How many values of them each draw tries.
    tries: usize,
    /// Those values, draw by draw.
    tried: Vec<f64>,
    /// What the lines say of each of them, as logs.
    ln: Vec<f64>,
    /// Where spreads are held.
    middle: Vec<f64>,
    rng: ChaCha8Rng,
}

impl<'a> Weighing<'a> {
    pub fn new(mut lines: Lines, base: &'a Points, of_base: Vec<Option<usize>>, seed: u64) -> Self {
        let unknowns = &lines.model.log.unknowns;
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(STREAM);
        let mut new = Vec::new();
        let mut middle = Vec::with_capacity(of_base.len());
        for (place, from) in of_base.iter().enumerate() {
            middle.push(match from {
                Some(from) => {
                    let sum: f64 = base.at.iter().map(|point| point[*from]).sum();
                    sum / base.at.len() as f64
                }
                None => {
                    new.push(place);
                    unknowns.priors[place].middle()
                }
            });
        }
        let judged = base.at.len() * lines.fresh.iter().filter(|fresh| **fresh).count();
        let tries = if new.is_empty() {
            1
        } else {
            (TRIES.2 / judged.max(1)).clamp(TRIES.1, TRIES.0)
        };
        lines.model.hold(&middle);
        let mut weighing = Self {
            lines,
            base,
            of_base,
            new,
            tries,
            tried: Vec::new(),
            ln: Vec::new(),
            middle,
            rng,
        };
        weighing.draw_new();
        weighing
    }

    /// Draws of the new unknowns from their priors.
    fn draw_new(&mut self) {
        let unknowns = &self.lines.model.log.unknowns;
        let wrong_at = unknowns.globals() + global::OPINION_WRONG;
        let first = unknowns.glaze_number(0);
        for d in 0..self.base.at.len() {
            let wrong = unknowns.priors[wrong_at].value(self.value(d, wrong_at));
            for _ in 0..self.tries {
                for place in &self.new {
                    let glaze = unknowns.used.glazes.get(place.wrapping_sub(first));
                    let is_wrong = glaze.is_some_and(|g| unknowns.opinions[*g].can_be_wrong)
                        && self.rng.random::<f64>() < wrong;
                    let prior = if is_wrong {
                        &priors::WRONG_OPINION
                    } else {
                        &unknowns.priors[*place]
                    };
                    self.tried.push(prior.draw(&mut self.rng));
                }
            }
        }
    }

    /// A draw's own value of an unknown that is not new.
    fn value(&self, draw: usize, place: usize) -> f64 {
        self.of_base[place].map_or(self.middle[place], |from| self.base.at[draw][from])
    }

    /// A draw as a point, with the values of a try.
    fn point(&self, draw: usize, tried: usize, point: &mut Vec<f64>) {
        point.clear();
        for place in 0..self.of_base.len() {
            point.push(self.value(draw, place));
        }
        self.put_new(draw, tried, point);
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
        let (mut point, mut stack) = (Vec::new(), Stack::default());
        let (mut all, mut weights) = (Vec::new(), Vec::new());
        for d in (0..self.base.at.len()).step_by(every) {
            self.point(d, 0, &mut point);
            let now = self.lines.model.now(&point);
            let rest = self.lines.ln(false, &point, &now, &mut stack);
            let (from, mut most) = (all.len(), f64::NEG_INFINITY);
            for t in 0..self.tries {
                self.put_new(d, t, &mut point);
                let ln = self.lines.ln(true, &point, &now, &mut stack);
                most = if ln > most { ln } else { most };
                all.push(ln);
            }
            let mut sum = 0.0;
            for ln in &all[from..] {
                sum += (ln - most).exp();
            }
            let weight = rest + most + sum.ln();
            // What the model cannot judge is not likely.
            weights.push(if weight.is_finite() { weight } else { -1e9 });
        }
        self.ln = all;
        weights
    }

    /// Holds spreads where the new unknowns turn out to be, by weights of every [`FIRST`]th draw.
    fn hold_at_means(&mut self, ln_weights: &[f64]) {
        let most = ln_weights
            .iter()
            .fold(f64::NEG_INFINITY, |m, w| if *w > m { *w } else { m });
        let mut sums = vec![0.0; self.new.len()];
        let mut all = 0.0;
        for (i, ln) in ln_weights.iter().enumerate() {
            let own = &self.ln[i * self.tries..(i + 1) * self.tries];
            for (t, share) in shares(own).iter().enumerate() {
                let weight = (ln - most).exp() * share;
                all += weight;
                let from = (i * FIRST * self.tries + t) * self.new.len();
                for (sum, value) in sums.iter_mut().zip(&self.tried[from..]) {
                    *sum += weight * value;
                }
            }
        }
        for (place, sum) in self.new.iter().zip(&sums) {
            self.middle[*place] = sum / all;
        }
        self.lines.model.hold(&self.middle);
    }

    /// As many points as there were draws, each draw as often as it counts, in their order (systematic resampling: Kitagawa 1996, Journal of Computational and Graphical Statistics 5, 1).
    pub fn drawn_again(&mut self, weights: &[f64]) -> Vec<Vec<f64>> {
        let (n, sum) = (weights.len(), weights.iter().sum::<f64>());
        let offset: f64 = self.rng.random();
        let mut points = Vec::with_capacity(n);
        let (mut before, mut d) = (0.0, 0);
        for i in 0..n {
            let at = (i as f64 + offset) / n as f64 * sum;
            while d + 1 < n && before + weights[d] <= at {
                before += weights[d];
                d += 1;
            }
            let within = shares(&self.ln[d * self.tries..(d + 1) * self.tries]);
            let (mut left, mut t): (f64, usize) = (self.rng.random(), 0);
            while t + 1 < within.len() && left >= within[t] {
                left -= within[t];
                t += 1;
            }
            let mut point = Vec::new();
            self.point(d, t, &mut point);
            points.push(point);
        }
        points
    }

    /// Which of the lines, as they are, look like blunders.
    pub fn odd(&self, studio: &Studio, points: &[Vec<f64>]) -> Vec<OddEntry> {
        let (lines, model) = (&self.lines, &self.lines.model);
        let every = (points.len() / LOOKS).max(1);
        let points: Vec<&[f64]> = points.iter().step_by(every).map(Vec::as_slice).collect();
        let mut judged = Judged {
            calibration: None,
            left: vec![Left::default(); model.log.pieces.len()],
            weigh_in_blunder: vec![0.0; model.log.weighed.len()],
        };
        let mut stack = Stack::default();
        let per = 1.0 / points.len().max(1) as f64;
        for point in &points {
            let now = model.now(point);
            for (i, left) in judged.left.iter_mut().enumerate() {
                if lines.signs[i] > 0.0 {
                    left.blunder += per * model.ln_likelihood(i, &now, point, &mut stack).1;
                }
            }
            for (i, blunder) in judged.weigh_in_blunder.iter_mut().enumerate() {
                if lines.signs[model.log.pieces.len() + i] > 0.0 {
                    let weighed = &model.log.weighed[i];
                    *blunder += per * model.weighed_ln_likelihood(weighed, &now, point).1;
                }
            }
        }
        odd::odd_entries(studio, model, &judged, &points)
    }
}

/// Shares of a whole by their logs.
fn shares(ln: &[f64]) -> Vec<f64> {
    let most = ln
        .iter()
        .fold(f64::NEG_INFINITY, |m, w| if *w > m { *w } else { m });
    let mut shares: Vec<f64> = ln.iter().map(|ln| (ln - most).exp()).collect();
    let sum: f64 = shares.iter().sum();
    for share in &mut shares {
        *share /= sum;
    }
    shares
}
