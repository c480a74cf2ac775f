//! What every turned piece has round its outside: the rim's rounding, the inside, the floor, the foot ring.
//!
//! Takes the outside from lip to foot ring; gives the whole profile.

use super::{
    PieceError, Profile,
    curve::{Cubic, Element, P, Samples, add, length, sample, spline},
    families::Wall,
    profile::{FootRing, LEAST_RADIUS_M, SMOOTHED_M},
};
use std::f64::consts::{FRAC_PI_2, PI};

/// Distance between samples of a curve, m.
const STEP_M: f64 = 0.1e-3;

/// Height of a foot ring for a piece of this height, m.
pub(super) fn ring_height(height: f64) -> f64 {
    (0.05 * height).clamp(3e-3, 8e-3)
}

/// Radius of the hollow between wall and foot ring.
fn ring_fillet(ring: f64) -> f64 {
    (0.6 * ring).max(1.2e-3)
}

/// Where a wall coming down at `psi` meets the hollow above the foot ring.
pub(super) fn ring_top(foot: f64, ring: f64, psi: f64) -> P {
    let rho = ring_fillet(ring);
    // The hollow's centre lies outside the clay, level with the upright part of the ring.
    [foot + rho + rho * psi.sin(), 0.5 * ring - rho * psi.cos()]
}

/// Where the rim's rounding ends on the outside of a wall leaning out by `lean`.
pub(super) fn lip(height: f64, rim: f64, lean: f64, wall: Wall) -> P {
    let rho = wall.rim_radius();
    let psi = -FRAC_PI_2 - lean;
    [rim - rho - rho * psi.sin(), height - rho + rho * psi.cos()]
}

/// Adds the hollow and the ring below an outside that ends at [`ring_top`], and everything inside.
pub(super) fn turn(
    height: f64,
    outside: Vec<Cubic>,
    foot: f64,
    ring: f64,
    wall: Wall,
    floor_round: f64,
) -> Result<Profile, PieceError> {
    let last = outside[outside.len() - 1].rate(1.0);
    let psi = last[1].atan2(last[0]);
    let psi = if psi > 0.0 { psi - 2.0 * PI } else { psi };
    let rho = ring_fillet(ring);
    let hollow = Element::Arc {
        length: rho * (-FRAC_PI_2 - psi),
        bend: 1.0 / rho,
    };
    finish(
        height,
        outside,
        vec![hollow],
        0.5 * ring,
        foot,
        ring,
        wall,
        floor_round,
    )
}

/// Rim, inside and foot round a given outside.
#[allow(
    clippy::too_many_arguments,
    reason = "the one place where all measures of a turned piece meet"
)]
pub(super) fn finish(
    height: f64,
    outside: Vec<Cubic>,
    below: Vec<Element>,
    upright: f64,
    foot: f64,
    ring: f64,
    wall: Wall,
    floor_round: f64,
) -> Result<Profile, PieceError> {
    let rho = wall.rim_radius();
    let recess = 0.75 * ring;
    let floor_z = recess + 1.2 * wall.thickness_m;
    let (inside, floor) = inside(&outside, wall, height, floor_z, floor_round)?;
    let inside = sample(&inside, STEP_M).reversed();
    let outside = sample(&outside, STEP_M);
    let start = |c: &Samples, end: bool| {
        if end {
            c.psi[c.psi.len() - 1]
        } else {
            c.psi[0]
        }
    };
    // From the inside's end angle to the outside's start angle the rim turns by about half a turn, clockwise.
    let (from, to) = (start(&inside, true), start(&outside, false));
    // Not by a remainder, for which wasm has no instruction and the library a long division.
    let mut turn = from - to;
    while turn < 0.0 {
        turn += 2.0 * PI;
    }
    while turn >= 2.0 * PI {
        turn -= 2.0 * PI;
    }
    // Spreading the curvature widens the rounding by w²/(24 ρ) on each side, as a railway's transition curve does; the
    // arc is made that much smaller.
    let rho = (rho - SMOOTHED_M * SMOOTHED_M / (24.0 * rho)).max(LEAST_RADIUS_M);
    let mut elements = vec![
        Element::Line(floor),
        Element::Sampled(inside),
        Element::Arc {
            length: rho * turn,
            bend: -1.0 / rho,
        },
        Element::Sampled(outside),
    ];
    elements.extend(below);
    elements.push(Element::Line(upright));
    let mut profile = Profile::join(0.0, floor_z, 0.0, &elements, true)?;
    let end = profile.at(profile.length_m());
    if (end.r_m - foot).abs() > 0.2e-3 || end.z_m.abs() > 0.2e-3 {
        return Err(PieceError::NoRoomInside { z_m: 0.5 * height });
    }
    profile.raise(-end.z_m);
    let rim_from: f64 = elements[..2].iter().map(Element::length).sum();
    let rim = rho * turn;
    let crest = profile.where_psi_falls_to(0.0, rim_from - 0.2 * rim, rim_from + 1.2 * rim);
    profile.rim_s_m = crest.unwrap_or(rim_from + 0.5 * rim);
    profile.foot_ring = Some(FootRing {
        // Under a small foot the ring is narrower than it would like to be.
        width_m: (1.3 * wall.thickness_m).max(3e-3).min(0.35 * foot),
        recess_m: recess,
    });
    Ok(profile)
}

