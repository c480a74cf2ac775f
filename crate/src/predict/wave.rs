//! Gravity's own wave down the outside of a piece: the film without its surface tension, some hundred times cheaper.
//!
//! Takes the wall and what lies on it, thickness and fluidity over those of one stretch; gives step by step of the clock where the edge is and what
//! has passed the foot. The kinematic wave of a film whose fluidity travels with the melt (physics/film with gamma 0), in cells of melt
//! that move: each face goes at the mean speed of the cell behind it, which pushes what is slower before it. Second order in the clock, and in space
//! while a film thins.

use super::on_piece::OnPiece;
use crate::physics::constants::{GRAVITY, RHO};
use crate::physics::root::cube_root;
use crate::studio::case::Case;

/// Distance of two nodes of the wall's table, m.
const NODE_M: f64 = 1e-3;
/// The wall goes on this far past the foot, m.
const PAST_FOOT_M: f64 = 0.3;
/// Cells from top to lowest line, and at least in one stretch.
const CELLS: f64 = 24.0;
const LEAST_CELLS: usize = 4;
/// Least length of a cell, m, and least radius of the wall, m.
const LEAST_M: f64 = 1e-7;
const LEAST_RADIUS_M: f64 = 1e-3;
/// A cell's new length is near enough after a step of this share of it; and no more steps than these.
const NEAR: f64 = 1e-2;
const MOST_HALLEY: usize = 8;

/// The wall from the rim's crest down, as gravity sees it.
#[derive(Clone, Debug)]
pub struct Slope {
    /// ρ g sinθ/3, N/m³, and radius, m, at each node.
    nodes: Vec<[f64; 2]>,
    /// Lowest glaze line and foot, m down from the crest.
    pub lowest_m: f64,
    foot_m: f64,
    /// How much narrower the wall gets on its way down to the foot: a film thickens as much.
    narrows: f64,
}

impl Slope {
    /// Of a case's piece.
    pub fn of(case: &Case) -> Self {
        let profile = OnPiece::outside(case, PAST_FOOT_M).into_profile();
        let mut s = Vec::new();
        while s.len() as f64 * NODE_M <= profile.length_m() {
            s.push(s.len() as f64 * NODE_M);
        }
        let mut nodes = Vec::with_capacity(s.len());
        for place in profile.at_each(&s) {
            let fall = -place.psi_rad.sin();
            let fall = if fall > 0.0 { fall } else { 0.0 };
            let r = if profile.is_tile() { 1.0 } else { place.r_m };
            nodes.push([RHO * GRAVITY / 3.0 * fall, r.max(LEAST_RADIUS_M)]);
        }
        let foot_m = case.lowest_m + case.bare_below_m;
        let (mut widest, mut narrows) = (0.0, 1.0);
        for (i, [_, r]) in nodes.iter().enumerate() {
            if i as f64 * NODE_M <= foot_m + NODE_M {
                widest = if *r > widest { *r } else { widest };
                narrows = if widest > narrows * r {
                    widest / r
                } else {
                    narrows
                };
            }
        }
        Self {
            nodes,
            narrows,
            lowest_m: case.lowest_m,
            foot_m,
        }
    }

    /// Whether an edge may come `least_m` below the lowest line by this clock: no front goes faster than the film behind it would by itself where the wall is narrowest, and none has more
    /// before it than what lay there, pushed together to the thickness at which it goes as fast. `lies` from the crest down.
    pub fn may_run(&self, lies: &[Lies], clock: f64, least_m: f64) -> bool {
        let mut below = 0.0;
        for l in lies.iter().rev() {
            let speed = l.fluidity * l.thickness * l.thickness;
            let gap = self.lowest_m - l.to_m;
            let pushed = if below < speed {
                (below / speed).sqrt()
            } else {
                1.0
            };
            let free_m = RHO * GRAVITY / 3.0 * speed * self.narrows * self.narrows * clock;
            if free_m >= least_m + gap * (1.0 - pushed) {
                return true;
            }
            below = if speed > below { speed } else { below };
        }
        false
    }

