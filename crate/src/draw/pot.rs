//! The piece as potters and museums draw one: the axis in the middle, left of it the wall cut through, right of it the
//! outside; a tile as its section on its slope and its face.
//!
//! Takes a scene, the film's story, the outcome and a moment; gives the picture with its ruler, scale bars and words.

use super::face::Face;
use super::film::{Film, Moment};
use super::lens::Spot;
use super::outside::Outside;
use super::path::Say;
use super::picture::{Path, Picture, Pt, SMALL_PX, Svg, TEXT_PX, View, curve, fit_text, pt};
use super::ruler::Ruler;
use super::scene::{Scene, bounded};
use super::section::{Cut, define_patterns};
use super::{scalebar, telling, words};
use crate::predict::outcome::{FilmStory, PlanOutcome};

/// Width from which there is room for the names of the layers, px.
const WIDE_PX: f64 = 560.0;
/// Thickness of a cookie, mm.
const COOKIE_MM: f64 = 8.0;

/// Where everything stands.
struct Layout {
    wide: bool,
    /// px per mm of the pot.
    scale: f64,
    factor: f64,
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
    let kept = kept(&film, outcome);
    let mut svg = Svg::new(view);
    let layout = Layout::of(scene, story, outcome, view);
    let patterns = define_patterns(&mut svg, scene);
    let cut = Cut {
        scene,
        film: &film,
        origin: layout.cut,
        scale: layout.scale,
        factor: layout.factor,
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
    cut.draw(&mut svg, &patterns);
    if scene.tile.is_none() {
        axis(&mut svg, scene, &layout);
    } else {
        slope(&mut svg, scene, &layout);
    }
    if layout.wide {
        names(&mut svg, scene, &cut, &layout);
    }
    let ruler = Ruler {
        face,
        outcome,
        line_mm: scene.lowest_mm(),
        floor_y: layout.foot_y - 3.0,
    };
    ruler.draw(&mut svg);
    if let Some(spot) = lens {
        let room = super::lens::room_inside(
            scene,
            pt(layout.x, layout.y),
            layout.scale,
            layout.inside_px,
        );
        super::lens::inset(&mut svg, &cut, spot, room, &patterns);
    }
    let most = layout.height - layout.shelf_y;
    scalebar::draw(
        &mut svg,
        scene,
        layout.scale,
        layout.factor,
        pt(layout.x, layout.shelf_y),
        most,
    );
    svg.finish(
        layout.height,
        telling::piece(scene, &film, outcome, layout.factor),
    )
}

/// Share of the relief that the surface keeps at this moment: it is lost as an exponential in the firing's work.
pub(crate) fn kept(film: &Film, outcome: &PlanOutcome) -> f64 {
    match (&outcome.relief_kept, film.raw) {
        (Some(kept), false) => bounded(kept.p50, 0.001, 1.0).powf(film.share),
        _ => 1.0,
    }
}

impl Layout {
    fn of(scene: &Scene, story: &FilmStory, outcome: &PlanOutcome, view: &View) -> Self {
        let width = view.width();
        let wide = width >= WIDE_PX;
        let most_height = bounded(view.height_px, 260.0, 2000.0);
        let (left, right) = if wide { (158.0, 134.0) } else { (8.0, 104.0) };

        let glaze_px = if wide { 42.0 } else { 28.0 };
        let over_rim = scene.layers.iter().any(|layer| layer.over_rim);
        let (above, below) = (
            24.0 + if over_rim { glaze_px } else { 12.0 },
            if wide { 72.0 } else { 76.0 },
        );
        let room_x = (width - left - right - glaze_px).max(80.0);
        let room_y = (most_height - above - below).max(80.0);
        let thickest = thickest_mm(scene, story);
        if let Some(tile) = scene.tile {
            let (sin, cos) = tile.slope_rad.sin_cos();
            let length = scene.wall.end_s().max(1.0);
            let gap = if wide { 46.0 } else { 26.0 };
            let section_mm = length * cos + scene.wall_mm * sin;
            let scale = ((room_x - gap) / (section_mm + tile.width_mm))
                .min(room_y / (length + scene.wall_mm))
                .max(0.05);
            let factor = factor(scale, thickest, glaze_px);
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
                factor,
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
        let cookie = outcome.cookie_mm.map_or(0.0, |d| bounded(d, 0.0, 1000.0));
        let half_mm = scene.wall.widest_r().max(1.0);
        let spread = half_mm.max(0.5 * cookie - 60.0);
        let tall_mm = scene.wall.top_z().max(5.0) + if cookie > 0.0 { COOKIE_MM } else { 0.0 };
        let scale = (room_x / (2.0 * spread)).min(room_y / tall_mm).max(0.05);
        let factor = factor(scale, thickest, glaze_px);
        let x = left + glaze_px + 0.5 * room_x;
        let inside_px = if over_rim {
            thickest * factor * scale
        } else {
            0.0
        };
        let shelf_y = above + tall_mm * scale;
        let y = shelf_y - if cookie > 0.0 { COOKIE_MM * scale } else { 0.0 };
        Self {
            wide,
            scale,
            factor,
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

/// The thickest stack of the story's raw coats and of its firing's first moments, mm.
fn thickest_mm(scene: &Scene, story: &FilmStory) -> f64 {
    let stack = |moment: &crate::predict::outcome::FilmMoment| {
        (0..moment.s_m.len())
            .map(|k| {
                moment
                    .layers_m
                    .iter()
                    .take(scene.layers.len())
                    .filter_map(|h| h.get(k))
                    .sum::<f64>()
                    * 1e3
            })
            .fold(0.0, f64::max)
    };
    bounded(stack(&story.raw), 0.05, 20.0)
}

/// By how much the glaze is drawn thicker than to scale: so that coats can be told apart, and one more coat is seen to be one
/// more; steps of a scale that people say.
fn factor(scale: f64, thickest_mm: f64, most_px: f64) -> f64 {
    const STEPS: [f64; 16] = [
        1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0,
    ];
    let wanted = most_px * 1.05;
    let fitting = |f: &f64| f * scale <= wanted && f * scale * thickest_mm <= most_px;
    STEPS.into_iter().rev().find(fitting).unwrap_or(1.0)
}

fn captions(svg: &mut Svg, scene: &Scene, film: &Film, layout: &Layout) {
    let when = telling::moment(film, scene.units);
    let y = 15.0;
    match scene.tile {
        None => {
            svg.text(
                "gf-text-small gf-quiet",
                pt(layout.x - 12.0, y),
                "end",
                SMALL_PX,
                "cut through",
            );
            let mut text = String::from("outside, ");
            text.say(&when);
            svg.text(
                "gf-text-small gf-quiet",
                pt(layout.x + 12.0, y),
                "start",
                SMALL_PX,
                &text,
            );
        }
        Some(_) => {
            svg.text(
                "gf-text-small gf-quiet",
                pt(layout.x - 16.0, y),
                "end",
                SMALL_PX,
                "cut through",
            );
            let mut text = String::from("face, ");
            text.say(&when);
            svg.text(
                "gf-text-small gf-quiet",
                pt(layout.x, y),
                "start",
                SMALL_PX,
                &text,
            );
        }
    }
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
        let text = fit_text("cookie", SMALL_PX, 60.0);
        let y = 0.5 * (layout.y + layout.shelf_y) + 4.0;
        if layout.shelf_y - layout.y > 14.0 {
            svg.text(
                "gf-text-small",
                pt(layout.x - 0.5 * half, y),
                "middle",
                SMALL_PX,
                &text,
            );
        }
    }
}

/// Glaze that stands on the shelf or the cookie, where the longest drip has passed the foot.
fn pool(svg: &mut Svg, outside: &Outside, outcome: &PlanOutcome, layout: &Layout) {
    let scene = outside.face.scene;
    let over_mm = outside.film.longest_mm - bounded(outcome.bare_below_mm, 0.0, 2000.0);
    if scene.tile.is_some() || over_mm <= 0.3 || !scene.wall.foot_s.is_finite() {
        return;
    }
    let foot = scene.wall.at(scene.wall.foot_s);
    // A front 1 mm thick, spread at the height at which melt stands on a shelf, 1.7 mm.
    let width = bounded(over_mm / 1.7, 0.8, 25.0) * layout.scale;
    let high = (1.7 * layout.scale).max(2.5);
    let colour = scene
        .layers
        .last()
        .map_or(super::colour::BISQUE, |layer| layer.colour);
    for side in [1.0, -1.0] {
        let x = layout.x + side * foot.r * layout.scale;
        let end = x + side * width;
        let mut path = Path::new();
        path.move_to(pt(x, layout.y))
            .line_to(pt(x, layout.y - 1.5 * high));
        path.curve_to(
            pt(x + side * 0.25 * width, layout.y - high),
            pt(end, layout.y - high),
            pt(end, layout.y),
        )
        .close();
        svg.element("path")
            .class("gf-glaze gf-outlined")
            .data(&path)
            .attr("fill", &colour.hex())
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
    let mut text = words::count(degrees.round() as usize);
    text.say("°");
    let (x, y) = (
        corner.x + (radius + 6.0) * (1.0 + cos) * 0.5 + 2.0,
        corner.y - (radius + 6.0) * sin * 0.4,
    );
    svg.text("gf-text-small gf-quiet", pt(x, y), "start", SMALL_PX, &text);
}

/// Names of the layers on the left, each joined to its layer.
fn names(svg: &mut Svg, scene: &Scene, cut: &Cut, layout: &Layout) {
    // From the highest to the lowest, as many as there is room for.
    let mut wanted: Vec<(usize, Pt)> = Vec::new();
    for i in 0..scene.layers.len() {
        if let Some(at) = pointing_at(scene, cut, i) {
            let mut k = wanted.len();
            while k > 0 && wanted[k - 1].1.y > at.y {
                k -= 1;
            }
            wanted.insert(k, (i, at));
        }
    }
    let (step, lowest) = (38.0, layout.shelf_y - 8.0);
    wanted.truncate(((lowest - 40.0) / step).max(1.0) as usize);
    let mut ys = Vec::with_capacity(wanted.len());
    for (_, at) in &wanted {
        ys.push(at.y);
    }
    for k in 1..ys.len() {
        ys[k] = ys[k].max(ys[k - 1] + step);
    }
    for k in (0..ys.len()).rev() {
        let limit = if k + 1 < ys.len() {
            ys[k + 1] - step
        } else {
            lowest
        };
        ys[k] = ys[k].min(limit);
    }
    let right = layout.left - 20.0;
    for ((i, at), y) in wanted.into_iter().zip(ys) {
        let Some(layer) = scene.layers.get(i) else {
            continue;
        };
        let name = fit_text(&layer.name, TEXT_PX, right - 4.0);
        svg.text("gf-label", pt(right, y), "end", TEXT_PX, &name);
        svg.text(
            "gf-text-small gf-quiet",
            pt(right, y + 15.0),
            "end",
            SMALL_PX,
            &words::how(layer.how),
        );
        svg.polyline(
            "gf-hair",
            &[pt(right + 5.0, y - 4.0), pt(right + 14.0, y - 4.0), at],
        );
        svg.circle("gf-dot", at, 1.8);
    }
}

/// A point in layer `i` where it can be seen, different layers at different heights.
fn pointing_at(scene: &Scene, cut: &Cut, i: usize) -> Option<Pt> {
    let layer = scene.layers.get(i)?;
    let n = scene.layers.len() as f64;
    let covered = |down: f64| {
        scene
            .layers
            .iter()
            .filter(|l| l.from_mm <= down && down <= l.to_mm)
            .count()
    };
    let span = layer.to_mm - layer.from_mm;
    let mut best: Option<(usize, f64, f64)> = None;
    for k in 1..20 {
        let share = f64::from(k) / 20.0;
        let down = layer.from_mm + span * share;
        let s = scene.s_of(down);
        if !cut.film.lies(i, s) {
            continue;
        }
        // Where fewest layers lie; among those, spread by the layer's place in the pile.
        let wanted = 0.25 + 0.5 * (n - i as f64) / (n + 1.0);
        let candidate = (covered(down), (share - wanted).abs(), s);
        if best.is_none_or(|b| (candidate.0, candidate.1) < (b.0, b.1)) {
            best = Some(candidate);
        }
    }
    best.map(|(_, _, s)| cut.middle(i, s))
}
