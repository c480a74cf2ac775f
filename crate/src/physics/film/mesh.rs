//! The mesh: fine where the film bends, coarse elsewhere, carried along with fronts, remade when it no longer fits.
//!
//! Takes the film as it is; gives the spacing it needs, a new mesh, volumes carried over to it, and the speed of each face.

use super::{
    Method,
    flux::{Lay, Work},
    relief::Clay,
};

/// Places that keep a fine mesh whatever the film does.
#[derive(Clone, Debug, Default)]
pub(super) struct Fixed {
    /// Stretches with the greatest spacing there, m.
    pub stretches: Vec<(f64, f64, f64)>,
}

/// The larger and the smaller of two numbers: the library's own are calls in wasm.
#[inline]
pub(super) fn larger(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

#[inline]
fn smaller(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// Spacing that the film needs at each cell, m: a share of the length over which it changes by itself.
#[cfg_attr(fast_by_function, optimize(speed))]
pub(super) fn wanted(
    lay: &Lay,
    work: &Work,
    fixed: &Fixed,
    precursor: f64,
    method: &Method,
) -> Vec<f64> {
    let n = lay.cells();
    let h = &work.h;
    let bare = |i: usize| h[i] < 1.5 * precursor;
    let mut want: Vec<f64> = (0..n)
        .map(|i| {
            if bare(i) {
                method.most_bare_m
            } else {
                method.most_m
            }
        })
        .collect();
    for i in 1..n.saturating_sub(1) {
        let (d0, d1) = (
            0.5 * (lay.s[i + 1] - lay.s[i - 1]),
            0.5 * (lay.s[i + 2] - lay.s[i]),
        );
        let (g0, g1) = ((h[i] - h[i - 1]) / d0, (h[i + 1] - h[i]) / d1);
        let bend = 2.0 / (d0 + d1) * (g1 - g0);
        let slope = larger(g0.abs(), g1.abs());
        let size = h[i] + precursor;
        let by_bend = method.bend * (size / larger(bend.abs(), 1e-9)).sqrt();
        let by_slope = method.wedge * size / larger(slope, 1e-9);
        let by_both = larger(smaller(by_bend, by_slope), method.least_m);
        want[i] = smaller(by_both, want[i]);
    }
    for &(from, to, most) in &fixed.stretches {
        for i in 0..n {
            if lay.s[i + 1] >= from && lay.s[i] <= to && h[i] > 3.0 * precursor {
                want[i] = want[i].min(most);
            }
        }
    }
    want
}

/// Widens the fine places by `reach` to both sides and lets the spacing grow by `method.growth` per length from there.
#[cfg_attr(fast_by_function, optimize(speed))]
pub(super) fn eased(s: &[f64], want: &[f64], method: &Method) -> Vec<f64> {
    let n = want.len();
    let mut out = want.to_vec();
    // Growth with distance, minus a plateau of `reach` cells' width: two sweeps.
    let mut cone: Option<(f64, f64)> = None;
    let ease = |i: usize, cone: &mut Option<(f64, f64)>, at: f64, out: &mut [f64]| {
        let allowed = cone.map_or(f64::INFINITY, |(from, dx): (f64, f64)| {
            let growth = if want[i] > method.most_m {
                method.growth_bare
            } else {
                method.growth
            };
            dx + growth * larger((at - from).abs() - method.reach * dx, 0.0)
        });
        if want[i] <= allowed {
            *cone = Some((at, want[i]));
        } else {
            out[i] = smaller(out[i], allowed);
        }
    };
    for i in 0..n {
        ease(i, &mut cone, 0.5 * (s[i] + s[i + 1]), &mut out);
    }
    cone = None;
    for i in (0..n).rev() {
        ease(i, &mut cone, 0.5 * (s[i] + s[i + 1]), &mut out);
    }
    out
}

/// Number of cells that a spacing asks for.
pub(super) fn count(s: &[f64], spacing: &[f64]) -> f64 {
    s.windows(2)
        .zip(spacing)
        .map(|(w, dx)| (w[1] - w[0]) / dx)
        .sum()
}

/// Faces of a new mesh with that spacing.
pub(super) fn remade(s: &[f64], spacing: &[f64]) -> Vec<f64> {
    let total = count(s, spacing);
    let n = total.ceil().max(4.0) as usize;
    // Integral of 1/dx with dx linear between cell middles would be smoother; piecewise constant on the old cells,
    // smoothed once over neighbours, does.
    let density: Vec<f64> = spacing.iter().map(|dx| 1.0 / dx).collect();
    let m = density.len();
    let smooth: Vec<f64> = (0..m)
        .map(|i| {
            0.25 * density[i.saturating_sub(1)]
                + 0.5 * density[i]
                + 0.25 * density[(i + 1).min(m - 1)]
        })
        .collect();
    let total: f64 = s
        .windows(2)
        .zip(&smooth)
        .map(|(w, d)| (w[1] - w[0]) * d)
        .sum();
    let n = n.max((total * 0.98).ceil() as usize);
    let mut out = Vec::with_capacity(n + 1);
    out.push(s[0]);
    let (mut i, mut done) = (0, 0.0);
    for k in 1..n {
        let goal = total * k as f64 / n as f64;
        while i + 1 < m && done + (s[i + 1] - s[i]) * smooth[i] < goal {
            done += (s[i + 1] - s[i]) * smooth[i];
            i += 1;
        }
        out.push(s[i] + (goal - done) / smooth[i]);
    }
    out.push(s[s.len() - 1]);
    out
}

/// Carries volumes over to new faces: a monotone piecewise cubic of M over ∫ r ds, whose slopes come from the quartic
/// through five faces. Total volume and the order of faces are kept exactly, so no cell can come out empty.
pub(super) fn carried(volume: &[f64], m: &[f64], to: &[f64]) -> Vec<f64> {
    let n = m.len();
    let mean: Vec<f64> = (0..n - 1)
        .map(|i| (m[i + 1] - m[i]) / (volume[i + 1] - volume[i]))
        .collect();
    let slope: Vec<f64> = (0..n)
        .map(|j| {
            let d = if j == 0 {
                mean[0]
            } else if j == n - 1 {
                mean[n - 2]
            } else if j == 1 || j == n - 2 {
                let (a, b) = (volume[j] - volume[j - 1], volume[j + 1] - volume[j]);
                (mean[j - 1] * b + mean[j] * a) / (a + b)
            } else {
                quartic_slope(&volume[j - 2..=j + 2], &m[j - 2..=j + 2])
            };
            let (lo, hi) = (mean[j.saturating_sub(1).min(n - 2)], mean[j.min(n - 2)]);
            // Between these the cubic's slope stays above a quarter of the thinner cell's thickness.
            let thin = lo.min(hi);
            d.clamp(0.5 * thin, 2.5 * thin)
        })
        .collect();
    let mut i = 0;
    let mut out: Vec<f64> = to
        .iter()
        .map(|&x| {
            while i + 2 < n && volume[i + 1] <= x {
                i += 1;
            }
            let d = volume[i + 1] - volume[i];
            let t = ((x - volume[i]) / d).clamp(0.0, 1.0);
            let (t2, u) = (t * t, 1.0 - t);
            m[i] * (1.0 + 2.0 * t) * u * u
                + m[i + 1] * t2 * (3.0 - 2.0 * t)
                + d * (slope[i] * t * u * u - slope[i + 1] * t2 * u)
        })
        .collect();
    out[0] = m[0];
    if let Some(last) = out.last_mut() {
        *last = m[n - 1];
    }
    out
}

/// Slope at the middle of five points of the quartic through them.
#[cfg_attr(fast_by_function, optimize(speed))]
fn quartic_slope(x: &[f64], y: &[f64]) -> f64 {
    let c = x[2];
    let mut slope = 0.0;
    for i in [0, 1, 3, 4] {
        // Derivative at c of the Lagrange polynomial that is 1 at x[i].
        let mut w = 1.0 / (x[i] - c);
        for k in [0, 1, 3, 4] {
            if k != i {
                w *= (c - x[k]) / (x[i] - x[k]);
            }
        }
        slope += w * (y[i] - y[2]);
    }
    slope
}

/// Speed of each face: follows the film's level lines, steep places first, smooth in between and still at both ends.
///
/// In the moving mesh a level line has stayed in its cell where `change` (of ζ per Φ, at fixed cells) is 0; what it moved beyond
/// that corrects the speed `v` that the mesh had. Least squares of `((change + ζ_s (new − old))/ζ)²`.
#[inline(never)] // Browsers do badly on one huge function.
pub(super) fn speeds(
    lay: &Lay,
    zeta: &[f64],
    change: &[f64],
    precursor: f64,
    method: &Method,
    v: &mut [f64],
) {
    let n = lay.cells();
    if n < 3 {
        return;
    }
    let (s, zeta, change, v) = (&lay.s[..=n], &zeta[..n], &change[..n], &mut v[..=n]);
    // A symmetric tridiagonal system, eliminated as it is set up: `back` is what a row takes of the next face's speed.
    let mut back = vec![0.0; n + 1];
    let (mut pull, mut before) = (0.0, 0.0);
    let mut lo = method.stiff / (s[1] - s[0]);
    for j in 1..n {
        let ds = 0.5 * (s[j + 1] - s[j - 1]);
        let hi = method.stiff / (s[j + 1] - s[j]);
        let size = 1.0 / (0.5 * (zeta[j] + zeta[j - 1]) + precursor);
        let zs = (zeta[j] - zeta[j - 1]) / ds * size;
        let zt = 0.5 * (change[j - 1] + change[j]) * size;
        let right = ds * zs * (zs * v[j] - zt);
        let per = 1.0 / (ds * (zs * zs + method.hold) + lo + hi - pull);
        before = (right + lo * before) * per;
        v[j] = before;
        back[j] = hi * per;
        pull = hi * back[j];
        lo = hi;
    }
    v[n] = 0.0;
    for j in (1..n).rev() {
        v[j] += back[j] * v[j + 1];
    }
}

/// Speeds of other faces between these.
pub(super) fn speeds_at(s: &[f64], v: &[f64], to: &[f64]) -> Vec<f64> {
    let mut i = 0;
    to.iter()
        .map(|&x| {
            while i + 2 < s.len() && s[i + 1] <= x {
                i += 1;
            }
            v[i] + (v[i + 1] - v[i]) * ((x - s[i]) / (s[i + 1] - s[i])).clamp(0.0, 1.0)
        })
        .collect()
}

/// Greatest relative squeeze or stretch of a cell per unit of Φ.
pub(super) fn strain(s: &[f64], v: &[f64]) -> f64 {
    s.windows(2)
        .zip(v.windows(2))
        .map(|(s, v)| (v[1] - v[0]).abs() / (s[1] - s[0]))
        .fold(0.0, larger)
}

/// Fixed fine places of a piece: tight convex bends and relief.
pub(super) fn fixed_of(
    profile: &crate::physics::piece::Profile,
    relief: Option<&Clay>,
    method: &Method,
) -> Fixed {
    let mut fixed = Fixed::default();
    for (from, to) in profile.convex_arcs(20e-3) {
        let tightest = profile
            .sample_between(from, to, 0.5e-3)
            .iter()
            .map(|(_, p)| p.kappa1_per_m)
            .fold(0.0, f64::max);
        fixed.stretches.push((
            from - 0.5e-3,
            to + 0.5e-3,
            (method.rim / tightest.max(1e-9)).clamp(method.least_m, method.most_m),
        ));
    }
    if let Some(r) = relief.map(|clay| clay.relief) {
        fixed.stretches.push((
            r.from_s_m,
            r.to_s_m,
            (r.wavelength_m / method.per_wave).clamp(1e-6, method.most_m),
        ));
    }
    fixed
}

/// A first mesh: even but for the layers' edges, where it is `near` wide.
pub(super) fn first(length: f64, edges: &[f64], near: f64, method: &Method) -> Vec<f64> {
    let mut s = vec![0.0];
    let mut at = 0.0;
    while at < length {
        let gap = edges
            .iter()
            .map(|e| (e - at).abs())
            .fold(f64::INFINITY, f64::min);
        at += (0.3 * (gap - near)).clamp(0.05 * near, method.most_m);
        s.push(at.min(length));
    }
    let n = s.len();
    if n > 2 && s[n - 1] - s[n - 2] < 0.3 * (s[n - 2] - s[n - 3]) {
        s.remove(n - 2);
    }
    s
}
