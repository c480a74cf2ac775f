//! Curvature of the likelihood, entry by entry: what a Gaussian near the posterior is made of.
//!
//! Takes a model and a point; gives an arrow-shaped matrix.

use super::super::arrow::Arrow;
use super::super::target::{Target, both};
use super::super::unknowns::global;
use super::reach::{Reach, give_mass, places_of, places_of_mass};
use super::weigh;
use super::{Judged, Model, edges, one};
use crate::real::Pair;

impl Model {
    /// Curvature of −log density, no reading's part of it below `least`.
    pub(super) fn curvature_from(&self, at: &[f64], least: f64) -> Arrow {
        let mut arrow = Arrow::zeros(self.len(), self.separate());
        for (i, (prior, x)) in self.log.unknowns.priors.iter().zip(at).enumerate() {
            arrow.add_diagonal(i, prior.curvature(*x));
        }
        let at = &both(at)[..];
        let (log, now) = (&self.log, self.now(at));
        let first = log.unknowns.globals();
        let lines = self.lines(&now);
        let (mut judged, mut reach) = (Judged::default(), Reach::default());
        let mut row = Row::new(self.len());
        for (number, piece) in log.pieces.iter().enumerate() {
            self.judge(number, &now, &lines, at, &mut judged, None);
            let stack = &judged.stack;
            // Spreads and shares by their squared scores, which is right on average (the information equality).
            self.give_spreads(piece, &now, &judged, |which, slope| {
                arrow.add_diagonal(first + which, one(slope * slope))
            });
            if piece.run.is_some() {
                let run = &judged.run.slopes;
                reach.clear(stack, piece, &now);
                for (edge, film) in stack.films.iter().enumerate().take(edges(piece)) {
                    reach.film(
                        log,
                        piece,
                        &now,
                        film,
                        run.margin.0[edge],
                        run.margin.1[edge],
                    );
                }
                reach.ln_retention = run.margin.2;
                reach.give(log, piece, &now, at, &mut row.dense);
                places_of(log, piece, &mut row.places);
                row.flush(one(run.curvature).max(least), &mut arrow);
            }
            if let Some((_, cuts)) = piece.look {
                let look = &judged.look;
                let per = now.half(&log.unknowns, cuts).slope;
                for (curvature, side) in look.curvature.into_iter().zip([-per, per]) {
                    reach.clear(stack, piece, &now);
                    reach.look(look, -Pair::ONE);
                    reach.give(log, piece, &now, at, &mut row.dense);
                    places_of(log, piece, &mut row.places);
                    row.dense[cuts as usize] += 1.0;
                    row.dense[cuts as usize + 1] += side;
                    row.places.extend([cuts, cuts + 1]);
                    row.flush(one(curvature).max(least), &mut arrow);
                }
            }
            if piece.relief.is_some() {
                let seen = &judged.texture;
                reach.clear(stack, piece, &now);
                reach.film(
                    log,
                    piece,
                    &now,
                    &stack.over_texture,
                    seen.margin[0],
                    seen.margin[1],
                );
                reach.give(log, piece, &now, at, &mut row.dense);
                places_of(log, piece, &mut row.places);
                row.flush(one(seen.curvature).max(least), &mut arrow);
            }
        }
        for weighed in &log.weighed {
            let (_, slopes) = weigh::judge(weighed, &now, at);
            give_mass(log, &weighed.laid, &now, at, Pair::ONE, &mut row.dense);
            places_of_mass(log, &weighed.laid, &mut row.places);
            row.flush(one(slopes.curvature), &mut arrow);
            arrow.add_diagonal(
                first + global::COAT,
                one(slopes.per_coat * now.coat.slope).powi(2),
            );
        }
        arrow
    }
}

/// A sparse row under construction: values by place, and the places that may have one.
struct Row {
    dense: Vec<Pair>,
    places: Vec<u32>,
    values: Vec<f64>,
}

impl Row {
    fn new(n: usize) -> Self {
        Self {
            dense: vec![Pair::ZERO; n],
            places: Vec::new(),
            values: Vec::new(),
        }
    }

    /// Adds the row's outer product and empties it.
    fn flush(&mut self, weight: f64, arrow: &mut Arrow) {
        // By insertion: there are some thirty, half in order.
        for i in 1..self.places.len() {
            let mut j = i;
            while j > 0 && self.places[j - 1] > self.places[j] {
                self.places.swap(j - 1, j);
                j -= 1;
            }
        }
        self.places.dedup();
        self.places
            .retain(|place| one(self.dense[*place as usize]) != 0.0);
        self.values.clear();
        for place in &self.places {
            let value = std::mem::take(&mut self.dense[*place as usize]);
            self.values.push(one(value));
        }
        arrow.add_outer(weight, &self.places, &self.values);
        self.places.clear();
    }
}
