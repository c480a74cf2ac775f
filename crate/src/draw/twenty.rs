//! Twenty pots: small outlines of this very piece, each as one draw would come out of the kiln.
//!
//! Takes a scene and an outcome; gives a row of twenty with the count in a sentence under it.

use super::colour::{Colour, seen_over_bisque};
use super::path::Say;
use super::picture::{
    Path, Picture, Pt, SMALL_PX, Svg, TEXT_PX, View, add_back, curve, pt, put_integer, text,
    text_width,
};
use super::scene::{Scene, bounded};
use super::wall::{jitter, simplify};
use super::words;
use crate::predict::outcome::PlanOutcome;

/// Width from which all twenty stand in one row, px.
const ONE_ROW_PX: f64 = 600.0;

/// Draws the twenty.
pub fn draw(scene: &Scene, outcome: &PlanOutcome, view: &View) -> Picture {
    let mut svg = Svg::new(view);
    let width = svg.width();
    let per_row = if width >= ONE_ROW_PX { 20 } else { 10 };
    let cell = width / per_row as f64;
    let (across_mm, tall_mm) = match scene.tile {
        Some(tile) => (tile.width_mm, scene.wall.end_s()),
        None => (2.0 * scene.wall.widest_r(), scene.wall.top_z()),
    };
    let most = bounded(view.height_px, 60.0, 400.0) / if per_row == 20 { 1.5 } else { 3.0 };
    let scale = (0.82 * cell / across_mm.max(1.0)).min(most / tall_mm.max(1.0));
    let row_px = tall_mm * scale + 16.0;
    let glazes = fields(scene, outcome);
    let bare = bounded(outcome.bare_below_mm, 0.0, 2000.0);
    let mut reached = 0;
    One {
        scene,
        glazes: &glazes,
        foot: pt(0.0, 0.0),
        scale,
        run_mm: 0.0,
        bare_mm: bare,
        seed: 0,
    }
    .define(&mut svg);
    for (k, &run) in outcome.twenty_runs_mm.iter().take(20).enumerate() {
        let foot = pt(
            cell * ((k % per_row) as f64 + 0.5),
            row_px * (1 + k / per_row) as f64 - 12.0,
        );
        let one = One {
            scene,
            glazes: &glazes,
            foot,
            scale,
            run_mm: bounded(run, 0.0, 2000.0),
            bare_mm: bare,
            seed: k,
        };
        one.draw(&mut svg);
        reached += usize::from(one.reaches());
    }
    let rows = outcome.twenty_runs_mm.len().min(20).div_ceil(per_row) as f64;
    let sentence = sentence(scene, outcome, reached);
    let y = rows * row_px + 16.0;
    let mut chance = String::new();
    words::put_chance(&mut chance, outcome.p_reaches_foot);
    let beside = if rare(outcome) { "" } else { chance.as_str() };
    let size = if text_width(&sentence, TEXT_PX + 1.0) + 50.0 > width {
        SMALL_PX
    } else {
        TEXT_PX + 1.0
    };
    svg.text_with("gf-text", pt(2.0, y), size, &sentence, beside);
    svg.finish(
        y + 8.0,
        telling(scene, outcome, reached, &sentence, &chance),
    )
}

/// Whether the foot is reached too rarely for a count of twenty.
fn rare(outcome: &PlanOutcome) -> bool {
    outcome.p_reaches_foot < 0.005 || outcome.p_reaches_foot.is_nan()
}

/// The sentence under the row.
fn sentence(scene: &Scene, outcome: &PlanOutcome, reached: usize) -> String {
    let (things, does, do_) = match scene.tile {
        Some(_) => ("tiles", " runs off the end.", " run off the end."),
        None => ("pots", " reaches the foot.", " reach the foot."),
    };
    let mut out = String::new();
    if rare(outcome) {
        out.say("Fewer than 1 in 200 such ");
        out.say(things);
        out.say(do_);
        return out;
    }
    out.say("Of 20 such ");
    out.say(things);
    match reached {
        0 => {
            out.say(", most likely none");
            out.say(does);
        }
        20 => {
            out.say(", all");
            out.say(do_);
        }
        n => {
            out.say(", about ");
            put_integer(&mut out, n as u64);
            out.say(if n == 1 { does } else { do_ });
        }
    }
    out
}

