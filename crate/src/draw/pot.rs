//! The piece as potters and museums draw one: the axis in the middle, left of it the wall cut through, right of it the
//! outside; a tile as its section on its slope and its face.
//!
//! Takes a scene, the film's story, the outcome and a moment; gives the picture with its ruler, scale bars and words.

use super::colour::BISQUE;
use super::face::Face;
use super::film::{Film, Moment};
use super::lens::Spot;
use super::outside::Outside;
use super::path::{Say, bounded};
use super::picture::{
    Anchor, Ink, Path, Picture, Pt, Svg, TEXT_PX, View, curve, fit_text, pt, put_number, text,
};
use super::scene::{Beside, Scene};
use super::section::{Cut, define_patterns};
use super::thicker::Thicker;
use super::{ruler, scalebar, telling, words};
use crate::predict::outcome::{FilmMoment, FilmStory, PlanOutcome};

/// Width from which there is room for the names of the layers, px.
const WIDE_PX: f64 = 560.0;
/// From this width on the lens lies in the drawing, where there is room.
const LENS_INSIDE_FROM_PX: f64 = 520.0;
/// Thickness of a cookie, mm.
const COOKIE_MM: f64 = 8.0;

/// Where everything stands.
struct Layout {
    wide: bool,
    /// px per mm of the pot.
    scale: f64,
    thicker: Thicker,
    /// Axis of a pot; left edge of a tile's face.
    x: f64,
    /// Foot of a pot; upper edge of a tile's face.
    y: f64,
    /// Where the section starts from.
    cut: Pt,
    shelf_y: f64,
    /// Where the piece ends below: on the shelf, or on the cookie.
    foot_y: f64,
    left: f64,
    height: f64,
    /// Room that raw glaze takes inside the pot.
    inside_px: f64,
}

/// Draws the piece at a moment.
pub fn draw(
    scene: &Scene,
    story: &FilmStory,
    outcome: &PlanOutcome,
    moment: Moment,
    lens: Option<Spot>,
    view: &View,
) -> Picture {
    let film = Film::at(scene, story, outcome, moment);
    let kept = film.kept(outcome);
    let mut svg = Svg::new(view);
    let layout = Layout::of(scene, story, outcome, view);
    define_patterns(&mut svg, scene);
    let cut = Cut {
        scene,
        film: &film,
        origin: layout.cut,
        scale: layout.scale,
        thicker: layout.thicker,
        kept,
        window: None,
    };
    let face = Face {
        scene,
        x: layout.x,
        y: layout.y,
        scale: layout.scale,
        relief: true,
    };
    let outside = Outside {
        face,
        film: &film,
        kept,
        drips: outcome.drips,
    };
    captions(&mut svg, scene, &film, &layout);
    shelf(&mut svg, scene, outcome, &layout);
    outside.draw(&mut svg);
    pool(&mut svg, &outside, outcome, &layout);
    cut.draw(&mut svg);
    if scene.tile.is_none() {
        axis(&mut svg, scene, &layout);
    } else {
        slope(&mut svg, scene, &layout);
    }
    if layout.wide {
        names(&mut svg, scene, &cut, &layout);
    }
    let floor_y = layout.foot_y - 3.0;
    ruler::draw(&mut svg, face, outcome, scene.lowest_mm(), floor_y);
    if let Some(spot) = lens {
        super::lens::inset(&mut svg, &cut, spot, layout.lens_room(scene, view));
    }
    let most = layout.height - layout.shelf_y;
    let under = pt(layout.x, layout.shelf_y);
    let rolls = thickest_mm(scene, story.fired.last().unwrap_or(&story.raw));
    let rolls = layout.thicker.factor > 1.0 && rolls * layout.thicker.factor > layout.thicker.knee;
    scalebar::draw(
        &mut svg,
        scene,
        layout.scale,
        layout.thicker.factor,
        rolls,
        under,
        most,
    );
    let words = telling::piece(scene, &film, outcome, layout.thicker.factor);
    svg.finish(layout.height, words)
}

/// What a piece takes, so that one beside it can be drawn to the same scales.
pub fn takes(scene: &Scene, story: &FilmStory, outcome: &PlanOutcome) -> Beside {
    Beside {
        raw_mm: thickest_mm(scene, &story.raw),
        cookie_mm: cookie_mm(outcome),
    }
}

fn cookie_mm(outcome: &PlanOutcome) -> f64 {
    outcome.cookie_mm.map_or(0.0, |d| bounded(d, 0.0, 1000.0))
}

