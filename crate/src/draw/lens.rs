//! A lens: a spot on the wall at true proportions, where glaze is as thin against the clay as it really is.
//!
//! Takes a scene, the film at a moment and a spot; writes a round window with its own scale bar, as a picture of its own or
//! within the piece's.

use super::film::{Film, Moment};
use super::path::{Say, bounded};
use super::picture::{
    Anchor, Ink, Picture, Pt, Svg, View, add, add_back, along, curve, pt, put_number, text,
};
use super::scene::Scene;
use super::section::{Cut, define_patterns};
use super::thicker::Thicker;
use super::wall::simplify;
use super::{scalebar, words};
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
    #[inline(never)]
    fn down_mm(self, scene: &Scene, film: &Film) -> f64 {
        let end = scene.wall.foot_s - scene.wall.rim_s;
        let lowest = scene.lowest_mm();
        let down = match self {
            Self::Rim => 0.0,
            Self::Foot => end,
            Self::At(down) => down,
            Self::Edge | Self::Overlap => {
                // The last layer that ends on another one, or whichever stands lowest now.
                let mut down = lowest;
                for (i, layer) in scene.layers.iter().enumerate() {
                    let now = layer.to_mm + film.advance_mm.get(i).copied().unwrap_or(0.0);
                    if self == Self::Edge {
                        down = f64::max(down, now);
                    } else if lowest - layer.to_mm > 1.0 {
                        down = now;
                    }
                }
                down
            }
            Self::Texture => match &scene.texture {
                Some(t) => 0.5 * (t.from_mm + t.to_mm),
                None => 0.5 * lowest,
            },
        };
        bounded(down, 0.0, end)
    }

    /// What is looked at, in words.
    fn put_name(self, out: &mut String, scene: &Scene) {
        let tile = scene.tile.is_some();
        if let Self::At(down) = self {
            words::put_length(out, bounded(down, 0.0, 1e4), scene.units);
        }
        out.say(match self {
            Self::Rim if tile => "the upper edge",
            Self::Rim => "the rim",
            Self::Overlap => "the edge of the overlap",
            Self::Texture => "the texture",
            Self::Edge => "the lowest glaze line",
            Self::Foot if tile => "the lower edge",
            Self::Foot => "the foot",
            Self::At(_) => " down the wall",
        });
    }

    /// Width of what is seen, mm.
    fn window_mm(self, scene: &Scene) -> f64 {
        match (self, &scene.texture) {
            (Self::Rim, _) => bounded(1.9 * scene.wall_mm, 6.0, 16.0),
            (Self::Texture, Some(t)) => bounded(2.5 * t.repeat_mm, 4.0, 18.0),
            (Self::Foot, _) => 10.0,
            (Self::Overlap, _) => 9.0,
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
    define_patterns(&mut svg, scene);
    let cut = Cut {
        scene,
        film: &film,
        origin: pt(0.0, 0.0),
        scale: 1.0,
        thicker: Thicker::TRUE,
        kept: film.kept(outcome),
        window: None,
    };
    let centre = pt(0.5 * width, radius + 6.0);
    window(&mut svg, &cut, spot, centre, radius);
    let mut text = String::new();
    spot.put_name(&mut text, scene);
    text.say(if spot.level(scene) {
        ", cut level"
    } else {
        ", true proportions"
    });
    svg.text(
        Ink::Quiet,
        pt(centre.x, 2.0 * radius + 46.0),
        Anchor::Middle,
        &text,
    );
    svg.finish(2.0 * radius + 56.0, telling(&cut, spot, outcome))
}

/// The lens within the piece's picture: a ring around the spot, joined to a window at `centre`.
pub(crate) fn inset(svg: &mut Svg, cut: &Cut, spot: Spot, room: Option<(Pt, f64)>) {
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
        window(svg, cut, spot, centre, radius);
    }
}

