//! The film's own answer for a band on a slope: how far it runs with surface tension, from a table made by the solver.
//!
//! Takes a band, Φ, what its edge holds back and the melt; gives the run and its slopes in less than a microsecond. It stands for fresh
//! solves within 0.1 mm + 1 % over bands 10–200 mm long and 0.05–2 mm thick, slopes from 45° up, edges that hold back up to 0.8 of the
//! melt and runs to 0.25 m; beyond its ends the table holds its last value. Where surface tension goes to 0 it goes to gravity's law with
//! a precursor. The table is made by `cargo run --release --example film_band_table`.

use super::{
    film::PRECURSOR_M,
    tile::{self, Band, RunSlopes, capillary_length_m},
};

/// ln of the run of gravity's law in capillary lengths: first value, step and number of values of the table.
pub const RUN_AXIS: (f64, f64, usize) = (-3.5, 0.5, 19);
/// Share of the run in run and band together: values of the table. Gravity's front is caught by its tail at 1/3.
pub const SHARE_AXIS: (f64, f64, usize) = (0.0, 0.085, 12);
/// Square root of the held area over that of the bead: a wedge's area goes with the square of its length.
pub const HELD_AXIS: (f64, f64, usize) = (0.1, 0.22, 14);
/// ln of the precursor over the band's thickness.
pub const PRECURSOR_AXIS: (f64, f64, usize) = (-6.5, 0.78, 6);
/// Gravity into the wall over capillarity along it, `(h0/ℓc) cotθ`: values of the table's two halves.
pub const INTO_WALL: [f64; 2] = [0.0, 0.4];
/// How soon that effect levels off (fitted to solves).
const BEND: f64 = 0.3;
/// Least and greatest lag behind the law, in capillary lengths of the front.
pub const LAG_RANGE: (f64, f64) = (-1.0, 2.2);

/// Lags in 8 bits; gravity into the wall runs slowest, then the precursor's axis, the run's, the share's, the held area's.
static TABLE: &[u8] = include_bytes!("../../../fixtures/film_band.bin");

/// A band in its own units: lengths in capillary lengths, areas in thickness × capillary length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Groups {
    /// Capillary length `(γ h0/(ρ g sinθ))^(1/3)`, m.
    pub length_m: f64,
    /// k h0² Φ/ℓc.
    pub reach: f64,
    /// ℓ/ℓc.
    pub band: f64,
    /// A/(h0 ℓc).
    pub held: f64,
    /// Precursor over thickness.
    pub precursor: f64,
}

impl Groups {
    /// Groups of a band; the precursor is [`PRECURSOR_M`].
    pub fn of(
        band: &Band,
        phi_per_pa: f64,
        retention_m2_vertical: f64,
        rho: f64,
        gamma: f64,
    ) -> Self {
        let length_m = capillary_length_m(gamma, band.h0_m, rho, band.sin_slope);
        Self {
            length_m,
            reach: band.k(rho) * band.h0_m * band.h0_m * phi_per_pa / length_m,
            band: band.length_m / length_m,
            held: band.retained_m2(retention_m2_vertical) / (band.h0_m * length_m),
            precursor: (PRECURSOR_M / band.h0_m).min(0.5),
        }
    }
}

/// A run in capillary lengths with its derivatives by the groups.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroupRun {
    /// Run.
    pub run: f64,
    /// By [`Groups::reach`].
    pub by_reach: f64,
    /// By [`Groups::band`].
    pub by_band: f64,
    /// By [`Groups::held`].
    pub by_held: f64,
    /// By [`Groups::precursor`].
    pub by_precursor: f64,
    /// By gravity into the wall, `(h0/ℓc) cotθ`.
    pub by_into_wall: f64,
}

/// Gravity's law with the precursor that the front takes up, in capillary lengths: `(X − R)/(1 − b)` until the tail's head, at 3 X, comes
/// up to it, then the x of `x³ = 27/4 X ((1 − b) L − R + b x)²` less L (derived from the law's own volume; b = 0 is the law). None where the
/// band holds less than its edge.
pub fn law(g: &Groups) -> Option<GroupRun> {
    let b = g.precursor;
    let inv = 1.0 / (1.0 - b);
    let volume = (1.0 - b) * g.band - g.held;
    if volume <= 0.0 || g.band <= 0.0 {
        return None;
    }
    let early = (g.reach - g.held) * inv;
    if 3.0 * g.reach <= g.band + early {
        return Some(GroupRun {
            run: early,
            by_reach: inv,
            by_band: 0.0,
            by_held: -inv,
            by_precursor: early * inv,
            by_into_wall: 0.0,
        });
    }
    let q = 6.75 * g.reach;
    let mut x = (q * volume * volume).cbrt();
    for _ in 0..4 {
        // Newton on 3 ln x − 2 ln(V + b x) − ln q.
        let v = volume + b * x;
        x -= (3.0 * x.ln() - 2.0 * v.ln() - q.ln()) / (3.0 / x - 2.0 * b / v);
        x = x.max(1e-9);
    }
    let v = volume + b * x;
    let per = 1.0 / (3.0 / x - 2.0 * b / v);
    let by_volume = 2.0 / v * per;
    Some(GroupRun {
        run: x - g.band,
        by_reach: per / g.reach,
        by_band: by_volume * (1.0 - b) - 1.0,
        by_held: -by_volume,
        by_precursor: by_volume * (x - g.band),
        by_into_wall: 0.0,
    })
}

