//! The whole model: how likely the log is at a point, and which way that rises.
//!
//! Takes a [`Log`] and a point of its unknowns; gives the log density with its gradient, a curvature to sample by, and, entry by entry, the chances that
//! calibration and odd entries ask for.

mod frozen;
mod look;
mod margin;
mod mark;
mod now;
mod onto;
mod prior;
mod reach;
mod run;
mod stack;
mod texture;
mod weigh;
mod written;

pub use mark::{Mark, Marks};
pub use now::Now;
pub use run::RunChance;
pub use stack::{EDGES, Stack};
pub use written::LOOKS_STUCK_M;

use super::arrow::Arrow;
use super::data::{Log, Piece, Strip, Weighed};
use super::target::Target;
use super::unknowns::{Prior, global};
use frozen::Frozen;
use look::LookSlopes;
use reach::{Reach, give_mass, places_of, places_of_mass};
use run::RunSlopes;
use texture::TextureSlopes;

/// The posterior of a log.
#[derive(Clone, Debug)]
pub struct Model {
    /// The log.
    pub log: Log,
    most_coats: usize,
    /// By entry.
    frozen: Vec<Frozen>,
    /// By entry, from twice its first strip on: of what was read, an edge each, then of the other end of it.
    marks: Vec<Mark>,
    /// Retention at which spreads and marks are held, m².
    retention_m2: f64,
}

/// A run with its marks, one per edge of the entry that it is asked of.
#[derive(Clone, Debug, Default)]
pub struct Aim {
    /// The run, m.
    pub run_m: f64,
    /// The marks.
    pub marks: Vec<Mark>,
}

/// What one entry's readings say at a point.
#[derive(Clone, Debug, Default)]
struct Judged {
    ln: f64,
    run: Option<RunSlopes>,
    look: Option<LookSlopes>,
    texture: Option<TextureSlopes>,
}

impl Model {
    /// The posterior of `log`.
    pub fn new(log: Log) -> Self {
        let layers = log.layers.iter().chain(log.weighed.iter().map(|w| &w.laid));
        let most_coats = layers.map(|l| l.coats).max().unwrap_or(0) as usize;
        let mut model = Self {
            frozen: Vec::new(),
            marks: vec![Mark::default(); 2 * log.strips.len()],
            retention_m2: 0.0,
            log,
            most_coats,
        };
        model.hold(&model.start());
        model
    }

    /// The posterior of `log` with its spreads held at `point`.
    pub fn held(log: Log, point: &[f64]) -> Self {
        let mut model = Self::new(log);
        model.hold(point);
        model
    }

    /// Holds how much each layer's luck counts at `point`, and how far the film is behind gravity's law about there: the likelihood is then that of spreads
    /// about it.
    pub fn hold(&mut self, point: &[f64]) {
        let now = self.now(point);
        let mut stack = Stack::default();
        let mut known = Marks::default();
        self.frozen.clear();
        self.retention_m2 = now.retention_m2;
        for piece in &self.log.pieces {
            stack.lay(&self.log, piece, &now, point);
            stack.melt_edges(&self.log, piece, &now, point);
            let marks = marks_of(piece, &mut self.marks);
            if let Some(read) = &piece.run {
                let (at_m, lower_m) = written::wanted(read);
                let (of_at, of_lower) = marks.split_at_mut(marks.len() / 2);
                hold_marks(&self.log, piece, at_m, &stack, &now, of_at, &mut known);
                if let Some(lower_m) = lower_m.filter(|m| *m != at_m) {
                    hold_marks(
                        &self.log, piece, lower_m, &stack, &now, of_lower, &mut known,
                    );
                }
            }
            if let Some(relief) = &piece.relief {
                stack.melt_texture(&self.log, piece, &now, point, relief.strip as usize);
            }
            self.frozen
                .push(Frozen::of(&self.log, piece, &now, &stack, marks));
        }
    }

    /// The studio's numbers at a point.
    pub fn now(&self, point: &[f64]) -> Now {
        Now::new(&self.log.unknowns, point, self.most_coats)
    }

