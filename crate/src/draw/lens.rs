//! A lens: a spot on the wall at true proportions, where glaze is as thin against the clay as it really is.
//!
//! Takes a scene, the film at a moment and a spot; writes a round window with its own scale bar, as a picture of its own or
//! within the piece's.

use super::film::{Film, Moment};
use super::path::Say;
use super::picture::{
    Path, Picture, Pt, SMALL_PX, Svg, View, add_back, along, curve, pt, put_number,
};
use super::pot::kept;
use super::scene::{Scene, bounded};
use super::section::{Cut, define_patterns};
use super::wall::simplify;
use super::words;
use crate::predict::outcome::{FilmStory, PlanOutcome};
use crate::studio::document::{Texture, TextureKind};

/// A spot on the wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spot {
    /// The crest of the rim, or a tile's upper edge.
    Rim,
    /// The lower edge of the topmost layer that ends on another, or else the lowest glaze line.
    Overlap,
    /// The middle of the texture, or else of the lowest layer.
    Texture,
    /// The lowest glaze line.
    Edge,
    /// The foot, or a tile's lower edge.
    Foot,
    /// A distance down the outside from the rim or upper edge, mm.
    At(f64),
}

impl Spot {
    /// Distance down the outside, mm; edges where they stand now.
    fn down_mm(self, scene: &Scene, film: &Film) -> f64 {
        let now = |i: usize, line: f64| line + film.advance_mm.get(i).copied().unwrap_or(0.0);
        let layers = || scene.layers.iter().enumerate();
        let end = scene.wall.foot_s - scene.wall.rim_s;
        let lowest = scene.lowest_mm();
        let down = match self {
            Self::Rim => 0.0,
            Self::Edge => layers()
                .map(|(i, l)| now(i, l.to_mm))
                .fold(lowest, f64::max),
            Self::Foot => end,
            Self::At(down) => down,
            Self::Overlap => {
                let onto = layers().rev().find(|(_, l)| lowest - l.to_mm > 1.0);
                onto.map_or(lowest, |(i, l)| now(i, l.to_mm))
            }
            Self::Texture => scene
                .texture
                .as_ref()
                .map_or(0.5 * lowest, |t| 0.5 * (t.from_mm + t.to_mm)),
        };
        bounded(down, 0.0, end)
    }

    /// What is looked at, in words.
    fn name(self, scene: &Scene) -> String {
        let tile = scene.tile.is_some();
        let name = match self {
            Self::Rim if tile => "the upper edge",
            Self::Rim => "the rim",
            Self::Overlap => "the edge of the overlap",
            Self::Texture => "the texture",
            Self::Edge => "the lowest glaze line",
            Self::Foot if tile => "the lower edge",
            Self::Foot => "the foot",
            Self::At(down) => {
                let mut out = words::length(bounded(down, 0.0, 1e4), scene.units);
                out.say(" down the wall");
                return out;
            }
        };
        name.to_owned()
    }

    /// Width of what is seen, mm.
    fn window_mm(self, scene: &Scene) -> f64 {
        let repeat = |t: &Texture| (2.5 * t.repeat_mm).clamp(4.0, 18.0);
        match self {
            Self::Rim => (1.9 * scene.wall_mm).clamp(6.0, 16.0),
            Self::Texture => scene.texture.as_ref().map_or(6.0, repeat),
            Self::Foot => 10.0,
            _ => 6.0,
        }
    }

    /// Whether the cut is level, across upright flutes.
    fn level(self, scene: &Scene) -> bool {
        let upright = |t: &Texture| t.kind == TextureKind::UprightFlutes;
        self == Self::Texture && scene.texture.as_ref().is_some_and(upright)
    }
}

/// The spot as a picture of its own.
pub fn draw(
    scene: &Scene,
    story: &FilmStory,
    outcome: &PlanOutcome,
    moment: Moment,
    spot: Spot,
    view: &View,
) -> Picture {
    let film = Film::at(scene, story, outcome, moment);
    let mut svg = Svg::new(view);
    let width = svg.width();
    let radius = 0.5
        * (width - 16.0)
            .min(bounded(view.height_px, 160.0, 900.0) - 56.0)
            .min(360.0);
    let patterns = define_patterns(&mut svg, scene);
    let cut = Cut {
        scene,
        film: &film,
        origin: pt(0.0, 0.0),
        scale: 1.0,
        factor: 1.0,
        kept: kept(&film, outcome),
        window: None,
    };
    let centre = pt(0.5 * width, radius + 6.0);
    window(&mut svg, &cut, spot, centre, radius, &patterns);
    let mut text = spot.name(scene);
    text.say(if spot.level(scene) {
        ", cut level"
    } else {
        ", true proportions"
    });
    svg.text(
        "gf-text-small gf-quiet",
        pt(centre.x, 2.0 * radius + 46.0),
        "middle",
        SMALL_PX,
        &text,
    );
    svg.finish(2.0 * radius + 56.0, telling(&cut, spot, outcome))
}

