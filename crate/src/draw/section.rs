//! The wall cut through: clay, and on it the layers, their thickness exaggerated perpendicular to the wall.
//!
//! Takes the scene, the film at a moment and a placing; writes the section and gives where its surfaces lie, for labels and
//! for the lens.

use super::film::Film;
use super::pattern;
use super::picture::{Path, Pt, Svg, add_back, along, pt};
use super::scene::Scene;
use super::thicker::Thicker;
use super::wall::{cut_to_square, recess_depth, relief, simplify};
use crate::order;
use crate::studio::document::TextureKind;

/// Where a section stands in the picture and how it is scaled.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cut<'a> {
    pub scene: &'a Scene,
    pub film: &'a Film,
    /// A pot: axis and foot; a tile: its upper edge's glazed corner.
    pub origin: Pt,
    /// px per mm of the pot.
    pub scale: f64,
    /// By how much glaze is drawn thicker.
    pub thicker: Thicker,
    /// Share of the relief that the surface keeps at this moment.
    pub kept: f64,
    /// Where only a window is seen: its middle and half its width, px. What lies outside is cut off.
    pub window: Option<(Pt, f64)>,
}

impl Cut<'_> {
    /// The clay's smooth surface, the direction out of it and how far out there is room, px.
    pub fn surface(&self, s: f64) -> (Pt, Pt, f64) {
        match self.scene.tile {
            Some(tile) => {
                let (sin, cos) = tile.slope_rad.sin_cos();
                let at = pt(
                    self.origin.x - s * cos * self.scale,
                    self.origin.y + s * sin * self.scale,
                );
                (at, pt(-sin, -cos), f64::MAX)
            }
            None => {
                let place = self.scene.wall.at(s);
                let at = pt(
                    self.origin.x - place.r * self.scale,
                    self.origin.y - place.z * self.scale,
                );
                let normal = pt(-place.normal_r, -place.normal_z);
                (at, normal, place.room * self.scale)
            }
        }
    }

    /// The point `mm` out of the smooth surface; in a hollow of the wall it comes near to what stands out of its other side,
    /// never past it.
    #[inline(never)]
    fn out(&self, s: f64, mm: f64) -> Pt {
        let (at, normal, room) = self.surface(s);
        let mut away = mm * self.scale;
        if away > 0.0 {
            let part = (away / room) * (away / room);
            away /= (1.0 + part * part).sqrt().sqrt();
        }
        pt(at.x + normal.x * away, at.y + normal.y * away)
    }

    /// A closed outline, cut to a little more than the window.
    fn seen(&self, outline: Vec<Pt>) -> Vec<Pt> {
        match self.window {
            Some((centre, half)) => cut_to_square(&outline, centre, 1.1 * half),
            None => outline,
        }
    }

    fn clay_mm(&self, s: f64) -> f64 {
        relief(self.scene.texture.as_ref(), s - self.scene.wall.rim_s)
    }

    /// Height of the top of the first `n` layers over the smooth surface, in mm of pot with the glaze exaggerated.
    #[inline(never)]
    fn top_mm(&self, s: f64, n: usize) -> f64 {
        let depth = recess_depth(self.scene.texture.as_ref(), s - self.scene.wall.rim_s);
        self.top_over(s, n, self.clay_mm(s), depth)
    }

    /// The same over a place of the relief that stands at `clay` mm, recesses being `depth` mm deep around it.
    #[inline(never)]
    pub fn top_over(&self, s: f64, n: usize, clay: f64, depth: f64) -> f64 {
        let (mut all, mut these) = (0.0, 0.0);
        for i in 0..self.scene.layers.len() {
            all += self.film.thickness(i, s);
            if i + 1 == n {
                these = all;
            }
        }
        if all <= 0.0 {
            return clay;
        }
        // The surface keeps a share of the relief; interfaces lie between it and the clay. What has filled the recesses
        // stands on their mean level.
        let mean = -0.5 * depth;
        let keeps = 1.0 + (self.kept - 1.0) * these / all;
        let drawn = self.thicker.drawn_mm(all) * self.film.rounded(s, &self.thicker);
        (mean + (clay - mean) * keeps + these / all * drawn).max(clay)
    }

    /// Arc lengths that show everything: the wall's, the film's, the texture's.
    #[inline(never)]
    fn stations(&self, from: f64, to: f64) -> Vec<f64> {
        let mut stations = self.scene.wall.stations(from, to);
        self.film.add_stations(&mut stations, from, to);
        if let Some(t) = &self.scene.texture
            && t.kind != TextureKind::UprightFlutes
        {
            let step = (t.repeat_mm / 14.0).max(0.2);
            let start = self.scene.wall.rim_s + t.from_mm;
            let n = ((t.to_mm - t.from_mm).max(0.0) / step).min(3000.0) as usize;
            for i in 0..=n {
                let s = start + i as f64 * step;
                if s > from && s < to {
                    stations.push(s);
                }
            }
        }
        order::ascending(&mut stations);
        stations
    }

    /// The outline of the clay, closed.
    fn clay(&self) -> Vec<Pt> {
        let wall = &self.scene.wall;
        let mut points = along(&self.stations(0.0, wall.end_s()), &mut |s| {
            self.out(s, self.clay_mm(s))
        });
        if self.scene.tile.is_some() {
            let end = wall.end_s();
            points.push(self.out(end, -self.scene.wall_mm));
            points.push(self.out(0.0, -self.scene.wall_mm));
            return simplify(&points, 0.06);
        }
        let mut outline = simplify(&points, 0.06);
        for p in wall.underside() {
            outline.push(pt(
                self.origin.x - p[0] * self.scale,
                self.origin.y - p[1] * self.scale,
            ));
        }
        outline
    }

    /// The pieces of layer `i`, each closed: along its lower surface and back along its upper one.
    fn layer(&self, i: usize) -> Vec<Vec<Pt>> {
        let mut pieces = Vec::new();
        let (mut below, mut above): (Vec<Pt>, Vec<Pt>) = (Vec::new(), Vec::new());
        let mut finish = |below: &mut Vec<Pt>, above: &mut Vec<Pt>| {
            if below.len() > 1 {
                let mut piece = simplify(below, 0.08);
                add_back(&mut piece, &simplify(above, 0.08));
                pieces.push(self.seen(piece));
            }
            below.clear();
            above.clear();
        };
        for s in self.stations(0.0, self.scene.wall.end_s()) {
            if self.film.lies(i, s) {
                below.push(self.out(s, self.top_mm(s, i)));
                above.push(self.out(s, self.top_mm(s, i + 1)));
            } else {
                finish(&mut below, &mut above);
            }
        }
        finish(&mut below, &mut above);
        pieces
    }

    /// A point in the middle of layer `i` at arc length `s`, px.
    pub fn middle(&self, i: usize, s: f64) -> Pt {
        self.out(s, 0.5 * (self.top_mm(s, i) + self.top_mm(s, i + 1)))
    }

    /// Writes pieces of layer `i` in its pattern.
    #[inline(never)]
    pub fn put_layer(&self, svg: &mut Svg, i: usize, pieces: &[Vec<Pt>]) {
        let mut path = Path::new();
        for piece in pieces {
            path.through(piece).close();
        }
        if !path.is_empty() {
            svg.element("path")
                .class("gf-layer")
                .data(&path)
                .url("fill", "p", i)
                .done();
        }
    }

    /// Writes the section.
    #[inline(never)]
    pub fn draw(&self, svg: &mut Svg) {
        svg.area("gf-clay-cut", &self.seen(self.clay()));
        if let Some(t) = &self.scene.texture
            && t.kind == TextureKind::UprightFlutes
        {
            // The cut goes through a crest: a broken line shows how deep the recesses beside it are.
            let (a, b) = (
                self.scene.s_of(t.from_mm),
                self.scene.s_of(t.to_mm).min(self.scene.wall.foot_s),
            );
            let stations = self.scene.wall.stations(a, b);
            let points = along(&stations, &mut |s| self.out(s, -t.depth_mm));
            svg.polyline("gf-hair gf-dashed", &simplify(&points, 0.08));
        }
        for i in 0..self.scene.layers.len() {
            let pieces = self.layer(i);
            self.put_layer(svg, i, &pieces);
        }
    }
}

/// Defines the patterns of a scene's layers; a glaze that lies on itself is set apart by a lighter tone.
pub(crate) fn define_patterns(svg: &mut Svg, scene: &Scene) {
    for i in 0..scene.layers.len() {
        pattern::define(svg, i, scene.tone(i));
    }
}
