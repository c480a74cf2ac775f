//! The whole model: how likely the log is at a point, and which way that rises.
//!
//! Takes a [`Log`] and a point of its unknowns; gives the log density with its gradient, a curvature to sample by, and, entry by entry, the chances that
//! calibration and odd entries ask for.

mod look;
mod now;
mod run;
mod stack;
mod weigh;

pub use now::Now;
pub use run::RunChance;

use look::LookSlopes;
use run::RunSlopes;
use stack::{Film, Stack};

use super::arrow::Arrow;
use super::data::{Laid, Log, NONE, Piece};
use super::priors;
use super::target::Target;
use super::unknowns::{Prior, global};
use crate::studio::case::Method;

/// The posterior of a log.
#[derive(Clone, Debug)]
pub struct Model {
    /// The log.
    pub log: Log,
    most_coats: usize,
}

impl Model {
    /// The posterior of `log`.
    pub fn new(log: Log) -> Self {
        let most_coats = log
            .layers
            .iter()
            .chain(log.weighed.iter().map(|w| &w.laid))
            .map(|l| l.coats)
            .max();
        Self {
            log,
            most_coats: most_coats.unwrap_or(0) as usize,
        }
    }

    /// The studio's numbers at a point.
    pub fn now(&self, point: &[f64]) -> Now {
        Now::new(&self.log.unknowns, point, self.most_coats)
    }

    /// Judges all that was read of one entry.
    fn judge(&self, piece: &Piece, now: &Now, point: &[f64], stack: &mut Stack) -> Judged {
        stack.lay(&self.log, piece, now, point);
        let mut judged = Judged::default();
        if let Some(read) = &piece.run {
            let chance = RunChance::new(&self.log, piece, now, point, stack);
            let (ln, slopes) = chance.judge(read, now);
            judged.ln += ln;
            judged.run = Some((slopes, chance.film));
        }
        if let Some((look, cuts)) = piece.look {
            let cuts = &point[cuts as usize..cuts as usize + 2];
            let (ln, slopes) = look::judge(
                look,
                cuts,
                piece.layers.of(&self.log.layers),
                piece.ln_fired_per_melt,
                now,
                stack,
            );
            judged.ln += ln;
            judged.look = Some(slopes);
        }
        judged
    }

    /// Log likelihood of one entry at a point, and the chance that its run is a blunder.
    pub fn ln_likelihood(&self, piece: &Piece, now: &Now, point: &[f64]) -> (f64, f64) {
        let judged = self.judge(piece, now, point, &mut Stack::default());
        (
            judged.ln,
            judged.run.map_or(0.0, |(slopes, _)| slopes.blunder),
        )
    }

    /// The chances of one entry's run at a point, whatever was read.
    pub fn run_chance(&self, piece: &Piece, now: &Now, point: &[f64]) -> RunChance {
        let mut stack = Stack::default();
        stack.lay(&self.log, piece, now, point);
        RunChance::new(&self.log, piece, now, point, &stack)
    }

    /// Hands each coordinate its part of a change by `eta` per decade of the film's Phi, `ln_h` per log of its thickness and `ln_retention` per
    /// log of the retention. A coordinate can come more than once.
    fn scatter_run(
        &self,
        piece: &Piece,
        now: &Now,
        point: &[f64],
        film: &Film,
        by: [f64; 3],
        to: &mut dyn FnMut(usize, f64),
    ) {
        let [eta, ln_h, ln_retention] = by;
        let first = self.log.unknowns.globals();
        for (i, laid) in piece
            .layers
            .of(&self.log.layers)
            .iter()
            .enumerate()
            .take(film.share.len())
        {
            if laid.glaze != NONE {
                to(laid.glaze as usize, eta * film.per_log10_phi[i]);
            }
            self.scatter_mass(
                laid,
                now,
                point,
                eta * film.per_ln_melt[i] + ln_h * film.share[i],
                to,
            );
        }
        for meeting in piece.meetings.of(&self.log.meetings) {
            let weight =
                4.0 * film.share[meeting.lower as usize] * film.share[meeting.upper as usize];
            let slope = eta * now.mixing.value * weight;
            to(meeting.place as usize, slope);
            to(meeting.place as usize + 1, meeting.sign * slope);
        }
        for place in [piece.firing, piece.shelf] {
            if place != NONE {
                to(place as usize, eta);
            }
        }
        to(
            first + global::MIXING,
            eta * film.per_mixing * now.mixing.slope,
        );
        to(first + global::LN_RETENTION, ln_retention);
    }