    #[inline]
    fn at(&self, s: f64) -> [f64; 2] {
        let x = if s > 0.0 { s / NODE_M } else { 0.0 };
        let i = x as usize;
        if i + 1 >= self.nodes.len() {
            return self.nodes[self.nodes.len() - 1];
        }
        let (a, b, t) = (self.nodes[i], self.nodes[i + 1], x - i as f64);
        [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
    }
}

/// A stretch of the wall under one film.
#[derive(Clone, Copy, Debug)]
pub struct Lies {
    /// Where it starts and ends, m down from the crest.
    pub from_m: f64,
    /// Where it ends.
    pub to_m: f64,
    /// Thickness over the main stretch's.
    pub thickness: f64,
    /// Fluidity over the main stretch's.
    pub fluidity: f64,
}

/// A cell of melt and the face at its lower end.
#[derive(Clone, Copy, Debug)]
struct Cell {
    /// Its melt per radian over the main stretch's thickness, m².
    melt: f64,
    fluidity: f64,
    /// Its lower face, m down from the crest.
    to: f64,
    /// The same one step before.
    was: f64,
    /// Whether bare clay lies below that face.
    front: bool,
}

/// The wave at one reading of the clock.
#[derive(Clone, Debug)]
pub struct Wave<'a> {
    slope: &'a Slope,
    cells: Vec<Cell>,
    /// Upper end of the first cell, m.
    top: f64,
    /// The film that a front runs over, over the main stretch's thickness.
    precursor: f64,
    /// The last step of the clock.
    step: f64,
    /// The clock, `H² Phi` of the main stretch, m²/Pa.
    pub clock: f64,
}

