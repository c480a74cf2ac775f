//! A profile: a plane curve whose curvature is continuous and linear between knots.
//!
//! Takes curve elements (lines, arcs, sampled curves) joined end to end; gives place, angle and curvatures at any
//! arc length. A jump of curvature at a joint is spread evenly over [`SMOOTHED_M`], centred on the joint.

use super::{
    PieceError,
    curve::{Element, Trace},
};
use crate::order;
use std::f64::consts::FRAC_PI_2;

/// Least radius of curvature of a profile, m.
pub const LEAST_RADIUS_M: f64 = 0.5e-3;
/// Length over which a jump of curvature is spread, m.
///
/// Spreading it over 1 mm changes a rim's least film thickness by 5 %, and nothing else by more than 0.2 % (derived).
pub const SMOOTHED_M: f64 = 1e-3;
/// Greatest distance between two knots on a sampled curve, m.
const KNOT_STEP_M: f64 = 0.5e-3;
/// Greatest turn between two knots, radians: four Gauss points are then good to 1e-12 of the step.
const KNOT_TURN: f64 = 0.25;

/// A place on a profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Distance from the axis, m. On a tile: horizontal distance from its upper edge.
    pub r_m: f64,
    /// Height, m; zero is the shelf.
    pub z_m: f64,
    /// Wall angle: dr/ds = cos ψ, dz/ds = sin ψ, radians. Outside of an upright pot −π/2, floor seen from above 0.
    pub psi_rad: f64,
    /// Curvature along the profile, convex positive, 1/m.
    pub kappa1_per_m: f64,
    /// Curvature around the axis, convex positive, 1/m; zero on a tile.
    pub kappa2_per_m: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    s: f64,
    psi: f64,
    /// dψ/ds, the negative of the convex curvature.
    bend: f64,
    r: f64,
    z: f64,
}

/// What stands under a turned piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct FootRing {
    /// Width of the ring that stands on the shelf, m.
    pub width_m: f64,
    /// Height of the hollow under the floor, m.
    pub recess_m: f64,
}

/// A smooth profile. `s` runs floor centre → inside wall → rim → outside wall → foot; on a tile down from its upper edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    knots: Vec<Knot>,
    pub(super) turned: bool,
    pub(super) rim_s_m: f64,
    pub(super) foot_s_m: f64,
    pub(super) smoothed_m: f64,
    pub(super) foot_ring: Option<FootRing>,
    /// Thickness of the clay of a tile, m; zero on a turned piece.
    pub(super) tile_thickness_m: f64,
}

