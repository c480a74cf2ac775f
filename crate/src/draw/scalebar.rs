//! Scale bars: the pot's in centimetres, the glaze's in millimetres, and the factor between them in words.
//!
//! Takes the scales; writes both bars under the shelf.

use super::frame::step;
use super::path::Say;
use super::picture::{Anchor, Ink, Path, Pt, Svg, pt, put_number};
use super::scene::Scene;
use crate::studio::document::Units;

/// `rolls`: whether what stands out is drawn less. Writes the bars below `shelf` (its `x` the middle of the piece), in a strip `height` px high.
pub(crate) fn draw(
    svg: &mut Svg,
    scene: &Scene,
    scale: f64,
    factor: f64,
    rolls: bool,
    shelf: Pt,
    height: f64,
) {
    let y = shelf.y + 30.0;
    let wide = svg.width() >= 560.0;
    // The glaze's bar on the left, under the section.
    let glaze_px = scale * factor;
    let mm = step(&[0.5, 1.0, 2.0, 5.0, 10.0, 20.0], 18.0 / glaze_px);
    let left = if wide { 34.0 } else { 12.0 };
    plain(svg, pt(left, y), mm, glaze_px, 5.0, " mm of glaze");
    let mut said = String::new();
    if factor > 1.0 {
        said.say("glaze ");
        put_number(&mut said, factor);
        said.say(" × thicker than drawn to scale");
        said.say(if rolls { ", rolls less so" } else { "" });
    } else {
        said.say("glaze drawn to scale");
    }
    let under = pt(left, y + (height - 30.0).min(26.0));
    svg.text(Ink::Quiet, under, Anchor::Start, &said);
    pot_bar(svg, scene, scale, y, wide);
}

/// A plain bar of some millimetres with its length behind it.
#[inline(never)]
pub(crate) fn plain(svg: &mut Svg, from: Pt, mm: f64, px_per_mm: f64, half: f64, unit: &str) {
    let (y, end) = (from.y, from.x + mm * px_per_mm);
    let mut path = Path::new();
    for [a, b] in [
        [pt(from.x, y - half), pt(from.x, y + half)],
        [from, pt(end, y)],
        [pt(end, y - half), pt(end, y + half)],
    ] {
        path.through(&[a, b]);
    }
    svg.path("gf-tick", &path);
    let mut text = String::new();
    put_number(&mut text, mm);
    text.say(unit);
    svg.text(
        Ink::Small,
        pt(end + half + 3.0, y + 4.0),
        Anchor::Start,
        &text,
    );
}

/// The pot's bar: parts filled and open in turn.
fn pot_bar(svg: &mut Svg, scene: &Scene, scale: f64, y: f64, wide: bool) {
    let (unit_mm, name) = match scene.units {
        Units::Metric => (10.0, " cm"),
        Units::Imperial => (25.4, " in"),
    };
    let width = svg.width();
    let unit_px = unit_mm * scale;
    let most = (width * 0.28).min(150.0);
    let mut count = 1.0;
    for &more in &[2.0, 4.0, 5.0, 10.0, 20.0] {
        if more * unit_px <= most {
            count = more;
        }
    }
    let parts = if count == 20.0 { 4.0 } else { count };
    let part = count / parts * unit_px;
    let right = width - if wide { 60.0 } else { 40.0 };
    let start = right - part * parts;
    let mut k = 0.0;
    while k < parts {
        let class = ["gf-bar", "gf-bar-open"][k as usize % 2];
        svg.rect(class, pt(start + k * part, y - 3.0), part, 6.0);
        k += 1.0;
    }
    svg.text(Ink::Small, pt(start - 6.0, y + 4.0), Anchor::End, "0");
    let mut text = String::new();
    put_number(&mut text, count);
    text.say(name);
    svg.text(Ink::Small, pt(right + 6.0, y + 4.0), Anchor::Start, &text);
}
