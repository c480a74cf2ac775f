//! The wall as the drawings need it: places along the profile in millimetres, with the clay's relief.
//!
//! Takes places along a profile (arc length, radius, height, wall angle); gives any place by arc length, the extent, and
//! the points that a smooth line needs.

use super::path::bounded;
use super::picture::{Pt, add};
use crate::physics::piece::Profile;
use crate::studio::document::{Texture, TextureKind};

/// Distance of the places that are looked at, m.
const STEP_M: f64 = 0.5e-3;
/// A place is kept where the wall has turned this far since the last one, rad, or this far away from it, mm.
const TURN_RAD: f64 = 0.03;
const APART_MM: f64 = 4.0;
/// Room over a wall with nothing opposite, mm.
const CLEAR_MM: f64 = 1e3;

/// A place on the surface of the clay, mm; the normal points to the glazed side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Place {
    pub s: f64,
    pub r: f64,
    pub z: f64,
    pub normal_r: f64,
    pub normal_z: f64,
    /// How far out of the wall something may stand before it meets what stands out of the wall elsewhere, mm.
    pub room: f64,
}

/// A wall: from the middle of the floor inside, over the rim, to the foot; a tile from its upper edge.
#[derive(Clone, Debug)]
pub(crate) struct Wall {
    places: Vec<Place>,
    underside: Vec<[f64; 2]>,
    /// Arc length of the rim's crest, mm; 0 on a tile.
    pub rim_s: f64,
    /// Arc length at which the wall ends at the foot, mm.
    pub foot_s: f64,
}

impl Wall {
    /// From a profile: places close enough for a smooth line.
    pub fn new(profile: &Profile) -> Self {
        let mut places: Vec<Place> = Vec::new();
        let samples = profile.sample_between(0.0, profile.foot_s_m(), STEP_M);
        let mut kept_psi = f64::MAX;
        for (k, (s, p)) in samples.iter().enumerate() {
            let next_psi = samples
                .get(k + 1)
                .map_or(f64::MAX, |(_, next)| next.psi_rad);
            let near = places
                .last()
                .is_some_and(|last| (s + STEP_M) * 1e3 - last.s < APART_MM);
            if near && (next_psi - kept_psi).abs() < TURN_RAD {
                continue;
            }
            kept_psi = p.psi_rad;
            let (sin, cos) = p.psi_rad.sin_cos();
            let place = Place {
                s: s * 1e3,
                r: p.r_m * 1e3,
                z: p.z_m * 1e3,
                normal_r: -sin,
                normal_z: cos,
                room: CLEAR_MM,
            };
            if place.s.is_finite() && place.r.is_finite() && place.z.is_finite() && sin.is_finite()
            {
                places.push(place);
            }
        }
        find_room(&mut places);
        let end = places.last().map_or(0.0, |p| p.s);
        let mut underside = profile.section(0.01).underside;
        for p in underside.as_flattened_mut() {
            *p *= 1e3;
        }
        Self {
            places,
            underside,
            rim_s: bounded(profile.rim_s_m() * 1e3, 0.0, end),
            foot_s: end,
        }
    }

    /// What closes the section from the foot back to the start, radius and height, mm.
    pub fn underside(&self) -> &[[f64; 2]] {
        &self.underside
    }

    /// Thickness at the foot's end of what stands under the surface, mm: a tile's thickness.
    pub fn thickness_at_end(&self) -> f64 {
        match (self.places.last(), self.underside.first()) {
            (Some(p), Some(under)) => (p.r - under[0]).hypot(p.z - under[1]),
            _ => 0.0,
        }
    }

    /// End of the profile, mm.
    pub fn end_s(&self) -> f64 {
        self.places.last().map_or(0.0, |p| p.s)
    }

    /// The place at arc length `s`, mm, held at the ends.
    #[inline(never)]
    pub fn at(&self, s: f64) -> Place {
        let after = self.places.partition_point(|p| p.s < s);
        match (
            after.checked_sub(1).and_then(|i| self.places.get(i)),
            self.places.get(after),
        ) {
            (Some(a), Some(b)) => {
                let t = bounded((s - a.s) / (b.s - a.s), 0.0, 1.0);
                let mix = |x: f64, y: f64| x + (y - x) * t;
                let (nr, nz) = (mix(a.normal_r, b.normal_r), mix(a.normal_z, b.normal_z));
                let size = nr.hypot(nz).max(1e-9);
                Place {
                    s: a.s + (b.s - a.s) * t,
                    r: mix(a.r, b.r),
                    z: mix(a.z, b.z),
                    normal_r: nr / size,
                    normal_z: nz / size,
                    room: mix(a.room, b.room),
                }
            }
            (Some(only), None) | (None, Some(only)) => *only,
            (None, None) => Place {
                s: 0.0,
                r: 0.0,
                z: 0.0,
                normal_r: 1.0,
                normal_z: 0.0,
                room: CLEAR_MM,
            },
        }
    }

    /// Arc lengths from `from` to `to`, mm: the profile's own places between them, both ends included.
    #[inline(never)]
    pub fn stations(&self, from: f64, to: f64) -> Vec<f64> {
        let end = self.end_s();
        let (from, to) = (bounded(from, 0.0, end), bounded(to, 0.0, end));
        let mut stations = Vec::new();
        stations.push(from);
        for p in &self.places {
            if p.s > from + 1e-6 && p.s < to - 1e-6 {
                stations.push(p.s);
            }
        }
        if to > from {
            stations.push(to);
        }
        stations
    }

