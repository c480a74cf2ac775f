//! The film equation on a mesh of cells that may move: fluxes through the faces and their exact derivatives.
//!
//! Unknowns are the volumes `M_j` between the profile's start and face j: conservation is exact, and the melt's
//! composition, which travels with it, is a fixed function of M. Takes M and the mesh; gives dM/dΦ and its Jacobian.

use super::{
    composition::{Fluidity, Through},
    ground::Ground,
    relief::Clay,
};
use crate::physics::texture::finite_depth_slope;

/// The melt and what acts on it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Forces {
    /// Density times gravity, N/m³.
    pub weight: f64,
    /// Surface tension, N/m.
    pub gamma: f64,
}

/// The mesh as laid on the ground: everything that depends on where the faces are.
#[derive(Clone, Default)]
pub(super) struct Lay {
    /// Faces, n + 1, m.
    pub s: Vec<f64>,
    /// ∫ r ds up to each face.
    pub volume: Vec<f64>,
    /// Radius at each face.
    pub r: Vec<f64>,
    /// r ρ g_s/3 at each face.
    along: Vec<f64>,
    /// r/(3 d) at each face, d the distance between the cells' middles; 0 at both ends.
    drive: Vec<f64>,
    /// Weight of the cell before each face in the mean of both by distance.
    lean: Vec<f64>,
    /// 1/∫ r ds of each cell.
    pub inv_volume: Vec<f64>,
    /// κ1 + κ2 at each cell.
    kappa: Vec<f64>,
    /// Pressure of a dry wall, and what each neighbour's thickness adds to it.
    fixed: Vec<f64>,
    below: Vec<f64>,
    own: Vec<f64>,
    above: Vec<f64>,
    /// Whether the wave number correction acts at each face (0: no), and whether at any.
    wave: Vec<f64>,
    waves: bool,
}

impl Lay {
    /// A mesh with these faces, not yet laid on any ground.
    pub fn of(s: Vec<f64>) -> Self {
        Self {
            s,
            ..Self::default()
        }
    }

    pub fn cells(&self) -> usize {
        self.s.len().saturating_sub(1)
    }

    /// Lays faces `s` on the ground as far as thicknesses go by it.
    pub fn measure(&mut self, ground: &Ground) {
        let n = self.cells();
        self.volume.clear();
        self.inv_volume.clear();
        self.kappa.clear();
        for j in 0..=n {
            self.volume.push(ground.face(self.s[j]).volume);
        }
        for i in 0..n {
            self.inv_volume
                .push(1.0 / (self.volume[i + 1] - self.volume[i]));
            let middle = 0.5 * (self.s[i] + self.s[i + 1]);
            self.kappa.push(ground.cell(middle).kappa);
        }
    }