impl<'a> Wave<'a> {
    /// Before the firing. `lies` from the crest down.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn new(slope: &'a Slope, lies: &[Lies], precursor: f64) -> Self {
        let top = lies.first().map_or(0.0, |l| l.from_m);
        let mut cells: Vec<Cell> = Vec::new();
        let mut at = top;
        for stretch in lies {
            if stretch.from_m > at + LEAST_M {
                // Bare wall between two glazes: nothing lies there until the upper one comes.
                cells.push(Cell {
                    melt: 0.0,
                    fluidity: 0.0,
                    to: stretch.from_m,
                    was: stretch.from_m,
                    front: false,
                });
                if let Some(above) = cells.len().checked_sub(2).and_then(|i| cells.get_mut(i)) {
                    above.front = true;
                }
            }
            let length = stretch.to_m - stretch.from_m;
            let share = length / (slope.lowest_m - top);
            let count = ((CELLS * share) as usize).max(LEAST_CELLS);
            at = stretch.from_m;
            for i in 1..=count {
                let to = stretch.from_m + length * i as f64 / count as f64;
                let melt = stretch.thickness * (to - at) * slope.at(0.5 * (at + to))[1];
                cells.push(Cell {
                    melt,
                    fluidity: stretch.fluidity,
                    to,
                    was: to,
                    front: false,
                });
                at = to;
            }
        }
        if let Some(last) = cells.last_mut() {
            last.front = true;
        }
        Self {
            slope,
            cells,
            top,
            precursor,
            step: 0.0,
            clock: 0.0,
        }
    }

    /// Goes on to a later reading of the clock.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn go_to(&mut self, clock: f64) {
        let dt = clock - self.clock;
        self.clock = clock;
        // Backward differences of second order for steps of any ratio; the first step is of first order.
        let ratio = if self.step > 0.0 { dt / self.step } else { 0.0 };
        self.step = dt;
        let before = ratio * ratio / (1.0 + 2.0 * ratio);
        let implicit = (1.0 + ratio) / (1.0 + 2.0 * ratio) * dt;
        let mut behind = self.top;
        let (mut behind_was, mut behind_before) = (self.top, self.top);
        // Thickness and length of the cell behind, before the step.
        let (mut thinner, mut its_length) = (0.0, 1.0);
        for cell in &mut self.cells {
            let [pull, _] = self.slope.at(cell.to);
            let length = cell.to - behind_was;
            let length = if length > LEAST_M { length } else { LEAST_M };
            let [_, r] = self.slope.at(cell.to - 0.5 * length);
            let h = cell.melt / (r * length);
            // Thickness at the face itself where the film gets thicker on its way down: a thinning tail.
            let mut face = 1.0;
            if h > thinner && thinner > 0.0 {
                let rise = (h - thinner) * length / (h * (length + its_length));
                face = 1.0 + if rise < 1.0 { rise } else { 1.0 };
            }
            if cell.front {
                // A shock over a film b thick goes at k (h² + h b + b²) (mass on both sides of it).
                face *= 1.0 + 0.5 * self.precursor / h;
            }
            let melt = face * h * length;
            let c = implicit * pull * cell.fluidity * melt * melt;
            // x² (x − b) = c for the cell's new length, from how it grew in the last step. Only `b` waits for the cell behind.
            let grown = length + ratio * (length - (cell.was - behind_before));
            let b = cell.to + before * (cell.to - cell.was) - behind;
            let x = if c > 0.0 { root(b, c, grown) } else { b };
            behind_before = cell.was;
            let to = behind + if x > LEAST_M { x } else { LEAST_M };
            (thinner, its_length) = (h, length);
            behind_was = cell.to;
            if cell.front && to > cell.to {
                // What it runs over it takes along.
                cell.melt += self.precursor * r * (to - cell.to);
            }
            cell.was = cell.to;
            cell.to = to;
            behind = to;
        }
    }

    /// Lowest place that has `held` of melt per width beyond it, over the main stretch's thickness, m below the lowest line; the top where there is less.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn edge_m(&self, held: f64) -> f64 {
        let mut beyond = 0.0;
        for (i, cell) in self.cells.iter().enumerate().rev() {
            let from = if i == 0 {
                self.top
            } else {
                self.cells[i - 1].to
            };
            let length = cell.to - from;
            let [_, r] = self.slope.at(cell.to - 0.5 * length);
            if cell.melt > 0.0 && beyond + cell.melt >= held * r {
                let share = (held * r - beyond) / cell.melt;
                let share = if share > 0.0 { share } else { 0.0 };
                return cell.to - length * share - self.slope.lowest_m;
            }
            beyond += cell.melt;
        }
        self.top - self.slope.lowest_m
    }

    /// Melt past the foot per width of it, over the main stretch's thickness, m.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn past_foot(&self) -> f64 {
        let foot = self.slope.foot_m;
        let mut past = 0.0;
        for (i, cell) in self.cells.iter().enumerate().rev() {
            if cell.to <= foot {
                break;
            }
            let from = if i == 0 {
                self.top
            } else {
                self.cells[i - 1].to
            };
            let share = (cell.to - foot) / (cell.to - from);
            past += cell.melt * if share < 1.0 { share } else { 1.0 };
        }
        past / self.slope.at(foot)[1]
    }
}

