//! Families of forms: jar, bowl, mug, vase, plate, tile, and a wall through points of one's own.
//!
//! Takes outside measures in metres; gives a profile with an inside, a rounded rim and a foot ring, drawn as a potter
//! would throw it: the curves are fair, the wall keeps its thickness and gains a little towards the foot.

use super::{
    PieceError, Profile,
    curve::{Cubic, Element, P, add, spline, towards},
    parts::measure,
    profile::LEAST_RADIUS_M,
    turned::{finish, lip, ring_height, ring_top, turn},
};
use std::f64::consts::{FRAC_PI_2, PI};

/// Largest measure of a piece, m.
const LARGEST_M: f64 = 1.0;

/// The wall of a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// Thickness, m.
    pub thickness_m: f64,
    /// Radius of the rim's rounding, m; none: half the wall.
    pub rim_radius_m: Option<f64>,
}

impl Wall {
    pub(super) fn rim_radius(self) -> f64 {
        self.rim_radius_m
            .unwrap_or(0.5 * self.thickness_m)
            .max(LEAST_RADIUS_M)
    }

    fn check(self, smallest_radius: f64) -> Result<(), PieceError> {
        measure(
            "the wall's thickness",
            self.thickness_m,
            1e-3,
            (0.4 * smallest_radius).clamp(1e-3, 30e-3),
        )?;
        measure(
            "the rim's radius",
            self.rim_radius(),
            LEAST_RADIUS_M,
            (0.3 * smallest_radius).clamp(LEAST_RADIUS_M, 15e-3),
        )
    }
}

/// A jar: swelling wall, a short neck, the lip turned out a little.
///
/// # Errors
/// [`PieceError`] where the measures do not fit each other.
pub fn jar(
    height_m: f64,
    rim_diameter_m: f64,
    belly_diameter_m: f64,
    foot_diameter_m: f64,
    wall: Wall,
) -> Result<Profile, PieceError> {
    let (rim, belly, foot) = (
        0.5 * rim_diameter_m,
        0.5 * belly_diameter_m,
        0.5 * foot_diameter_m,
    );
    upright(height_m, rim, foot, wall)?;
    measure(
        "the belly's diameter",
        belly_diameter_m,
        rim_diameter_m.max(foot_diameter_m),
        LARGEST_M,
    )?;
    let ring = ring_height(height_m);
    // Where the jar is hardly wider than its mouth there is no neck to speak of.
    let swell = (belly - rim).min(0.2 * height_m);
    let neck = rim - 0.25 * swell.min(0.07 * height_m);
    let flare = (10.0 * (swell / (0.1 * height_m)).min(1.0)).to_radians();
    let lip = lip(height_m, rim, flare, wall);
    let neck_z = lip[1] - 0.055 * height_m;
    let belly_z = ring + 0.56 * (height_m - ring);
    below_the_lip(neck_z - belly_z, flare, wall)?;
    let neck = neck.min(lip[0]);
    let mut outside = vec![between(lip, -FRAC_PI_2 - flare, [neck, neck_z], -FRAC_PI_2)];
    outside.extend(shoulder_and_base(
        outside[0].0[3],
        [belly, belly_z],
        foot,
        ring,
        0.5,
    ));
    turn(height_m, outside, foot, ring, wall, 0.16)
}

/// A bowl: open, the wall curving out from the foot in one sweep.
///
/// # Errors
/// See [`jar`].
pub fn bowl(
    height_m: f64,
    rim_diameter_m: f64,
    foot_diameter_m: f64,
    wall: Wall,
) -> Result<Profile, PieceError> {
    open(height_m, rim_diameter_m, foot_diameter_m, wall, 0.6, 0.3)
}

/// A plate: wide and shallow.
///
/// # Errors
/// See [`jar`].
pub fn plate(
    height_m: f64,
    rim_diameter_m: f64,
    foot_diameter_m: f64,
    wall: Wall,
) -> Result<Profile, PieceError> {
    open(height_m, rim_diameter_m, foot_diameter_m, wall, 0.2, 0.2)
}