/// The lens within the piece's picture: a ring around the spot, joined to a window at `centre`.
pub(crate) fn inset(
    svg: &mut Svg,
    cut: &Cut,
    spot: Spot,
    room: Option<(Pt, f64)>,
    patterns: &[String],
) {
    let s = cut.scene.s_of(spot.down_mm(cut.scene, cut.film));
    let at = cut.middle(0, s);
    let ring = (0.5 * spot.window_mm(cut.scene) * cut.scale).max(6.0);
    svg.circle("gf-lens", at, ring);
    if let Some((centre, radius)) = room {
        let (dx, dy) = (centre.x - at.x, centre.y - at.y);
        let far = dx.hypot(dy).max(1.0);
        let along = |d: f64| pt(at.x + dx / far * d, at.y + dy / far * d);
        if far > ring + radius {
            svg.line("gf-fine", along(ring), along(far - radius));
        }
        window(svg, cut, spot, centre, radius, patterns);
    }
}

/// The round window with its scale bar under it.
fn window(svg: &mut Svg, cut: &Cut, spot: Spot, centre: Pt, radius: f64, patterns: &[String]) {
    let scene = cut.scene;
    let scale = 2.0 * radius / spot.window_mm(scene);
    let clip = svg.id("lens");
    svg.definition("clipPath").attr("id", &clip).open();
    svg.definition("circle")
        .num("cx", centre.x)
        .num("cy", centre.y)
        .num("r", radius)
        .done();
    svg.end_definition("clipPath");
    svg.circle("gf-ground", centre, radius);
    svg.element("g").url("clip-path", &clip).open();
    let s = scene.s_of(spot.down_mm(scene, cut.film));
    if spot.level(scene) {
        level(svg, cut, s, centre, radius, scale, patterns);
    } else {
        let mut close = Cut {
            origin: pt(0.0, 0.0),
            scale,
            factor: 1.0,
            ..*cut
        };
        let (at, normal) = close.surface(s);
        // The surface a little out of the middle, so that more of the glaze's side is seen.
        let aside = if matches!(spot, Spot::Rim) {
            -0.5 * radius
        } else {
            0.1 * radius
        };
        close.origin = pt(
            centre.x - at.x - normal.x * aside,
            centre.y - at.y - normal.y * aside,
        );
        if spot == Spot::Foot && scene.tile.is_none() {
            let y = close.origin.y;
            svg.rect("gf-shelf", pt(centre.x - radius, y), 2.0 * radius, radius);
        }
        close.window = Some((centre, radius));
        close.draw(svg, patterns);
    }
    svg.end("g");
    svg.circle("gf-lens", centre, radius);
    bar(svg, pt(centre.x, centre.y + radius + 11.0), scale, radius);
}

fn bar(svg: &mut Svg, at: Pt, scale: f64, radius: f64) {
    let mm = [2.0, 1.0, 0.5]
        .into_iter()
        .find(|mm| mm * scale <= 0.8 * radius)
        .unwrap_or(0.2);
    let half = 0.5 * mm * scale;
    let at = pt(at.x - 20.0, at.y);
    let mut path = Path::new();
    path.through(&[pt(at.x - half, at.y - 4.0), pt(at.x - half, at.y + 4.0)]);
    path.through(&[pt(at.x - half, at.y), pt(at.x + half, at.y)]);
    path.through(&[pt(at.x + half, at.y - 4.0), pt(at.x + half, at.y + 4.0)]);
    svg.path("gf-tick", &path);
    let mut text = String::new();
    put_number(&mut text, mm);
    text.say(" mm");
    svg.text(
        "gf-text-small",
        pt(at.x + half + 6.0, at.y + 4.0),
        "start",
        SMALL_PX,
        &text,
    );
}

