//! The whole model: how likely the log is at a point, and which way that rises.
//!
//! Takes a [`Log`] and a point of its unknowns; gives the log density with its gradient, a curvature to sample by, and, entry by entry, the chances that
//! calibration and odd entries ask for.

mod chance;
mod curvature;
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
mod ways;
mod weigh;
mod written;

pub use chance::{Margins, RunChance};
pub use mark::{Mark, Marks};
pub use now::Now;
pub use stack::{EDGES, Stack};
pub use written::LOOKS_STUCK_M;

use super::arrow::Arrow;
use super::data::{Log, Piece, RunRead, Strip, Weighed};
use super::mixture::Mixture;
use super::target::{self, Target, both};
use super::unknowns::global;
use crate::real::{Mask, Pair, Real};
use chance::Entry;
use frozen::Frozen;
use look::LookSlopes;
use mark::{COEFFICIENTS, Line};
use reach::{Reach, give_mass};
use run::{Ends, Room};
use texture::TextureSlopes;
use ways::Ways;

/// The posterior of a log.
#[derive(Clone, Debug)]
pub struct Model {
    /// The log.
    pub log: Log,
    most_coats: usize,
    ways: Ways,
    /// By entry.
    frozen: Vec<Frozen>,
    /// What was read, on every edge.
    marks: Marks,
    /// By entry, from twice its first strip on, numbers of marks: of what was read, an edge each, then of the other end of it.
    marked: Vec<u32>,
    /// Retention at which spreads and marks are held, m².
    retention_m2: f64,
}

/// What one entry's readings say at a point, as far as it has them, and room to work that out in, kept from entry to entry.
#[derive(Clone, Debug, Default)]
pub struct Judged {
    stack: Stack,
    run: Room,
    look: LookSlopes,
    texture: TextureSlopes,
}

impl Judged {
    /// Of the entry judged last: the chance that its run is a blunder.
    pub fn blunder(&self) -> Pair {
        self.run.slopes.blunder
    }
}

/// A log's marks at one retention.
#[derive(Clone, Debug, Default)]
pub struct Lines<'a> {
    marks: &'a [Mark],
    /// Numbers of each mark, so many of each.
    numbers: Vec<Pair>,
}

impl<'a> Lines<'a> {
    /// Of `marks` at the log of a retention.
    pub fn of(marks: &'a Marks, ln_retention: Pair) -> Self {
        let marks = &marks.list[..];
        let mut numbers = vec![Pair::ZERO; COEFFICIENTS * marks.len()];
        for (mark, to) in marks.iter().zip(numbers.chunks_exact_mut(COEFFICIENTS)) {
            mark.at(ln_retention, to);
        }
        Self { marks, numbers }
    }

    /// Those of an entry's edges by their numbers; what there is no edge for is any.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn of_edges(&self, numbers: &[u32]) -> [Line<'_>; EDGES] {
        let at = |edge: usize| {
            let number = numbers[if edge < numbers.len() { edge } else { 0 }] as usize;
            let from = COEFFICIENTS * number;
            Line::of(
                &self.marks[number],
                &self.numbers[from..from + COEFFICIENTS],
            )
        };
        [at(0), at(1), at(2)]
    }
}

/// Of a reading without another end, or with the same.
const NO_MARK: u32 = u32::MAX;

impl Model {
    /// The posterior of `log`.
    pub fn new(log: Log) -> Self {
        let middle = log.unknowns.middle();
        Self::held(log, &middle)
    }

    /// The posterior of `log` with its spreads held at `point`.
    pub fn held(log: Log, point: &[f64]) -> Self {
        let layers = log.layers.iter().chain(log.weighed.iter().map(|w| &w.laid));
        let most_coats = layers.map(|l| l.coats).max().unwrap_or(0) as usize;
        let mut model = Self {
            frozen: Vec::new(),
            marks: Marks::default(),
            marked: Vec::new(),
            retention_m2: 0.0,
            most_coats,
            ways: Ways::of(&log),
            log,
        };
        model.hold(point);
        model
    }