impl Profile {
    /// Joins elements end to end. `turned`: about an axis; otherwise per unit of width.
    pub(super) fn join(
        start_r: f64,
        start_z: f64,
        start_psi: f64,
        elements: &[Element],
        turned: bool,
    ) -> Result<Self, PieceError> {
        let trace = Trace::new(start_psi, elements);
        let length = trace.length();
        let jumps = trace.curvature_jumps();
        let half = 0.5 * SMOOTHED_M;
        // Every corner of the smoothed curvature gets a knot of its own, so lines and arcs are met exactly.
        let mut at: Vec<f64> = vec![0.0, length];
        at.extend(
            jumps
                .iter()
                .flat_map(|&s| [s - half, s + half])
                .filter(|&s| s > 0.0 && s < length),
        );
        for (from, to, step) in trace.steps(KNOT_STEP_M, KNOT_TURN) {
            let n = ((to - from) / step - 1e-9).ceil().max(1.0) as usize;
            at.extend((0..n).map(|i| from + (to - from) * i as f64 / n as f64));
        }
        order::ascending(&mut at);
        at.dedup_by(|b, a| *b - *a < 1e-9);
        let bends = at.iter().map(|&s| {
            if jumps.is_empty() {
                trace.bend(s)
            } else {
                trace.mean_bend(s, SMOOTHED_M)
            }
        });
        let mut knots: Vec<Knot> = Vec::with_capacity(at.len());
        for (&s, bend) in at.iter().zip(bends) {
            let knot = match knots.last() {
                None => Knot {
                    s,
                    psi: start_psi,
                    bend,
                    r: start_r,
                    z: start_z,
                },
                Some(&k) => {
                    let ds = s - k.s;
                    let (r, z) = k.advanced(ds, (bend - k.bend) / ds);
                    Knot {
                        s,
                        psi: k.psi + 0.5 * (k.bend + bend) * ds,
                        bend,
                        r,
                        z,
                    }
                }
            };
            if bend.abs() * LEAST_RADIUS_M > 1.0 + 1e-6 {
                return Err(PieceError::TooTight {
                    s_m: s,
                    z_m: knot.z,
                    radius_m: 1.0 / bend.abs(),
                });
            }
            if turned && knot.r < -1e-9 {
                return Err(PieceError::CrossesAxis { s_m: s });
            }
            knots.push(Knot {
                r: if turned { knot.r.max(0.0) } else { knot.r },
                ..knot
            });
        }
        Ok(Self {
            knots,
            turned,
            rim_s_m: 0.0,
            foot_s_m: length,
            smoothed_m: if jumps.is_empty() { 0.0 } else { SMOOTHED_M },
            foot_ring: None,
            tile_thickness_m: 0.0,
        })
    }

    /// Length of the profile, m.
    pub fn length_m(&self) -> f64 {
        self.knots.last().map_or(0.0, |k| k.s)
    }

    /// Arc length of the rim's crest, m; zero on a tile.
    pub fn rim_s_m(&self) -> f64 {
        self.rim_s_m
    }

    /// Arc length at which the foot meets the shelf (a tile's lower edge), m.
    pub fn foot_s_m(&self) -> f64 {
        self.foot_s_m
    }

    /// Whether this is a tile or another strip, described per unit of width; flat, if it is [`Profile::is_plane`].
    pub fn is_tile(&self) -> bool {
        !self.turned
    }

    /// Whether it is one flat slope. A strip that bends and bends back has joints, and those are smoothed.
    pub fn is_plane(&self) -> bool {
        self.is_tile()
            && self.smoothed_m == 0.0
            && self.at(0.0).psi_rad == self.at(self.length_m()).psi_rad
    }

    /// Length over which jumps of curvature were spread, m; zero where there were none.
    pub fn smoothed_m(&self) -> f64 {
        self.smoothed_m
    }

    /// The place at arc length `s_m`, held within the profile.
    pub fn at(&self, s_m: f64) -> Place {
        let s = s_m.clamp(0.0, self.length_m());
        let i = self
            .knots
            .partition_point(|k| k.s <= s)
            .clamp(1, self.knots.len() - 1);
        self.within(i, s)
    }

    /// Places at rising arc lengths, cheaper than one by one.
    pub fn at_each(&self, s_m: &[f64]) -> Vec<Place> {
        let mut i = 1;
        let last = self.knots.len() - 1;
        s_m.iter()
            .map(|&s| {
                let s = s.clamp(0.0, self.length_m());
                while i < last && self.knots[i].s <= s {
                    i += 1;
                }
                while i > 1 && self.knots[i - 1].s > s {
                    i -= 1;
                }
                self.within(i, s)
            })
            .collect()
    }

    /// Wall angle and dψ/ds at rising arc lengths, held at the ends.
    pub(crate) fn angles(&self, s_m: &[f64]) -> Vec<(f64, f64)> {
        let mut i = 1;
        let last = self.knots.len() - 1;
        let length = self.length_m();
        s_m.iter()
            .map(|&s| {
                let s = s.min(length);
                while i < last && self.knots[i].s <= s {
                    i += 1;
                }
                let (a, b) = (self.knots[i - 1], self.knots[i]);
                let (ds, slope) = (s - a.s, (b.bend - a.bend) / (b.s - a.s));
                (
                    a.psi + ds * (a.bend + 0.5 * slope * ds),
                    a.bend + slope * ds,
                )
            })
            .collect()
    }