/// A level cut across upright flutes, the outside upwards.
fn level(
    svg: &mut Svg,
    cut: &Cut,
    s: f64,
    centre: Pt,
    radius: f64,
    scale: f64,
    patterns: &[String],
) {
    let Some(texture) = &cut.scene.texture else {
        return;
    };
    let true_cut = Cut {
        factor: 1.0,
        ..*cut
    };
    let depth = texture.depth_mm;
    let half_mm = radius / scale;
    let clay =
        |x: f64| -0.5 * depth * (1.0 - (std::f64::consts::TAU * x / texture.repeat_mm).cos());
    let line = |layers: Option<usize>| {
        let points = curve(90, &mut |t| {
            let x = half_mm * (2.0 * t - 1.0);
            let high = layers.map_or(clay(x), |m| true_cut.top_over(s, m, clay(x), depth));
            pt(
                centre.x + x * scale,
                centre.y - (high + 0.35 * depth) * scale,
            )
        });
        simplify(&points, 0.1)
    };
    let mut body = line(None);
    body.push(pt(centre.x + radius, centre.y + radius));
    body.push(pt(centre.x - radius, centre.y + radius));
    svg.area("gf-clay-cut", &body);
    for (i, id) in patterns.iter().enumerate().take(cut.scene.layers.len()) {
        if !cut.film.lies(i, s) {
            continue;
        }
        let mut points = line(Some(i));
        add_back(&mut points, &line(Some(i + 1)));
        let mut path = Path::new();
        path.through(&points).close();
        svg.element("path")
            .class("gf-layer")
            .data(&path)
            .url("fill", id)
            .done();
    }
}

fn telling(cut: &Cut, spot: Spot, outcome: &PlanOutcome) -> String {
    let scene = cut.scene;
    let s = scene.s_of(spot.down_mm(scene, cut.film));
    let mut out = String::from("Looking closely at ");
    out.say(&spot.name(scene));
    out.say(if spot.level(scene) {
        ", cut level, in true proportions. "
    } else {
        ", in true proportions. "
    });
    let lying: Vec<usize> = (0..scene.layers.len())
        .filter(|&i| cut.film.lies(i, s))
        .collect();
    if lying.is_empty() {
        out.say("The clay is bare here.");
        return out;
    }
    let total: f64 = lying.iter().map(|&i| cut.film.thickness(i, s)).sum();
    out.say("The glaze is ");
    out.say(&words::thickness(total));
    out.say(" thick here");
    if lying.len() > 1 {
        out.say(": ");
        for (k, &i) in lying.iter().enumerate() {
            if let Some(layer) = scene.layers.get(i) {
                out.say(if k == 0 { "" } else { ", over it " });
                out.say(&layer.name);
                out.say(" ");
                out.say(&words::thickness(cut.film.thickness(i, s)));
            }
        }
    }
    out.say(".");
    if let (Spot::Texture, Some(texture), false) = (spot, &scene.texture, cut.film.raw) {
        out.say(" Of ");
        put_number(&mut out, texture.depth_mm);
        out.say(" mm of relief, about ");
        out.say(&words::thickness(
            texture.depth_mm * kept(cut.film, outcome),
        ));
        out.say(" is still to be felt.");
    }
    out
}

/// The largest round window that fits inside a pot, between wall and axis: its middle and radius, px.
pub(crate) fn room_inside(scene: &Scene, axis: Pt, scale: f64, glaze_px: f64) -> Option<(Pt, f64)> {
    if scene.tile.is_some() {
        return None;
    }
    let rim_z = scene.wall.at(scene.wall.rim_s).z;
    let floor_z = scene.wall.at(0.0).z;
    // Inside of the wall, from the floor up: radius by height.
    let inside = along(&scene.wall.stations(0.0, scene.wall.rim_s), &mut |s| {
        let place = scene.wall.at(s);
        pt(place.r, place.z)
    });
    let mut best: Option<(Pt, f64)> = None;
    for k in 2..19 {
        let z = floor_z + (rim_z - floor_z) * f64::from(k) / 20.0;
        for share in [0.42, 0.46, 0.5, 0.54] {
            let (mut wide, mut clear) = (f64::MAX, f64::MAX);
            for p in &inside {
                if (p.y - z).abs() < 3.0 {
                    wide = wide.min(p.x);
                }
            }
            if wide == f64::MAX {
                continue;
            }
            let r = share * wide;
            for p in &inside {
                clear = clear.min((p.x - r).hypot(p.y - z));
            }
            // Room for the scale bar below.
            let radius = (clear * scale - 8.0 - glaze_px)
                .min(r * scale - 8.0)
                .min((z - floor_z) * scale - 28.0 - glaze_px);
            let radius = radius.min((rim_z - z) * scale - 8.0).min(84.0);
            if radius > best.map_or(40.0, |b| b.1) {
                best = Some((pt(axis.x - r * scale, axis.y - z * scale), radius));
            }
        }
    }
    best
}