/// A mug: straight or slightly leaning wall, turned in just above the foot.
///
/// # Errors
/// See [`jar`].
pub fn mug(
    height_m: f64,
    rim_diameter_m: f64,
    foot_diameter_m: f64,
    wall: Wall,
) -> Result<Profile, PieceError> {
    let (rim, foot) = (0.5 * rim_diameter_m, 0.5 * foot_diameter_m);
    upright(height_m, rim, foot, wall)?;
    let ring = 0.6 * ring_height(height_m);
    // The wall widens above the foot only as far as it leans out anyway: a mug as wide below as above stands straight.
    let bevel = (0.09 * foot).min(3.5e-3).min((0.6 * (rim - foot)).max(0.0));
    if bevel < 0.3e-3 {
        let lean = (rim - foot).atan2(height_m - ring);
        let lip = lip(height_m, rim, lean, wall);
        let end = [foot, 0.5 * ring];
        let outside = vec![between(lip, -FRAC_PI_2 - lean, end, -FRAC_PI_2)];
        return finish(
            height_m,
            outside,
            Vec::new(),
            0.5 * ring,
            foot,
            ring,
            wall,
            0.1,
        );
    }
    let low_z = ring + 0.11 * height_m;
    // The wall leans from the lip to the point above the bevel; the lip's own place depends on that lean.
    let lean = (rim - foot - bevel).atan2(height_m - low_z);
    let lip = lip(height_m, rim, lean, wall);
    let psi = -FRAC_PI_2 - lean;
    let drop = (lip[1] - low_z) / lean.cos();
    let low = add(lip, drop, towards(psi));
    let end_psi = (psi - 0.75).max(-PI + 0.2);
    let end = ring_top(foot, ring, end_psi);
    if low[0] <= end[0] || low[1] <= end[1] {
        return Err(PieceError::Measure {
            what: "the mug's height",
            value_m: height_m,
            least_m: 30e-3,
            most_m: LARGEST_M,
        });
    }
    let outside = vec![straight(lip, low), between(low, psi, end, end_psi)];
    turn(height_m, outside, foot, ring, wall, 0.1)
}

/// A vase: belly below, a neck, a flaring rim.
///
/// # Errors
/// See [`jar`].
pub fn vase(
    height_m: f64,
    rim_diameter_m: f64,
    neck_diameter_m: f64,
    belly_diameter_m: f64,
    foot_diameter_m: f64,
    wall: Wall,
) -> Result<Profile, PieceError> {
    let (rim, neck, belly, foot) = (
        0.5 * rim_diameter_m,
        0.5 * neck_diameter_m,
        0.5 * belly_diameter_m,
        0.5 * foot_diameter_m,
    );
    upright(height_m, rim.min(neck), foot, wall)?;
    measure(
        "the neck's diameter",
        neck_diameter_m,
        10e-3,
        rim_diameter_m.min(belly_diameter_m),
    )?;
    measure(
        "the belly's diameter",
        belly_diameter_m,
        neck_diameter_m.max(foot_diameter_m),
        LARGEST_M,
    )?;
    measure(
        "the rim's diameter",
        rim_diameter_m,
        neck_diameter_m,
        LARGEST_M,
    )?;
    let ring = ring_height(height_m);
    let out = ((rim - neck) / (0.2 * height_m)).min(1.2);
    let flare = (0.9 * out).min(0.9);
    let lip = lip(height_m, rim, flare, wall);
    let neck_z = ring + 0.80 * (height_m - ring);
    let belly_z = ring + 0.40 * (height_m - ring);
    below_the_lip(lip[1] - neck_z, flare, wall)?;
    let mut outside = vec![between(
        lip,
        -FRAC_PI_2 - flare,
        [neck.min(lip[0]), neck_z],
        -FRAC_PI_2,
    )];
    outside.extend(shoulder_and_base(
        outside[0].0[3],
        [belly, belly_z],
        foot,
        ring,
        0.5,
    ));
    turn(height_m, outside, foot, ring, wall, 0.16)
}