/// The round window with its scale bar under it.
fn window(svg: &mut Svg, cut: &Cut, spot: Spot, centre: Pt, radius: f64) {
    let scene = cut.scene;
    let scale = 2.0 * radius / spot.window_mm(scene);
    svg.clip("lens");
    svg.definition("circle")
        .place("cx", "cy", centre)
        .num("r", radius)
        .done();
    svg.circle("gf-ground", centre, radius);
    svg.clipped("lens");
    let s = scene.s_of(spot.down_mm(scene, cut.film));
    if spot.level(scene) {
        level(svg, cut, s, centre, radius, scale);
    } else {
        let mut close = Cut {
            origin: pt(0.0, 0.0),
            scale,
            thicker: Thicker::TRUE,
            ..*cut
        };
        let (at, normal, _) = close.surface(s);
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
        close.draw(svg);
    }
    svg.end("g");
    svg.circle("gf-lens", centre, radius);
    let mut mm = 0.2;
    for &more in &[0.5, 1.0, 2.0] {
        if more * scale <= 0.8 * radius {
            mm = more;
        }
    }
    let from = centre.x - 20.0 - 0.5 * mm * scale;
    let from = pt(from, centre.y + radius + 11.0);
    scalebar::plain(svg, from, mm, scale, 4.0, " mm");
}

/// A level cut across upright flutes, the outside upwards.
fn level(svg: &mut Svg, cut: &Cut, s: f64, centre: Pt, radius: f64, scale: f64) {
    let Some(texture) = &cut.scene.texture else {
        return;
    };
    let true_cut = Cut {
        thicker: Thicker::TRUE,
        ..*cut
    };
    let depth = texture.depth_mm;
    let half_mm = radius / scale;
    let line = |layers: usize| {
        let points = curve(90, &mut |t| {
            let x = half_mm * (2.0 * t - 1.0);
            let phase = std::f64::consts::TAU * x / texture.repeat_mm;
            let clay = -0.5 * depth * (1.0 - phase.cos());
            let high = true_cut.top_over(s, layers, clay, depth) + 0.35 * depth;
            pt(centre.x + x * scale, centre.y - high * scale)
        });
        simplify(&points, 0.1)
    };
    let mut body = line(0);
    let mut below = body.clone();
    add(&mut body, pt(centre.x + radius, centre.y + radius));
    add(&mut body, pt(centre.x - radius, centre.y + radius));
    svg.area("gf-clay-cut", &body);
    for i in 0..cut.scene.layers.len() {
        if cut.film.lies(i, s) {
            let above = line(i + 1);
            add_back(&mut below, &above);
            cut.put_layer(svg, i, &[below]);
            below = above;
        }
    }
}

fn telling(cut: &Cut, spot: Spot, outcome: &PlanOutcome) -> String {
    let scene = cut.scene;
    let s = scene.s_of(spot.down_mm(scene, cut.film));
    let mut out = text("Looking closely at ");
    spot.put_name(&mut out, scene);
    out.say(if spot.level(scene) {
        ", cut level, in true proportions. "
    } else {
        ", in true proportions. "
    });
    if let (Spot::Overlap, Some(roll)) = (spot, cut.film.rolls.iter().flatten().last()) {
        out.say("Above it the glaze stands in a roll ");
        words::put_thickness(&mut out, roll.mm);
        out.say(" thick.");
        return out;
    }
    let (mut total, mut lying) = (0.0, 0);
    for i in 0..scene.layers.len() {
        if cut.film.lies(i, s) {
            total += cut.film.thickness(i, s);
            lying += 1;
        }
    }
    if lying == 0 {
        out.say("The clay is bare here.");
        return out;
    }
    out.say("The glaze is ");
    words::put_thickness(&mut out, total);
    out.say(" thick here");
    let mut before = ": ";
    for (i, layer) in scene.layers.iter().enumerate() {
        if lying > 1 && cut.film.lies(i, s) {
            out.say(before);
            out.say(&layer.name);
            out.say(" ");
            words::put_thickness(&mut out, cut.film.thickness(i, s));
            before = ", over it ";
        }
    }
    out.say(".");
    if let (Spot::Rim, Some(rim)) = (spot, cut.film.rim) {
        out.say(" Where it is thinnest around the rim, ");
        words::put_thickness(&mut out, rim.mm);
        out.say(" is left.");
    }
    if let (Spot::Texture, Some(texture), false) = (spot, &scene.texture, cut.film.raw) {
        out.say(" Of ");
        put_number(&mut out, texture.depth_mm);
        out.say(" mm of relief, about ");
        words::put_thickness(&mut out, texture.depth_mm * cut.film.kept(outcome));
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
        for &share in &[0.42, 0.46, 0.5, 0.54] {
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
