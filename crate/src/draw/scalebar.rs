//! Scale bars: the pot's in centimetres, the glaze's in millimetres, and the factor between them in words.
//!
//! Takes the scales; writes both bars under the shelf.

use super::path::Say;
use super::picture::{Path, Pt, SMALL_PX, Svg, pt, put_number};
use super::scene::Scene;
use crate::studio::document::Units;

/// Writes the bars below `shelf` (its `x` the middle of the piece), in a strip `height` px high.
pub(crate) fn draw(svg: &mut Svg, scene: &Scene, scale: f64, factor: f64, shelf: Pt, height: f64) {
    let y = shelf.y + 30.0;
    let width = svg.width();
    // The glaze's bar on the left, under the section.
    let glaze_px = scale * factor;
    let mm = [0.5, 1.0, 2.0, 5.0]
        .into_iter()
        .find(|mm| mm * glaze_px >= 18.0)
        .unwrap_or(5.0);
    let left = 12.0_f64.max(if width >= 560.0 { 34.0 } else { 12.0 });
    let bar = mm * glaze_px;
    let mut path = Path::new();
    path.through(&[pt(left, y - 5.0), pt(left, y + 5.0)])
        .through(&[pt(left, y), pt(left + bar, y)]);
    path.through(&[pt(left + bar, y - 5.0), pt(left + bar, y + 5.0)]);
    svg.path("gf-tick", &path);
    let mut text = String::new();
    put_number(&mut text, mm);
    text.say(" mm of glaze");
    svg.text(
        "gf-text-small",
        pt(left + bar + 8.0, y + 4.0),
        "start",
        SMALL_PX,
        &text,
    );
    let mut text = String::from("glaze ");
    put_number(&mut text, factor);
    text.say(" × thicker than drawn to scale");
    if factor <= 1.0 {
        text = "glaze drawn to scale".to_owned();
    }
    svg.text(
        "gf-text-small gf-quiet",
        pt(left, y + (height - 30.0).min(26.0)),
        "start",
        SMALL_PX,
        &text,
    );
    pot_bar(svg, scene, scale, y, width);
}

/// The pot's bar: parts filled and open in turn.
fn pot_bar(svg: &mut Svg, scene: &Scene, scale: f64, y: f64, width: f64) {
    let (unit_mm, name) = match scene.units {
        Units::Metric => (10.0, " cm"),
        Units::Imperial => (25.4, " in"),
    };
    let most = (width * 0.28).min(150.0);
    let fits = |n: &f64| n * unit_mm * scale <= most;
    let count = [20.0, 10.0, 5.0, 4.0, 2.0, 1.0]
        .into_iter()
        .find(fits)
        .unwrap_or(1.0);
    let parts = if count == 20.0 { 4.0 } else { count };
    let part = count / parts * unit_mm * scale;
    let right = width - if width >= 560.0 { 60.0 } else { 40.0 };
    let start = right - part * parts;
    let mut k = 0.0;
    while k < parts {
        let class = if k % 2.0 == 0.0 {
            "gf-bar"
        } else {
            "gf-bar-open"
        };
        svg.rect(class, pt(start + k * part, y - 3.0), part, 6.0);
        k += 1.0;
    }
    svg.text(
        "gf-text-small",
        pt(start - 6.0, y + 4.0),
        "end",
        SMALL_PX,
        "0",
    );
    let mut text = String::new();
    put_number(&mut text, count);
    text.say(name);
    svg.text(
        "gf-text-small",
        pt(right + 6.0, y + 4.0),
        "start",
        SMALL_PX,
        &text,
    );
}