/// The inside from the rim down to the floor, and the radius at which the flat floor begins.
fn inside(
    outside: &[Cubic],
    wall: Wall,
    height: f64,
    floor_z: f64,
    floor_round: f64,
) -> Result<(Vec<Cubic>, f64), PieceError> {
    const STATIONS: usize = 12;
    let rho = wall.rim_radius();
    // Stations along the outside, each with its distance from the lip.
    let mut along = 0.0;
    let mut stations: Vec<(f64, P, P)> = Vec::new();
    for piece in outside {
        for i in 0..=STATIONS * 4 {
            if i == 0 && !stations.is_empty() {
                continue;
            }
            let t = i as f64 / (STATIONS * 4) as f64;
            let (p, d) = (piece.at(t), piece.rate(t));
            let l = length(d).max(1e-12);
            if let Some(&(_, q, _)) = stations.last() {
                along += super::curve::distance(p, q);
            }
            stations.push((along, p, [d[0] / l, d[1] / l]));
        }
    }
    let taper = (6.0 * (wall.thickness_m - 2.0 * rho).abs())
        .max(1e-3)
        .min(0.4 * along);
    let thickness = |at: f64| {
        let u = (at / taper).clamp(0.0, 1.0);
        let lip = 2.0 * rho + (wall.thickness_m - 2.0 * rho) * u * u * (3.0 - 2.0 * u);
        let down = (at / along).clamp(0.0, 1.0);
        lip * (1.0 + 0.3 * down * down * down)
    };
    // Offset into the clay: the glaze lies left of travel, so the clay lies right.
    let points: Vec<P> = stations
        .iter()
        .map(|&(at, p, d)| add(p, thickness(at), [d[1], -d[0]]))
        .collect();
    // Its direction turns away from the outside's where the wall's thickness changes.
    let offset: Vec<(P, P)> = (0..points.len())
        .map(|i| {
            let (a, b) = (
                points[i.saturating_sub(1)],
                points[(i + 1).min(points.len() - 1)],
            );
            let chord = add(b, -1.0, a);
            let l = length(chord).max(1e-12);
            (
                points[i],
                if i == 0 {
                    stations[0].2
                } else {
                    [chord[0] / l, chord[1] / l]
                },
            )
        })
        .collect();
    let most = floor_z + floor_round * (height - floor_z);
    // The wall ends and the floor's curve begins at the lowest station from which an even curve still reaches the floor.
    let mut best: Option<(usize, f64, f64)> = None;
    for (i, &(q, d)) in offset.iter().enumerate().skip(2) {
        let above = q[1] - floor_z;
        if d[1] > -0.02 || above <= 0.1 * wall.thickness_m {
            break;
        }
        let meet = q[0] + d[0] * above / -d[1];
        let run = above / -d[1];
        let flat = meet - run;
        if flat > 0.04 * stations[0].1[0] {
            best = Some((i, flat, meet));
            if q[1] < most {
                break;
            }
        }
    }
    let Some((i, flat, meet)) = best else {
        return Err(PieceError::NoRoomInside { z_m: floor_z });
    };
    let (q, d) = offset[i];
    // Thin the stations: a spline through few points is fairer.
    let mut points: Vec<P> = Vec::new();
    let mut last = f64::NEG_INFINITY;
    let spacing = stations[i].0 / (STATIONS as f64 * outside.len() as f64 * 0.6).max(4.0);
    for (k, &(p, _)) in offset[..i].iter().enumerate() {
        let at = stations[k].0;
        if p[0] <= 0.5e-3 || offset[k + 1].0[1] >= p[1] {
            return Err(PieceError::NoRoomInside { z_m: p[1] });
        }
        if at - last >= spacing && stations[i].0 - at >= 0.6 * spacing {
            points.push(p);
            last = at;
        }
    }
    points.push(q);
    if points.len() < 2 {
        return Err(PieceError::NoRoomInside { z_m: q[1] });
    }
    let mut curve = spline(&points, Some(offset[0].1), Some(d));
    let corner = [meet, floor_z];
    let end = [flat, floor_z];
    let handle = 0.6;
    curve.push(Cubic([
        q,
        add(q, handle, add(corner, -1.0, q)),
        add(end, handle, add(corner, -1.0, end)),
        end,
    ]));
    Ok((curve, flat))
}
