//! The film at the moment that is drawn: thickness of every layer along the wall, and where its edge stands.
//!
//! Takes a story of the film and a moment in it; gives thicknesses in mm by arc length in mm, and how far each layer's lower
//! edge has gone.

use super::path::bounded;
use super::scene::Scene;
use super::thicker::Thicker;
use crate::predict::outcome::{FilmMoment, FilmPlace, FilmStory, PlanOutcome};

/// A moment of the story: the raw coats, or one of the moments of the firing by its place in [`FilmStory::fired`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moment {
    /// Before firing.
    Raw,
    /// During the firing; the last one is the fired piece.
    Fired(usize),
}

/// Thickness under which no glaze is drawn, mm: a precursor of the solver is not a glaze.
const NOTHING_MM: f64 = 0.008;

/// The nose of a layer on glaze is drawn this long, mm: the solver carries mean colours, so that a layer would end bluntly.
const NOSE_MM: f64 = 2.0;
/// The thickness of an end is looked for within this of it, mm.
const END_MM: f64 = 4.0;
/// Places between two of the film's own that a smooth line needs, where they are farther apart than this, mm.
const BETWEEN: usize = 4;
const APART_MM: f64 = 0.1;

/// A thick or thin place of the film: arc length and thickness, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Spot {
    pub s: f64,
    pub mm: f64,
}

/// The film at one moment.
#[derive(Clone, Debug)]
pub(crate) struct Film {
    s: Vec<f64>,
    layers: Vec<Vec<f64>>,
    /// How far each layer's lower edge stands below the place where it was put, mm.
    pub advance_mm: Vec<f64>,
    /// Length of the longest drip below the lowest glaze line, mm.
    pub longest_mm: f64,
    pub raw: bool,
    /// True at the end of the firing.
    pub ended: bool,
    pub temperature_c: f64,
    /// Share of the firing's work done, 0–1.
    pub share: f64,
    /// Thinnest place at the rim.
    pub rim: Option<Spot>,
    /// The thickest place at the edge of a layer that ends on glaze, by layer.
    pub rolls: Vec<Option<Spot>>,
    /// Where glaze ends on bare clay: the place, mm, whether the glaze lies above it in arc length, and how thick it stands there, mm.
    pub ends: Vec<(f64, bool, f64)>,
    /// Melt that has passed the foot, mm³ (on a tile per mm of width).
    pub past_foot: f64,
    /// False where the firing could not be followed, and the layers lie as they were put.
    pub solved: bool,
}

impl Film {
    pub fn at(scene: &Scene, story: &FilmStory, outcome: &PlanOutcome, moment: Moment) -> Self {
        let (now, raw, ended) = match moment {
            Moment::Raw => (&story.raw, true, false),
            Moment::Fired(index) => match story
                .fired
                .get(index.min(story.fired.len().saturating_sub(1)))
            {
                Some(now) => (now, false, index + 1 >= story.fired.len()),
                None => (&story.raw, true, false),
            },
        };
        let layers = scene.layers.len();
        let spot = |place: &FilmPlace| Spot {
            s: place.s_m * 1e3,
            mm: bounded(place.fired_m * 1e3, 0.0, 50.0),
        };
        let unit = if scene.tile.is_some() { 1e6 } else { 1e9 };
        let mut film = Self {
            s: in_mm(Some(&now.s_m), 1e5),
            layers: Vec::with_capacity(layers),
            advance_mm: vec![0.0; layers],
            longest_mm: 0.0,
            raw,
            ended,
            temperature_c: now.temperature_c,
            share: bounded(now.phi_share, 0.0, 1.0),
            rim: now.rim_minimum.as_ref().map(spot),
            rolls: vec![None; layers],
            ends: Vec::new(),
            past_foot: bounded(now.past_foot_m3 * unit, 0.0, 1e7),
            solved: story.solved,
        };
        for i in 0..layers {
            film.layers.push(in_mm(now.layers_m.get(i), 50.0));
        }
        if !raw {
            film.smooth();
            film.advance_mm = advances(scene, now, story);
            film.longest_mm = longest(scene, &film, story, outcome);
            for edge in &now.edges {
                film.nose(edge.layer, edge.now_s_m * 1e3);
                if let Some(roll) = film.rolls.get_mut(edge.layer) {
                    *roll = edge.roll.as_ref().map(spot);
                }
            }
        }
        film.find_ends();
        film
    }

    /// Share of the relief that the surface keeps at this moment: it is lost as an exponential in the firing's work.
    pub fn kept(&self, outcome: &PlanOutcome) -> f64 {
        match (&outcome.relief_kept, self.raw) {
            (Some(kept), false) => bounded(kept.p50, 0.001, 1.0).powf(self.share),
            _ => 1.0,
        }
    }

