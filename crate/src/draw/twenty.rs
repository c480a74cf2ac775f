//! Twenty pots: small outlines of this very piece, each as one draw would come out of the kiln.
//!
//! Takes a scene and an outcome; gives a row of twenty with the count in a sentence under it.

use super::colour::{Colour, seen_over_bisque};
use super::path::{Say, bounded};
use super::picture::{
    Path, Picture, Pt, SMALL_PX, Svg, TEXT_PX, View, add_back, curve, pt, put_integer, text,
    text_width,
};
use super::scene::Scene;
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
    let mut one = One {
        scene,
        foot: pt(0.0, 0.0),
        scale,
        run_mm: 0.0,
        bare_mm: bounded(outcome.bare_below_mm, 0.0, 2000.0),
        seed: 0,
    };
    let colour = one.define(&mut svg, outcome);
    let (mut reached, mut rows) = (0, 0.0);
    let (mut least, mut furthest) = (f64::MAX, 0.0);
    for (k, &run) in outcome.twenty_runs_mm.iter().take(20).enumerate() {
        rows = (1 + k / per_row) as f64;
        one.foot = pt(cell * ((k % per_row) as f64 + 0.5), row_px * rows - 12.0);
        one.run_mm = bounded(run, 0.0, 2000.0);
        one.seed = k as u64;
        one.draw(&mut svg, colour);
        reached += usize::from(one.reaches());
        least = one.run_mm.min(least);
        furthest = one.run_mm.max(furthest);
    }
    let sentence = sentence(scene, outcome, reached);
    let mut chance = String::new();
    if !rare(outcome) {
        words::put_chance(&mut chance, outcome.p_reaches_foot);
    }
    let y = rows * row_px + 16.0;
    let size = if text_width(&sentence, TEXT_PX + 1.0) + 50.0 > width {
        SMALL_PX
    } else {
        TEXT_PX + 1.0
    };
    svg.text_with("gf-text", pt(2.0, y), size, &sentence, &chance);
    let tile = scene.tile.is_some();
    let mut said = text("Twenty small outlines of this ");
    said.say(scene.family);
    said.say(", each as one firing might leave it. ");
    match reached {
        0 => said.say("None has"),
        1 => said.say("One, marked with a triangle, has"),
        n => {
            put_integer(&mut said, n as u64);
            said.say(", marked with a triangle, have");
        }
    }
    said.say(" glaze at the ");
    said.say(if tile { "lower end. " } else { "foot. " });
    said.say(&sentence);
    if !chance.is_empty() {
        said.say(" The chance is ");
        said.say(&chance);
        said.say(".");
    }
    if rows > 0.0 {
        said.say(" The runs drawn are ");
        words::put_length_range(&mut said, least, furthest, scene.units);
        said.say(".");
    }
    svg.finish(y + 8.0, said)
}

/// Whether the foot is reached too rarely for a count of twenty.
fn rare(outcome: &PlanOutcome) -> bool {
    outcome.p_reaches_foot < 0.005 || outcome.p_reaches_foot.is_nan()
}

/// The sentence under the row.
fn sentence(scene: &Scene, outcome: &PlanOutcome, reached: usize) -> String {
    let [things, does, do_] = match scene.tile {
        Some(_) => ["tiles", " runs off the end.", " run off the end."],
        None => ["pots", " reaches the foot.", " reach the foot."],
    };
    let rare = rare(outcome);
    let mut out = text(if rare {
        "Fewer than 1 in 200 such "
    } else {
        "Of 20 such "
    });
    out.say(things);
    if !rare {
        match reached {
            0 => out.say(", most likely none"),
            20 => out.say(", all"),
            n => {
                out.say(", about ");
                put_integer(&mut out, n as u64);
            }
        }
    }
    out.say(if reached < 2 && !rare { does } else { do_ });
    out
}

/// One of the twenty.
struct One<'a> {
    scene: &'a Scene,
    /// Middle of the foot, px.
    foot: Pt,
    scale: f64,
    run_mm: f64,
    bare_mm: f64,
    seed: u64,
}