    /// Hands each coordinate its part of a change by `by` per log of the thickness that the look is judged by.
    fn scatter_look(
        &self,
        piece: &Piece,
        now: &Now,
        point: &[f64],
        slopes: &LookSlopes,
        by: f64,
        to: &mut dyn FnMut(usize, f64),
    ) {
        for (laid, share) in piece
            .layers
            .of(&self.log.layers)
            .iter()
            .zip(&slopes.per_ln_melt)
        {
            self.scatter_mass(laid, now, point, by * share, to);
        }
        to(
            self.log.unknowns.globals() + global::LOOK_SHARE,
            by * slopes.per_look_share,
        );
    }

    fn scatter_mass(
        &self,
        laid: &Laid,
        now: &Now,
        point: &[f64],
        slope: f64,
        to: &mut dyn FnMut(usize, f64),
    ) {
        let first = self.log.unknowns.globals();
        let (method, carried) = match laid.method {
            Method::Brush => (global::LN_BRUSH, false),
            Method::Dip => (global::LN_DIP, true),
            Method::Spray => (global::LN_SPRAY, true),
        };
        to(first + method, slope);
        if laid.hand != NONE {
            let hand = laid.hand as usize;
            if carried {
                to(hand, slope * now.carry.value);
                to(first + global::CARRY, slope * now.carry.slope * point[hand]);
            } else {
                to(hand, slope);
            }
        }
        if laid.coats > 0 {
            let (_, per_thinning, per_anew) = now.thinned(laid.coats, laid.below);
            to(first + global::THINNING, slope * per_thinning);
            to(first + global::ANEW, slope * per_anew);
        }
    }

    /// Hands each spread and share its slope.
    fn scatter_spreads(&self, now: &Now, judged: &Judged, to: &mut dyn FnMut(usize, f64)) {
        let first = self.log.unknowns.globals();
        let mut coat = 0.0;
        let mut outlier = 0.0;
        if let Some((run, _)) = &judged.run {
            to(first + global::NOISE, run.noise * now.noise.slope);
            to(first + global::PLACE, run.place * now.place.slope);
            to(first + global::STUCK, run.stuck * now.stuck.slope);
            to(first + global::WHOLE_MM, run.whole_mm * now.whole_mm.slope);
            coat += run.coat;
            outlier += run.outlier;
        }
        if let Some(look) = &judged.look {
            to(
                first + global::LOOK_SIGMA,
                look.sigma * now.look_sigma.slope,
            );
            coat += look.coat;
            outlier += look.outlier;
        }
        to(first + global::COAT, coat * now.coat.slope);
        to(first + global::OUTLIER, outlier * now.outlier.slope);
    }

    /// Log prior of the point, its gradient put into `gradient`.
    fn ln_prior(&self, at: &[f64], gradient: &mut [f64]) -> f64 {
        let unknowns = &self.log.unknowns;
        let mut sum = 0.0;
        for ((prior, x), g) in unknowns.priors.iter().zip(at).zip(gradient.iter_mut()) {
            let (ln, slope) = prior.ln_density(*x);
            sum += ln;
            *g = slope;
        }
        // An opinion holds or is wrong: a mixture of the two, the plain prior replaced.
        let place = unknowns.globals() + global::OPINION_WRONG;
        let wrong = unknowns.priors[place].value(at[place]);
        for (number, glaze) in unknowns.used.glazes.iter().enumerate() {
            if unknowns.opinions[*glaze].can_be_wrong {
                let here = unknowns.glaze_number(number);
                let (ln, slope, per_wrong) =
                    opinion_ln_density(&unknowns.priors[here], at[here], wrong);
                sum += ln - unknowns.priors[here].ln_density(at[here]).0;
                gradient[here] = slope;
                gradient[place] += per_wrong * wrong * (1.0 - wrong);
            }
        }
        sum
    }
}

/// What one entry's readings say at a point.
#[derive(Clone, Debug, Default)]
struct Judged {
    ln: f64,
    run: Option<(RunSlopes, Film)>,
    look: Option<LookSlopes>,
}

/// Log density of a glaze's coordinate as a mixture, but for the same constant as the plain prior's; its slope, and its change per share of wrong opinions.
fn opinion_ln_density(right: &Prior, at: f64, wrong: f64) -> (f64, f64, f64) {
    let sd = |prior: &Prior| prior.curvature(at).sqrt().recip();
    let (ln_right, slope_right) = right.ln_density(at);
    let (ln_other, slope_other) = priors::WRONG_OPINION.ln_density(at);
    let other = (ln_other - ln_right).exp() * sd(right) / sd(&priors::WRONG_OPINION);
    let sum = (1.0 - wrong) + wrong * other;
    let share = wrong * other / sum;
    (
        ln_right + sum.ln(),
        (1.0 - share) * slope_right + share * slope_other,
        (other - 1.0) / sum,
    )
}

impl Target for Model {
    fn len(&self) -> usize {
        self.log.unknowns.len()
    }