/// Whether the drawing of the piece holds the lens; otherwise it is a picture of its own: a tile and a shallow dish have no inside, a phone no room.
pub fn holds_lens(scene: &Scene, story: &FilmStory, outcome: &PlanOutcome, view: &View) -> bool {
    Layout::of(scene, story, outcome, view)
        .lens_room(scene, view)
        .is_some()
}

impl Layout {
    /// Where the lens's window lies in the drawing: its middle and radius, px.
    fn lens_room(&self, scene: &Scene, view: &View) -> Option<(Pt, f64)> {
        if view.width() < LENS_INSIDE_FROM_PX {
            return None;
        }
        let axis = pt(self.x, self.y);
        super::lens::room_inside(scene, axis, self.scale, self.inside_px)
    }

    fn of(scene: &Scene, story: &FilmStory, outcome: &PlanOutcome, view: &View) -> Self {
        let width = view.width();
        let wide = width >= WIDE_PX;
        let most_height = bounded(view.height_px, 260.0, 2000.0);
        let (left, right) = if wide { (158.0, 134.0) } else { (8.0, 104.0) };

        let glaze_px = if wide { 42.0 } else { 28.0 };
        let mut over_rim = false;
        for layer in &scene.layers {
            over_rim |= layer.over_rim;
        }
        let (above, below) = (
            24.0 + if over_rim { 24.0 } else { 12.0 },
            if wide { 72.0 } else { 76.0 },
        );
        let room_x = (width - left - right - glaze_px).max(80.0);
        let room_y = (most_height - above - below).max(80.0);
        if let Some(tile) = scene.tile {
            let (sin, cos) = tile.slope_rad.sin_cos();
            let length = scene.wall.end_s().max(1.0);
            let gap = if wide { 46.0 } else { 26.0 };
            let section_mm = length * cos + scene.wall_mm * sin;
            let scale = ((room_x - gap) / (section_mm + tile.width_mm))
                .min(room_y / (length + scene.wall_mm))
                .max(0.05);
            let thicker = thicker(scene, story, scale, glaze_px);
            let used = (section_mm + tile.width_mm) * scale + gap;
            let start = left + glaze_px + 0.5 * (room_x - used).max(0.0);
            let shelf_y = above + (length + scene.wall_mm * cos) * scale;
            let y = shelf_y - length * scale;
            let cut = pt(
                start + length * cos * scale,
                shelf_y - (length * sin + scene.wall_mm * cos) * scale,
            );
            let x = start + section_mm * scale + gap;
            let height = shelf_y + below;
            return Self {
                wide,
                scale,
                thicker,
                x,
                y,
                cut,
                shelf_y,
                foot_y: shelf_y,
                left,
                height,
                inside_px: 0.0,
            };
        }
        let cookie = cookie_mm(outcome);
        let widest = cookie.max(scene.beside.cookie_mm);
        let half_mm = scene.wall.widest_r().max(1.0);
        let spread = half_mm.max(0.5 * widest - 60.0);
        let tall_mm = scene.wall.top_z().max(5.0) + if widest > 0.0 { COOKIE_MM } else { 0.0 };
        let scale = (room_x / (2.0 * spread)).min(room_y / tall_mm).max(0.05);
        let thicker = thicker(scene, story, scale, glaze_px);
        let x = left + glaze_px + 0.5 * room_x;
        let inside_px = if over_rim { thicker.knee * scale } else { 0.0 };
        let shelf_y = above + tall_mm * scale;
        let y = shelf_y - if cookie > 0.0 { COOKIE_MM * scale } else { 0.0 };
        Self {
            wide,
            scale,
            thicker,
            x,
            y,
            cut: pt(x, y),
            shelf_y,
            foot_y: y,
            left,
            height: shelf_y + below,
            inside_px,
        }
    }
}

/// The thickest stack of a moment, mm.
fn thickest_mm(scene: &Scene, moment: &FilmMoment) -> f64 {
    let mut thickest = 0.0;
    for k in 0..moment.s_m.len() {
        let mut stack = 0.0;
        for h in moment.layers_m.iter().take(scene.layers.len()) {
            stack += h.get(k).copied().unwrap_or(0.0);
        }
        thickest = f64::max(thickest, stack * 1e3);
    }
    bounded(thickest, 0.05, 20.0)
}