/// Where a band stands on the table's axes, and the capillary length of its front over that of the band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Positions in steps from the axes' first values: run, share, held area, precursor.
    pub at: [f64; 4],
    /// Capillary length of the front over that of the band, at most 1.
    pub front: f64,
}

/// Place of groups on the axes, with the derivatives of the first three positions and of `front` by (reach, band, held).
fn place(g: &Groups) -> (Place, [[f64; 3]; 4]) {
    // Run of the plain law with nothing held: reach itself, or what the volume says.
    let early = g.reach <= 0.5 * g.band;
    let x = (6.75 * g.band * g.band * g.reach).cbrt();
    let r = if early { g.reach } else { x - g.band }.max(1e-12);
    let dr = if early {
        [1.0, 0.0]
    } else {
        [x / (3.0 * g.reach), 2.0 * x / (3.0 * g.band) - 1.0]
    };
    let sum = r + g.band;
    let share = r / sum;
    let d_share = [
        g.band * dr[0] / (sum * sum),
        (g.band * dr[1] - r) / (sum * sum),
    ];
    // The front's thickness over h0: 1, then 3/2 of the volume over the length.
    let thick = if early { 1.0 } else { 1.5 * (1.0 - share) };
    let d_thick = if early {
        [0.0; 2]
    } else {
        [-1.5 * d_share[0], -1.5 * d_share[1]]
    };
    let front = thick.cbrt();
    let d_front = d_thick.map(|d| front / (3.0 * thick) * d);
    // A bead's area goes with thickness × capillary length.
    let bead = thick * front;
    let held = g.held / bead;
    let d_bead = d_thick.map(|d| 4.0 / 3.0 * front * d);
    let root = held.sqrt();
    let at = [
        (r.ln() - RUN_AXIS.0) / RUN_AXIS.1,
        (share - SHARE_AXIS.0) / SHARE_AXIS.1,
        (root - HELD_AXIS.0) / HELD_AXIS.1,
        (g.precursor.ln() - PRECURSOR_AXIS.0) / PRECURSOR_AXIS.1,
    ];
    let slopes = [
        [dr[0] / (r * RUN_AXIS.1), dr[1] / (r * RUN_AXIS.1), 0.0],
        [d_share[0] / SHARE_AXIS.1, d_share[1] / SHARE_AXIS.1, 0.0],
        [
            -0.5 * root / bead * d_bead[0] / HELD_AXIS.1,
            -0.5 * root / bead * d_bead[1] / HELD_AXIS.1,
            0.5 / (bead * root.max(1e-6)) / HELD_AXIS.1,
        ],
        [d_front[0], d_front[1], 0.0],
    ];
    (Place { at, front }, slopes)
}

/// Reach and band of a node of the run's and the share's axes; the shortest band is 2.5 capillary lengths.
pub fn node(run: usize, share: usize) -> (f64, f64) {
    let r = (RUN_AXIS.0 + RUN_AXIS.1 * run as f64).exp();
    let p = SHARE_AXIS.0 + SHARE_AXIS.1 * share as f64;
    // At a share of 0 the band has no end: any length whose tail has not come near the front.
    let band = if p > 0.0 {
        r * (1.0 / p - 1.0)
    } else {
        3.0 * r + 15.0
    }
    .max(2.5);
    let reach = if r <= 0.5 * band {
        r
    } else {
        (r + band).powi(3) / (6.75 * band * band)
    };
    (reach, band)
}

/// Held area of a node of its axis, for a front of that capillary length (over the band's).
pub fn held_of_node(held: usize, front: f64) -> f64 {
    (HELD_AXIS.0 + HELD_AXIS.1 * held as f64).powi(2) * front.powi(4)
}