    fn separate(&self) -> usize {
        self.log.unknowns.separate()
    }

    fn start(&self) -> Vec<f64> {
        self.log.unknowns.priors.iter().map(Prior::middle).collect()
    }

    fn ln_density(&self, at: &[f64], gradient: &mut [f64]) -> f64 {
        let mut sum = self.ln_prior(at, gradient);
        let now = self.now(at);
        let mut stack = Stack::default();
        let mut add = |place: usize, slope: f64| gradient[place] += slope;
        for piece in &self.log.pieces {
            let judged = self.judge(piece, &now, at, &mut stack);
            sum += judged.ln;
            if let Some((run, film)) = &judged.run {
                self.scatter_run(
                    piece,
                    &now,
                    at,
                    film,
                    [run.eta, run.ln_h, run.ln_retention],
                    &mut add,
                );
            }
            if let (Some(look), Some((_, cuts))) = (&judged.look, piece.look) {
                self.scatter_look(piece, &now, at, look, look.per_x, &mut add);
                add(cuts as usize, look.per_cuts[0]);
                add(cuts as usize + 1, look.per_cuts[1]);
            }
            self.scatter_spreads(&now, &judged, &mut add);
        }
        for weighed in &self.log.weighed {
            let (ln, slopes) = weigh::judge(weighed, &now, at);
            sum += ln;
            self.scatter_mass(&weighed.laid, &now, at, slopes.per_ln_mass, &mut add);
            let first = self.log.unknowns.globals();
            add(first + global::COAT, slopes.per_coat * now.coat.slope);
            add(first + global::PLACE, slopes.per_place * now.place.slope);
            add(
                first + global::OUTLIER,
                slopes.per_outlier * now.outlier.slope,
            );
        }
        if sum.is_finite() && gradient.iter().all(|g| g.is_finite()) {
            sum
        } else {
            f64::NEG_INFINITY
        }
    }

    fn curvature(&self, at: &[f64]) -> Arrow {
        let n = self.len();
        let mut arrow = Arrow::zeros(n, self.separate());
        for (i, (prior, x)) in self.log.unknowns.priors.iter().zip(at).enumerate() {
            arrow.add_diagonal(i, prior.curvature(*x));
        }
        let now = self.now(at);
        let mut stack = Stack::default();
        let mut row = Row::new(n);
        for piece in &self.log.pieces {
            let judged = self.judge(piece, &now, at, &mut stack);
            // Spreads and shares by their squared scores, which is right on average (the information equality).
            self.scatter_spreads(&now, &judged, &mut |place, slope| {
                arrow.add_diagonal(place, slope * slope)
            });
            if let Some((run, film)) = &judged.run {
                let by = [1.0, -run.margin_ln_h, -run.margin_ln_retention];
                self.scatter_run(piece, &now, at, film, by, &mut |place, slope| {
                    row.add(place, slope)
                });
                row.flush(run.curvature, &mut arrow);
            }
            if let (Some(look), Some((_, cuts))) = (&judged.look, piece.look) {
                self.scatter_look(piece, &now, at, look, 1.0, &mut |place, slope| {
                    row.add(place, slope)
                });
                row.add(cuts as usize, -1.0);
                row.flush(look.curvature, &mut arrow);
                arrow.add_diagonal(cuts as usize + 1, look.per_cuts[1].powi(2));
            }
        }
        for weighed in &self.log.weighed {
            let (_, slopes) = weigh::judge(weighed, &now, at);
            self.scatter_mass(&weighed.laid, &now, at, 1.0, &mut |place, slope| {
                row.add(place, slope)
            });
            row.flush(slopes.curvature, &mut arrow);
            let first = self.log.unknowns.globals();
            arrow.add_diagonal(
                first + global::COAT,
                (slopes.per_coat * now.coat.slope).powi(2),
            );
        }
        arrow
    }
}

/// A sparse row under construction.
struct Row {
    dense: Vec<f64>,
    places: Vec<u32>,
    values: Vec<f64>,
}

impl Row {
    fn new(n: usize) -> Self {
        Self {
            dense: vec![0.0; n],
            places: Vec::new(),
            values: Vec::new(),
        }
    }

    fn add(&mut self, place: usize, value: f64) {
        if value != 0.0 {
            if self.dense[place] == 0.0 {
                self.places.push(place as u32);
            }
            self.dense[place] += value;
        }
    }

    fn flush(&mut self, weight: f64, arrow: &mut Arrow) {
        self.places.sort_unstable();
        self.places.dedup();
        self.values.clear();
        for place in &self.places {
            self.values
                .push(std::mem::take(&mut self.dense[*place as usize]));
        }
        arrow.add_outer(weight, &self.places, &self.values);
        self.places.clear();
    }
}