/// By how much the glaze is drawn thicker than to scale: so that coats can be told apart, and one more coat is seen to be one
/// more; steps of a scale that people say.
fn thicker(scene: &Scene, story: &FilmStory, scale: f64, most_px: f64) -> Thicker {
    const STEPS: [f64; 16] = [
        1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0,
    ];
    let (tall, wide) = (scene.wall.top_z(), 2.0 * scene.wall.widest_r());
    // A stack takes no more of a pot than it would of one a third as high as wide.
    let size = tall.max(wide.min(3.0 * tall));
    let raw = thickest_mm(scene, &story.raw).max(scene.beside.raw_mm);
    let most = (0.04 * size).min(most_px / scale).max(1.0 / scale);
    let mut factor = 1.0;
    for &step in &STEPS {
        if step * raw <= most && step * scale <= 1.05 * most_px {
            factor = step;
        }
    }
    Thicker {
        factor,
        knee: factor * raw,
        room: 0.02 * size,
    }
}

fn captions(svg: &mut Svg, scene: &Scene, film: &Film, layout: &Layout) {
    let (what, left, right) = match scene.tile {
        None => ("outside, ", 12.0, 12.0),
        Some(_) => ("face, ", 16.0, 0.0),
    };
    let mut text = text(what);
    telling::put_moment(&mut text, film, scene.units);
    let y = 15.0;
    svg.text(
        Ink::Quiet,
        pt(layout.x - left, y),
        Anchor::End,
        "cut through",
    );
    svg.text(Ink::Quiet, pt(layout.x + right, y), Anchor::Start, &text);
}

/// The shelf, and the cookie where one is needed.
fn shelf(svg: &mut Svg, scene: &Scene, outcome: &PlanOutcome, layout: &Layout) {
    let (from, to) = match scene.tile {
        Some(tile) => (layout.left, layout.x + tile.width_mm * layout.scale + 12.0),
        None => {
            let half = scene.wall.widest_r() * layout.scale + 40.0;
            (
                (layout.x - half).max(4.0),
                (layout.x + half).min(svg.width() - 4.0),
            )
        }
    };
    svg.rect("gf-shelf", pt(from, layout.shelf_y), to - from, 5.0);
    svg.line("gf-line", pt(from, layout.shelf_y), pt(to, layout.shelf_y));
    if let (Some(cookie), None) = (outcome.cookie_mm, scene.tile) {
        let half = bounded(0.5 * cookie, 0.0, 500.0) * layout.scale;
        let (a, b) = ((layout.x - half).max(from), (layout.x + half).min(to));
        svg.rect(
            "gf-cookie",
            pt(a, layout.y),
            b - a,
            layout.shelf_y - layout.y,
        );
        let y = 0.5 * (layout.y + layout.shelf_y) + 4.0;
        if layout.shelf_y - layout.y > 14.0 {
            svg.text(
                Ink::Small,
                pt(layout.x - 0.5 * half, y),
                Anchor::Middle,
                "cookie",
            );
        }
    }
}

/// Height at which melt stands on a shelf, mm.
const POOL_MM: f64 = 1.7;

/// Glaze that stands on the shelf or the cookie: a ring of what has passed the foot, and under the longest drip at least its own.
fn pool(svg: &mut Svg, outside: &Outside, outcome: &PlanOutcome, layout: &Layout) {
    let scene = outside.face.scene;
    if scene.tile.is_some() {
        return;
    }
    let foot = scene.wall.at(scene.wall.foot_s).r;
    let ring = outside.film.past_foot / (std::f64::consts::PI * POOL_MM);
    let ring = bounded((foot * foot + ring).sqrt() - foot, 0.0, 60.0);
    // Under the longest drip as wide as predicted, from when it arrives.
    let (longest, bare) = (outside.film.longest_mm, outcome.bare_below_mm.max(0.0));
    let past = (longest - bare) / (outcome.run_mm.p50 - bare).max(1e-6);
    let drip = bounded(outcome.pool_mm.p50 * past, 0.0, 25.0);
    let high = (POOL_MM * layout.scale).max(2.5);
    let colour = scene.layers.last().map_or(BISQUE, |layer| layer.colour);
    for &(side, wide) in &[(-1.0, ring), (1.0, ring.max(drip))] {
        if wide < 0.2 {
            continue;
        }
        let at = |out: f64, up: f64| {
            let x = foot * layout.scale + out * (wide * layout.scale).max(2.0);
            pt(layout.x + side * x, layout.y - up * high)
        };
        let mut path = Path::new();
        path.move_to(at(-0.3, 0.0)).line_to(at(0.0, 1.5));
        path.curve_to(at(0.25, 1.0), at(1.0, 1.0), at(1.0, 0.0))
            .close();
        svg.element("path")
            .class("gf-glaze gf-outlined")
            .data(&path)
            .paint("fill", colour)
            .done();
    }
}

