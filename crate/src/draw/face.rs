//! The outside seen from the side: where a place on the wall stands in the picture, and the outline of an edge that runs.
//!
//! Takes the wall and a scale; gives picture points without perspective. A pot shows the quarter from the axis to the
//! silhouette on the right, a tile its whole face.

use crate::order;
use std::f64::consts::{FRAC_PI_2, PI};

use super::path::bounded;
use super::picture::{Pt, along, pt};
use super::scene::Scene;
use super::wall::{jitter, relief};
use crate::studio::document::TextureKind;

/// Where the outside stands in the picture.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Face<'a> {
    pub scene: &'a Scene,
    /// Axis of the pot, or left edge of the tile, px.
    pub x: f64,
    /// Foot of the pot, or upper edge of the tile, px.
    pub y: f64,
    /// px per mm.
    pub scale: f64,
    /// Whether the clay's relief is followed, or the smooth wall.
    pub relief: bool,
}

impl Face<'_> {
    /// The point at share `u` of the way from the axis round to the silhouette (from edge to edge of a tile), at arc length
    /// `s` mm.
    #[inline(never)]
    pub fn at(&self, u: f64, s: f64) -> Pt {
        let scene = self.scene;
        match scene.tile {
            Some(tile) => pt(
                self.x + u * tile.width_mm * self.scale,
                self.y + s * self.scale,
            ),
            None => {
                let place = scene.wall.at(s.min(scene.wall.foot_s));
                let down = s - scene.wall.rim_s;
                let cut = if self.relief {
                    relief(scene.texture.as_ref(), down)
                } else {
                    0.0
                };
                let (r, z) = (
                    place.r + cut * place.normal_r,
                    place.z + cut * place.normal_z,
                );
                pt(
                    self.x + r * (u * FRAC_PI_2).sin() * self.scale,
                    self.y - z * self.scale,
                )
            }
        }
    }

    /// What is seen across, mm, at arc length `s`.
    #[inline(never)]
    pub fn across_mm(&self, s: f64) -> f64 {
        match self.scene.tile {
            Some(tile) => tile.width_mm,
            None => (self.scene.wall.at(s).r * FRAC_PI_2).max(1.0),
        }
    }

    /// Arc lengths for a smooth line between two places, mm.
    #[inline(never)]
    pub fn stations(&self, from: f64, to: f64) -> Vec<f64> {
        let wall = &self.scene.wall;
        let to = to.min(wall.foot_s);
        let mut stations = if self.scene.tile.is_some() {
            vec![from, to]
        } else {
            wall.stations(from, to)
        };
        if let Some(texture) = &self.scene.texture
            && self.relief
            && texture.kind != TextureKind::UprightFlutes
            && self.scene.tile.is_none()
        {
            let step = (texture.repeat_mm / 10.0).max(0.25);
            let (a, b) = (
                from.max(wall.rim_s + texture.from_mm),
                to.min(wall.rim_s + texture.to_mm),
            );
            let n = bounded((b - a) / step, 0.0, 2000.0) as usize;
            for i in 0..n {
                stations.push(a + (i as f64 + 0.5) * step);
            }
            order::ascending(&mut stations);
        }
        stations
    }

    /// A line down the face at share `u`.
    #[inline(never)]
    pub fn down(&self, u: f64, from: f64, to: f64) -> Vec<Pt> {
        along(&self.stations(from, to), &mut |s| self.at(u, s))
    }
}

/// A lower edge of glaze as it stands now.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RunningEdge {
    /// The line where it was put, mm down from the rim.
    pub line_mm: f64,
    /// How far the edge has gone between the drips, mm.
    pub valley_mm: f64,
    /// Length of the longest drip below the line, mm.
    pub longest_mm: f64,
    /// Drips around the whole pot, or across the tile.
    pub drips: u32,
    pub seed: u64,
}

/// A drip as seen: its middle across and its length below the line, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Drip {
    pub across_mm: f64,
    pub length_mm: f64,
    pub half_width_mm: f64,
}

impl RunningEdge {
    /// The drips that are seen. One of them is the longest, at its predicted length; the others fall short of it by what
    /// chance gives them.
    #[inline(never)]
    pub fn seen(&self, face: &Face) -> Vec<Drip> {
        let across = face.across_mm(face.scene.s_of(self.line_mm));
        let around = if face.scene.tile.is_some() {
            across
        } else {
            across * 4.0
        };
        let spacing = around / f64::from(self.drips.max(1));
        let half_width = (0.15 * spacing).clamp(0.8, 3.6);
        let n = (across / spacing).ceil().clamp(1.0, 60.0) as u64;
        let tile = face.scene.tile.is_some();
        let mut drips: Vec<Drip> = Vec::new();
        for k in 0..n {
            let chance = |i: u64| jitter(self.seed, 10 * k + i);
            let place = k as f64 + if tile { 0.5 } else { 0.55 } + 0.36 * (chance(0) - 0.5);
            let short = 0.22 + 0.66 * chance(1);
            if place * spacing < across * 0.97 {
                drips.push(Drip {
                    across_mm: place * spacing,
                    length_mm: self.valley_mm + (self.longest_mm - self.valley_mm) * short,
                    half_width_mm: half_width * (0.8 + 0.4 * chance(2)),
                });
            }
        }
        if drips.is_empty() {
            let length_mm = self.longest_mm;
            drips.push(Drip {
                across_mm: across * 0.45,
                length_mm,
                half_width_mm: half_width,
            });
        }
        // The longest stands where the face is seen well, neither at the axis nor at the silhouette.
        let well_seen = |drip: &Drip| (drip.across_mm / across - 0.46).abs();
        let mut best = 0;
        for k in 1..drips.len() {
            if well_seen(&drips[k]) < well_seen(&drips[best]) {
                best = k;
            }
        }
        drips[best].length_mm = self.longest_mm;
        drips[best].half_width_mm = half_width * 1.12;
        drips
    }