/// The largest root of x² (x − b) = c for c > 0, from near `x`: Halley's method, whose error is the cube of the one before.
#[inline]
fn root(b: f64, c: f64, x: f64) -> f64 {
    let mut x = x;
    if x <= 0.0 || x < 0.75 * b {
        x = (if b > 0.0 { b } else { 0.0 }) + cube_root(c);
    }
    for _ in 0..MOST_HALLEY {
        let f = x * x * (x - b) - c;
        let rise = x * (3.0 * x - 2.0 * b);
        let step = f * rise / (rise * rise - f * (3.0 * x - b));
        x -= step;
        if step < NEAR * x && -step < NEAR * x {
            break;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studio::file;

    /// An upright mug glazed from 20 to 100 mm below the rim, 10 mm bare below.
    fn slope() -> Slope {
        let text = r#"{"format":"glazefall-studio","version":1,"id":"s","name":"s","glazes":[{"id":"a","name":"a","kind":"fluid","usual_sg":1.45}],
            "forms":[{"id":"m","name":"m","shape":{"family":"mug","height_mm":200,"rim_diameter_mm":100,"foot_diameter_mm":100}}],
            "entries":[{"id":"e","code":"E","name":"","form":"m","bare_below_mm":10,
            "layers":[{"glaze":"a","zone":{"from_mm":20,"to_mm":100},"how":{"method":"brush","coats":3}}]}]}"#;
        let studio = file::read(text).unwrap();
        Slope::of(&Case::of(&studio, &studio.entries[0]).unwrap())
    }

    fn lies(from_mm: f64, to_mm: f64, thickness: f64, fluidity: f64) -> Lies {
        Lies {
            from_m: from_mm * 1e-3,
            to_m: to_mm * 1e-3,
            thickness,
            fluidity,
        }
    }

    /// The wave where a full front would have gone `free_m`, in steps as a draw takes them.
    fn wave<'a>(slope: &'a Slope, lies: &[Lies], free_m: f64) -> Wave<'a> {
        let mut wave = Wave::new(slope, lies, 0.0);
        let end = free_m * 3.0 / (RHO * GRAVITY);
        for i in (0..60).rev() {
            wave.go_to(end * 10f64.powf(-0.05 * f64::from(i)));
        }
        wave
    }

    /// Jeffreys 1930 and Huppert 1982: a band of 80 mm runs k h² Phi up to half its length, then its end lies at (27/4 h² l² k Phi)^(1/3) below its top: 240 mm
    /// where k h² Phi is four lengths. A hundredth: what the cells and steps cost.
    #[test]
    fn a_band_runs_by_the_exact_law() {
        let slope = slope();
        let band = [lies(20.0, 100.0, 1.0, 1.0)];
        let full = wave(&slope, &band, 0.03);
        assert!(
            (full.edge_m(1e-6) - 0.03).abs() < 3e-4,
            "{}",
            full.edge_m(1e-6)
        );
        // What is past the foot, 10 mm down, is a full film 20 mm long.
        assert!(
            (full.past_foot() - 0.02).abs() < 2e-4,
            "{}",
            full.past_foot()
        );
        // An edge that holds 5 mm of a full film stands that much higher.
        assert!((full.edge_m(5e-3) - 0.025).abs() < 3e-4);
        let thin = wave(&slope, &band, 0.32).edge_m(1e-6);
        assert!((thin - 0.16).abs() < 2.4e-3, "{thin}");
    }

    /// Two layers of one glaze, the upper twice the lower's thickness and ending 15 mm higher: the shock between them takes up what lies below at twice
    /// its thickness, so the lower edge has gone `k (2h)² Phi − 15 mm (1 − 1/2)` once the shock has come to it (mass before the shock: derived). The same
    /// where the lower is as thick but four times stiffer: it is pushed together to twice its thickness.
    #[test]
    fn a_thick_film_takes_up_a_thin_one() {
        let slope = slope();
        for below in [lies(85.0, 100.0, 0.5, 1.0), lies(85.0, 100.0, 1.0, 0.25)] {
            let upper = lies(20.0, 85.0, 1.0, 1.0);
            let run = wave(&slope, &[upper, below], 0.03).edge_m(1e-6);
            let pushed = 15e-3 * below.thickness * below.fluidity.sqrt();
            assert!((run - (0.03 - 0.015 + pushed)).abs() < 6e-4, "{run}");
        }
    }

    /// What is said not to run that far never does.
    #[test]
    fn what_may_not_run_does_not() {
        let slope = slope();
        for i in 0..60 {
            let part = |of: u32| f64::from((i * of) % 17) / 17.0;
            let band = [
                lies(20.0, 30.0 + 60.0 * part(3), 1.0, 1.0),
                lies(
                    30.0 + 60.0 * part(3),
                    100.0,
                    0.2 + 2.0 * part(5),
                    10f64.powf(3.0 * part(7) - 2.0),
                ),
            ];
            let free = 0.1 * part(11) + 1e-3;
            let run = wave(&slope, &band, free).edge_m(1e-6);
            let clock = free * 3.0 / (RHO * GRAVITY);
            assert!(
                run < 2e-4 || slope.may_run(&band, clock * 1.1, run),
                "{band:?} {run}"
            );
        }
    }
}