    /// Places at most `step_m` apart from start to end, each with its arc length.
    pub fn sample(&self, step_m: f64) -> Vec<(f64, Place)> {
        self.sample_between(0.0, self.length_m(), step_m)
    }

    /// Places at most `step_m` apart between two arc lengths, each with its arc length.
    pub fn sample_between(&self, from_m: f64, to_m: f64, step_m: f64) -> Vec<(f64, Place)> {
        let n = ((to_m - from_m) / step_m.max(1e-6)).ceil().clamp(1.0, 1e5) as usize;
        let s: Vec<f64> = (0..=n)
            .map(|i| from_m + (to_m - from_m) * i as f64 / n as f64)
            .collect();
        let places = self.at_each(&s);
        s.into_iter().zip(places).collect()
    }

    /// The same profile going straight on past its end for `extra_m`, as if there were no shelf; the foot stays where it is.
    pub fn continued(&self, extra_m: f64) -> Self {
        let mut longer = self.clone();
        let Some(&k) = self.knots.last() else {
            return longer;
        };
        if extra_m > 0.0 {
            // The last bend fades over the smoothing length; a foot is straight, so it is nearly always zero already.
            let fade = if k.bend == 0.0 {
                0.0
            } else {
                SMOOTHED_M.min(0.5 * extra_m)
            };
            let mut from = k;
            if fade > 0.0 {
                let (r, z) = k.advanced(fade, -k.bend / fade);
                from = Knot {
                    s: k.s + fade,
                    psi: k.psi + 0.5 * k.bend * fade,
                    bend: 0.0,
                    r,
                    z,
                };
                longer.knots.push(from);
            }
            let (r, z) = from.advanced(extra_m - fade, 0.0);
            longer.knots.push(Knot {
                s: k.s + extra_m,
                r,
                z,
                ..from
            });
        }
        longer
    }

    /// The part of the profile from `from_m` on, its arc lengths counted from there; the same profile where that is its end or beyond.
    pub fn after(&self, from_m: f64) -> Self {
        let mut part = self.clone();
        if !(from_m > 0.0 && from_m < self.length_m()) {
            return part;
        }
        let i = self.knots.partition_point(|k| k.s <= from_m);
        let here = self.within(i, from_m);
        let first = Knot {
            s: 0.0,
            psi: here.psi_rad,
            bend: -here.kappa1_per_m,
            r: here.r_m,
            z: here.z_m,
        };
        part.knots.truncate(1);
        part.knots[0] = first;
        for k in &self.knots[i..] {
            // Two knots never lie closer than the profile's own.
            if k.s - from_m > 1e-9 {
                part.knots.push(Knot {
                    s: k.s - from_m,
                    ..*k
                });
            }
        }
        part.rim_s_m = (self.rim_s_m - from_m).max(0.0);
        part.foot_s_m = (self.foot_s_m - from_m).max(0.0);
        part
    }

    /// Moves the whole profile up by `dz`.
    pub(super) fn raise(&mut self, dz: f64) {
        for k in &mut self.knots {
            k.z += dz;
        }
    }

    /// Arc length between `from` and `to` at which the wall angle falls through `psi` (a crest: 0).
    pub(super) fn where_psi_falls_to(&self, psi: f64, from: f64, to: f64) -> Option<f64> {
        let (mut a, mut b) = (from, to);
        if (self.at(a).psi_rad - psi) * (self.at(b).psi_rad - psi) > 0.0 {
            return None;
        }
        for _ in 0..60 {
            let m = 0.5 * (a + b);
            if self.at(m).psi_rad > psi {
                a = m
            } else {
                b = m
            }
        }
        Some(0.5 * (a + b))
    }

