//! Texture on the outside: light and dark lines, as strong as the relief that is left.
//!
//! Takes an outside; writes flutes that follow the curve of the pot, rings around it, or rows of pressed marks.

use super::colour::{BLACK, WHITE};
use super::outside::Outside;
use super::path::bounded;
use super::picture::{Path, Pt, Svg, curve, pt};
use super::wall::{jitter, simplify};
use crate::studio::document::{Texture, TextureKind};

impl Outside<'_> {
    /// Writes the lines of the texture.
    pub(crate) fn texture(&self, svg: &mut Svg) {
        let scene = self.face.scene;
        let Some(texture) = &scene.texture else {
            return;
        };
        let (from, to) = (
            scene.s_of(texture.from_mm),
            scene.s_of(texture.to_mm).min(scene.wall.foot_s),
        );
        if to - from < 1.0 {
            return;
        }
        let (dark, light) = match texture.kind {
            TextureKind::Pressed if scene.tile.is_some() => {
                self.flat_marks(svg, texture, from, to);
                return;
            }
            TextureKind::Pressed => {
                self.marks(svg, texture, from, to);
                return;
            }
            TextureKind::UprightFlutes => self.flutes(texture, from, to),
            TextureKind::Rings => self.rings(texture, from, to),
        };
        self.lines(svg.element("path").data(&dark), false, 0.9);
        self.lines(svg.element("path").data(&light), true, 0.9);
    }

    /// How strongly the texture shows, 0–1.
    fn strength(&self) -> f64 {
        0.25 + 0.75 * bounded(self.kept, 0.0, 1.0)
    }

    /// Lines of the texture: dark ones, or light ones beside them.
    fn lines(&self, path: &mut Svg, light: bool, width: f64) {
        let (class, ink, opacity) = if light {
            ("gf-light", WHITE, 0.3)
        } else {
            ("gf-relief", BLACK, 0.42)
        };
        path.class(class)
            .attr("fill", "none")
            .paint("stroke", ink)
            .num("stroke-opacity", opacity * self.strength())
            .num("stroke-width", width)
            .attr("stroke-linecap", "round")
            .attr("vector-effect", "non-scaling-stroke")
            .done();
    }

    /// Flutes with rounded ends: the ridges between them as lines, each with its light side.
    fn flutes(&self, texture: &Texture, from: f64, to: f64) -> (Path, Path) {
        let (mut dark, mut light) = (Path::new(), Path::new());
        let widest = self.face.across_mm(0.5 * (from + to));
        let n = (widest / texture.repeat_mm).round().clamp(1.0, 90.0);
        let end = (0.5 * texture.repeat_mm).min(0.2 * (to - from));
        let ridge = |k: f64| (k + 0.5) / n;
        let mut k = 0.0;
        while k < n {
            let u = ridge(k);
            dark.through(&simplify(&self.face.down(u, from + end, to - end), 0.08));
            let shift = 0.22 / n;
            light.through(&simplify(
                &self.face.down(u - shift, from + 1.4 * end, to - 1.4 * end),
                0.08,
            ));
            // Round heads join this ridge to the next.
            for &(s, tip) in &[(from + end, from), (to - end, to)] {
                // The first head is seen from its middle on.
                let mut head = |u: f64, from: f64| {
                    let arc = curve(10, &mut |t| {
                        let t = from + (1.0 - from) * t;
                        let rise = (1.0 - (2.0 * t - 1.0).powi(2)).max(0.0).sqrt();
                        self.face
                            .at((u + t / n).clamp(0.0, 1.0), s + (tip - s) * rise)
                    });
                    dark.through(&simplify(&arc, 0.08));
                };
                head(u, 0.0);
                if k == 0.0 {
                    head(u - 1.0 / n, 0.5);
                }
            }
            k += 1.0;
        }
        (dark, light)
    }

    /// Rings: each recess a dark line with a light one above it, broken off at varied lengths as a hand draws them.
    fn rings(&self, texture: &Texture, from: f64, to: f64) -> (Path, Path) {
        let (mut dark, mut light) = (Path::new(), Path::new());
        let n = ((to - from) / texture.repeat_mm).floor().clamp(1.0, 400.0) as usize;
        let seed = self.face.scene.seed;
        for k in 0..n {
            let s = from + (k as f64 + 0.5) * texture.repeat_mm;
            if s > to {
                break;
            }
            let level = |s: f64, a: f64, b: f64| [self.face.at(a, s), self.face.at(b, s)];
            dark.through(&level(s, 0.02 + 0.2 * jitter(seed, k as u64), 1.0));
            let start = 0.05 + 0.3 * jitter(seed, 900 + k as u64);
            light.through(&level(
                s - 0.32 * texture.repeat_mm,
                start,
                start + 0.35 + 0.2 * jitter(seed, 500 + k as u64),
            ));
        }
        (dark, light)
    }

    /// Defines one pressed mark, a lozenge with bowed sides 16 wide and 14.4 high around `middle`: its hollow, shaded on the
    /// side away from the light.
    fn mark(&self, svg: &mut Svg, middle: Pt, width: f64) {
        for &(half, light) in &[
            ("c3-5 3-5 8-7.2c5 2.2 5 2.2 8 7.2", false),
            ("c3 5 3 5 8 7.2c5-2.2 5-2.2 8-7.2", true),
        ] {
            let mut path = Path::new();
            path.move_to(pt(middle.x - 8.0, middle.y)).raw(half);
            svg.definition("path")
                .class("gf-shade")
                .data(&path)
                .num("fill-opacity", 0.12 * self.strength())
                .done();
            self.lines(svg.definition("path").data(&path), light, width);
        }
    }

    /// Pressed marks on a tile, which shows all alike: one pattern of two staggered rows.
    fn flat_marks(&self, svg: &mut Svg, texture: &Texture, from: f64, to: f64) {
        let (corner, end) = (self.face.at(0.0, from), self.face.at(1.0, to));
        let high = texture.repeat_mm * self.face.scale;
        let across = end.x - corner.x;
        let columns = bounded((across / high).round(), 1.0, 200.0);
        svg.definition("pattern")
            .id("marks", 0)
            .attr("patternUnits", "userSpaceOnUse")
            .place("x", "y", corner)
            .num("width", across / columns)
            .num("height", 2.0 * high)
            .attr("viewBox", "0 0 20 40")
            .attr("preserveAspectRatio", "none")
            .open();
        let rows = [(10.0, 10.0), (0.0, 30.0), (20.0, 30.0)];
        for (x, y) in rows {
            self.mark(svg, pt(x, y), 18.0 / high.max(1.0));
        }
        svg.end_definition("pattern");
        let rows_px = ((end.y - corner.y) / high).floor().max(1.0) * high;
        svg.element("rect")
            .class("gf-marks")
            .place("x", "y", corner)
            .num("width", across)
            .num("height", rows_px)
            .url("fill", "marks", 0)
            .done();
    }

    /// Pressed marks around a pot: one mark in staggered rows, as wide as it is seen at each place.
    fn marks(&self, svg: &mut Svg, texture: &Texture, from: f64, to: f64) {
        svg.definition("g").id("mark", 0).open();
        self.mark(svg, pt(0.0, 0.0), 0.9);
        svg.end_definition("g");
        let rows = bounded(((to - from) / texture.repeat_mm).floor(), 1.0, 200.0) as usize;
        let across = self.face.across_mm(0.5 * (from + to));
        let n = bounded((across / texture.repeat_mm).round(), 1.0, 60.0);
        let (half_u, half_s) = (0.4 / n, 0.36 * texture.repeat_mm);
        for row in 0..rows {
            let s = from + (row as f64 + 0.5) * texture.repeat_mm;
            let mut k = if row % 2 == 0 { 0.5 } else { 0.0 };
            while k <= n {
                let at = |du: f64, ds: f64| self.face.at(bounded(k / n + du, 0.0, 1.0), s + ds);
                let (left, right) = (at(-half_u, 0.0), at(half_u, 0.0));
                let (top, bottom) = (at(0.0, -half_s), at(0.0, half_s));
                let wide = right.x - left.x;
                if wide > 1.5 {
                    let middle = pt(0.5 * (left.x + right.x), 0.5 * (top.y + bottom.y));
                    svg.element("use")
                        .href("mark", 0)
                        .matrix(wide / 16.0, (bottom.y - top.y) / 14.4, middle)
                        .done();
                }
                k += 1.0;
            }
        }
    }
}
