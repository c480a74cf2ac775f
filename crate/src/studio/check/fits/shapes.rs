//! What must fit together in a form: its measures, its texture, its wall.
//!
//! Takes a form whose numbers are within their bounds; adds what does not fit.

use super::Found;
use crate::studio::bounds;
use crate::studio::case::Cases;
use crate::studio::document::{Form, Shape};
use crate::studio::error::Misfit;

/// Adds what does not fit in a form.
pub fn form(cases: &mut Cases<'_>, form: &Form, found: &mut Found<'_>) {
    if let Some(texture) = &form.texture {
        if texture.to_mm <= texture.from_mm {
            found.backwards("texture", texture.from_mm, texture.to_mm);
        }
        let steepest = bounds::TEXTURE_STEEPEST * texture.repeat_mm;
        found.misfit(
            texture.depth_mm > steepest,
            "texture.depth_mm",
            (texture.depth_mm, steepest),
            " mm",
            Misfit::TextureSteep,
        );
    }
    let mut narrow = |wrong: bool, key: &str, value: f64, limit: f64, what: Misfit| {
        found.misfit(wrong, key, (value, limit), " mm", what);
    };
    match form.shape {
        Shape::Jar {
            rim_diameter_mm: rim,
            belly_diameter_mm: belly,
            foot_diameter_mm: foot,
            ..
        } => {
            let (key, widest) = ("shape.belly_diameter_mm", rim.max(foot));
            narrow(belly < widest, key, belly, widest, Misfit::BellyNarrow);
        }
        Shape::Vase {
            rim_diameter_mm: rim,
            neck_diameter_mm: neck,
            belly_diameter_mm: belly,
            foot_diameter_mm: foot,
            ..
        } => {
            let key = "shape.belly_diameter_mm";
            narrow(belly < foot, key, belly, foot, Misfit::BellyNarrow);
            let (key, widest) = ("shape.neck_diameter_mm", rim.min(belly));
            narrow(neck > widest, key, neck, widest, Misfit::NeckWide);
        }
        Shape::Bowl {
            rim_diameter_mm: rim,
            foot_diameter_mm: foot,
            ..
        }
        | Shape::Plate {
            rim_diameter_mm: rim,
            foot_diameter_mm: foot,
            ..
        } => {
            let key = "shape.foot_diameter_mm";
            narrow(foot > rim, key, foot, rim, Misfit::FootWide);
        }
        Shape::Mug { .. } | Shape::Tile { .. } | Shape::Points { .. } => {}
    }
    match cases.profile_of_form(form) {
        Ok(profile) => {
            let wall_mm = (profile.foot_s_m() - profile.rim_s_m()) * 1e3;
            let to_mm = form.texture.as_ref().map_or(0.0, |texture| texture.to_mm);
            found.misfit(
                to_mm > wall_mm + bounds::WALL_SLACK_MM,
                "texture.to_mm",
                (to_mm, wall_mm),
                " mm",
                Misfit::BelowTheFoot,
            );
        }
        Err(refusal) => found.add("shape", *refusal.cause),
    }
}