    /// Lays faces `s` on the ground.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn put(&mut self, ground: &Ground, relief: Option<&Clay>, forces: Forces) {
        let n = self.cells();
        for v in [
            &mut self.volume,
            &mut self.r,
            &mut self.along,
            &mut self.drive,
            &mut self.lean,
            &mut self.wave,
        ] {
            v.resize(n + 1, 0.0);
        }
        for v in [
            &mut self.inv_volume,
            &mut self.kappa,
            &mut self.fixed,
            &mut self.below,
            &mut self.own,
            &mut self.above,
        ] {
            v.resize(n, 0.0);
        }
        let third = forces.weight / 3.0;
        let (s, volume, r, along) = (
            &self.s[..=n],
            &mut self.volume[..=n],
            &mut self.r[..=n],
            &mut self.along[..=n],
        );
        for j in 0..=n {
            let f = ground.face(s[j]);
            volume[j] = f.volume;
            r[j] = f.r;
            along[j] = f.r * f.along * third;
        }
        let (lean, drive) = (&mut self.lean[..=n], &mut self.drive[..=n]);
        for j in 1..n {
            let per = 1.0 / (s[j + 1] - s[j - 1]);
            lean[j] = (s[j + 1] - s[j]) * per;
            drive[j] = 2.0 / 3.0 * r[j] * per;
        }
        (drive[0], drive[n]) = (0.0, 0.0);
        let (inv_volume, kappa, fixed) = (
            &mut self.inv_volume[..n],
            &mut self.kappa[..n],
            &mut self.fixed[..n],
        );
        let (below, own, above) = (
            &mut self.below[..n],
            &mut self.own[..n],
            &mut self.above[..n],
        );
        for i in 0..n {
            let c = ground.cell(0.5 * (s[i] + s[i + 1]));
            let inv = 1.0 / (volume[i + 1] - volume[i]);
            inv_volume[i] = inv;
            kappa[i] = c.kappa;
            // (r h_s)_s/r: r/d at the faces is three times the drive.
            let per = 3.0 * inv * forces.gamma;
            let (lo, hi) = (drive[i] * per, drive[i + 1] * per);
            below[i] = -lo;
            above[i] = -hi;
            own[i] = lo + hi + forces.weight * c.into - forces.gamma * c.square;
            fixed[i] = forces.gamma * c.kappa;
        }
        self.waves = relief.is_some_and(|r| r.relief.stokes_correction);
        if let Some(relief) = relief {
            relief.press(
                &self.s,
                &self.below,
                &self.own,
                &self.above,
                &mut self.fixed,
            );
            for j in 0..=n {
                self.wave[j] = relief.wave_number_at(self.s[j]);
            }
        }
    }
}

/// Room for the fluxes, kept between calls.
#[derive(Default)]
pub(super) struct Work {
    /// Thickness as volume per area, ζ, of each cell.
    pub zeta: Vec<f64>,
    /// Thickness h of each cell.
    pub h: Vec<f64>,
    pressure: Vec<f64>,
    fluidity: Vec<Through>,
    /// The fluidity where it is one everywhere; the list above is then left alone.
    even: Option<f64>,
    positive: bool,
    /// First and last face at which a face that moves takes the mean of both cells. Beyond there is only the precursor, which is taken as it
    /// comes: means of both sides would set it in waves that the front then runs over.
    pub wet: (usize, usize),
}

/// κ ζ up to which [`flat`] holds.
const FLAT: f64 = 0.01;

/// h/ζ at κ ζ = x, to 2e-12 without a root and a quotient: nearly every cell of a wall.
#[inline]
fn flat(x: f64) -> f64 {
    1.0 - x * (0.5 - x * (0.5 - x * (0.625 - x * (0.875 - x * 1.3125))))
}

/// h from ζ = h + κ h²/2. In a hollow so tight that the film would be thicker than half its radius, the relation goes on
/// as its chord.
#[inline]
pub(super) fn thickness(zeta: f64, kappa: f64) -> f64 {
    let x = kappa * zeta;
    if x < FLAT && x > -FLAT {
        zeta * flat(x)
    } else {
        bent_thickness(zeta, x)
    }
}

#[inline]
fn bent_thickness(zeta: f64, x: f64) -> f64 {
    let square = 1.0 + 2.0 * x;
    let square = if square > 0.25 { square } else { 0.25 };
    2.0 * zeta / (1.0 + square.sqrt())
}

/// dh/dζ of [`thickness`], from h.
#[inline]
fn thickness_slope(h: f64, kappa: f64) -> f64 {
    let root = 1.0 + kappa * h;
    if root > 0.5 { 1.0 / root } else { 4.0 / 3.0 }
}