/// The capillary length of the front over the band's own.
pub fn front_of(reach: f64, band: f64) -> f64 {
    place(&Groups {
        length_m: 1.0,
        reach,
        band,
        held: 0.0,
        precursor: 0.01,
    })
    .0
    .front
}

/// Lags at a node in both halves of the table, in capillary lengths of the front.
fn lag(precursor: usize, run: usize, share: usize, held: usize) -> [f64; 2] {
    const HALF: usize = PRECURSOR_AXIS.2 * RUN_AXIS.2 * SHARE_AXIS.2 * HELD_AXIS.2;
    let i = ((precursor * RUN_AXIS.2 + run) * SHARE_AXIS.2 + share) * HELD_AXIS.2 + held;
    [i, i + HALF].map(|i| {
        LAG_RANGE.0
            + (LAG_RANGE.1 - LAG_RANGE.0) / 255.0 * f64::from(TABLE.get(i).copied().unwrap_or(0))
    })
}

/// First node and weights of a smooth cubic through four nodes (Catmull–Rom; one-sided at the ends), and the weights' derivatives by
/// position. Beyond an axis its last value holds.
fn weights(at: f64, count: usize) -> (usize, [f64; 4], [f64; 4]) {
    let last = (count - 1) as f64;
    let inside = at.clamp(0.0, last);
    let cell = (inside.floor() as usize).min(count - 2);
    let t = inside - cell as f64;
    let (t2, t3) = (t * t, t * t * t);
    let mut w = [
        -0.5 * t + t2 - 0.5 * t3,
        1.0 - 2.5 * t2 + 1.5 * t3,
        0.5 * t + 2.0 * t2 - 1.5 * t3,
        -0.5 * t2 + 0.5 * t3,
    ];
    let mut d = [
        -0.5 + 2.0 * t - 1.5 * t2,
        -5.0 * t + 4.5 * t2,
        0.5 + 4.0 * t - 4.5 * t2,
        -t + 1.5 * t2,
    ];
    let first = if cell == 0 {
        // The missing node before the first lies on the line through the first two.
        for w in [&mut w, &mut d] {
            *w = [w[1] + 2.0 * w[0], w[2] - w[0], w[3], 0.0];
        }
        0
    } else if cell + 2 == count {
        for w in [&mut w, &mut d] {
            *w = [0.0, w[0], w[1] - w[3], w[2] + 2.0 * w[3]];
        }
        count - 4
    } else {
        cell - 1
    };
    if at < 0.0 || at > last {
        d = [0.0; 4];
    }
    (first, w, d)
}

/// Lag and its derivatives by the four positions, `share` of the way from the table's first half to its second; and the whole way.
fn looked_up(at: [f64; 4], into: f64) -> (f64, [f64; 4], f64) {
    let (r0, rw, rd) = weights(at[0], RUN_AXIS.2);
    let (s0, sw, sd) = weights(at[1], SHARE_AXIS.2);
    let (h0, hw, hd) = weights(at[2], HELD_AXIS.2);
    let (p0, pw, pd) = weights(at[3], PRECURSOR_AXIS.2);
    let mut out = (0.0, [0.0; 4], 0.0);
    for p in 0..4 {
        if pw[p] == 0.0 && pd[p] == 0.0 {
            continue;
        }
        let mut of_p = (0.0, [0.0; 3], 0.0);
        for r in 0..4 {
            let mut of_r = (0.0, [0.0; 2], 0.0);
            for s in 0..4 {
                let (mut value, mut slope, mut way) = (0.0, 0.0, 0.0);
                for h in 0..4 {
                    let [x, y] = lag(p0 + p, r0 + r, s0 + s, h0 + h);
                    let mean = x + into * (y - x);
                    value += hw[h] * mean;
                    slope += hd[h] * mean;
                    way += hw[h] * (y - x);
                }
                of_r.0 += sw[s] * value;
                of_r.2 += sw[s] * way;
                of_r.1[0] += sd[s] * value;
                of_r.1[1] += sw[s] * slope;
            }
            of_p.0 += rw[r] * of_r.0;
            of_p.2 += rw[r] * of_r.2;
            of_p.1[0] += rd[r] * of_r.0;
            of_p.1[1] += rw[r] * of_r.1[0];
            of_p.1[2] += rw[r] * of_r.1[1];
        }
        out.0 += pw[p] * of_p.0;
        out.2 += pw[p] * of_p.2;
        for (o, x) in out.1.iter_mut().zip(of_p.1) {
            *o += pw[p] * x;
        }
        out.1[3] += pd[p] * of_p.0;
    }
    out
}

