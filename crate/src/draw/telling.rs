//! The words of the pictures: what is there, and what it shows now.
//!
//! Takes the same data as the drawing; gives plain sentences for a screen reader.

use super::film::Film;
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
    out.push_str(&words::temperature(film.temperature_c, units));
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
        out.push_str(" In the cut, glaze is drawn ");
        super::picture::put_number(&mut out, factor);
        out.push_str(" times thicker than to scale.");
    }
    out
}

fn what(out: &mut String, scene: &Scene, film: &Film) {
    let u = scene.units;
    if !scene.name.is_empty() {
        out.push_str(&scene.name);
        out.push_str(", ");
    }
    match scene.tile {
        Some(tile) => {
            out.push_str("a tile ");
            out.push_str(&words::size(tile.width_mm, u));
            out.push_str(" wide and ");
            out.push_str(&words::size(scene.wall.end_s(), u));
            out.push_str(" long, standing at ");
            out.push_str(&words::count(tile.slope_rad.to_degrees().round() as usize));
            out.push_str(" degrees: cut through on the left, its face on the right, ");
        }
        None => {
            out.push_str("a ");
            out.push_str(scene.family);
            out.push(' ');
            out.push_str(&words::size(scene.wall.top_z(), u));
            out.push_str(" high and ");
            out.push_str(&words::size(2.0 * scene.wall.widest_r(), u));
            out.push_str(" wide: the wall cut through on the left, the outside on the right, ");
        }
    }
    out.push_str(&moment(film, u));
    out.push('.');
}

fn layers(out: &mut String, scene: &Scene, outcome: &PlanOutcome) {
    if scene.layers.is_empty() {
        out.push_str(" No glaze on it yet.");
        return;
    }
    for (i, layer) in scene.layers.iter().enumerate() {
        out.push_str(if i == 0 {
            " On the clay: "
        } else {
            " Over it: "
        });
        out.push_str(&layer.name);
        out.push_str(", ");
        out.push_str(&words::how(layer.how));
        if layer.over_rim {
            out.push_str(", over the rim and ");
        } else if layer.from_mm < 0.5 {
            out.push_str(if scene.tile.is_some() {
                ", from the upper edge"
            } else {
                ", from the rim"
            });
        } else {
            out.push_str(", from ");
            out.push_str(&words::length(layer.from_mm, scene.units));
        }
        if !layer.over_rim {
            out.push_str(" to ");
        }
        out.push_str(&words::length(layer.to_mm, scene.units));
        out.push_str(" down");
        if let Some(thickness) = outcome.layers.get(i) {
            out.push_str(", about ");
            out.push_str(&words::thickness(thickness.raw_um.p50 * 1e-3));
            out.push_str(" raw and ");
            out.push_str(&words::thickness(thickness.fired_um.p50 * 1e-3));
            out.push_str(" fired");
        }
        out.push_str(" (");
        out.push_str(pattern::name(i));
        out.push_str(").");
    }
}

fn texture(out: &mut String, scene: &Scene, outcome: &PlanOutcome, film: &Film) {
    let Some(texture) = &scene.texture else {
        return;
    };
    out.push_str(match texture.kind {
        TextureKind::Rings => " Rings around the wall, ",
        TextureKind::UprightFlutes => " Upright flutes, ",
        TextureKind::Pressed => " Pressed marks, ",
    });
    let mut depth = String::new();
    super::picture::put_number(&mut depth, texture.depth_mm);
    out.push_str(&depth);
    out.push_str(" mm deep");
    if let (Some(kept), false) = (&outcome.relief_kept, film.raw) {
        out.push_str("; after firing about ");
        out.push_str(&words::count(
            (kept.p50.clamp(0.0, 1.0) * 100.0).round() as usize
        ));
        out.push_str(" % of the relief is left");
    }
    out.push('.');
}

fn run(out: &mut String, scene: &Scene, film: &Film, outcome: &PlanOutcome) {
    if scene.layers.is_empty() {
        return;
    }
    let u = scene.units;
    out.push_str(" The lowest glaze line is ");
    out.push_str(&words::length(scene.lowest_mm(), u));
    out.push_str(" down, with ");
    out.push_str(&words::length(outcome.bare_below_mm, u));
    out.push_str(" of bare wall below it.");
    let run = &outcome.run_mm;
    if !film.raw && !film.ended {
        out.push_str(" So far the longest drip is ");
        out.push_str(&words::length(film.longest_mm, u));
        out.push_str(" below the line.");
    }
    if run.p90 < 0.5 {
        out.push_str(" It is predicted to stay where it is put.");
        return;
    }
    out.push_str(" The longest drip is predicted to end ");
    out.push_str(&words::length(run.p50, u));
    out.push_str(" below the line, 8 times in 10 between ");
    out.push_str(&words::length(run.p10, u));
    out.push_str(" and ");
    out.push_str(&words::length(run.p90, u));
    if run.p50 > outcome.bare_below_mm {
        out.push_str(", which is past the ");
        out.push_str(if scene.tile.is_some() {
            "end of the tile."
        } else {
            "foot: glaze stands on the shelf."
        });
    } else {
        out.push('.');
    }
}
