//! Patterns: each layer has its own, so that the section reads in grey and for every eye.
//!
//! Takes a layer's number and colour; gives a pattern defined once in the picture, and another of the marks alone for
//! print, where tones are lost.

use super::colour::Colour;
use super::picture::{Path, Svg, pt};

/// Names of the patterns for the words, in the order in which layers take them.
const NAMES: [&str; 8] = [
    "slanting lines",
    "dots",
    "level lines",
    "lines slanting the other way",
    "small crosses",
    "small rings",
    "upright dashes",
    "crossed lines",
];

/// What a layer's pattern is called.
pub(crate) fn name(layer: usize) -> &'static str {
    NAMES[layer % NAMES.len()]
}

/// Defines the pattern of a layer on its colour and gives its id.
pub(crate) fn define(svg: &mut Svg, layer: usize, colour: Colour) -> String {
    let id = svg.id_n("p", layer);
    tile(svg, &id, layer, Some(colour), "gf-mark");
    id
}

/// Defines the marks of a layer's pattern without ground, shown only where tones are lost, and gives its id.
pub(crate) fn define_marks(svg: &mut Svg, layer: usize) -> String {
    let id = svg.id_n("m", layer);
    tile(svg, &id, layer, None, "gf-printmark");
    id
}

fn tile(svg: &mut Svg, id: &str, layer: usize, ground: Option<Colour>, class: &str) {
    let kind = layer % NAMES.len();
    let side = match kind {
        0 | 3 => 5.0,
        1 => 4.5,
        2 => 4.0,
        4 | 5 => 6.5,
        6 => 5.0,
        _ => 6.0,
    };
    let pattern = svg
        .definition("pattern")
        .attr("id", id)
        .attr("patternUnits", "userSpaceOnUse");
    pattern.num("width", side).num("height", side).open();
    if let Some(colour) = ground {
        // A hair larger than the tile, so that no seam shows between tiles.
        let rect = svg
            .definition("rect")
            .class("gf-tone")
            .num("x", -0.5)
            .num("y", -0.5);
        rect.num("width", side + 1.0)
            .num("height", side + 1.0)
            .attr("fill", &colour.hex())
            .done();
    }
    let mark = ground.map(|c| c.mark().hex());
    let mut path = Path::new();
    let mut round = None;
    match kind {
        0 => {
            path.through(&[pt(-1.0, 1.0), pt(1.0, -1.0)])
                .through(&[pt(-1.0, side + 1.0), pt(side + 1.0, -1.0)]);
            path.through(&[pt(side - 1.0, side + 1.0), pt(side + 1.0, side - 1.0)]);
        }
        1 => round = Some((0.75, true)),
        2 => {
            path.through(&[pt(-1.0, side / 2.0), pt(side + 1.0, side / 2.0)]);
        }
        3 => {
            path.through(&[pt(-1.0, side - 1.0), pt(1.0, side + 1.0)])
                .through(&[pt(-1.0, -1.0), pt(side + 1.0, side + 1.0)]);
            path.through(&[pt(side - 1.0, -1.0), pt(side + 1.0, 1.0)]);
        }
        4 => {
            path.through(&[pt(side / 2.0, 1.6), pt(side / 2.0, side - 1.6)]);
            path.through(&[pt(1.6, side / 2.0), pt(side - 1.6, side / 2.0)]);
        }
        5 => round = Some((1.6, false)),
        6 => {
            path.through(&[pt(1.2, 0.2), pt(1.2, 2.7)])
                .through(&[pt(3.7, 2.7), pt(3.7, 5.0)]);
        }
        _ => {
            path.through(&[pt(-1.0, -1.0), pt(side + 1.0, side + 1.0)])
                .through(&[pt(-1.0, side + 1.0), pt(side + 1.0, -1.0)]);
        }
    }
    let paint = mark.as_deref().unwrap_or("#000");
    match round {
        Some((radius, filled)) => {
            let dot = svg
                .definition("circle")
                .num("cx", side / 2.0)
                .num("cy", side / 2.0)
                .num("r", radius);
            if filled {
                dot.class("gf-markfill").attr("fill", paint).done();
            } else {
                dot.class(class)
                    .attr("fill", "none")
                    .attr("stroke", paint)
                    .done();
            }
        }
        None => {
            svg.definition("path")
                .class(class)
                .data(&path)
                .attr("fill", "none")
                .attr("stroke", paint)
                .done();
        }
    }
    svg.end_definition("pattern");
}