    /// Largest radius, mm.
    pub fn widest_r(&self) -> f64 {
        let mut widest = 0.0;
        for p in &self.places {
            widest = f64::max(widest, p.r);
        }
        widest
    }

    /// Highest point, mm.
    pub fn top_z(&self) -> f64 {
        let mut top = 0.0;
        for p in &self.places {
            top = f64::max(top, p.z);
        }
        top
    }
}

/// Finds how far each place is, along its normal, from the line that is as near to another part of the wall (its medial axis,
/// Blum 1967): a circle that touches the wall at both.
fn find_room(places: &mut [Place]) {
    for k in 0..places.len() {
        let p = places[k];
        let mut room = CLEAR_MM;
        for q in places.iter() {
            let (dr, dz) = (q.r - p.r, q.z - p.z);
            let towards = dr * p.normal_r + dz * p.normal_z;
            if towards > 1e-3 {
                room = room.min(0.5 * (dr * dr + dz * dz) / towards);
            }
        }
        places[k].room = room;
    }
}

/// Depth of the recesses `down` mm below the rim, mm, for relief that the section cuts across (rings and pressed marks).
/// It comes and goes over half a repeat, as a tool does.
#[inline(never)]
pub(crate) fn recess_depth(texture: Option<&Texture>, down: f64) -> f64 {
    let Some(t) = texture else { return 0.0 };
    if t.kind == TextureKind::UprightFlutes
        || t.repeat_mm <= 0.0
        || down <= t.from_mm
        || down >= t.to_mm
    {
        return 0.0;
    }
    let ease = |x: f64| {
        let x = bounded(x / (t.repeat_mm * 0.5), 0.0, 1.0);
        x * x * (3.0 - 2.0 * x)
    };
    t.depth_mm * ease(down - t.from_mm).min(ease(t.to_mm - down))
}

/// Height of the clay's relief over the smooth wall, mm: crests at the wall's own surface, recesses cut into it.
#[inline(never)]
pub(crate) fn relief(texture: Option<&Texture>, down: f64) -> f64 {
    let depth = recess_depth(texture, down);
    match texture {
        Some(t) if depth > 0.0 => {
            -depth * 0.5 * (1.0 - (std::f64::consts::TAU * (down - t.from_mm) / t.repeat_mm).cos())
        }
        _ => 0.0,
    }
}

/// The points of a line that matter: those farther than `tolerance` from the line through their neighbours
/// (Ramer 1972; Douglas & Peucker 1973), without recursion.
#[inline(never)]
pub(crate) fn simplify(points: &[Pt], tolerance: f64) -> Vec<Pt> {
    if points.len() < 3 {
        return points.to_vec();
    }
    let mut keep = vec![false; points.len()];
    keep[0] = true;
    keep[points.len() - 1] = true;
    let mut spans = vec![(0, points.len() - 1)];
    while let Some((first, last)) = spans.pop() {
        let (a, b) = (points[first], points[last]);
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let length = dx.hypot(dy);
        let mut worst = (0.0, first);
        for (i, p) in points.iter().enumerate().take(last).skip(first + 1) {
            let away = if length > 1e-9 {
                ((p.x - a.x) * dy - (p.y - a.y) * dx).abs() / length
            } else {
                (p.x - a.x).hypot(p.y - a.y)
            };
            if away > worst.0 {
                worst = (away, i);
            }
        }
        if worst.0 > tolerance {
            keep[worst.1] = true;
            spans.push((first, worst.1));
            spans.push((worst.1, last));
        }
    }
    let mut kept = Vec::new();
    for (&p, k) in points.iter().zip(keep) {
        if k {
            add(&mut kept, p);
        }
    }
    kept
}

/// A closed outline cut to a square around `centre` (Sutherland & Hodgman 1974).
#[inline(never)]
pub(crate) fn cut_to_square(points: &[Pt], centre: Pt, half: f64) -> Vec<Pt> {
    let mut outline = points.to_vec();
    for side in 0..4 {
        // Distance inside of this side.
        let inside = |p: Pt| match side {
            0 => half - (p.x - centre.x),
            1 => half + (p.x - centre.x),
            2 => half - (p.y - centre.y),
            _ => half + (p.y - centre.y),
        };
        let mut kept = Vec::new();
        let Some(&(mut a)) = outline.last() else {
            return outline;
        };
        for &b in &outline {
            let (da, db) = (inside(a), inside(b));
            if (da < 0.0) != (db < 0.0) {
                let t = da / (da - db);
                let (x, y) = (a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t);
                add(&mut kept, Pt { x, y });
            }
            if db >= 0.0 {
                add(&mut kept, b);
            }
            a = b;
        }
        outline = kept;
    }
    outline
}

/// A number 0–1 that depends on nothing but its two arguments, for what varies from drip to drip (a 64-bit finaliser
/// after Steele, Lea & Flood 2014).
#[inline(never)]
pub(crate) fn jitter(seed: u64, index: u64) -> f64 {
    let mut z = seed
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .wrapping_add(index.wrapping_mul(0xd1b5_4a32_d192_ed03));
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^= z >> 31;
    (z >> 11) as f64 / (1u64 << 53) as f64
}