    /// Holds how much each layer's luck counts at `point`, and how far the film is behind gravity's law about there: the likelihood is then that of spreads
    /// about it.
    pub fn hold(&mut self, point: &[f64]) {
        let point = &both(point)[..];
        let now = self.now(point);
        let log = &self.log;
        let mut stack = Stack::default();
        let before = std::mem::replace(&mut self.marks, Marks::for_strips(log.strips.len()));
        self.marked.resize(2 * log.strips.len(), NO_MARK);
        self.frozen.clear();
        self.retention_m2 = one(now.retention_m2);
        for (number, piece) in log.pieces.iter().enumerate() {
            let kind = self.ways.drips[number];
            stack.lay(&self.ways, piece, &now, point);
            stack.shift(log, piece, &now, point);
            stack.melt_edges(log, piece, &now);
            let mut numbers = [[Pair::ZERO; COEFFICIENTS]; EDGES];
            let mut places = [0; EDGES];
            if let Some(read) = &piece.run {
                let held = if piece.held { self.retention_m2 } else { 0.0 };
                let thicker = frozen::thicker(piece, &now);
                let (at_m, lower_m) = written::wanted(read);
                let first = 2 * piece.strips.from as usize;
                for (edge, strip) in strips(log, piece).iter().enumerate() {
                    let (thickness_m, held) = (
                        one(stack.films[edge].thickness) * thicker,
                        held * strip.held,
                    );
                    let lower_m = lower_m.filter(|m| *m != at_m);
                    for (run_m, place) in [(Some(at_m), edge), (lower_m, edges(piece) + edge)] {
                        let Some(run_m) = run_m else { continue };
                        let number = &mut self.marked[first + place];
                        // One that stands near by is kept.
                        *number = match before.list.get(*number as usize) {
                            Some(mark) if mark.is_near(thickness_m, held) => {
                                self.marks.take_over(&before, *number)
                            }
                            _ => self.marks.number(strip, run_m, thickness_m, held),
                        };
                    }
                    places[edge] = self.marked[first + edge] as usize;
                    let mark = &mut self.marks.list[places[edge]];
                    mark.dense |= matches!(read, RunRead::Ruler { .. });
                    mark.at(now.ln_retention, &mut numbers[edge]);
                }
            }
            if let Some(relief) = &piece.relief {
                stack.melt_texture(log, piece, &now, relief.strip as usize);
            }
            let none = Mark::default();
            let line = |edge: usize| {
                let mark = self.marks.list.get(places[edge]).unwrap_or(&none);
                Line::of(mark, &numbers[edge])
            };
            let lines = [line(0), line(1), line(2)];
            self.frozen
                .push(Frozen::of(log, piece, &now, &stack, &lines, kind));
        }
    }

    /// The studio's numbers at a point.
    pub fn now(&self, point: &[Pair]) -> Now {
        Now::new(&self.log.unknowns, point, &self.ways, self.most_coats)
    }