    /// Judges all that was read of one entry.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn judge(
        &self,
        piece: &Piece,
        frozen: &Frozen,
        now: &Now,
        point: &[f64],
        stack: &mut Stack,
    ) -> Judged {
        let log = &self.log;
        stack.lay(log, piece, now, point);
        let mut judged = Judged::default();
        if let Some(read) = &piece.run {
            stack.melt_edges(log, piece, now, point);
            let (ln, slopes) =
                run::judge(log, piece, read, frozen, now, stack, self.marks_of(piece));
            judged.ln += ln;
            judged.run = Some(slopes);
        }
        if let Some((look, cuts)) = piece.look {
            let cuts = &point[cuts as usize..cuts as usize + 2];
            let (ln, slopes) = look::judge(look, cuts, piece, &frozen.look, now, stack);
            judged.ln += ln;
            judged.look = Some(slopes);
        }
        if let Some(relief) = &piece.relief {
            stack.melt_texture(log, piece, now, point, relief.strip as usize);
            let (ln, slopes) =
                texture::judge(relief, piece, &frozen.texture, &stack.over_texture, now);
            judged.ln += ln;
            judged.texture = Some(slopes);
        }
        judged
    }

    /// Log likelihood of an entry, by its number in the log, at a point, and the chance that its run is a blunder.
    pub fn ln_likelihood(
        &self,
        number: usize,
        now: &Now,
        point: &[f64],
        stack: &mut Stack,
    ) -> (f64, f64) {
        let judged = self.judge(
            &self.log.pieces[number],
            &self.frozen[number],
            now,
            point,
            stack,
        );
        (judged.ln, judged.run.map_or(0.0, |slopes| slopes.blunder))
    }

    /// Log likelihood of a weigh-in, and the chance that it is a blunder.
    pub fn weighed_ln_likelihood(&self, weighed: &Weighed, now: &Now, point: &[f64]) -> (f64, f64) {
        let (ln, slopes) = weigh::judge(weighed, now, point);
        (ln, slopes.blunder)
    }

    /// The chances of an entry's run, by its number in the log, at a point, whatever was read; spreads taken at `at`.
    pub fn run_chance<'a>(
        &'a self,
        number: usize,
        now: &Now,
        point: &[f64],
        stack: &mut Stack,
        at: &Aim,
    ) -> RunChance<'a, EDGES> {
        let (log, piece) = (&self.log, &self.log.pieces[number]);
        stack.lay(log, piece, now, point);
        stack.melt_edges(log, piece, now, point);
        RunChance::new(
            log,
            piece,
            &self.frozen[number],
            now,
            stack,
            at.run_m,
            &at.marks,
        )
        .0
    }

    /// A run to ask an entry's chances of, by its number in the log.
    pub fn aim(&self, number: usize, run_m: f64) -> Aim {
        let (piece, frozen) = (&self.log.pieces[number], &self.frozen[number]);
        let held = if piece.held { self.retention_m2 } else { 0.0 };
        let mut marks = Vec::new();
        for (strip, thickness_m) in strips(&self.log, piece).iter().zip(frozen.thickness_m) {
            marks.push(Mark::of(strip, run_m, thickness_m, held * strip.held));
        }
        Aim { run_m, marks }
    }

    fn marks_of(&self, piece: &Piece) -> &[Mark] {
        let from = 2 * piece.strips.from as usize;
        &self.marks[from..from + 2 * edges(piece)]
    }

    /// Adds each spread and share its slope, or its slope squared.
    fn give_spreads(&self, now: &Now, judged: &Judged, mut to: impl FnMut(usize, f64)) {
        let (mut coat, mut outlier, mut noise) = (0.0, 0.0, 0.0);
        if let Some(run) = &judged.run {
            to(global::PLACE, run.place * now.place.slope);
            to(global::STUCK, run.stuck * now.stuck.slope);
            to(global::WHOLE_MM, run.whole_mm * now.whole_mm.slope);
            noise += run.noise;
            coat += run.coat;
            outlier += run.outlier;
        }
        if let Some(look) = &judged.look {
            to(global::LOOK_SIGMA, look.sigma * now.look_sigma.slope);
            coat += look.coat;
            outlier += look.outlier;
        }
        if let Some(seen) = &judged.texture {
            to(global::CRISP_CUT, seen.cuts[0]);
            to(global::BURIED_GAP, seen.cuts[1]);
            to(global::TEXTURE_SIGMA, seen.sigma * now.texture_sigma.slope);
            noise += seen.noise;
            coat += seen.coat;
            outlier += seen.outlier;
        }
        to(global::NOISE, noise * now.noise.slope);
        to(global::COAT, coat * now.coat.slope);
        to(global::OUTLIER, outlier * now.outlier.slope);
    }
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
        let mut sum = prior::ln_prior(&self.log.unknowns, at, gradient);
        let (log, now) = (&self.log, self.now(at));
        let first = log.unknowns.globals();
        let (mut stack, mut reach) = (Stack::default(), Reach::default());
        for (piece, frozen) in log.pieces.iter().zip(&self.frozen) {
            let judged = self.judge(piece, frozen, &now, at, &mut stack);
            sum += judged.ln;
            reach.clear(&stack, piece);
            if let Some(run) = &judged.run {
                for (edge, film) in stack.films.iter().enumerate().take(piece.edges as usize) {
                    reach.film(log, piece, &now, film, run.eta[edge], run.ln_h[edge]);
                }
                reach.ln_retention = run.ln_retention;
            }
            if let (Some(look), Some((_, cuts))) = (&judged.look, piece.look) {
                reach.look(look, look.per_x);
                gradient[cuts as usize] += look.per_cuts[0];
                gradient[cuts as usize + 1] += look.per_cuts[1];
            }
            if let Some(seen) = &judged.texture {
                reach.film(
                    log,
                    piece,
                    &now,
                    &stack.over_texture,
                    seen.by[0],
                    seen.by[1],
                );
            }
            reach.give(log, piece, &now, at, gradient);
            self.give_spreads(&now, &judged, |which, slope| {
                gradient[first + which] += slope
            });
        }
        for weighed in &log.weighed {
            let (ln, slopes) = weigh::judge(weighed, &now, at);
            sum += ln;
            give_mass(log, &weighed.laid, &now, at, slopes.per_ln_mass, gradient);
            gradient[first + global::COAT] += slopes.per_coat * now.coat.slope;
            gradient[first + global::PLACE] += slopes.per_place * now.place.slope;
            gradient[first + global::OUTLIER] += slopes.per_outlier * now.outlier.slope;
        }
        if sum.is_finite() && gradient.iter().all(|g| g.is_finite()) {
            sum
        } else {
            f64::NEG_INFINITY
        }
    }

    fn shared(&self) -> std::ops::Range<usize> {
        let first = self.log.unknowns.globals();
        first - self.log.unknowns.used.hands.len().min(MOST_HANDS)..first + global::COUNT
    }

    fn by_differences(&self) -> Vec<usize> {
        let first = self.log.unknowns.globals();
        let spreads = [
            // Spreads hang on what the edge holds.
            global::LN_RETENTION,
            global::NOISE,
            global::PLACE,
            global::COAT,
            global::OUTLIER,
            global::STUCK,
            global::WHOLE_MM,
            global::LOOK_SIGMA,
            global::CRISP_CUT,
            global::BURIED_GAP,
            global::TEXTURE_SIGMA,
        ];
        spreads.iter().map(|which| first + which).collect()
    }

    fn curvature(&self, at: &[f64]) -> Arrow {
        self.curvature_from(at, 0.0)
    }

    fn bend(&self, at: &[f64]) -> Arrow {
        self.curvature_from(at, f64::NEG_INFINITY)
    }
}