    /// All layers at place `k`, mm.
    fn stack(&self, k: usize) -> f64 {
        let mut stack = 0.0;
        for h in &self.layers {
            stack += h.get(k).copied().unwrap_or(0.0);
        }
        stack
    }

    /// Finds the ends of what lies, with the thickest place within [`END_MM`] of each.
    fn find_ends(&mut self) {
        let n = self.s.len();
        for k in 0..n {
            if self.stack(k) <= NOTHING_MM {
                continue;
            }
            for &above in &[false, true] {
                let beside = if above { k.wrapping_sub(1) } else { k + 1 };
                // The middle of the floor is no end.
                let bare = (beside < n && self.stack(beside) <= NOTHING_MM) || beside == n;
                if bare {
                    let mut thickest = 0.0;
                    for m in 0..n {
                        if (self.s[m] - self.s[k]).abs() < END_MM {
                            thickest = f64::max(thickest, self.stack(m));
                        }
                    }
                    self.ends.push((self.s[k], above, thickest));
                }
            }
        }
    }

    /// By how much glaze that is drawn too thick is drawn thinner at `s`, so that it ends in a round bead as melt does and not in
    /// a wall: 1 away from the ends.
    #[inline(never)]
    pub fn rounded(&self, s: f64, thicker: &Thicker) -> f64 {
        let mut rounded = 1.0;
        for &(end, above, thickest) in &self.ends {
            let inside = if above { s - end } else { end - s };
            let past = 1.0 - inside / (0.6 * thicker.drawn_mm(thickest)).max(1e-6);
            if past > 0.0 && inside > -0.5 {
                rounded *= (1.0 - past.min(1.0) * past.min(1.0)).sqrt();
            }
        }
        rounded
    }

    /// Puts places between those that are far apart, on curves that neither overshoot nor waver (Fritsch & Carlson 1980, with
    /// slopes by the harmonic mean).
    fn smooth(&mut self) {
        let n = self.s.len();
        if n < 3 || self.layers.iter().any(|h| h.len() != n) {
            return;
        }
        let mut s_fine = Vec::with_capacity(BETWEEN * n);
        for k in 0..n {
            s_fine.push(self.s[k]);
            let step = if k + 1 < n {
                self.s[k + 1] - self.s[k]
            } else {
                0.0
            };
            if step > APART_MM {
                for m in 1..BETWEEN {
                    s_fine.push(self.s[k] + step * m as f64 / BETWEEN as f64);
                }
            }
        }
        for h in &mut self.layers {
            let secant = |k: usize| (h[k + 1] - h[k]) / (self.s[k + 1] - self.s[k]).max(1e-9);
            let slope = |k: usize| {
                if k == 0 || k + 1 == n {
                    return 0.0;
                }
                let (a, b) = (secant(k - 1), secant(k));
                if a * b > 0.0 {
                    2.0 * a * b / (a + b)
                } else {
                    0.0
                }
            };
            let mut fine = Vec::with_capacity(s_fine.len());
            let mut k = 0;
            for &s in &s_fine {
                while k + 2 < n && s >= self.s[k + 1] {
                    k += 1;
                }
                let step = (self.s[k + 1] - self.s[k]).max(1e-9);
                let t = bounded((s - self.s[k]) / step, 0.0, 1.0);
                let (u, tt) = (1.0 - t, t * t);
                let ends = h[k] * (1.0 + 2.0 * t) * u * u + h[k + 1] * (3.0 - 2.0 * t) * tt;
                fine.push(ends + step * t * u * (u * slope(k) - t * slope(k + 1)));
            }
            *h = fine;
        }
        self.s = s_fine;
    }

    /// Rounds the end of a layer at `end`, mm, into a nose; what that takes from it goes to the layer under it. Where the glaze below ends there as well
    /// (run together to the foot) the bead of all is the end of each.
    fn nose(&mut self, layer: usize, end: f64) {
        let mut lies_below = false;
        for k in self.s.partition_point(|&s| s < end + NOSE_MM)..self.s.len() {
            lies_below |= self.stack(k) > NOTHING_MM;
        }
        if layer == 0 || layer >= self.layers.len() || !lies_below {
            return;
        }
        for k in 0..self.s.len() {
            let past = (self.s[k] - end) / NOSE_MM + 1.0;
            if past > 0.0 {
                let kept = (1.0 - past.min(1.0) * past.min(1.0)).sqrt();
                let taken = self.layers[layer][k] * (1.0 - kept);
                self.layers[layer][k] -= taken;
                self.layers[layer - 1][k] += taken;
            }
        }
    }