impl Work {
    /// Thicknesses of every cell. False where one is not positive.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn thicken(&mut self, lay: &Lay, m: &[f64]) -> bool {
        let n = lay.cells();
        for v in [&mut self.zeta, &mut self.h, &mut self.pressure] {
            v.resize(n, 0.0);
        }
        let (zeta, h, m) = (&mut self.zeta[..n], &mut self.h[..n], &m[..=n]);
        let (inv, kappa) = (&lay.inv_volume[..n], &lay.kappa[..n]);
        // The short way for all of them, which compilers take two at a time, then the long way for the few in tight bends.
        let (mut positive, mut bent) = (true, false);
        for i in 0..n {
            let z = (m[i + 1] - m[i]) * inv[i];
            let x = kappa[i] * z;
            zeta[i] = z;
            h[i] = z * flat(x);
            positive &= z > 0.0;
            bent |= x.abs() >= FLAT;
        }
        if bent {
            for i in 0..n {
                let x = kappa[i] * zeta[i];
                if x.abs() >= FLAT {
                    h[i] = bent_thickness(zeta[i], x);
                }
            }
        }
        self.positive = positive;
        positive
    }

    /// Whether every thickness was positive at the last call.
    pub fn positive(&self) -> bool {
        self.positive
    }

    /// dM/dΦ at every face into `out` (`out[0]` is 0). `v`: speed of each face, none where the mesh is at rest.
    /// False where a thickness is not positive.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn rate(
        &mut self,
        lay: &Lay,
        melt: &Fluidity,
        v: Option<&[f64]>,
        m: &[f64],
        out: &mut [f64],
    ) -> bool {
        if !self.thicken(lay, m) {
            return false;
        }
        self.even = melt.even();
        if self.even.is_none() {
            melt.through(m, &mut self.fluidity);
        }
        let n = lay.cells();
        let (h, p, f) = (&self.h[..n], &mut self.pressure[..n], &self.fluidity[..]);
        let (along, drive, wave, out) = (
            &lay.along[..=n],
            &lay.drive[..=n],
            &lay.wave[..=n],
            &mut out[..=n],
        );
        let (fixed, below, own, above) = (
            &lay.fixed[..n],
            &lay.below[..n],
            &lay.own[..n],
            &lay.above[..n],
        );
        out[0] = 0.0;
        // The outer neighbours of the first and last cell are their own mirrors, with no gradient between.
        p[0] = fixed[0] + own[0] * h[0] + above[0] * h[1];
        for i in 1..n - 1 {
            p[i] = fixed[i] + below[i] * h[i - 1] + own[i] * h[i] + above[i] * h[i + 1];
        }
        p[n - 1] = fixed[n - 1] + below[n - 1] * h[n - 2] + own[n - 1] * h[n - 1];
        for j in 1..n {
            let (a, c) = (h[j - 1], h[j]);
            let root = (a * c).sqrt();
            let mean = a * c * root;
            out[j] = -(along[j] * gravity_mean(along[j], a, c, mean)
                + mean * drive[j] * (p[j - 1] - p[j]));
        }
        if lay.waves {
            for j in 1..n {
                if wave[j] != 0.0 {
                    let root = (h[j - 1] * h[j]).sqrt();
                    let less = 1.0 - finite_depth_slope(wave[j] * root).0;
                    out[j] += less * h[j - 1] * h[j] * root * drive[j] * (p[j - 1] - p[j]);
                }
            }
        }
        let a = h[n - 1];
        let off = if along[n] > 0.0 { along[n] } else { 0.0 };
        out[n] = -off * a * a * a;
        match self.even {
            Some(fluidity) => out.iter_mut().for_each(|q| *q *= fluidity),
            None => out.iter_mut().zip(f).for_each(|(q, f)| *q *= f.fluidity),
        }
        if let Some(v) = v {
            let (zeta, v, r, lean) = (&self.zeta[..n], &v[..=n], &lay.r[..=n], &lay.lean[..=n]);
            let (from, to) = (self.wet.0.clamp(1, n), (self.wet.1 + 1).clamp(1, n));
            for (from, to) in [(1, from), (to.max(from), n)] {
                for j in from..to {
                    out[j] += v[j] * r[j] * if v[j] > 0.0 { zeta[j] } else { zeta[j - 1] };
                }
            }
            for j in from..to {
                out[j] += v[j] * r[j] * swept(v[j], lean[j], zeta[j - 1], zeta[j]).2;
            }
        }
        true
    }

    /// Weight of the cell before a moving face.
    #[inline]
    fn leaning(&self, j: usize, v: f64, lean: f64) -> f64 {
        if j >= self.wet.0 && j <= self.wet.1 {
            lean
        } else if v > 0.0 {
            0.0
        } else {
            1.0
        }
    }

    /// Jacobian of [`Work::rate`] at the thicknesses it was last called with: row j − 1 for face j, entries for faces j − 2 … j + 2.
    #[cfg_attr(fast_by_function, optimize(speed))]
    #[inline(never)] // Browsers do badly on one huge function.
    pub fn jacobian(&self, lay: &Lay, v: Option<&[f64]>, rows: &mut [[f64; 5]]) {
        let n = lay.cells();
        let (h, p) = (&self.h[..n], &self.pressure[..n]);
        let (layered, even) = (self.even.is_none(), self.even.unwrap_or(0.0));
        let (along, drive, wave, inv) = (
            &lay.along[..=n],
            &lay.drive[..=n],
            &lay.wave[..=n],
            &lay.inv_volume[..n],
        );
        let (below, own, above) = (&lay.below[..n], &lay.own[..n], &lay.above[..n]);
        let kappa = &lay.kappa[..n];
        // dh_i/dM at the cell's upper face; the lower face has the opposite sign.
        let dh = |i: usize| thickness_slope(h[i], kappa[i]) * inv[i];
        // Of the cells j − 2 … j + 1 around face j.
        let (mut d_0, mut d_1, mut d_2) = (0.0, dh(0), dh(1));
        for j in 1..n {
            let (ia, ic) = (j - 1, j);
            let (a, c) = (h[ia], h[ic]);
            let root = (a * c).sqrt();
            let mean = a * c * root;
            let (mut f, mut by_before, mut by_behind) = (even, 0.0, 0.0);
            if let Some(through) = self.fluidity.get(j).filter(|_| layered) {
                f = through.fluidity;
                (by_before, by_behind) = (through.by_before, through.by_behind);
            }
            let drop = p[ia] - p[ic];
            let mut mobility = mean * drive[j];
            // Relative change of the capillary mobility per relative change of the mean thickness √(ac).
            let mut power = 3.0;
            if wave[j] != 0.0 {
                let kh = wave[j] * root;
                let (ratio, slope) = finite_depth_slope(kh);
                mobility *= ratio;
                power += slope * kh / ratio;
            }
            let fm = f * mobility;
            let (per, g, g_a, g_c) = gravity_slopes(along[j], a, c, root);
            let gravity = along[j] * g;
            let pull = 0.5 * power * mobility * drop;
            // dq by the four thicknesses around the face; at a wall the missing neighbour has no weight.
            let (far_a, far_c) = (fm * below[ia], -fm * above[ic]);
            let q_a = fm * (own[ia] - below[ic]) + f * (pull * per * c + along[j] * g_a);
            let q_c = fm * (above[ia] - own[ic]) + f * (pull * per * a + along[j] * g_c);
            let d_3 = if ic + 1 < n { dh(ic + 1) } else { 0.0 };
            // Cells j−2, j−1, j, j+1 lie between faces j−2 … j+2.
            let (c0, c1, c2, c3) = (-far_a * d_0, -q_a * d_1, -q_c * d_2, -far_c * d_3);
            (d_0, d_1, d_2) = (d_1, d_2, d_3);
            // Middles lie half-way in volume between faces.
            let half = 0.5 * (gravity + mobility * drop);
            let (before, behind) = (half * by_before, half * by_behind);
            rows[j - 1] = [
                -c0,
                c0 - c1 - before,
                c1 - c2 - before - behind,
                c2 - c3 - behind,
                c3,
            ];
        }
        let a = h[n - 1];
        let through = match self.fluidity.get(n) {
            Some(through) if layered => *through,
            _ => Through {
                fluidity: even,
                ..Through::default()
            },
        };
        let f = through.fluidity;
        let k = if along[n] > 0.0 {
            along[n] * a * a
        } else {
            0.0
        };
        let c1 = -3.0 * f * k * dh(n - 1);
        let before = 0.5 * k * a * through.by_before;
        rows[n - 1] = [
            0.0,
            -c1 - before,
            c1 - before - k * a * through.by_behind,
            0.0,
            0.0,
        ];
        if let Some(v) = v {
            let (zeta, v, r, lean) = (&self.zeta[..n], &v[..=n], &lay.r[..=n], &lay.lean[..=n]);
            for j in 1..n {
                let (by_a, by_c, _) =
                    swept(v[j], self.leaning(j, v[j], lean[j]), zeta[j - 1], zeta[j]);
                let (z_a, z_c) = (v[j] * r[j] * by_a * inv[j - 1], v[j] * r[j] * by_c * inv[j]);
                let row = &mut rows[j - 1];
                row[1] -= z_a;
                row[2] += z_a - z_c;
                row[3] += z_c;
            }
        }
    }
}