fn telling(
    scene: &Scene,
    outcome: &PlanOutcome,
    reached: usize,
    sentence: &str,
    chance: &str,
) -> String {
    let mut out = text("Twenty small outlines of this ");
    out.say(if scene.tile.is_some() {
        "tile"
    } else {
        scene.family
    });
    out.say(", each as one firing might leave it. ");
    let end = if scene.tile.is_some() {
        "the lower end"
    } else {
        "the foot"
    };
    match reached {
        0 => out.say("None has glaze at "),
        1 => out.say("One, marked with a triangle, has glaze at "),
        n => {
            put_integer(&mut out, n as u64);
            out.say(", marked with a triangle, have glaze at ");
        }
    }
    out.say(end);
    out.say(". ");
    out.say(sentence);
    if !rare(outcome) {
        out.say(" The chance is ");
        out.say(chance);
        out.say(".");
    }
    if let (Some(least), Some(most)) = (
        outcome.twenty_runs_mm.iter().copied().reduce(f64::min),
        outcome.twenty_runs_mm.iter().copied().reduce(f64::max),
    ) {
        out.say(" The runs drawn are ");
        words::put_length_range(&mut out, least, most, scene.units);
        out.say(".");
    }
    out
}

/// Upper and lower edge of each layer, mm down, with its fired colour over what lies under it.
fn fields(scene: &Scene, outcome: &PlanOutcome) -> Vec<(f64, f64, Colour)> {
    let fired = |k: usize| {
        outcome
            .layers
            .get(k)
            .map_or(0.2e-3, |l| bounded(l.fired_um.p50, 0.0, 1e4) * 1e-6)
    };
    let mut fields = Vec::with_capacity(scene.layers.len());
    for (i, layer) in scene.layers.iter().enumerate() {
        let middle = 0.5 * (layer.from_mm + layer.to_mm);
        let mut parts = Vec::with_capacity(i + 1);
        for (k, under) in scene.layers.iter().enumerate().take(i + 1) {
            if under.from_mm <= middle && middle <= under.to_mm {
                parts.push((under.colour, fired(k)));
            }
        }
        fields.push((layer.from_mm, layer.to_mm, seen_over_bisque(&parts)));
    }
    fields
}

/// One of the twenty.
struct One<'a> {
    scene: &'a Scene,
    glazes: &'a [(f64, f64, Colour)],
    /// Middle of the foot, px.
    foot: Pt,
    scale: f64,
    run_mm: f64,
    bare_mm: f64,
    seed: usize,
}