impl One<'_> {
    fn reaches(&self) -> bool {
        self.run_mm >= self.bare_mm && !self.scene.layers.is_empty()
    }

    /// Height in the picture, and half the width, `down` mm from the rim.
    #[inline(never)]
    fn level(&self, down: f64) -> (f64, f64) {
        let wall = &self.scene.wall;
        let (up, half) = match self.scene.tile {
            Some(tile) => (wall.end_s() - down.min(wall.end_s()), 0.5 * tile.width_mm),
            None => {
                let place = wall.at(self.scene.s_of(down).min(wall.foot_s));
                (place.z, place.r)
            }
        };
        (self.foot.y - up * self.scale, half * self.scale)
    }

    /// The closed outline between two places.
    #[inline(never)]
    fn band(&self, from: f64, to: f64) -> Path {
        let side = |sign: f64| {
            let points = curve(24, &mut |t| {
                let (y, half) = self.level(from + (to - from) * t);
                pt(self.foot.x + sign * half, y)
            });
            simplify(&points, 0.08)
        };
        let mut points = side(1.0);
        add_back(&mut points, &side(-1.0));
        let mut path = Path::new();
        path.through(&points).close();
        path
    }

    /// Defines what all twenty share: the glazed piece before it ran, and its outline, both standing at the origin. Gives the
    /// colour of what lies lowest.
    fn define(&self, svg: &mut Svg, outcome: &PlanOutcome) -> Colour {
        let wall = &self.scene.wall;
        let outline = self.band(0.0, wall.foot_s - wall.rim_s);
        svg.definition("g").id("still", 0).open();
        svg.definition("path")
            .class("gf-clay")
            .data(&outline)
            .done();
        let lowest_mm = self.scene.lowest_mm();
        let mut lowest = super::colour::BISQUE;
        let mut parts = Vec::new();
        for (i, layer) in self.scene.layers.iter().enumerate() {
            // Its fired colour over what lies under its middle.
            let middle = 0.5 * (layer.from_mm + layer.to_mm);
            parts.clear();
            for (under, fired) in self.scene.layers.iter().zip(&outcome.layers).take(i + 1) {
                if under.from_mm <= middle && middle <= under.to_mm {
                    let metres = bounded(fired.fired_um.p50, 0.0, 1e4) * 1e-6;
                    parts.push((under.colour, metres));
                }
            }
            let colour = seen_over_bisque(&parts);
            if lowest_mm - layer.to_mm < 1.0 {
                lowest = colour;
            }
            svg.definition("path")
                .class("gf-glaze")
                .data(&self.band(layer.from_mm, layer.to_mm))
                .paint("fill", colour)
                .done();
        }
        svg.end_definition("g");
        svg.definition("path")
            .id("outline", 0)
            .data(&outline)
            .done();
        lowest
    }

    fn draw(&self, svg: &mut Svg, colour: Colour) {
        svg.element("use")
            .href("still", 0)
            .place("x", "y", self.foot)
            .done();
        let mut path = Path::new();
        self.drips(&mut path);
        if !path.is_empty() {
            svg.element("path")
                .class("gf-glaze")
                .data(&path)
                .paint("fill", colour)
                .done();
        }
        let reaches = self.reaches();
        svg.element("use")
            .href("outline", 0)
            .place("x", "y", self.foot)
            .class(["gf-fine", "gf-fine gf-strong-line"][usize::from(reaches)])
            .done();
        if reaches {
            self.arrived(svg, colour);
        }
    }

    /// The longest drip and two that fall short of it.
    fn drips(&self, path: &mut Path) {
        let line = self.scene.lowest_mm();
        let (top, half) = self.level(line);
        let room = 2.0 * half;
        let wide = bounded(0.055 * room, 0.9, 2.2);
        let aside = 0.16 * (jitter(self.seed, 40) - 0.5);
        for (k, place) in [0.0, 0.34, -0.3].into_iter().enumerate() {
            let mut length = self.run_mm;
            if k > 0 {
                length *= 0.25 + 0.5 * jitter(self.seed + 1, k as u64);
            }
            let (bottom, _) = self.level(line + length.min(self.bare_mm));
            if bottom - top < 0.3 {
                continue;
            }
            let x = self.foot.x + (place + aside) * room;
            let cap = bottom - wide.min(bottom - top);
            let tip = bottom + 0.3 * (bottom - cap);
            let at = |across: f64, y: f64| pt(x + across * wide, y);
            path.move_to(at(-1.8, top - 0.2));
            path.curve_to(at(-1.0, top), at(-1.0, top), at(-1.0, cap));
            path.curve_to(at(-1.0, tip), at(1.0, tip), at(1.0, cap));
            path.curve_to(at(1.0, top), at(1.0, top), at(1.8, top - 0.2))
                .close();
        }
    }

    /// Glaze at the foot: a pool in its colour where it runs on, and a mark that needs no colour.
    fn arrived(&self, svg: &mut Svg, colour: Colour) {
        let wall = &self.scene.wall;
        let (_, half) = self.level(wall.foot_s - wall.rim_s);
        let Pt { x, y } = self.foot;
        if self.scene.tile.is_none() {
            let over = bounded((self.run_mm - self.bare_mm) / 1.7 * self.scale, 1.2, 6.0);
            let (a, b, up) = (x - half - over, x + half + over, y - 2.2);
            let mut pool = Path::new();
            pool.move_to(pt(a, y))
                .curve_to(pt(a, up), pt(b, up), pt(b, y))
                .close();
            svg.element("path")
                .class("gf-glaze gf-outlined")
                .data(&pool)
                .paint("fill", colour)
                .done();
        }
        let mark = [pt(x - 4.0, y + 8.5), pt(x, y + 3.0), pt(x + 4.0, y + 8.5)];
        svg.area("gf-dot", &mark);
    }
}
