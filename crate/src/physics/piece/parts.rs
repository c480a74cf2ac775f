//! Profiles from lines and arcs.
//!
//! Takes pieces as a person writes them; gives a profile whose joints are smoothed.

use super::{
    PieceError, Profile,
    curve::Element,
    profile::{LEAST_RADIUS_M, SMOOTHED_M},
};

/// A piece of a profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part {
    /// Straight.
    Line {
        /// Length, m.
        length_m: f64,
        /// Wall angle ψ, radians.
        psi_rad: f64,
    },
    /// An arc, convex where ψ falls.
    Arc {
        /// Radius, m.
        radius_m: f64,
        /// Wall angle at its start, radians.
        from_rad: f64,
        /// Wall angle at its end, radians.
        to_rad: f64,
    },
}

/// Most pieces of one profile.
const MOST_PARTS: usize = 1000;
/// Longest profile, m.
const LONGEST_M: f64 = 10.0;

/// Joins lines and arcs. A corner between two pieces is rounded with a radius of 1 mm, and each jump of curvature is
/// spread over 1 mm, centred on the joint ([`Profile::smoothed_m`]). `foot_s_m`: where the foot meets the shelf (none: the end).
///
/// # Errors
/// [`PieceError`] where a length, radius or angle cannot be made, or the profile crosses its axis.
pub fn from_parts(
    start_radius_m: f64,
    parts: &[Part],
    turned: bool,
    foot_s_m: Option<f64>,
) -> Result<Profile, PieceError> {
    if parts.is_empty() || parts.len() > MOST_PARTS {
        return Err(PieceError::Count {
            what: "pieces of the profile",
            count: parts.len(),
            least: 1,
            most: MOST_PARTS,
        });
    }
    measure("the radius at the start", start_radius_m, 0.0, LONGEST_M)?;
    let mut elements = Vec::new();
    let mut total = 0.0;
    for part in parts {
        let (length, bend) = match *part {
            Part::Line { length_m, psi_rad } => {
                measure("a line's length", length_m, 1e-6, LONGEST_M)?;
                angle("a line's angle", psi_rad)?;
                (length_m, 0.0)
            }
            Part::Arc {
                radius_m,
                from_rad,
                to_rad,
            } => {
                measure("an arc's radius", radius_m, LEAST_RADIUS_M, 1e3)?;
                angle("an arc's first angle", from_rad)?;
                angle("an arc's last angle", to_rad)?;
                let turn = to_rad - from_rad;
                (radius_m * turn.abs(), turn.signum() / radius_m)
            }
        };
        if length == 0.0 {
            continue;
        }
        total += length;
        measure("the profile's length", total, 0.0, LONGEST_M)?;
        elements.push((length, bend));
    }
    // Corners: a rounding of 1 mm radius, its length taken from both neighbours, so that arc length stays as given.
    let mut corners = vec![0.0; parts.len() + 1];
    for (i, pair) in parts.windows(2).enumerate() {
        corners[i + 1] = start_of(&pair[1]) - end_of(&pair[0]);
    }
    if corners.iter().any(|c: &f64| c.abs() > 1e-9) && elements.len() != parts.len() {
        return Err(PieceError::Measure {
            what: "an arc's length",
            value_m: 0.0,
            least_m: 1e-6,
            most_m: LONGEST_M,
        });
    }
    let mut joined = Vec::new();
    let mut rounded: f64 = 0.0;
    for (i, &(length, bend)) in elements.iter().enumerate() {
        let before = if corners[i].abs() > 1e-9 && i > 0 {
            0.5 * corners[i].abs() * SMOOTHED_M
        } else {
            0.0
        };
        let after = if i + 1 < elements.len() && corners[i + 1].abs() > 1e-9 {
            0.5 * corners[i + 1].abs() * SMOOTHED_M
        } else {
            0.0
        };
        if before > 0.0 {
            // The arc given as part of its neighbour keeps the neighbour's own turn: the corner's turn comes on top.
            let turn = corners[i] + bend * before + elements[i - 1].1 * before;
            joined.push(Element::Arc {
                length: 2.0 * before,
                bend: turn / (2.0 * before),
            });
            rounded = rounded.max(2.0 * before);
        }
        let left = length - before - after;
        measure("a piece between two corners", left, 0.0, LONGEST_M)?;
        if left > 1e-12 {
            joined.push(if bend == 0.0 {
                Element::Line(left)
            } else {
                Element::Arc { length: left, bend }
            });
        }
    }
    let psi = start_of(&parts[0]);
    if turned && start_radius_m == 0.0 && psi.sin().abs() > 1e-9 {
        return Err(PieceError::Angle {
            what: "the wall angle on the axis",
            value_deg: psi.to_degrees(),
            least_deg: 0.0,
            most_deg: 0.0,
        });
    }
    let mut profile = Profile::join(start_radius_m, 0.0, psi, &joined, turned)?;
    profile.smoothed_m = profile.smoothed_m.max(rounded);
    let length = profile.length_m();
    let foot = foot_s_m.unwrap_or(length);
    measure(
        "the foot's place along the profile",
        foot,
        0.0,
        length + 1e-9,
    )?;
    profile.foot_s_m = foot.min(length);
    let low = profile.at(profile.foot_s_m).z_m;
    profile.raise(-low);
    profile.rim_s_m = profile.highest_crest();
    Ok(profile)
}

fn start_of(part: &Part) -> f64 {
    match *part {
        Part::Line { psi_rad, .. } => psi_rad,
        Part::Arc { from_rad, .. } => from_rad,
    }
}

fn end_of(part: &Part) -> f64 {
    match *part {
        Part::Line { psi_rad, .. } => psi_rad,
        Part::Arc { to_rad, .. } => to_rad,
    }
}

pub(super) fn measure(
    what: &'static str,
    value_m: f64,
    least_m: f64,
    most_m: f64,
) -> Result<(), PieceError> {
    if value_m >= least_m && value_m <= most_m {
        Ok(())
    } else {
        Err(PieceError::Measure {
            what,
            value_m,
            least_m,
            most_m,
        })
    }
}

fn angle(what: &'static str, value_rad: f64) -> Result<(), PieceError> {
    let value_deg = value_rad.to_degrees();
    if value_deg.abs() <= 720.0 {
        Ok(())
    } else {
        Err(PieceError::Angle {
            what,
            value_deg,
            least_deg: -720.0,
            most_deg: 720.0,
        })
    }
}
