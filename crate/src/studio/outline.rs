//! From a form of the studio document to the profile that the physics works on.
//!
//! Takes a form, the body's wall and an entry's own diameter or slope; gives a smooth profile in SI units.

use super::document::{Form, Shape};
use crate::physics::piece::{self, PieceError, Profile, Wall};

/// Thickness of a tile where neither form nor body says one, mm.
const USUAL_TILE_MM: f64 = 6.0;

/// The profile of a form. `body_wall_mm`: the wall where the form has none of its own. `diameter_mm`: the largest
/// outside diameter of this piece, where it is not the form's; radii scale with it, heights and the wall do not.
///
/// # Errors
/// [`PieceError`] where the measures do not make a piece.
pub fn profile_of(
    form: &Form,
    body_wall_mm: f64,
    diameter_mm: Option<f64>,
) -> Result<Profile, PieceError> {
    profile_at_slope(form, body_wall_mm, diameter_mm, None)
}

/// As [`profile_of`], a tile leaning at `slope_deg` from horizontal where that is given.
///
/// # Errors
/// See [`profile_of`].
pub fn profile_at_slope(
    form: &Form,
    body_wall_mm: f64,
    diameter_mm: Option<f64>,
    slope_deg: Option<f64>,
) -> Result<Profile, PieceError> {
    let wall = Wall {
        thickness_m: form.wall_mm.unwrap_or(body_wall_mm) * 1e-3,
        rim_radius_m: form.rim_radius_mm.map(|mm| mm * 1e-3),
    };
    let scale = match (diameter_mm, largest_diameter_mm(&form.shape)) {
        (Some(wanted), Some(drawn)) if drawn > 0.0 => wanted / drawn,
        _ => 1.0,
    };
    let across = |mm: f64| mm * scale * 1e-3;
    let up = |mm: f64| mm * 1e-3;
    match &form.shape {
        Shape::Jar {
            height_mm,
            rim_diameter_mm,
            belly_diameter_mm,
            foot_diameter_mm,
        } => piece::jar(
            up(*height_mm),
            across(*rim_diameter_mm),
            across(*belly_diameter_mm),
            across(*foot_diameter_mm),
            wall,
        ),
        Shape::Bowl {
            height_mm,
            rim_diameter_mm,
            foot_diameter_mm,
        } => piece::bowl(
            up(*height_mm),
            across(*rim_diameter_mm),
            across(*foot_diameter_mm),
            wall,
        ),
        Shape::Mug {
            height_mm,
            rim_diameter_mm,
            foot_diameter_mm,
        } => piece::mug(
            up(*height_mm),
            across(*rim_diameter_mm),
            across(*foot_diameter_mm),
            wall,
        ),
        Shape::Vase {
            height_mm,
            rim_diameter_mm,
            neck_diameter_mm,
            belly_diameter_mm,
            foot_diameter_mm,
        } => piece::vase(
            up(*height_mm),
            across(*rim_diameter_mm),
            across(*neck_diameter_mm),
            across(*belly_diameter_mm),
            across(*foot_diameter_mm),
            wall,
        ),
        Shape::Plate {
            height_mm,
            rim_diameter_mm,
            foot_diameter_mm,
        } => piece::plate(
            up(*height_mm),
            across(*rim_diameter_mm),
            across(*foot_diameter_mm),
            wall,
        ),
        Shape::Tile {
            length_mm,
            slope_deg: own,
            ..
        } => {
            let thickness = if form.wall_mm.is_some() || body_wall_mm > 0.0 {
                wall.thickness_m
            } else {
                up(USUAL_TILE_MM)
            };
            piece::tile(
                up(*length_mm),
                slope_deg.unwrap_or(*own).to_radians(),
                thickness,
            )
        }
        Shape::Points { points } => {
            let points: Vec<[f64; 2]> = points
                .iter()
                .map(|p| [across(p.radius_mm), up(p.height_mm)])
                .collect();
            piece::turned_from_points(&points, wall)
        }
    }
}

/// The largest outside diameter that a form's own measures say, mm; none for a tile.
pub fn largest_diameter_mm(shape: &Shape) -> Option<f64> {
    match shape {
        Shape::Jar {
            belly_diameter_mm,
            rim_diameter_mm,
            foot_diameter_mm,
            ..
        } => Some(
            belly_diameter_mm
                .max(*rim_diameter_mm)
                .max(*foot_diameter_mm),
        ),
        Shape::Vase {
            belly_diameter_mm,
            rim_diameter_mm,
            foot_diameter_mm,
            ..
        } => Some(
            belly_diameter_mm
                .max(*rim_diameter_mm)
                .max(*foot_diameter_mm),
        ),
        Shape::Bowl {
            rim_diameter_mm,
            foot_diameter_mm,
            ..
        }
        | Shape::Mug {
            rim_diameter_mm,
            foot_diameter_mm,
            ..
        }
        | Shape::Plate {
            rim_diameter_mm,
            foot_diameter_mm,
            ..
        } => Some(rim_diameter_mm.max(*foot_diameter_mm)),
        Shape::Points { points } => points
            .iter()
            .map(|p| 2.0 * p.radius_mm)
            .max_by(f64::total_cmp),
        Shape::Tile { .. } => None,
    }
}
