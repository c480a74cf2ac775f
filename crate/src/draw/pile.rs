//! The pile of layers, drawn as a pile: clay at the bottom, the last coat on top.
//!
//! Takes a scene and an outcome; gives the whole pile raw and fired, or single slabs for rows that a page lays out itself.

use super::colour::Colour;
use super::path::Say;
use super::pattern;
use super::picture::{
    Path, Picture, Pt, SMALL_PX, Svg, TEXT_PX, View, add_back, curve, fit_text, pt,
};
use super::scene::{Scene, bounded};
use super::wall::jitter;
use super::words;
use crate::predict::outcome::PlanOutcome;
use crate::studio::document::{Glaze, How};

/// Height of the clay under a pile, px.
const CLAY_PX: f64 = 18.0;
/// Most strata that are told apart.
const MOST_STRATA: u32 = 12;

/// The whole pile, raw on the left and fired beside it, to one scale, each layer named.
pub fn draw(scene: &Scene, outcome: &PlanOutcome, view: &View) -> Picture {
    let mut svg = Svg::new(view);
    let width = svg.width();
    let n = scene.layers.len();
    let patterns: Vec<String> = (0..n)
        .map(|i| pattern::define(&mut svg, i, scene.tone(i)))
        .collect();
    let thick = |i: usize, raw: bool| {
        let layer = outcome.layers.get(i);
        bounded(
            layer.map_or(0.0, |l| if raw { l.raw_um.p50 } else { l.fired_um.p50 }) * 1e-3,
            0.0,
            20.0,
        )
    };
    let total = |raw: bool| (0..n).map(|i| thick(i, raw)).sum::<f64>();
    let row = 38.0;
    let most = bounded(view.height_px, 120.0, 900.0) - CLAY_PX - 52.0;
    let scale = (most.min((row * n as f64).max(60.0)) / total(true).max(0.05)).min(160.0);
    let high = (total(true) * scale).max(row * n as f64 - 8.0);
    let base = 24.0 + high;
    let wide = bounded(0.26 * width, 60.0, 150.0);
    let columns = [(4.0, true, "raw"), (4.0 + wide + 14.0, false, "fired")];
    let mut tops = vec![base; n];
    for (x, raw, name) in columns {
        let mut y = base;
        svg.rect("gf-clay-cut", pt(x, base), wide, CLAY_PX);
        for i in 0..n {
            let slab = Slab {
                x,
                width: wide,
                bottom: y,
                height: thick(i, raw) * scale,
                strata: strata(scene, i),
                seed: i,
            };
            slab.draw(&mut svg, patterns.get(i).map_or("", String::as_str));
            if !raw && let Some(top) = tops.get_mut(i) {
                *top = y - 0.5 * slab.height;
            }
            y -= slab.height;
        }
        svg.text(
            "gf-text-small gf-quiet",
            pt(x + 0.5 * wide, base + CLAY_PX + 15.0),
            "middle",
            SMALL_PX,
            name,
        );
        let text = words::thickness(total(raw));
        svg.text(
            "gf-text-small",
            pt(x + 0.5 * wide, y - 6.0),
            "middle",
            SMALL_PX,
            &text,
        );
    }
    names(
        &mut svg,
        scene,
        outcome,
        &tops,
        4.0 + 2.0 * wide + 14.0,
        row,
    );
    let words = telling(scene, outcome, total(true), total(false));
    svg.finish(base + CLAY_PX + 24.0, words)
}

/// One layer as a slab that fills the view: as many strata as coats.
pub fn slab(scene: &Scene, layer: usize, view: &View) -> Picture {
    let how = scene.layers.get(layer).map_or_else(String::new, |l| {
        let mut out = l.name.clone();
        out.say(", ");
        out.say(&words::how(l.how));
        out.say(".");
        out
    });
    alone(view, layer, scene.tone(layer), strata(scene, layer), how)
}

/// A glaze as a slab that fills the view, for lists; `index` is its place in the studio.
pub fn swatch(glaze: &Glaze, index: usize, view: &View) -> Picture {
    alone(
        view,
        index,
        super::scene::glaze_colour(Some(glaze), index),
        1,
        glaze.name.clone(),
    )
}

/// The clay at the bottom of a pile, filling the view.
pub fn clay(view: &View) -> Picture {
    let mut svg = Svg::exactly(view);
    let (width, height) = (svg.width(), bounded(view.height_px, 4.0, 400.0));
    svg.rect("gf-clay-cut", pt(0.7, 0.7), width - 1.4, height - 1.4);
    svg.finish(height, "Clay.".to_owned())
}

fn alone(view: &View, layer: usize, colour: Colour, strata: u32, words: String) -> Picture {
    let mut svg = Svg::exactly(view);
    let (width, height) = (svg.width(), bounded(view.height_px, 4.0, 400.0));
    let id = pattern::define(&mut svg, layer, colour);
    let slab = Slab {
        x: 0.7,
        width: width - 1.4,
        bottom: height - 0.7,
        height: height - 3.6,
        strata,
        seed: layer,
    };
    slab.draw(&mut svg, &id);
    svg.finish(height, words)
}