    /// Thickness of layer `i` at arc length `s`, mm.
    #[inline(never)]
    pub fn thickness(&self, layer: usize, s: f64) -> f64 {
        let Some(h) = self.layers.get(layer) else {
            return 0.0;
        };
        let after = self.s.partition_point(|&x| x < s);
        if after == 0 || after >= self.s.len() {
            let end = if after == 0 {
                0
            } else {
                self.s.len().saturating_sub(1)
            };
            let near = self.s.get(end).is_some_and(|x| (x - s).abs() < 0.5);
            return if near {
                h.get(end).copied().unwrap_or(0.0)
            } else {
                0.0
            };
        }
        match (
            self.s.get(after - 1),
            self.s.get(after),
            h.get(after - 1),
            h.get(after),
        ) {
            (Some(a), Some(b), Some(ha), Some(hb)) => {
                ha + (hb - ha) * bounded((s - a) / (b - a).max(1e-9), 0.0, 1.0)
            }
            _ => 0.0,
        }
    }

    /// Arc lengths at which the film is known between two places, mm.
    pub fn add_stations(&self, stations: &mut Vec<f64>, from: f64, to: f64) {
        for &s in &self.s {
            if s > from && s < to {
                stations.push(s);
            }
        }
    }

    /// Whether a layer lies at `s` thickly enough to be drawn.
    #[inline(never)]
    pub fn lies(&self, layer: usize, s: f64) -> bool {
        self.thickness(layer, s) > NOTHING_MM
    }
}

/// Metres as millimetres, each from 0 to `most`; none where nothing is given.
fn in_mm(metres: Option<&Vec<f64>>, most: f64) -> Vec<f64> {
    let metres = metres.map_or(&[][..], Vec::as_slice);
    let mut out = Vec::with_capacity(metres.len());
    for m in metres {
        out.push(bounded(m * 1e3, 0.0, most));
    }
    out
}

/// How far the lower edge of each layer stands below its line: the lowest place where it keeps a tenth of the thickness it
/// had at the start.
#[inline(never)]
fn advances(scene: &Scene, now: &FilmMoment, story: &FilmStory) -> Vec<f64> {
    let first = story.fired.first().unwrap_or(&story.raw);
    let mut advances = Vec::with_capacity(scene.layers.len());
    for layer in 0..scene.layers.len() {
        let mut most = 0.0;
        for &h in first.layers_m.get(layer).map_or(&[][..], Vec::as_slice) {
            most = f64::max(most, h);
        }
        let least = (0.1 * most).max(NOTHING_MM * 1e-3);
        advances.push(
            match (
                lower_edge(now, layer, least),
                lower_edge(first, layer, least),
            ) {
                (Some(edge), Some(start)) => bounded(edge - start, 0.0, 2000.0),
                _ => 0.0,
            },
        );
    }
    // An edge on glaze is where the film says that the colour ends.
    for edge in &now.edges {
        if let Some(advance) = advances.get_mut(edge.layer) {
            *advance = bounded((edge.now_s_m - edge.laid_s_m) * 1e3, 0.0, 2000.0);
        }
    }
    advances
}

/// The lowest place at which a layer is thicker than `least` m, mm.
fn lower_edge(moment: &FilmMoment, layer: usize, least: f64) -> Option<f64> {
    let h = moment.layers_m.get(layer)?;
    let mut k = h.len();
    while k > 0 {
        k -= 1;
        if h[k] > least {
            return moment.s_m.get(k).map(|s| s * 1e3);
        }
    }
    None
}

/// Length of the longest drip now: its predicted length at the end, scaled by how far the film's own front has gone.
fn longest(scene: &Scene, film: &Film, story: &FilmStory, outcome: &PlanOutcome) -> f64 {
    let at_end = bounded(outcome.run_mm.p50, 0.0, 2000.0);
    if film.ended {
        return at_end;
    }
    let lowest = scene.lowest_mm();
    let front = |advance: &[f64]| {
        let mut reach = 0.0;
        for (layer, a) in scene.layers.iter().zip(advance) {
            reach = f64::max(reach, layer.to_mm + a - lowest);
        }
        reach
    };
    let end = match story.fired.last() {
        Some(last) => front(&advances(scene, last, story)),
        None => 0.0,
    };
    if end > 0.5 {
        at_end * bounded(front(&film.advance_mm) / end, 0.0, 1.0)
    } else {
        // The film hardly moves at its median; a drip then grows as its law does at first, with the firing's work.
        at_end * film.share
    }
}