/// How far from the table's first half to its second, and its slope: the effect of gravity into the wall grows ever more slowly.
fn way_into_wall(into_wall: f64) -> (f64, f64) {
    let x = (into_wall / INTO_WALL[1]).clamp(0.0, 2.0);
    let k = 1.0 + BEND;
    let per = 1.0 / (1.0 + BEND * x);
    (
        k * x * per,
        if into_wall < 2.0 * INTO_WALL[1] {
            k * per * per / INTO_WALL[1]
        } else {
            0.0
        },
    )
}

/// Run in capillary lengths, `into_wall` being gravity into the wall over capillarity along it, `(h0/ℓc) cotθ`; negative where the visible edge would stand above the band's; none where the band
/// holds less than its edge.
pub fn run_in_groups(g: &Groups, into_wall: f64) -> Option<GroupRun> {
    let law = law(g)?;
    let (place, d) = place(g);
    let (into, into_slope) = way_into_wall(into_wall);
    let (lag, slope, way) = looked_up(place.at, into);
    // Before the first node of the run's axis the edges have only begun to spread.
    let begun = if place.at[0] < 0.0 {
        (0.25 * RUN_AXIS.1 * place.at[0]).exp()
    } else {
        1.0
    };
    let begun_slope = if place.at[0] < 0.0 {
        0.25 * RUN_AXIS.1 * begun
    } else {
        0.0
    };
    let less = place.front;
    let by = |i: usize| {
        let along: f64 = (0..3).map(|k| slope[k] * d[k][i]).sum();
        less * (along * begun + lag * begun_slope * d[0][i])
            + less / place.front * d[3][i] * lag * begun
    };
    Some(GroupRun {
        run: law.run - less * lag * begun,
        by_reach: law.by_reach - by(0),
        by_band: law.by_band - by(1),
        by_held: law.by_held - by(2),
        by_precursor: law.by_precursor - less * begun * slope[3] / (g.precursor * PRECURSOR_AXIS.1),
        by_into_wall: -less * begun * way * into_slope,
    })
}

/// Run of the visible edge, m, not below 0.
pub fn run_m(
    band: &Band,
    phi_per_pa: f64,
    retention_m2_vertical: f64,
    rho: f64,
    gamma: f64,
) -> f64 {
    run_slopes(band, phi_per_pa, retention_m2_vertical, rho, gamma)
        .signed_run_m
        .max(0.0)
}

/// Run of the visible edge with its slopes; negative where the edge would stand above the band's, minus the band's length where the
/// band holds less than its edge. Surface tension 0 gives gravity's law.
pub fn run_slopes(
    band: &Band,
    phi_per_pa: f64,
    retention_m2_vertical: f64,
    rho: f64,
    gamma: f64,
) -> RunSlopes {
    let none = RunSlopes {
        signed_run_m: -band.length_m,
        per_ln_h: 0.0,
        per_ln_phi: 0.0,
        per_ln_retention: 0.0,
    };
    if gamma <= 0.0 {
        return tile::run_slopes(band, phi_per_pa, retention_m2_vertical, rho);
    }
    let g = Groups::of(band, phi_per_pa, retention_m2_vertical, rho, gamma);
    let cos = (1.0 - band.sin_slope * band.sin_slope).max(0.0).sqrt();
    let into_wall = band.h0_m / g.length_m * cos / band.sin_slope;
    let Some(run) = run_in_groups(&g, into_wall) else {
        return none;
    };
    let l = g.length_m;
    // ℓc goes with h^(1/3): reach with h^(5/3), band with h^(−1/3), held with h^(−4/3), the precursor's share with 1/h, gravity into the
    // wall with h^(2/3).
    let (x, b, r) = (
        run.by_reach * g.reach,
        run.by_band * g.band,
        run.by_held * g.held,
    );
    let p = if g.precursor < 0.5 {
        run.by_precursor * g.precursor
    } else {
        0.0
    };
    let w = run.by_into_wall * into_wall;
    RunSlopes {
        signed_run_m: l * run.run,
        per_ln_h: l * (run.run / 3.0 + 5.0 / 3.0 * x - b / 3.0 - 4.0 / 3.0 * r - p + 2.0 / 3.0 * w),
        per_ln_phi: l * x,
        per_ln_retention: l * r,
    }
}

/// The table's bytes from its lags, in the order of the axes (gravity into the wall, precursor, run, share, held): for whoever makes
/// the table.
pub fn encoded(lags: &[f64]) -> Vec<u8> {
    let (lo, hi) = LAG_RANGE;
    lags.iter()
        .map(|&x| ((x - lo) / (hi - lo) * 255.0).round().clamp(0.0, 255.0) as u8)
        .collect()
}