    /// The marks of all readings at a point.
    pub fn lines(&self, now: &Now) -> Lines<'_> {
        Lines::of(&self.marks, now.ln_retention)
    }

    /// Likelihood of all that was read of an entry, by its number in the log, a factor per kind of reading. `with` is shown the chances of its run before anybody
    /// reads it.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn judge<'a>(
        &'a self,
        number: usize,
        now: &Now,
        lines: &Lines<'_>,
        point: &[Pair],
        judged: &mut Judged,
        with: Option<&mut dyn FnMut(&RunChance<'a>)>,
    ) -> [Pair; 3] {
        let log = &self.log;
        let (piece, frozen) = (&log.pieces[number], &self.frozen[number]);
        let stack = &mut judged.stack;
        stack.lay(&self.ways, piece, now, point);
        stack.shift(log, piece, now, point);
        let mut p = [Pair::ONE; 3];
        judged.run.slopes.blunder = Pair::ZERO;
        if let Some(read) = &frozen.reading {
            stack.melt_edges(log, piece, now);
            let (first, edges) = (2 * piece.strips.from as usize, edges(piece));
            let (upper, lower) = self.marked[first..first + 2 * edges].split_at(edges);
            let upper = lines.of_edges(upper);
            // Where there is none, the upper one stands in and is not looked at.
            let has_lower = lower[0] != NO_MARK;
            let lower = if has_lower {
                lines.of_edges(lower)
            } else {
                upper
            };
            let ends = Ends {
                upper: &upper,
                lower: has_lower.then_some(&lower),
            };
            let entry = Entry { log, piece, frozen };
            let mut chance = RunChance::new(entry, now, stack);
            p[0] = run::judge(&mut chance, read, log.words, now, ends, &mut judged.run);
            if let Some(with) = with {
                with(&chance);
            }
        }
        if let Some((look, cuts)) = piece.look {
            let half = now.half(&log.unknowns, cuts).value;
            let cuts = &[point[cuts as usize], half];
            let held = (piece, &frozen.look);
            p[1] = look::judge(look, cuts, held, now, stack, &mut judged.look);
        }
        if let Some(relief) = &piece.relief {
            stack.melt_texture(log, piece, now, relief.strip as usize);
            let film = &stack.over_texture;
            let held = (piece, &frozen.texture);
            p[2] = texture::judge(relief, held, film, now, &mut judged.texture);
        }
        p
    }

    /// Log likelihood of an entry, by its number in the log, at a point. `with` is shown the chances of its run, whatever was read.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn ln_likelihood<'a>(
        &'a self,
        number: usize,
        now: &Now,
        lines: &Lines<'_>,
        point: &[Pair],
        judged: &mut Judged,
        with: &mut dyn FnMut(&RunChance<'a>),
    ) -> Pair {
        let p = self.judge(number, now, lines, point, judged, Some(with));
        p[0].logarithm() + p[1].logarithm() + p[2].logarithm()
    }

    /// Log likelihood of a weigh-in, and the chance that it is a blunder.
    pub fn weighed_ln_likelihood(
        &self,
        weighed: &Weighed,
        now: &Now,
        point: &[Pair],
    ) -> (Pair, Pair) {
        let (ln, slopes) = weigh::judge(weighed, now, point);
        (ln, slopes.blunder)
    }

    /// Numbers in `marks` of the marks of a run on each edge of an entry, by its number in the log.
    pub fn aim(&self, number: usize, run_m: f64, marks: &mut Marks) -> [u32; EDGES] {
        let (piece, frozen) = (&self.log.pieces[number], &self.frozen[number]);
        let held = if piece.held { self.retention_m2 } else { 0.0 };
        let mut numbers = [0; EDGES];
        for (edge, strip) in strips(&self.log, piece).iter().enumerate() {
            let thickness_m = frozen.thickness_m[edge];
            numbers[edge] = marks.number(strip, run_m, thickness_m, held * strip.held);
        }
        numbers
    }

    /// Adds each spread and share its slope, or its slope squared.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn give_spreads(
        &self,
        piece: &Piece,
        now: &Now,
        judged: &Judged,
        mut to: impl FnMut(usize, Pair),
    ) {
        let (mut coat, mut outlier, mut noise) = (Pair::ZERO, Pair::ZERO, Pair::ZERO);
        if piece.run.is_some() {
            let run = &judged.run.slopes;
            to(global::PLACE, run.place * now.place.slope);
            to(global::STUCK, run.stuck * now.stuck.slope);
            to(global::WHOLE_MM, run.whole_mm * now.whole_mm.slope);
            noise += run.noise;
            coat += run.coat;
            outlier += run.outlier;
        }
        if piece.look.is_some() {
            let look = &judged.look;
            to(global::LOOK_SIGMA, look.sigma * now.look_sigma.slope);
            coat += look.coat;
            outlier += look.outlier;
        }
        if piece.relief.is_some() {
            let seen = &judged.texture;
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
        self.log.unknowns.middle()
    }

    fn ln_density(&self, at: &[f64], gradient: &mut [f64]) -> f64 {
        target::one_of_both(self, at, gradient)
    }

    #[cfg_attr(fast_by_function, optimize(speed))]
    fn ln_densities(&self, at: &[Pair], gradient: &mut [Pair]) -> Pair {
        let mut sum = prior::ln_prior(&self.log.unknowns, at, gradient);
        let (log, now) = (&self.log, self.now(at));
        let lines = self.lines(&now);
        let first = log.unknowns.globals();
        let (mut judged, mut reach) = (Judged::default(), Reach::default());
        let mut mass = self.ways.slopes();
        let mut product = Pair::ONE;
        let (least, most) = (Pair::splat(1e-180), Pair::splat(1e180));
        for (number, piece) in log.pieces.iter().enumerate() {
            let p = self.judge(number, &now, &lines, at, &mut judged, None);
            for p in &p {
                // One logarithm of many factors.
                let longer = product * *p;
                let full = !(least.below(longer) & longer.below(most));
                if full.somewhere() {
                    let taken = product.logarithm() + p.logarithm();
                    sum += Pair::either(full, taken, Pair::ZERO);
                }
                product = Pair::either(full, Pair::ONE, longer);
            }
            let stack = &judged.stack;
            reach.clear(stack, piece, &now);
            if piece.run.is_some() {
                let run = &judged.run.slopes;
                for (edge, film) in stack.films.iter().enumerate().take(edges(piece)) {
                    reach.film(log, piece, &now, film, run.eta[edge], run.ln_h[edge]);
                }
                reach.ln_retention = run.ln_retention;
            }
            if let Some((_, cuts)) = piece.look {
                let look = &judged.look;
                reach.look(look, look.per_x);
                gradient[cuts as usize] += look.per_cuts[0];
                let half = now.half(&log.unknowns, cuts).slope;
                gradient[cuts as usize + 1] += look.per_cuts[1] * half;
            }
            if piece.relief.is_some() {
                let by = judged.texture.by;
                reach.film(log, piece, &now, &stack.over_texture, by[0], by[1]);
            }
            reach.give_with_ways(log, piece, (&self.ways, &mut mass), &now, gradient);
            self.give_spreads(piece, &now, &judged, |which, slope| {
                gradient[first + which] += slope
            });
        }
        sum += product.logarithm();
        let factors = &now.factors;
        self.ways
            .give(&mass, factors, now.carry, &log.unknowns, at, gradient);
        for weighed in &log.weighed {
            let (ln, slopes) = weigh::judge(weighed, &now, at);
            sum += ln;
            give_mass(log, &weighed.laid, &now, at, slopes.per_ln_mass, gradient);
            gradient[first + global::COAT] += slopes.per_coat * now.coat.slope;
            gradient[first + global::PLACE] += slopes.per_place * now.place.slope;
            gradient[first + global::OUTLIER] += slopes.per_outlier * now.outlier.slope;
        }
        // Where any of it is no number or infinite, so is this.
        let mut all = sum * 0.0;
        for slope in gradient {
            all += *slope * 0.0;
        }
        Pair::either(all.simd_eq(Pair::ZERO), sum, Pair::splat(f64::NEG_INFINITY))
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

    fn mixtures(&self, at: &[f64]) -> Vec<Mixture> {
        self.log.unknowns.mixtures(at)
    }

    fn curvature(&self, at: &[f64]) -> Arrow {
        self.curvature_from(at, 0.0)
    }

    fn bend(&self, at: &[f64]) -> Arrow {
        self.curvature_from(at, f64::NEG_INFINITY)
    }
}

/// The first of two points.
fn one(pair: Pair) -> f64 {
    pair.to_array()[0]
}

/// How many edges of an entry are looked at.
fn edges(piece: &Piece) -> usize {
    (piece.edges as usize).min(EDGES)
}

fn strips<'a>(log: &'a Log, piece: &Piece) -> &'a [Strip] {
    &piece.strips.of(&log.strips)[..edges(piece)]
}
