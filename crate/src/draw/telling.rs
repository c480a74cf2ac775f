//! The words of the pictures: what is there, and what it shows now.
//!
//! Takes the same data as the drawing; gives plain sentences for a screen reader.

use super::film::Film;
use super::path::Say;
use super::scene::Scene;
use super::{pattern, words};
use crate::predict::outcome::PlanOutcome;
use crate::studio::document::{TextureKind, Units};

/// The moment in a word or two.
pub(crate) fn moment(film: &Film, units: Units) -> String {
    if film.raw {
        return "before firing".to_owned();
    }
    if film.ended {
        return "after firing".to_owned();
    }
    let mut out = String::from("at ");
    out.say(&words::temperature(film.temperature_c, units));
    out
}

/// The whole piece.
pub(crate) fn piece(scene: &Scene, film: &Film, outcome: &PlanOutcome, factor: f64) -> String {
    let mut out = String::new();
    what(&mut out, scene, film);
    layers(&mut out, scene, outcome);
    texture(&mut out, scene, outcome, film);
    run(&mut out, scene, film, outcome);
    if factor > 1.0 {
        out.say(" In the cut, glaze is drawn ");
        super::picture::put_number(&mut out, factor);
        out.say(" times thicker than to scale.");
    }
    out
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
            out.say(&words::size(tile.width_mm, u));
            out.say(" wide and ");
            out.say(&words::size(scene.wall.end_s(), u));
            out.say(" long, standing at ");
            out.say(&words::count(tile.slope_rad.to_degrees().round() as usize));
            out.say(" degrees: cut through on the left, its face on the right, ");
        }
        None => {
            out.say("a ");
            out.say(scene.family);
            out.say(" ");
            out.say(&words::size(scene.wall.top_z(), u));
            out.say(" high and ");
            out.say(&words::size(2.0 * scene.wall.widest_r(), u));
            out.say(" wide: the wall cut through on the left, the outside on the right, ");
        }
    }
    out.say(&moment(film, u));
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
        out.say(&words::how(layer.how));
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
            out.say(&words::length(layer.from_mm, scene.units));
        }
        if !layer.over_rim {
            out.say(" to ");
        }
        out.say(&words::length(layer.to_mm, scene.units));
        out.say(" down");
        if let Some(thickness) = outcome.layers.get(i) {
            out.say(", about ");
            out.say(&words::thickness(thickness.raw_um.p50 * 1e-3));
            out.say(" raw and ");
            out.say(&words::thickness(thickness.fired_um.p50 * 1e-3));
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
    let mut depth = String::new();
    super::picture::put_number(&mut depth, texture.depth_mm);
    out.say(&depth);
    out.say(" mm deep");
    if let (Some(kept), false) = (&outcome.relief_kept, film.raw) {
        out.say("; after firing about ");
        out.say(&words::count(
            (kept.p50.clamp(0.0, 1.0) * 100.0).round() as usize
        ));
        out.say(" % of the relief is left");
    }
    out.say(".");
}

fn run(out: &mut String, scene: &Scene, film: &Film, outcome: &PlanOutcome) {
    if scene.layers.is_empty() {
        return;
    }
    let u = scene.units;
    out.say(" The lowest glaze line is ");
    out.say(&words::length(scene.lowest_mm(), u));
    out.say(" down, with ");
    out.say(&words::length(outcome.bare_below_mm, u));
    out.say(" of bare wall below it.");
    let run = &outcome.run_mm;
    if !film.raw && !film.ended {
        out.say(" So far the longest drip is ");
        out.say(&words::length(film.longest_mm, u));
        out.say(" below the line.");
    }
    if run.p90 < 0.5 {
        out.say(" It is predicted to stay where it is put.");
        return;
    }
    out.say(" The longest drip is predicted to end ");
    out.say(&words::length(run.p50, u));
    out.say(" below the line, 8 times in 10 between ");
    out.say(&words::length(run.p10, u));
    out.say(" and ");
    out.say(&words::length(run.p90, u));
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
