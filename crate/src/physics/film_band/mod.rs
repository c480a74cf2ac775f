//! The film's own answer for a band on a slope: how far it runs with surface tension, from a table made by the solver.
//!
//! Takes a band, Φ, what its edge holds back and the melt; gives the run and its slopes, native in 0.23 µs upright and
//! 0.34 µs on a slope (`cargo bench --bench film` times both). It stands for fresh
//! solves within 0.1 mm + 1 % over bands 10–200 mm long and 0.05–2 mm thick, slopes from 45° up, edges that hold back up to 0.8 of the
//! melt and runs to 0.25 m; beyond its ends the table holds its last value. Where surface tension goes to 0 it goes to gravity's law with
//! a precursor. The table is made by `cargo run --release --example film_band_table`.

mod table;

pub use table::{COEFFICIENTS, INTO, LAG_RANGE, MAIN, encoded, weights_of};

use super::root::cube_root;
use super::{
    film::PRECURSOR_M,
    tile::{self, Band, RunSlopes, capillary_length_m},
};

/// ln of the run of gravity's law in capillary lengths at the start of the table's first axis; earlier the edges have only begun to spread.
const FIRST_LN_RUN: f64 = -3.0;
/// How soon the effect of gravity into the wall levels off (fitted to solves).
const BEND: f64 = 0.3;
/// Gravity into the wall over capillarity along it, `(h0/ℓc) cotθ`, at which the table's second half holds in full.
const WHOLE_INTO_WALL: f64 = 0.4;

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
    // The root of x as a cubic, `y³ − c y² − d³` with c = b √(27/4 X), by Newton from above, where it is convex.
    let q = 6.75 * g.reach;
    let (c, d2) = (b * q.sqrt(), cube_root(q * volume * volume));
    let d3 = d2 * d2.sqrt();
    let mut y = c + d2.sqrt();
    for _ in 0..40 {
        let step = (y * y * (y - c) - d3) / (y * (3.0 * y - 2.0 * c));
        y -= step;
        if step <= 1e-15 * y {
            break;
        }
    }
    let x = (y * y).max(1e-9);
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
    /// ln of the law's run in capillary lengths, its share of run and band together, the square root of the held area over that of the
    /// bead (a wedge's area goes with the square of its length), ln of the precursor over the thickness.
    pub at: [f64; 4],
    /// Capillary length of the front over that of the band, at most 1.
    pub front: f64,
}

/// Place of groups on the axes, with the derivatives of the first three positions and of `front` by (reach, band, held).
fn place(g: &Groups) -> (Place, [[f64; 3]; 4]) {
    // Run of the plain law with nothing held: reach itself, or what the volume says.
    let early = g.reach <= 0.5 * g.band;
    let x = cube_root(6.75 * g.band * g.band * g.reach);
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
    let front = cube_root(thick);
    let per = front / (3.0 * thick);
    let d_front = [per * d_thick[0], per * d_thick[1]];
    // A bead's area goes with thickness × capillary length.
    let bead = thick * front;
    let held = g.held / bead;
    let per = 4.0 / 3.0 * front;
    let d_bead = [per * d_thick[0], per * d_thick[1]];
    let root = held.sqrt();
    let at = [r.ln(), share, root, g.precursor.ln()];
    let slopes = [
        [dr[0] / r, dr[1] / r, 0.0],
        [d_share[0], d_share[1], 0.0],
        [
            -0.5 * root / bead * d_bead[0],
            -0.5 * root / bead * d_bead[1],
            0.5 / (bead * root.max(1e-6)),
        ],
        [d_front[0], d_front[1], 0.0],
    ];
    (Place { at, front }, slopes)
}

/// [`Place`] of a band, for whoever makes the table.
pub fn place_of(g: &Groups) -> Place {
    place(g).0
}

/// How far the effect of gravity into the wall has grown, and its slope: it grows ever more slowly.
pub fn way_into_wall(into_wall: f64) -> (f64, f64) {
    let x = (into_wall / WHOLE_INTO_WALL).clamp(0.0, 2.0);
    let k = 1.0 + BEND;
    let per = 1.0 / (1.0 + BEND * x);
    (
        k * x * per,
        if into_wall < 2.0 * WHOLE_INTO_WALL {
            k * per * per / WHOLE_INTO_WALL
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
    let (mut lag, mut slope) = table::looked_up(&MAIN, place.at);
    let (into, into_slope) = way_into_wall(into_wall);
    let mut way = 0.0;
    if into > 0.0 {
        let more = table::looked_up(&INTO, place.at);
        way = more.0;
        lag += into * way;
        for (slope, more) in slope.iter_mut().zip(more.1) {
            *slope += into * more;
        }
    }
    let early = (place.at[0] - FIRST_LN_RUN).min(0.0);
    let begun = (0.25 * early).exp();
    let begun_slope = if early < 0.0 { 0.25 * begun } else { 0.0 };
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
        by_precursor: law.by_precursor - less * begun * slope[3] / g.precursor,
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