    /// The edge from the axis (or left) to the silhouette (or right): shares across and mm down from the rim.
    #[inline(never)]
    pub fn outline(&self, face: &Face) -> Vec<(f64, f64)> {
        let across = face.across_mm(face.scene.s_of(self.line_mm));
        let wobble = |u: f64| {
            let phase = jitter(self.seed, 3) * 2.0 * PI;
            0.35 * (u / 9.0 + phase).sin() + 0.2 * (u / 4.3 + 2.0 * phase).sin()
        };
        let level = |u: f64| self.line_mm + self.valley_mm + wobble(u);
        let mut points = Vec::new();
        let mut done = 0.0;
        let plain = |points: &mut Vec<(f64, f64)>, from: f64, to: f64| {
            let n = ((to - from) / 1.5).ceil().clamp(1.0, 400.0) as usize;
            for i in 0..=n {
                let u = from + (to - from) * i as f64 / n as f64;
                points.push((u / across, level(u)));
            }
        };
        let drips = self.seen(face);
        for (k, drip) in drips.iter().enumerate() {
            let length = drip.length_mm - self.valley_mm;
            if length < 0.15 {
                continue;
            }
            let next = drips.get(k + 1).map_or(across * 2.0, |next| next.across_mm);
            let room = (drip.across_mm - done)
                .min((next - drip.across_mm) * 0.5)
                .max(0.5);
            let shape = DripShape::new(length, drip.half_width_mm, room);
            let left = drip.across_mm - shape.root;
            plain(&mut points, done, left.max(done));
            shape.put(&mut points, drip.across_mm, across, &level);
            done = (drip.across_mm + shape.root).max(done);
        }
        if done < across {
            plain(&mut points, done, across);
        }
        points.retain(|(u, _)| (0.0..=1.0).contains(u));
        points
    }
}

/// The shape of a drip: concave shoulders, a neck, a rounded and slightly fuller tip.
struct DripShape {
    length: f64,
    tip: f64,
    neck: f64,
    shoulder: f64,
    root: f64,
    cap: f64,
}

impl DripShape {
    fn new(length: f64, half_width: f64, room: f64) -> Self {
        let tip = half_width.min(0.8 * room);
        let neck = tip * (1.0 - 0.3 * (length / (4.0 * tip)).min(1.0));
        let root = (neck + 0.5 + 0.9 * length)
            .min(neck + 2.2 * half_width)
            .min(room)
            .max(neck);
        Self {
            length,
            tip,
            neck,
            shoulder: (0.75 * length).min(3.2 * half_width),
            root,
            cap: (1.25 * tip).min(0.7 * length),
        }
    }

    /// Half width at depth `d` below the level edge.
    fn half_width(&self, d: f64) -> f64 {
        // A quarter of an ellipse leads from the level edge into the neck.
        let fall = bounded(1.0 - d / self.shoulder, 0.0, 1.0);
        let shoulder = (self.root - self.neck) * (1.0 - (1.0 - fall * fall).sqrt());
        let t = bounded(d / self.length, 0.0, 1.0);
        let body = self.neck + (self.tip - self.neck) * t * t * (3.0 - 2.0 * t);
        let into_cap = bounded((d - (self.length - self.cap)) / self.cap, 0.0, 1.0);
        (body + shoulder) * (1.0 - into_cap * into_cap).sqrt()
    }

    fn put(
        &self,
        points: &mut Vec<(f64, f64)>,
        middle: f64,
        across: f64,
        level: &dyn Fn(f64) -> f64,
    ) {
        const STEPS: usize = 26;
        let depth = |i: usize| self.length * 0.5 * (1.0 - (i as f64 / STEPS as f64 * PI).cos());
        for i in 0..=STEPS {
            let d = depth(i);
            let u = middle - self.half_width(d);
            points.push((u / across, level(u) + d));
        }
        for i in (0..STEPS).rev() {
            let d = depth(i);
            let u = middle + self.half_width(d);
            points.push((u / across, level(u) + d));
        }
    }
}
