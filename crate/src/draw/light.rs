//! Light on the outside: what makes it round, and what makes glaze shine.
//!
//! Takes an outside; writes shade towards the silhouette and under the belly, a soft light down glossy glaze, and one on each
//! drip. All of it is black and white, lightly, over the colours.

use super::face::{Face, RunningEdge};
use super::outside::Outside;
use super::path::Say;
use super::picture::{Path, Svg, add_back, curve, pt, put_number};
use super::wall::simplify;

impl Outside<'_> {
    /// Darker towards the silhouette and under the belly, lighter where the wall looks up.
    pub(crate) fn roundness(&self, svg: &mut Svg) {
        let (from, to) = (self.scene().wall.rim_s, self.scene().wall.foot_s);
        let beyond = self.face.x + 1.2 * self.scene().wall.widest_r() * self.face.scale;
        let smooth = Face {
            relief: false,
            ..self.face
        };
        for k in 0..13 {
            let u = 0.4 + 0.044 * f64::from(k);
            let mut points = simplify(&smooth.down(u, from, to), 0.2);
            points.push(pt(beyond, self.face.at(0.0, to).y));
            points.push(pt(beyond, self.face.at(0.0, from).y));
            let mut path = Path::new();
            path.through(&points).close();
            svg.element("path")
                .class("gf-shade")
                .data(&path)
                .attr("fill", "#000")
                .num("fill-opacity", 0.025)
                .done();
        }
        let id = svg.id("fall");
        let (top, bottom) = (self.face.at(0.0, from).y, self.face.at(0.0, to).y);
        let gradient = svg
            .definition("linearGradient")
            .attr("id", &id)
            .attr("gradientUnits", "userSpaceOnUse");
        gradient
            .num("x1", 0.0)
            .num("x2", 0.0)
            .num("y1", top)
            .num("y2", bottom.max(top + 1.0))
            .open();
        for k in 0..=12 {
            let s = from + (to - from) * f64::from(k) / 12.0;
            let up = self.scene().wall.at(s).normal_z;
            let mut offset = String::new();
            put_number(
                &mut offset,
                ((self.face.at(0.0, s).y - top) / (bottom - top).max(1.0)).clamp(0.0, 1.0) * 100.0,
            );
            offset.say("%");
            let stop = svg.definition("stop").attr("offset", &offset);
            let stop = stop.attr("stop-color", if up < 0.0 { "#000" } else { "#fff" });
            stop.num("stop-opacity", if up < 0.0 { -0.3 * up } else { 0.22 * up })
                .done();
        }
        svg.end_definition("linearGradient");
        let outline = self.outline();
        svg.element("path")
            .class("gf-shade")
            .data(&outline)
            .url("fill", &id)
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
        let highest = self
            .scene()
            .layers
            .iter()
            .map(|layer| layer.from_mm)
            .fold(f64::MAX, f64::min);
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
        let id = svg.id("sheen");
        let (a, b) = (
            self.face.at(0.0, 0.0),
            self.face.at(1.0, self.scene().wall.end_s()),
        );
        let gradient = svg
            .definition("linearGradient")
            .attr("id", &id)
            .attr("gradientUnits", "userSpaceOnUse");
        gradient
            .num("x1", a.x)
            .num("y1", a.y)
            .num("x2", b.x)
            .num("y2", a.y + 0.6 * (b.y - a.y))
            .open();
        for (offset, opacity) in [
            ("0%", 0.02),
            ("22%", 0.2),
            ("34%", 0.06),
            ("60%", 0.0),
            ("100%", 0.04),
        ] {
            let stop = svg
                .definition("stop")
                .attr("offset", offset)
                .attr("stop-color", "#fff");
            stop.num("stop-opacity", opacity * gloss).done();
        }
        svg.end_definition("linearGradient");
        for i in 0..self.scene().layers.len() {
            let under = |k: usize| {
                self.scene()
                    .layers
                    .get(k)
                    .map_or((0.0, 0.0), |l| (l.from_mm, l.to_mm))
            };
            let covered =
                (0..i).any(|k| under(k).0 <= under(i).0 + 1.0 && under(k).1 + 1.0 >= under(i).1);
            if !covered {
                let shape = svg.id_n("f", i);
                svg.element("use")
                    .href(&shape)
                    .class("gf-light")
                    .url("fill", &id)
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