/// Coats, dips or passes, as far as they can be told apart.
fn strata(scene: &Scene, layer: usize) -> u32 {
    let n = scene.layers.get(layer).map_or(1, |l| match l.how {
        How::Brush { coats } => coats,
        How::Dip { dips, .. } => dips,
        How::Spray { passes } => passes,
    });
    n.clamp(1, MOST_STRATA)
}

struct Slab {
    x: f64,
    width: f64,
    bottom: f64,
    height: f64,
    strata: u32,
    seed: usize,
}

impl Slab {
    /// The line between two strata: as level as a brush leaves it, straight at the bottom of the slab.
    fn line(&self, up: f64, k: u32) -> Vec<Pt> {
        let sway = (0.09 * self.height / f64::from(self.strata))
            .min(0.02 * self.width)
            .min(1.4);
        let phase = 6.3 * jitter(self.seed as u64 + 3, u64::from(k));
        curve(24, &mut |t| {
            let wave = (t * self.width / 17.0 + phase).sin()
                + 0.5 * (t * self.width / 7.0 + 2.0 * phase).sin();
            let lift = if k == 0 { 0.0 } else { sway * wave };
            pt(self.x + t * self.width, self.bottom - up + lift)
        })
    }

    fn draw(&self, svg: &mut Svg, pattern: &str) {
        if self.height <= 0.2 || self.width <= 0.0 {
            return;
        }
        let mut points = self.line(0.0, 0);
        add_back(&mut points, &self.line(self.height, self.strata));
        let mut path = Path::new();
        path.through(&super::wall::simplify(&points, 0.1)).close();
        svg.element("path")
            .class("gf-layer")
            .data(&path)
            .url("fill", pattern)
            .done();
        let mut between = Path::new();
        for k in 1..self.strata {
            let up = self.height * f64::from(k) / f64::from(self.strata);
            between.through(&super::wall::simplify(&self.line(up, k), 0.1));
        }
        svg.path("gf-stratum", &between);
    }
}

/// Names beside the pile, the last layer on top, each joined to its slab.
fn names(svg: &mut Svg, scene: &Scene, outcome: &PlanOutcome, tops: &[f64], from: f64, row: f64) {
    let mut ys: Vec<f64> = tops.to_vec();
    let base = tops.first().copied().unwrap_or(0.0);
    for k in 0..ys.len() {
        let most = if k == 0 {
            base.max(0.0)
        } else {
            ys[k - 1] - row
        };
        ys[k] = ys[k].min(most);
    }
    // Never above the picture.
    let lift = ys.last().map_or(0.0, |top| (22.0 - top).max(0.0));
    let x = from + 22.0;
    for ((layer, &at), (i, y)) in scene.layers.iter().zip(tops).zip(ys.iter().enumerate()) {
        let y = y + lift;
        let mut path = Path::new();
        path.through(&[
            pt(from + 1.0, at),
            pt(from + 12.0, y - 2.0),
            pt(from + 18.0, y - 2.0),
        ]);
        svg.path("gf-hair", &path);
        svg.text(
            "gf-label",
            pt(x, y),
            "start",
            TEXT_PX,
            &fit_text(&layer.name, TEXT_PX, svg.width() - x),
        );
        let mut text = words::how(layer.how);
        if let Some(thickness) = outcome.layers.get(i) {
            text.say(", ");
            text.say(&words::thickness(thickness.fired_um.p50 * 1e-3));
        }
        svg.text(
            "gf-text-small gf-quiet",
            pt(x, y + 15.0),
            "start",
            SMALL_PX,
            &fit_text(&text, SMALL_PX, svg.width() - x),
        );
    }
}

fn telling(scene: &Scene, outcome: &PlanOutcome, raw: f64, fired: f64) -> String {
    let mut out = String::from("The layers as a pile, from the clay upwards: ");
    for (i, layer) in scene.layers.iter().enumerate() {
        out.say(if i == 0 { "" } else { "; " });
        out.say(&layer.name);
        out.say(", ");
        out.say(&words::how(layer.how));
        if let Some(thickness) = outcome.layers.get(i) {
            out.say(", ");
            out.say(&words::thickness(thickness.raw_um.p50 * 1e-3));
            out.say(" raw, ");
            out.say(&words::thickness(thickness.fired_um.p50 * 1e-3));
            out.say(" fired");
        }
    }
    if scene.layers.is_empty() {
        return "No glaze on the clay yet.".to_owned();
    }
    out.say(". Together ");
    out.say(&words::thickness(raw));
    out.say(" raw and ");
    out.say(&words::thickness(fired));
    out.say(" fired.");
    out
}