    /// Arc length of the highest place where the wall angle falls through zero; 0 where there is none.
    pub(super) fn highest_crest(&self) -> f64 {
        let crests = self
            .knots
            .windows(2)
            .filter(|w| w[0].psi > 1e-9 && w[1].psi <= 1e-9);
        let crests = crests.filter_map(|w| self.where_psi_falls_to(0.0, w[0].s, w[1].s));
        crests
            .max_by(|&a, &b| self.at(a).z_m.total_cmp(&self.at(b).z_m))
            .unwrap_or(0.0)
    }

    /// Stretches of the profile that are convex with a radius under `radius_m`, m.
    pub fn convex_arcs(&self, radius_m: f64) -> Vec<(f64, f64)> {
        let limit = -1.0 / radius_m;
        let mut arcs: Vec<(f64, f64)> = Vec::new();
        for pair in self.knots.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let (from, to) = match (a.bend < limit, b.bend < limit) {
                (false, false) => continue,
                (true, true) => (a.s, b.s),
                (inside, _) => {
                    let cut = a.s + (b.s - a.s) * (limit - a.bend) / (b.bend - a.bend);
                    if inside { (a.s, cut) } else { (cut, b.s) }
                }
            };
            match arcs.last_mut() {
                Some(last) if from - last.1 < 1e-9 => last.1 = to,
                _ => arcs.push((from, to)),
            }
        }
        arcs
    }

    fn within(&self, i: usize, s: f64) -> Place {
        let (a, b) = (self.knots[i - 1], self.knots[i]);
        let slope = (b.bend - a.bend) / (b.s - a.s);
        let ds = s - a.s;
        let (r, z) = a.advanced(ds, slope);
        let psi = a.psi + ds * (a.bend + 0.5 * slope * ds);
        let bend = a.bend + slope * ds;
        // On the axis both curvatures of a smooth surface are equal.
        let kappa2 = match self.turned {
            false => 0.0,
            true if r > 1e-7 => -psi.sin() / r,
            true => -bend,
        };
        Place {
            r_m: if self.turned { r.max(0.0) } else { r },
            z_m: z,
            psi_rad: psi,
            kappa1_per_m: -bend,
            kappa2_per_m: kappa2,
        }
    }
}

impl Knot {
    /// Position after `ds` with the bend changing by `slope` per metre: four-point Gauss–Legendre.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn advanced(self, ds: f64, slope: f64) -> (f64, f64) {
        const X: [f64; 2] = [0.339_981_043_584_856_26, 0.861_136_311_594_052_6];
        const W: [f64; 2] = [0.652_145_154_862_546_1, 0.347_854_845_137_453_9];
        if self.bend == 0.0 && slope == 0.0 {
            let (sin, cos) = exact_sin_cos(self.psi);
            return (self.r + ds * cos, self.z + ds * sin);
        }
        let (mut dr, mut dz) = (0.0, 0.0);
        for (x, w) in X.iter().zip(&W) {
            for &u in &[0.5 * (1.0 - x), 0.5 * (1.0 + x)] {
                let t = u * ds;
                let (sin, cos) = (self.psi + t * (self.bend + 0.5 * slope * t)).sin_cos();
                dr += w * cos;
                dz += w * sin;
            }
        }
        (self.r + 0.5 * ds * dr, self.z + 0.5 * ds * dz)
    }
}

/// Sine and cosine, exact at the quarter turns that walls and floors have.
fn exact_sin_cos(psi: f64) -> (f64, f64) {
    let turns = psi / FRAC_PI_2;
    if (turns - turns.round()).abs() > 1e-14 {
        return psi.sin_cos();
    }
    match (turns.round() as i64).rem_euclid(4) {
        0 => (0.0, 1.0),
        1 => (1.0, 0.0),
        2 => (0.0, -1.0),
        _ => (-1.0, 0.0),
    }
}
