//! The words of the pictures: what is there, and what it shows now.
//!
//! Takes the same data as the drawing; gives plain sentences for a screen reader.

use super::film::Film;
use super::path::{Say, bounded};
use super::picture::put_number;
use super::scene::Scene;
use super::{pattern, words};
use crate::predict::outcome::{Band90, PlanOutcome};
use crate::studio::document::{TextureKind, Units};

/// The moment in a word or two.
#[inline(never)]
pub(crate) fn put_moment(out: &mut String, film: &Film, units: Units) {
    if film.raw {
        out.say("before firing");
    } else if film.ended {
        out.say("after firing");
    } else {
        out.say("at ");
        words::put_temperature(out, film.temperature_c, units);
    }
}

/// The whole piece.
pub(crate) fn piece(scene: &Scene, film: &Film, outcome: &PlanOutcome, factor: f64) -> String {
    let mut said = String::new();
    let out = &mut said;
    what(out, scene, film);
    layers(out, scene, outcome);
    texture(out, scene, outcome, film);
    rim_and_rolls(out, scene, film, outcome);
    run(out, scene, film, outcome);
    if factor > 1.0 {
        out.say(" In the cut, glaze is drawn ");
        put_number(out, factor);
        out.say(" times thicker than to scale.");
    }
    said
}

fn what(out: &mut String, scene: &Scene, film: &Film) {
    let u = scene.units;
    if !scene.name.is_empty() {
        out.say(&scene.name);
        out.say(", ");
    }
    match scene.tile {
        Some(tile) => {
            out.say("a tile ");
            words::put_size(out, tile.width_mm, u);
            out.say(" wide and ");
            words::put_size(out, scene.wall.end_s(), u);
            out.say(" long, standing at ");
            put_number(out, tile.slope_rad.to_degrees().round());
            out.say(" degrees: cut through on the left, its face on the right, ");
        }
        None => {
            out.say("a ");
            out.say(scene.family);
            out.say(" ");
            words::put_size(out, scene.wall.top_z(), u);
            out.say(" high and ");
            words::put_size(out, 2.0 * scene.wall.widest_r(), u);
            out.say(" wide: the wall cut through on the left, the outside on the right, ");
        }
    }
    put_moment(out, film, u);
    out.say(".");
}

fn layers(out: &mut String, scene: &Scene, outcome: &PlanOutcome) {
    if scene.layers.is_empty() {
        out.say(" No glaze on it yet.");
        return;
    }
    for (i, layer) in scene.layers.iter().enumerate() {
        out.say(if i == 0 {
            " On the clay: "
        } else {
            " Over it: "
        });
        out.say(&layer.name);
        out.say(", ");
        words::put_how(out, layer.how);
        if layer.over_rim {
            out.say(", over the rim and ");
        } else if layer.from_mm < 0.5 {
            out.say(if scene.tile.is_some() {
                ", from the upper edge"
            } else {
                ", from the rim"
            });
        } else {
            out.say(", from ");
            words::put_length(out, layer.from_mm, scene.units);
        }
        if !layer.over_rim {
            out.say(" to ");
        }
        words::put_length(out, layer.to_mm, scene.units);
        out.say(" down");
        if let Some(thickness) = outcome.layers.get(i) {
            out.say(", about ");
            words::put_thickness(out, thickness.raw_um.p50 * 1e-3);
            out.say(" raw and ");
            words::put_thickness(out, thickness.fired_um.p50 * 1e-3);
            out.say(" fired");
        }
        out.say(" (");
        out.say(pattern::name(i));
        out.say(").");
    }
}

fn texture(out: &mut String, scene: &Scene, outcome: &PlanOutcome, film: &Film) {
    let Some(texture) = &scene.texture else {
        return;
    };
    out.say(match texture.kind {
        TextureKind::Rings => " Rings around the wall, ",
        TextureKind::UprightFlutes => " Upright flutes, ",
        TextureKind::Pressed => " Pressed marks, ",
    });
    put_number(out, texture.depth_mm);
    out.say(" mm deep");
    if let (Some(kept), false) = (&outcome.relief_kept, film.raw) {
        out.say("; after firing about ");
        words::put_percent(out, bounded(kept.p50, 0.0, 1.0));
        out.say(" of the relief is left");
    }
    out.say(".");
}

/// What surface tension has done: the thin rim, and the rolls where a layer ends on another.
fn rim_and_rolls(out: &mut String, scene: &Scene, film: &Film, outcome: &PlanOutcome) {
    if !film.solved && !film.raw {
        out.say(" The film could not be followed through this firing: the layers are drawn as they were put on.");
    }
    if let Some(rim) = film.rim {
        out.say(" At the rim the glaze has thinned to ");
        words::put_thickness(out, rim.mm);
        band(out, ", 9 times in 10 from ", film, &outcome.rim_thinnest_um);
        out.say(".");
    }
    for (i, layer) in scene.layers.iter().enumerate() {
        if let Some(Some(roll)) = film.rolls.get(i) {
            out.say(" The colour of ");
            out.say(&layer.name);
            out.say(" ends ");
            let end = layer.to_mm + film.advance_mm.get(i).copied().unwrap_or(0.0);
            words::put_length(out, end, scene.units);
            out.say(" down; at ");
            words::put_length(out, roll.s - scene.wall.rim_s, scene.units);
            out.say(" the glaze stands in a roll ");
            words::put_thickness(out, roll.mm);
            out.say(" thick.");
        }
    }
    if outcome.roll_um.is_some() && film.ended {
        let opening = " The highest roll is, 9 times in 10, from ";
        band(out, opening, film, &outcome.roll_um);
        out.say(".");
    }
}

/// A band of thicknesses after the firing, where there is one.
fn band(out: &mut String, opening: &str, film: &Film, band: &Option<Band90>) {
    if let (Some(band), true) = (band, film.ended) {
        out.say(opening);
        words::put_thickness(out, band.p05 * 1e-3);
        out.say(" to ");
        words::put_thickness(out, band.p95 * 1e-3);
    }
}

fn run(out: &mut String, scene: &Scene, film: &Film, outcome: &PlanOutcome) {
    if scene.layers.is_empty() {
        return;
    }
    let u = scene.units;
    out.say(" The lowest glaze line is ");
    words::put_length(out, scene.lowest_mm(), u);
    out.say(" down, with ");
    words::put_length(out, outcome.bare_below_mm, u);
    out.say(" of bare wall below it.");
    let run = &outcome.run_mm;
    if !film.raw && !film.ended {
        out.say(" So far the longest drip is ");
        words::put_length(out, film.longest_mm, u);
        out.say(" below the line.");
    }
    if run.p90 < 0.5 {
        out.say(" It is predicted to stay where it is put.");
        return;
    }
    out.say(" The longest drip is predicted to end ");
    words::put_length(out, run.p50, u);
    out.say(" below the line, 8 times in 10 between ");
    words::put_length(out, run.p10, u);
    out.say(" and ");
    words::put_length(out, run.p90, u);
    if run.p50 > outcome.bare_below_mm {
        out.say(", which is past the ");
        out.say(if scene.tile.is_some() {
            "end of the tile."
        } else {
            "foot: glaze stands on the shelf."
        });
    } else {
        out.say(".");
    }
}