/// A flat tile, `slope_rad` from horizontal; `s` runs down from its upper edge.
///
/// # Errors
/// [`PieceError`] where length or slope cannot be.
pub fn tile(length_m: f64, slope_rad: f64, thickness_m: f64) -> Result<Profile, PieceError> {
    measure("the tile's length", length_m, 5e-3, LARGEST_M)?;
    measure("the tile's thickness", thickness_m, 1e-3, 50e-3)?;
    let slope_deg = slope_rad.to_degrees();
    if !(0.0..=90.0).contains(&slope_deg) {
        return Err(PieceError::Angle {
            what: "the tile's slope",
            value_deg: slope_deg,
            least_deg: 0.0,
            most_deg: 90.0,
        });
    }
    let mut profile = Profile::join(
        0.0,
        length_m * slope_rad.sin(),
        -slope_rad,
        &[Element::Line(length_m)],
        false,
    )?;
    profile.tile_thickness_m = thickness_m;
    Ok(profile)
}

/// A turned piece through points of its outside, from rim to foot, each `[radius, height]` in metres above the shelf.
///
/// # Errors
/// [`PieceError`] where there are too few points, or the curve through them bends too tightly.
pub fn turned_from_points(points: &[[f64; 2]], wall: Wall) -> Result<Profile, PieceError> {
    if points.len() < 3 || points.len() > 100 {
        return Err(PieceError::Count {
            what: "points of the profile",
            count: points.len(),
            least: 3,
            most: 100,
        });
    }
    for p in points {
        measure("a point's distance from the axis", p[0], 5e-3, LARGEST_M)?;
        measure("a point's height", p[1], 0.0, LARGEST_M)?;
    }
    let (top, bottom) = (points[0], points[points.len() - 1]);
    measure(
        "the height of the rim above the foot",
        top[1] - bottom[1],
        10e-3,
        LARGEST_M,
    )?;
    let smallest = points.iter().map(|p| p[0]).fold(f64::INFINITY, f64::min);
    wall.check(smallest)?;
    for pair in points.windows(2) {
        measure(
            "the distance between two points",
            super::curve::distance(pair[0], pair[1]),
            1e-3,
            LARGEST_M,
        )?;
    }
    // The first point is the rim's outermost: the curve starts half a rim lower, where the rounding begins.
    let rho = wall.rim_radius();
    let mut through: Vec<P> = points.iter().map(|p| [p[0], p[1] - bottom[1]]).collect();
    let height = through[0][1];
    let lean = (through[0][0] - through[1][0])
        .atan2(through[0][1] - through[1][1])
        .clamp(-1.2, 1.2);
    through[0] = lip(height, top[0], lean, wall);
    if through[0][1] <= through[1][1] + 0.2 * rho {
        return Err(PieceError::Measure {
            what: "the second point's height",
            value_m: through[1][1],
            least_m: 0.0,
            most_m: through[0][1] - 0.2 * rho,
        });
    }
    // The foot stands upright for its last millimetres.
    let ring = (0.5 * ring_height(height)).min(0.4 * through[through.len() - 2][1]);
    let n = through.len();
    let foot = through[n - 1][0];
    through[n - 1][1] = ring;
    let outside = spline(
        &through,
        Some(towards(-FRAC_PI_2 - lean)),
        Some([0.0, -1.0]),
    );
    finish(height, outside, Vec::new(), ring, foot, ring, wall, 0.16)
}

fn upright(height: f64, rim: f64, foot: f64, wall: Wall) -> Result<(), PieceError> {
    measure("the height", height, 20e-3, LARGEST_M)?;
    measure("the rim's diameter", 2.0 * rim, 10e-3, LARGEST_M)?;
    measure("the foot's diameter", 2.0 * foot, 10e-3, LARGEST_M)?;
    wall.check(rim.min(foot))
}

/// Refuses a rim whose rounding reaches down to where the next part of the wall has to be; `room` is what it leaves.
fn below_the_lip(room: f64, flare: f64, wall: Wall) -> Result<(), PieceError> {
    let rho = wall.rim_radius();
    let most = rho + (room - 1e-3) / (1.0 + flare.sin());
    measure("the rim's radius", rho, LEAST_RADIUS_M, most)
}