impl One<'_> {
    fn reaches(&self) -> bool {
        self.run_mm >= self.bare_mm && !self.scene.layers.is_empty()
    }

    /// Height in the picture, and half the width, `down` mm from the rim.
    fn level(&self, down: f64) -> (f64, f64) {
        match self.scene.tile {
            Some(tile) => {
                let end = self.scene.wall.end_s();
                (
                    self.foot.y - (end - down.min(end)) * self.scale,
                    0.5 * tile.width_mm * self.scale,
                )
            }
            None => {
                let place = self
                    .scene
                    .wall
                    .at(self.scene.s_of(down).min(self.scene.wall.foot_s));
                (self.foot.y - place.z * self.scale, place.r * self.scale)
            }
        }
    }

    /// The outline between two places, closed or left open below.
    fn band(&self, from: f64, to: f64) -> Vec<Pt> {
        let side = |sign: f64| {
            let points = curve(24, &mut |t| {
                let (y, half) = self.level(from + (to - from) * t);
                pt(self.foot.x + sign * half, y)
            });
            simplify(&points, 0.08)
        };
        let mut points = side(1.0);
        add_back(&mut points, &side(-1.0));
        points
    }

    /// Defines what all twenty share: the glazed piece before it ran, and its outline, both standing at the origin.
    fn define(&self, svg: &mut Svg) {
        let end = self.scene.wall.foot_s - self.scene.wall.rim_s;
        svg.definition("g").id("still", 0).open();
        let mut outline = Path::new();
        outline.through(&self.band(0.0, end)).close();
        svg.definition("path")
            .class("gf-clay")
            .data(&outline)
            .done();
        for &(from, to, colour) in self.glazes {
            let mut path = Path::new();
            path.through(&self.band(from, to)).close();
            svg.definition("path")
                .class("gf-glaze")
                .data(&path)
                .paint("fill", colour)
                .done();
        }
        svg.end_definition("g");
        svg.definition("path")
            .id("outline", 0)
            .data(&outline)
            .done();
    }

    fn draw(&self, svg: &mut Svg) {
        svg.element("use")
            .href("still", 0)
            .num("x", self.foot.x)
            .num("y", self.foot.y)
            .done();
        let lowest = self.glazes.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some(&(_, line, _)) = lowest {
            let mut path = Path::new();
            self.drips(&mut path, line);
            if let (false, Some(&(_, _, colour))) = (
                path.is_empty(),
                self.glazes.iter().rev().find(|g| line - g.1 < 1.0),
            ) {
                svg.element("path")
                    .class("gf-glaze")
                    .data(&path)
                    .paint("fill", colour)
                    .done();
            }
        }
        let line = svg
            .element("use")
            .href("outline", 0)
            .num("x", self.foot.x)
            .num("y", self.foot.y);
        line.class(if self.reaches() {
            "gf-fine gf-strong-line"
        } else {
            "gf-fine"
        })
        .done();
        if self.reaches() {
            self.arrived(svg);
        }
    }

    /// The longest drip and two that fall short of it.
    fn drips(&self, path: &mut Path, line: f64) {
        let (top, half) = self.level(line);
        let room = 2.0 * half;
        let spread = [0.0, 0.34, -0.3];
        for (k, place) in spread.into_iter().enumerate() {
            let chance = jitter(self.seed as u64 + 1, k as u64);
            let length = if k == 0 { 1.0 } else { 0.25 + 0.5 * chance } * self.run_mm;
            let (bottom, _) = self.level(line + length.min(self.bare_mm));
            let wide = (0.055 * room).clamp(0.9, 2.2);
            if bottom - top < 0.3 {
                continue;
            }
            let x = self.foot.x + (place + 0.16 * (jitter(self.seed as u64, 40) - 0.5)) * room;
            let cap = wide.min(bottom - top);
            path.move_to(pt(x - 1.8 * wide, top - 0.2));
            path.curve_to(
                pt(x - wide, top),
                pt(x - wide, top),
                pt(x - wide, bottom - cap),
            );
            path.curve_to(
                pt(x - wide, bottom + 0.3 * cap),
                pt(x + wide, bottom + 0.3 * cap),
                pt(x + wide, bottom - cap),
            );
            path.curve_to(
                pt(x + wide, top),
                pt(x + wide, top),
                pt(x + 1.8 * wide, top - 0.2),
            )
            .close();
        }
    }

    /// Glaze at the foot: a pool in its colour where it runs on, and a mark that needs no colour.
    fn arrived(&self, svg: &mut Svg) {
        let (_, half) = self.level(self.scene.wall.foot_s - self.scene.wall.rim_s);
        let (x, y) = (self.foot.x, self.foot.y);
        if self.scene.tile.is_none()
            && let Some(&(_, _, colour)) = self.glazes.iter().max_by(|a, b| a.1.total_cmp(&b.1))
        {
            let over = bounded((self.run_mm - self.bare_mm) / 1.7 * self.scale, 1.2, 6.0);
            let mut pool = Path::new();
            pool.move_to(pt(x - half - over, y)).curve_to(
                pt(x - half - over, y - 2.2),
                pt(x + half + over, y - 2.2),
                pt(x + half + over, y),
            );
            pool.close();
            svg.element("path")
                .class("gf-glaze gf-outlined")
                .data(&pool)
                .paint("fill", colour)
                .done();
        }
        let mut mark = Path::new();
        mark.through(&[pt(x - 4.0, y + 8.5), pt(x, y + 3.0), pt(x + 4.0, y + 8.5)])
            .close();
        svg.path("gf-dot", &mark);
    }
}
