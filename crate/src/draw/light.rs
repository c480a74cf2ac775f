//! Light on the outside: what makes it round, and what makes glaze shine.
//!
//! Takes an outside; writes shade towards the silhouette and under the belly, a soft light down glossy glaze, and one on each
//! drip. All of it is black and white, lightly, over the colours.

use std::f64::consts::FRAC_PI_2;

use super::colour::{BLACK, WHITE};
use super::face::{Face, RunningEdge};
use super::outside::Outside;
use super::picture::{Path, Svg, add, add_back, curve, pt};
use super::wall::simplify;

impl Outside<'_> {
    /// Darker towards the silhouette and under the belly, lighter where the wall looks up.
    pub(crate) fn roundness(&self, svg: &mut Svg) {
        let wall = &self.scene().wall;
        let (from, to) = (wall.rim_s, wall.foot_s);
        let (top, bottom) = (self.face.at(0.0, from), self.face.at(0.0, to));
        let smooth = Face {
            relief: false,
            ..self.face
        };
        // All that lies beyond the silhouette, drawn in steps towards the axis: one shape, narrower each time.
        let mut points = simplify(&smooth.down(1.0, from, to), 0.2);
        let beyond = self.face.x + 3.0 * wall.widest_r() * self.face.scale;
        add(&mut points, pt(beyond, bottom.y));
        add(&mut points, pt(beyond, top.y));
        let mut path = Path::new();
        path.through(&points).close();
        svg.definition("path").id("beyond", 0).data(&path).done();
        for k in 0..18 {
            let narrow = ((0.38 + 0.033 * f64::from(k)) * FRAC_PI_2).sin();
            svg.element("use")
                .href("beyond", 0)
                .class("gf-shade")
                .matrix(narrow, 1.0, pt(self.face.x * (1.0 - narrow), 0.0))
                .num("fill-opacity", 0.02)
                .done();
        }
        let mut stops = [(0.0, BLACK, 0.0); 13];
        for (k, stop) in stops.iter_mut().enumerate() {
            let s = from + (to - from) * k as f64 / 12.0;
            let up = wall.at(s).normal_z;
            stop.0 = (self.face.at(0.0, s).y - top.y) / (bottom.y - top.y).max(1.0);
            (stop.1, stop.2) = if up < 0.0 {
                (BLACK, -0.3 * up)
            } else {
                (WHITE, 0.22 * up)
            };
        }
        svg.gradient("fall", 0, pt(0.0, top.y), pt(0.0, bottom.y), &stops);
        svg.element("path")
            .class("gf-shade")
            .data(&self.outline())
            .url("fill", "fall", 0)
            .done();
    }

    /// The lower edge of the layer that ends lowest.
    fn lowest_edge(&self) -> Option<RunningEdge> {
        let layers = &self.scene().layers;
        let mut lowest = 0;
        for (i, layer) in layers.iter().enumerate() {
            if layer.to_mm >= layers[lowest].to_mm {
                lowest = i;
            }
        }
        self.edge(lowest)
    }

    /// A soft light down the glaze, and one on each drip.
    pub(crate) fn sheen(&self, svg: &mut Svg) {
        let molten = if self.film.raw {
            0.0
        } else {
            0.3 + 0.7 * self.film.share
        };
        let gloss = self.scene().gloss() * molten;
        let Some(edge) = self.lowest_edge() else {
            return;
        };
        if gloss < 0.15 {
            return;
        }
        let mut highest = f64::MAX;
        for layer in &self.scene().layers {
            highest = highest.min(layer.from_mm);
        }
        let from = self.scene().s_of(highest + 3.0);
        let to = self.scene().s_of(edge.line_mm + edge.valley_mm - 2.0);
        if to - from > 8.0 {
            if self.scene().tile.is_some() {
                self.flat_sheen(svg, gloss);
            } else {
                self.round_sheen(svg, from, to, gloss);
            }
        }
        self.drip_lights(svg, &edge, gloss);
    }

    /// On a pot: a band of light where it faces the lamp, drawn as bands within bands so that it fades.
    fn round_sheen(&self, svg: &mut Svg, from: f64, to: f64, gloss: f64) {
        for k in 0..5 {
            let half = 0.08 - 0.015 * f64::from(k);
            let side = |sign: f64| {
                let points = curve(28, &mut |t| {
                    let taper = (std::f64::consts::PI * t).sin().max(0.0).sqrt();
                    self.face
                        .at(0.3 + sign * half * taper, from + (to - from) * t)
                });
                simplify(&points, 0.1)
            };
            let mut points = side(-1.0);
            add_back(&mut points, &side(1.0));
            let mut path = Path::new();
            path.through(&points).close();
            let light = svg
                .element("path")
                .class("gf-light")
                .data(&path)
                .attr("fill", "#fff");
            light.num("fill-opacity", 0.055 * gloss).done();
        }
    }

    /// On a tile: light falling across from the upper left over what is glazed.
    fn flat_sheen(&self, svg: &mut Svg, gloss: f64) {
        let layers = &self.scene().layers;
        let (a, b) = (
            self.face.at(0.0, 0.0),
            self.face.at(1.0, self.scene().wall.end_s()),
        );
        let stops = [
            (0.0, 0.02),
            (0.22, 0.2),
            (0.34, 0.06),
            (0.6, 0.0),
            (1.0, 0.04),
        ]
        .map(|(share, opacity)| (share, WHITE, opacity * gloss));
        let to = pt(b.x, a.y + 0.6 * (b.y - a.y));
        svg.gradient("sheen", 0, a, to, &stops);
        for (i, layer) in layers.iter().enumerate() {
            let mut covered = false;
            for under in &layers[..i] {
                covered |= under.from_mm <= layer.from_mm + 1.0 && under.to_mm + 1.0 >= layer.to_mm;
            }
            if !covered {
                svg.element("use")
                    .href("f", i)
                    .class("gf-light")
                    .url("fill", "sheen", 0)
                    .done();
            }
        }
    }

    fn drip_lights(&self, svg: &mut Svg, edge: &RunningEdge, gloss: f64) {
        let across = self.face.across_mm(self.scene().s_of(edge.line_mm));
        for drip in edge.seen(&self.face) {
            if drip.length_mm - edge.valley_mm < 2.5 * drip.half_width_mm {
                continue;
            }
            let s = |up: f64| {
                self.scene()
                    .s_of(edge.line_mm + drip.length_mm - up * drip.half_width_mm)
            };
            let u = (drip.across_mm - 0.36 * drip.half_width_mm) / across;
            let mut path = Path::new();
            let tip = self.face.at(u - 0.04 * drip.half_width_mm / across, s(1.0));
            path.through(&[self.face.at(u, s(2.1)), tip]);
            let light = svg
                .element("path")
                .class("gf-light")
                .data(&path)
                .attr("fill", "none")
                .attr("stroke", "#fff");
            let width = (0.3 * drip.half_width_mm * self.face.scale).clamp(0.7, 2.2);
            light
                .num("stroke-width", width)
                .attr("stroke-linecap", "round")
                .num("stroke-opacity", 0.4 * gloss)
                .done();
        }
    }
}
