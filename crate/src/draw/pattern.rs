//! Patterns: each layer has its own, so that the section reads in grey and for every eye.
//!
//! Takes a layer's number and colour; gives a pattern defined once in the picture, and another of the marks alone for
//! print, where tones are lost.

use super::colour::{BLACK, Colour};
use super::picture::{Svg, pt};

/// Side of a pattern's tile, px, what it is called in the words, and its marks as a path; a filled mark where the path closes.
const PATTERNS: [(f64, &str, &str); 8] = [
    (5.0, "slanting lines", "M-1 1l2-2M-1 6l7-7M4 6l2-2"),
    (
        4.5,
        "dots",
        "M1.5 2.25a.75.75 0 1 0 1.5 0a.75.75 0 1 0-1.5 0z",
    ),
    (4.0, "level lines", "M-1 2l6 0"),
    (
        5.0,
        "lines slanting the other way",
        "M-1 4l2 2M-1-1l7 7M4-1l2 2",
    ),
    (6.5, "small crosses", "M3.25 1.6l0 3.3M1.6 3.25l3.3 0"),
    (
        6.5,
        "small rings",
        "M1.65 3.25a1.6 1.6 0 1 0 3.2 0a1.6 1.6 0 1 0-3.2 0",
    ),
    (5.0, "upright dashes", "M1.2.2l0 2.5M3.7 2.7l0 2.3"),
    (6.0, "crossed lines", "M-1-1l8 8M-1 7l8-8"),
];

/// What a layer's pattern is called.
pub(crate) fn name(layer: usize) -> &'static str {
    PATTERNS[layer % PATTERNS.len()].1
}

/// Defines the pattern of a layer on its colour.
pub(crate) fn define(svg: &mut Svg, layer: usize, colour: Colour) {
    tile(svg, "p", layer, Some(colour));
}

/// Defines the marks of a layer's pattern without ground, shown only where tones are lost,.
pub(crate) fn define_marks(svg: &mut Svg, layer: usize) {
    tile(svg, "m", layer, None);
}

#[inline(never)]
fn tile(svg: &mut Svg, name: &str, layer: usize, ground: Option<Colour>) {
    let (side, _, marks) = PATTERNS[layer % PATTERNS.len()];
    svg.definition("pattern")
        .id(name, layer)
        .attr("patternUnits", "userSpaceOnUse")
        .num("width", side)
        .num("height", side)
        .open();
    if let Some(colour) = ground {
        // A hair larger than the tile, so that no seam shows between tiles.
        svg.definition("rect")
            .class("gf-tone")
            .place("x", "y", pt(-0.5, -0.5))
            .num("width", side + 1.0)
            .num("height", side + 1.0)
            .paint("fill", colour)
            .done();
    }
    let ink = ground.map_or(BLACK, Colour::mark);
    svg.definition("path").attr("d", marks);
    if marks.ends_with('z') {
        svg.class("gf-markfill").paint("fill", ink);
    } else {
        svg.class(["gf-printmark", "gf-mark"][usize::from(ground.is_some())])
            .attr("fill", "none")
            .paint("stroke", ink);
    }
    svg.done();
    svg.end_definition("pattern");
}
