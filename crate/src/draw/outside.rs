//! The outside of the piece: fields of glaze with their overlaps, drips, bare clay, texture, light.
//!
//! Takes a face and the film at a moment; writes the fields one over another, the wall's layer first.

use super::colour::{BISQUE, BLACK, Colour, WHITE, seen_over_bisque};
use super::face::{Face, RunningEdge};
use super::film::Film;
use super::path::bounded;
use super::pattern;
use super::picture::{Path, Pt, Stop, Svg, add, add_back, pt};
use super::scene::Scene;
use super::wall::simplify;

/// How far raw glaze is from its fired colour towards the white of dry powder.
const CHALK: f64 = 0.55;
/// Deviation allowed to a line, px.
const FINE_PX: f64 = 0.07;

/// The outside at one moment.
pub(crate) struct Outside<'a> {
    pub face: Face<'a>,
    pub film: &'a Film,
    /// Share of the relief that is kept, for the strength of its lines.
    pub kept: f64,
    pub drips: u32,
}

impl Outside<'_> {
    pub(crate) fn scene(&self) -> &Scene {
        self.face.scene
    }

    /// The lower edge of layer `i`.
    #[inline(never)]
    pub fn edge(&self, i: usize) -> Option<RunningEdge> {
        let scene = self.scene();
        let layer = scene.layers.get(i)?;
        let lowest = scene.lowest_mm();
        let advance = self.film.advance_mm.get(i).copied().unwrap_or(0.0);
        let at_lowest = lowest - layer.to_mm < 1.0;
        let (longest_mm, valley_mm) = if at_lowest {
            (
                self.film.longest_mm,
                advance.min(0.4 * self.film.longest_mm),
            )
        } else {
            // Fingers of a colour are short against how far it has come.
            (
                advance + (0.12 * advance).min(4.0),
                advance - (0.45 * advance).min(7.0),
            )
        };
        let seed = scene.seed
            + if at_lowest {
                0
            } else {
                17 * (1 + layer.to_mm as u64)
            };
        Some(RunningEdge {
            line_mm: layer.to_mm,
            valley_mm,
            longest_mm,
            drips: self.drips,
            seed,
        })
    }

    /// The outline of the face from the axis round to the axis, left open there: the axis itself is no edge.
    fn border(&self) -> Path {
        let (from, to) = (self.scene().wall.rim_s, self.scene().wall.foot_s);
        let mut path = Path::new();
        path.move_to(self.face.at(0.0, from));
        for p in simplify(&self.face.down(1.0, from, to), FINE_PX) {
            path.line_to(p);
        }
        path.line_to(self.face.at(0.0, to));
        path
    }

    /// The outline of the face, closed.
    pub(crate) fn outline(&self) -> Path {
        let mut path = self.border();
        path.close();
        path
    }

    /// Writes everything within the outline.
    pub fn draw(&self, svg: &mut Svg) {
        let outline = self.outline();
        svg.clip("face");
        svg.definition("path").data(&outline).done();
        svg.path("gf-clay", &outline);
        svg.clipped("face");
        for i in 0..self.scene().layers.len() {
            self.field(svg, i);
        }
        self.texture(svg);
        if self.scene().tile.is_none() {
            self.roundness(svg);
        }
        self.sheen(svg);
        svg.end("g");
        if self.scene().tile.is_some() {
            svg.path("gf-line", &outline);
        } else {
            svg.path("gf-line", &self.border());
        }
    }

    /// Where layer `i` lies, and its lower edge.
    #[inline(never)]
    pub(crate) fn field_path(&self, i: usize) -> Option<(Path, Vec<Pt>)> {
        let scene = self.scene();
        let (layer, edge) = (scene.layers.get(i)?, self.edge(i)?);
        let start = scene.s_of(layer.from_mm);
        let end = scene.s_of(edge.line_mm + edge.longest_mm);
        let line = |edge: &RunningEdge| {
            let mut points = Vec::new();
            for (u, down) in edge.outline(&self.face) {
                add(&mut points, self.face.at(u, scene.s_of(down)));
            }
            simplify(&points, FINE_PX)
        };
        let lower = line(&edge);
        let mut points = if layer.from_mm > 0.5 {
            let seed = scene.seed + 5 + layer.from_mm as u64;
            line(&RunningEdge {
                line_mm: layer.from_mm,
                valley_mm: 0.0,
                longest_mm: 0.0,
                drips: 1,
                seed,
            })
        } else {
            vec![self.face.at(0.0, scene.wall.rim_s)]
        };
        // Past the silhouette it is cut off by the face's own outline.
        if scene.tile.is_none()
            && let (Some(up), Some(low)) = (points.last().copied(), lower.last().copied())
        {
            let beyond = self.face.x + 1.2 * scene.wall.widest_r() * self.face.scale;
            let top = if points.len() > 1 { up.y } else { up.y - 20.0 };
            add(&mut points, pt(beyond, top));
            add(&mut points, pt(beyond, low.y));
            if points.len() == 3 {
                points[0].y -= 20.0;
            }
        } else {
            points.extend(self.face.down(1.0, start, end));
        }
        add_back(&mut points, &lower);
        let mut path = Path::new();
        path.through(&points).close();
        Some((path, lower))
    }

    /// Layer `i` over what lies under it.
    fn field(&self, svg: &mut Svg, i: usize) {
        let (Some(layer), Some(edge)) = (self.scene().layers.get(i), self.edge(i)) else {
            return;
        };
        let Some((path, lower)) = self.field_path(i) else {
            return;
        };
        let start = self.scene().s_of(layer.from_mm);
        let end = self.scene().s_of(edge.line_mm + edge.longest_mm);
        let top = self.face.at(0.0, start).y;
        let bottom = self.face.at(0.0, end).y.max(top + 1.0);
        let mut stops = self.stops(i, start, end);
        for stop in &mut stops {
            stop.0 = (self.face.at(0.0, stop.0).y - top) / (bottom - top);
        }
        svg.gradient("g", i, pt(0.0, top), pt(0.0, bottom), &stops);
        pattern::define_marks(svg, i);
        svg.definition("path").id("f", i).data(&path).done();
        for &(class, paint) in &[("gf-glaze", "g"), ("gf-pattern", "m")] {
            svg.element("use")
                .href("f", i)
                .class(class)
                .url("fill", paint, i)
                .done();
        }
        // The edge stands a little proud of what is under it: a roll by the film's own thickness, a bead always a little.
        let mut line = Path::new();
        line.through(&lower);
        let roll = match self.film.rolls.get(i) {
            Some(Some(roll)) => bounded(roll.mm - 0.15, 0.1, 0.8),
            _ => 0.2,
        };
        svg.definition("path").id("e", i).data(&line).done();
        let weight = if self.film.raw { 0.6 } else { 0.9 };
        let mut strokes = [
            ("gf-edge", layer.colour.mark(), weight, 0.55, 0.0),
            ("gf-shade", BLACK, 2.0, 0.3 * roll, 1.0),
            ("gf-light", WHITE, 1.4, 0.55 * roll * layer.gloss, -2.2),
        ];
        if self.film.raw {
            strokes[1].3 = 0.0;
            strokes[2].3 = 0.0;
        }
        for (class, ink, width, opacity, down) in strokes {
            if opacity > 0.0 {
                svg.element("use")
                    .href("e", i)
                    .class(class)
                    .num("y", down)
                    .attr("fill", "none")
                    .paint("stroke", ink)
                    .num("stroke-width", width)
                    .num("stroke-opacity", opacity)
                    .done();
            }
        }
    }

    /// Colours down the wall by arc length, mm, as few as a gradient needs.
    fn stops(&self, i: usize, start: f64, end: f64) -> Vec<Stop> {
        let n = bounded((end - start) / 0.8, 4.0, 500.0) as usize;
        // Above the first glaze that is left the clay is bare.
        let mut last_seen = match self.scene().layers.get(i) {
            Some(layer) if self.film.raw => self.fresh(layer.colour),
            _ => BISQUE,
        };
        let mut all: Vec<Stop> = Vec::with_capacity(n + 1);
        for k in 0..=n {
            let s = start + (end - start) * k as f64 / n as f64;
            if let Some(colour) = self.colour(i, s) {
                last_seen = colour;
            }
            all.push((s, last_seen, 1.0));
        }
        let mut stops: Vec<Stop> = Vec::with_capacity(24);
        let mut kept = 0;
        for k in 0..all.len() {
            let mut bent = k == 0 || k == n;
            let mut m = kept + 1;
            while !bent && m <= k {
                bent = off(&all, kept, k + 1, m);
                m += 1;
            }
            if bent {
                stops.push(all[k]);
                kept = k;
            }
        }
        stops
    }

    /// The colour at `s` where at least something lies.
    #[inline(never)]
    fn colour(&self, i: usize, s: f64) -> Option<Colour> {
        let mut parts = Vec::with_capacity(i + 1);
        for (k, layer) in self.scene().layers.iter().enumerate().take(i + 1) {
            if self.film.lies(k, s) {
                parts.push((layer.colour, self.film.thickness(k, s) * 1e-3));
            }
        }
        let (top, _) = *parts.last()?;
        Some(if self.film.raw {
            self.fresh(top)
        } else {
            self.fresh(seen_over_bisque(&parts))
        })
    }

    /// A colour on its way from dry powder to melt.
    fn fresh(&self, colour: Colour) -> Colour {
        let chalk = if self.film.raw {
            CHALK
        } else {
            0.3 * (1.0 - self.film.share).powi(4)
        };
        colour.towards(WHITE, chalk)
    }
}

/// Whether colour `m` lies off the straight line from colour `a` to colour `b` by more than the eye sees.
fn off(all: &[Stop], a: usize, b: usize, m: usize) -> bool {
    let (from, to, here) = (all[a].1.0, all[b].1.0, all[m].1.0);
    let t = (m - a) as f64 / (b - a) as f64;
    let mut off = false;
    for c in 0..3 {
        off |= (from[c] + (to[c] - from[c]) * t - here[c]).abs() > 0.02;
    }
    off
}