/// The axis, dash and dot, and the rim seen across.
fn axis(svg: &mut Svg, scene: &Scene, layout: &Layout) {
    let rim = scene.wall.at(scene.wall.rim_s);
    let top = layout.y - rim.z * layout.scale;
    svg.line(
        "gf-fine",
        pt(layout.x - rim.r * layout.scale, top),
        pt(layout.x, top),
    );
    svg.line(
        "gf-hair gf-axis",
        pt(layout.x, top - 12.0),
        pt(layout.x, layout.shelf_y + 10.0),
    );
}

/// The angle at which a tile leans.
fn slope(svg: &mut Svg, scene: &Scene, layout: &Layout) {
    let Some(tile) = scene.tile else { return };
    let foot = pt(
        layout.cut.x - scene.wall.end_s() * tile.slope_rad.cos() * layout.scale,
        layout.shelf_y,
    );
    let degrees = tile.slope_rad.to_degrees();
    if degrees > 89.0 {
        return;
    }
    let radius = 34.0;
    let corner = pt(
        foot.x + scene.wall_mm * tile.slope_rad.sin() * layout.scale,
        layout.shelf_y,
    );
    let (sin, cos) = tile.slope_rad.sin_cos();
    let arc = curve(12, &mut |t| {
        let (sin, cos) = (tile.slope_rad * t).sin_cos();
        pt(corner.x + radius * cos, corner.y - radius * sin)
    });
    svg.polyline("gf-hair", &arc);
    let mut text = String::new();
    put_number(&mut text, degrees.round());
    text.say("°");
    let (x, y) = (
        corner.x + (radius + 6.0) * (1.0 + cos) * 0.5 + 2.0,
        corner.y - (radius + 6.0) * sin * 0.4,
    );
    svg.text(Ink::Quiet, pt(x, y), Anchor::Start, &text);
}

/// Names of the layers on the left, each joined to its layer.
fn names(svg: &mut Svg, scene: &Scene, cut: &Cut, layout: &Layout) {
    // From the highest to the lowest, as many as there is room for.
    let mut wanted: Vec<(usize, Pt, f64)> = Vec::with_capacity(scene.layers.len());
    for i in 0..scene.layers.len() {
        if let Some(at) = pointing_at(scene, cut, i) {
            wanted.push((i, at, at.y));
        }
    }
    // Few enough to be put in order by exchanges.
    for end in (1..wanted.len()).rev() {
        for k in 0..end {
            if wanted[k].2 > wanted[k + 1].2 {
                wanted.swap(k, k + 1);
            }
        }
    }
    let (step, lowest) = (38.0, layout.shelf_y - 8.0);
    wanted.truncate(((lowest - 40.0) / step).max(1.0) as usize);
    let mut free = f64::MIN;
    for (_, _, y) in &mut wanted {
        *y = y.max(free);
        free = *y + step;
    }
    let mut limit = lowest;
    for (_, _, y) in wanted.iter_mut().rev() {
        *y = y.min(limit);
        limit = *y - step;
    }
    let right = layout.left - 20.0;
    for &(i, at, y) in &wanted {
        let Some(layer) = scene.layers.get(i) else {
            continue;
        };
        let name = fit_text(&layer.name, TEXT_PX, right - 4.0);
        svg.text(Ink::Label, pt(right, y), Anchor::End, &name);
        let mut how = String::new();
        words::put_how(&mut how, layer.how);
        svg.text(Ink::Quiet, pt(right, y + 15.0), Anchor::End, &how);
        let bend = pt(right + 14.0, y - 4.0);
        svg.polyline("gf-hair", &[pt(right + 5.0, y - 4.0), bend, at]);
        svg.circle("gf-dot", at, 1.8);
    }
}

/// A point in layer `i` where it can be seen, different layers at different heights.
fn pointing_at(scene: &Scene, cut: &Cut, i: usize) -> Option<Pt> {
    let layer = scene.layers.get(i)?;
    let n = scene.layers.len() as f64;
    // Where fewest layers lie; among those, spread by the layer's place in the pile.
    let wanted = 0.25 + 0.5 * (n - i as f64) / (n + 1.0);
    let (mut best, mut best_s) = (f64::MAX, None);
    for k in 1..20 {
        let share = f64::from(k) / 20.0;
        let down = layer.from_mm + (layer.to_mm - layer.from_mm) * share;
        let s = scene.s_of(down);
        if !cut.film.lies(i, s) {
            continue;
        }
        let mut worth = (share - wanted).abs();
        for other in &scene.layers {
            if other.from_mm <= down && down <= other.to_mm {
                worth += 2.0;
            }
        }
        if worth < best {
            (best, best_s) = (worth, Some(s));
        }
    }
    best_s.map(|s| cut.middle(i, s))
}