impl Model {
    /// Curvature of −log density, no reading's part of it below `least`.
    fn curvature_from(&self, at: &[f64], least: f64) -> Arrow {
        let mut arrow = Arrow::zeros(self.len(), self.separate());
        for (i, (prior, x)) in self.log.unknowns.priors.iter().zip(at).enumerate() {
            arrow.add_diagonal(i, prior.curvature(*x));
        }
        let (log, now) = (&self.log, self.now(at));
        let first = log.unknowns.globals();
        let (mut stack, mut reach, mut row) =
            (Stack::default(), Reach::default(), Row::new(self.len()));
        for (piece, frozen) in log.pieces.iter().zip(&self.frozen) {
            let judged = self.judge(piece, frozen, &now, at, &mut stack);
            // Spreads and shares by their squared scores, which is right on average (the information equality).
            self.give_spreads(&now, &judged, |which, slope| {
                arrow.add_diagonal(first + which, slope * slope)
            });
            if let Some(run) = &judged.run {
                reach.clear(&stack, piece);
                for (edge, film) in stack.films.iter().enumerate().take(piece.edges as usize) {
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
                row.flush(run.curvature.max(least), &mut arrow);
            }
            if let (Some(look), Some((_, cuts))) = (&judged.look, piece.look) {
                let half = at[cuts as usize + 1].exp();
                for (curvature, side) in look.curvature.iter().zip([-half, half]) {
                    reach.clear(&stack, piece);
                    reach.look(look, -1.0);
                    reach.give(log, piece, &now, at, &mut row.dense);
                    places_of(log, piece, &mut row.places);
                    row.dense[cuts as usize] += 1.0;
                    row.dense[cuts as usize + 1] += side;
                    row.places.extend([cuts, cuts + 1]);
                    row.flush(curvature.max(least), &mut arrow);
                }
            }
            if let Some(seen) = &judged.texture {
                reach.clear(&stack, piece);
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
                row.flush(seen.curvature.max(least), &mut arrow);
            }
        }
        for weighed in &log.weighed {
            let (_, slopes) = weigh::judge(weighed, &now, at);
            give_mass(log, &weighed.laid, &now, at, 1.0, &mut row.dense);
            places_of_mass(log, &weighed.laid, &mut row.places);
            row.flush(slopes.curvature, &mut arrow);
            arrow.add_diagonal(
                first + global::COAT,
                (slopes.per_coat * now.coat.slope).powi(2),
            );
        }
        arrow
    }
}

/// So many hands count among what all entries share.
const MOST_HANDS: usize = 12;

/// How many edges of an entry are looked at.
fn edges(piece: &Piece) -> usize {
    (piece.edges as usize).min(EDGES)
}

fn strips<'a>(log: &'a Log, piece: &Piece) -> &'a [Strip] {
    &piece.strips.of(&log.strips)[..edges(piece)]
}

