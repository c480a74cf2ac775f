//! The layers of a pile as single slabs, for rows that a page lays out itself: clay at the bottom, the last coat on top.
//!
//! Takes a scene or a glaze; gives a picture that fills its view.

use super::colour::Colour;
use super::path::{Say, bounded};
use super::pattern;
use super::picture::{Path, Picture, Pt, Svg, View, add_back, curve, pt, text};
use super::scene::Scene;
use super::wall::{jitter, simplify};
use super::words;
use crate::studio::document::{Glaze, How};

/// Most strata that are told apart.
const MOST_STRATA: u32 = 12;

/// One layer as a slab that fills the view: as many strata as coats.
pub fn slab(scene: &Scene, layer: usize, view: &View) -> Picture {
    let mut how = String::new();
    if let Some(layer) = scene.layers.get(layer) {
        how.say(&layer.name);
        how.say(", ");
        words::put_how(&mut how, layer.how);
        how.say(".");
    }
    alone(view, layer, scene.tone(layer), strata(scene, layer), how)
}

/// A glaze as a slab that fills the view, for lists; `index` is its place in the studio.
pub fn swatch(glaze: &Glaze, index: usize, view: &View) -> Picture {
    alone(
        view,
        index,
        super::scene::glaze_colour(Some(glaze), index),
        1,
        text(&glaze.name),
    )
}

/// The clay at the bottom of a pile, filling the view.
pub fn clay(view: &View) -> Picture {
    let mut svg = Svg::exactly(view);
    let (width, height) = (svg.width(), bounded(view.height_px, 4.0, 400.0));
    svg.rect("gf-clay-cut", pt(0.7, 0.7), width - 1.4, height - 1.4);
    svg.finish(height, text("Clay."))
}

fn alone(view: &View, layer: usize, colour: Colour, strata: u32, words: String) -> Picture {
    let mut svg = Svg::exactly(view);
    let (width, height) = (svg.width(), bounded(view.height_px, 4.0, 400.0));
    pattern::define(&mut svg, layer, colour);
    let slab = Slab {
        x: 0.7,
        width: width - 1.4,
        bottom: height - 0.7,
        height: height - 3.6,
        strata,
        seed: layer,
    };
    slab.draw(&mut svg, layer);
    svg.finish(height, words)
}

/// Coats, dips or passes, as far as they can be told apart.
fn strata(scene: &Scene, layer: usize) -> u32 {
    let n = match scene.layers.get(layer).map(|l| l.how) {
        Some(How::Brush { coats }) => coats,
        Some(How::Dip { dips, .. }) => dips,
        Some(How::Spray { passes }) => passes,
        None => 1,
    };
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

    fn draw(&self, svg: &mut Svg, layer: usize) {
        if self.height <= 0.2 || self.width <= 0.0 {
            return;
        }
        let mut points = self.line(0.0, 0);
        add_back(&mut points, &self.line(self.height, self.strata));
        let mut path = Path::new();
        path.through(&simplify(&points, 0.1)).close();
        svg.element("path")
            .class("gf-layer")
            .data(&path)
            .url("fill", "p", layer)
            .done();
        let mut between = Path::new();
        for k in 1..self.strata {
            let up = self.height * f64::from(k) / f64::from(self.strata);
            between.through(&simplify(&self.line(up, k), 0.1));
        }
        svg.path("gf-stratum", &between);
    }
}
