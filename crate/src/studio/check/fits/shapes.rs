//! What must fit together in a form: its measures, its texture, its wall.
//!
//! Takes a form whose numbers are within their bounds; adds what does not fit.

use super::{backwards, misfit, under};
use crate::studio::bounds;
use crate::studio::case::Cases;
use crate::studio::document::{Form, Shape};
use crate::studio::error::{Misfit, Refusal};

/// Adds what does not fit in a form.
pub fn form(cases: &mut Cases<'_>, form: &Form, place: &str, refusals: &mut Vec<Refusal>) {
    if let Some(texture) = &form.texture {
        let at = under(place, "texture");
        if texture.to_mm <= texture.from_mm {
            let (from, to) = (texture.from_mm, texture.to_mm);
            refusals.push(backwards(at.clone(), from, to));
        }
        let steepest = bounds::TEXTURE_STEEPEST * texture.repeat_mm;
        if texture.depth_mm > steepest {
            refusals.push(misfit(
                under(&at, ".depth_mm"),
                texture.depth_mm,
                steepest,
                " mm",
                Misfit::TextureSteep,
            ));
        }
    }
    let shape = under(place, "shape");
    let mut narrow = |key: &str, value: f64, limit: f64, what: Misfit, wrong: bool| {
        if wrong {
            refusals.push(misfit(format!("{shape}.{key}"), value, limit, " mm", what));
        }
    };
    match &form.shape {
        Shape::Jar {
            rim_diameter_mm: rim,
            belly_diameter_mm: belly,
            foot_diameter_mm: foot,
            ..
        } => {
            let widest = rim.max(*foot);
            narrow(
                "belly_diameter_mm",
                *belly,
                widest,
                Misfit::BellyNarrow,
                *belly < widest,
            );
        }
        Shape::Vase {
            rim_diameter_mm: rim,
            neck_diameter_mm: neck,
            belly_diameter_mm: belly,
            foot_diameter_mm: foot,
            ..
        } => {
            narrow(
                "belly_diameter_mm",
                *belly,
                *foot,
                Misfit::BellyNarrow,
                belly < foot,
            );
            let widest = rim.min(*belly);
            narrow(
                "neck_diameter_mm",
                *neck,
                widest,
                Misfit::NeckWide,
                *neck > widest,
            );
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
            narrow(
                "foot_diameter_mm",
                *foot,
                *rim,
                Misfit::FootWide,
                foot > rim,
            );
        }
        Shape::Mug { .. } | Shape::Tile { .. } | Shape::Points { .. } => {}
    }
    match cases.profile_of_form(form) {
        Ok(profile) => {
            let wall_mm = (profile.foot_s_m() - profile.rim_s_m()) * 1e3;
            let to_mm = form.texture.as_ref().map_or(0.0, |texture| texture.to_mm);
            if to_mm > wall_mm + bounds::WALL_SLACK_MM {
                refusals.push(misfit(
                    under(place, "texture.to_mm"),
                    to_mm,
                    wall_mm,
                    " mm",
                    Misfit::BelowTheFoot,
                ));
            }
        }
        Err(refusal) => refusals.push(Refusal {
            place: shape,
            ..refusal
        }),
    }
}