/// Bowl and plate: one curve from lip to foot ring. `upright` 0–1: how far the lip stands up from the chord.
fn open(
    height: f64,
    rim_diameter: f64,
    foot_diameter: f64,
    wall: Wall,
    upright_lip: f64,
    floor_round: f64,
) -> Result<Profile, PieceError> {
    let (rim, foot) = (0.5 * rim_diameter, 0.5 * foot_diameter);
    measure("the height", height, 12e-3, LARGEST_M)?;
    measure("the rim's diameter", rim_diameter, 20e-3, LARGEST_M)?;
    measure("the foot's diameter", foot_diameter, 10e-3, rim_diameter)?;
    wall.check(rim.min(foot))?;
    let ring = (0.09 * height).clamp(2.5e-3, 8e-3);
    measure(
        "the height",
        height,
        ring + 2.0 * wall.thickness_m + 2.0 * wall.rim_radius(),
        LARGEST_M,
    )?;
    let chord = (height - ring).atan2((rim - foot).max(1e-6));
    let top = chord + upright_lip * (FRAC_PI_2 - chord);
    let lean = FRAC_PI_2 - top;
    let lip = lip(height, rim, lean, wall);
    // A circle's two end tangents lie evenly about its chord; a bowl is near that, fuller near the foot.
    let rise = (2.0 * chord - top).clamp(0.12, 1.35).min(0.97 * chord);
    let end_psi = -PI + rise;
    let end = ring_top(foot, ring, end_psi);
    let outside = vec![between(lip, -FRAC_PI_2 - lean, end, end_psi)];
    turn(height, outside, foot, ring, wall, floor_round)
}

/// From the neck over the belly down to the foot ring: two pieces whose curvatures meet at the belly.
fn shoulder_and_base(neck: P, belly: P, foot: f64, ring: f64, fullness: f64) -> Vec<Cubic> {
    let down = [0.0, -1.0];
    let fall = (belly[1] - ring).max(1e-6);
    let chord = fall.atan2((belly[0] - foot).max(1e-6));
    let rise = (2.0 * chord - FRAC_PI_2).clamp(0.45, 1.45);
    let end_psi = -PI + rise;
    let end = ring_top(foot, ring, end_psi);
    let handle = fullness * (belly[1] - end[1]);
    // The end's handle stops where its tangent would meet the belly's upright, times the usual share of a quarter ellipse.
    let reach = ((belly[1] - end[1]) / rise.sin())
        .min((belly[0] - end[0]).max(0.0) / rise.cos().max(1e-6) * 1.2 + 0.2 * fall);
    let base = Cubic([
        belly,
        add(belly, handle, down),
        add(end, -0.45 * reach, towards(end_psi)),
        end,
    ]);
    // A cubic's curvature at an end is 2/3 × (offset of its third point from the tangent)/(handle²).
    let (below, above) = (
        (belly[0] - base.0[2][0]).max(1e-9),
        (belly[0] - neck[0]).max(0.0),
    );
    let gap = neck[1] - belly[1];
    let upper = (handle * (above / below).sqrt()).clamp(0.3 * gap, 0.72 * gap);
    let shoulder = Cubic([
        neck,
        add(neck, 0.42 * gap.min(1.6 * above + 0.3 * gap), down),
        add(belly, -upper, down),
        belly,
    ]);
    vec![shoulder, base]
}

fn straight(a: P, b: P) -> Cubic {
    let third = |k: f64| add(a, k, add(b, -1.0, a));
    Cubic([a, third(1.0 / 3.0), third(2.0 / 3.0), b])
}

/// One cubic between two places with their wall angles; the handles are those of a circle where one fits.
fn between(a: P, psi_a: f64, b: P, psi_b: f64) -> Cubic {
    let turn = (psi_b - psi_a).abs();
    // 4/3 tan(turn/4) of the radius, the radius being chord/(2 sin(turn/2)).
    let share = if turn < 1e-3 {
        1.0 / 3.0
    } else {
        2.0 / 3.0 * (0.25 * turn).tan() / (0.5 * turn).sin()
    };
    let handle = share * super::curve::distance(a, b);
    Cubic([
        a,
        add(a, handle, towards(psi_a)),
        add(b, -handle, towards(psi_b)),
        b,
    ])
}