/// Mean of h³ in gravity's flux through a face between thicknesses a and c: the geometric mean `(ac)^(3/2)` (given as `mean`), and half
/// of it upwind where they differ by more than a part: there the mesh does not resolve the film, and the upwind value cannot ring.
/// The upwind value's share is `x⁴/(1 + x⁴)`, x = |c − a|/(a + c).
#[inline]
fn gravity_mean(along: f64, a: f64, c: f64, mean: f64) -> f64 {
    let up = if along >= 0.0 { a } else { c };
    let (d, s) = ((c - a) * (c - a), (c + a) * (c + a));
    mean + d * d / (s * s + d * d) * (up * up * up - mean)
}

/// 1/(ac), [`gravity_mean`] and its derivatives by a and c; `root` is √(ac).
#[inline]
fn gravity_slopes(along: f64, a: f64, c: f64, root: f64) -> (f64, f64, f64, f64) {
    let up = if along >= 0.0 { a } else { c };
    let (sum, diff) = (a + c, c - a);
    let (d, s) = (diff * diff, sum * sum);
    // One quotient for both.
    let (ac, all) = (a * c, s * s + d * d);
    let both = 1.0 / (ac * all);
    let (per, mean) = (both * ac, ac * root);
    let share = d * d * per;
    // dx/da = −2c/(a + c)², dx/dc = 2a/(a + c)²: what is left of 4 x³/(1 + x⁴)² · 2/(a + c)².
    let by = 8.0 * diff * d * sum * s * per * per;
    let gap = up * up * up - mean;
    // 1.5 mean/a is 1.5 c √(ac).
    let plain = 1.5 * root * (1.0 - share);
    let cube = 3.0 * share * up * up;
    let (u_a, u_c) = if along >= 0.0 {
        (cube, 0.0)
    } else {
        (0.0, cube)
    };
    (
        both * all,
        mean + share * gap,
        plain * c + u_a - by * c * gap,
        plain * a + u_c + by * a * gap,
    )
}

/// Thickness that a moving face sweeps over: the mean of both cells by distance, but no more than twice that of the cell it
/// takes from, so that no cell is swept empty. Its derivatives by both, and itself.
#[inline]
fn swept(v: f64, lean: f64, a: f64, c: f64) -> (f64, f64, f64) {
    let mean = c + lean * (a - c);
    if v > 0.0 && mean > 2.0 * c {
        (0.0, 2.0, 2.0 * c)
    } else if v < 0.0 && mean > 2.0 * a {
        (2.0, 0.0, 2.0 * a)
    } else {
        (lean, 1.0 - lean, mean)
    }
}