fn marks_of<'a>(piece: &Piece, marks: &'a mut [Mark]) -> &'a mut [Mark] {
    let from = 2 * piece.strips.from as usize;
    &mut marks[from..from + 2 * edges(piece)]
}

/// Marks of a run for an entry whose films are in `stack`; those that stand near by are kept.
fn hold_marks(
    log: &Log,
    piece: &Piece,
    run_m: f64,
    stack: &Stack,
    now: &Now,
    marks: &mut [Mark],
    known: &mut Marks,
) {
    let held = if piece.held { now.retention_m2 } else { 0.0 };
    for ((mark, strip), film) in marks.iter_mut().zip(strips(log, piece)).zip(&stack.films) {
        let held = held * strip.held;
        let thickness_m = film.thickness * frozen::thicker(piece, now);
        if !mark.is_near(thickness_m, held) {
            *mark = known.of(strip, run_m, thickness_m, held);
        }
    }
}

/// A sparse row under construction: values by place, and the places that may have one.
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
            .retain(|place| self.dense[*place as usize] != 0.0);
        self.values.clear();
        for place in &self.places {
            self.values
                .push(std::mem::take(&mut self.dense[*place as usize]));
        }
        arrow.add_outer(weight, &self.places, &self.values);
        self.places.clear();
    }
}
