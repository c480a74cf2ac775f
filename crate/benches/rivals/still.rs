//! Meshes that stand still, for the rivals: everything that a cell needs to know, worked out once.
//!
//! Takes a case and how far its front will run; gives meshes fine where the front will pass, as JSON, and the run of a film on one.

use glazefall::physics::{constants::GRAVITY, film::Case};
use serde_json::json;

/// One mesh on one piece.
pub struct Still {
    s: Vec<f64>,
    /// ∫ r ds up to each face.
    volume: Vec<f64>,
    r: Vec<f64>,
    kappa: Vec<f64>,
    fixed: Vec<f64>,
    below: Vec<f64>,
    own: Vec<f64>,
    above: Vec<f64>,
    along: Vec<f64>,
    drive: Vec<f64>,
    zeta: Vec<f64>,
    phi: f64,
    lowest: f64,
    held: f64,
    precursor: f64,
}

/// Meshes from coarse to fine.
pub fn family(case: &Case, phi: f64, run_m: f64) -> Vec<Still> {
    let finest = [200e-6, 120e-6, 80e-6, 50e-6, 30e-6];
    finest
        .iter()
        .map(|&dx| Still::new(case, phi, run_m, dx))
        .collect()
}

/// The meshes as the rivals read them.
pub fn written(stills: &[Still]) -> String {
    let mut out = Vec::new();
    for (mesh, s) in stills.iter().enumerate() {
        let inv: Vec<f64> = s.volume.windows(2).map(|w| 1.0 / (w[1] - w[0])).collect();
        out.push(json!({
            "mesh": mesh, "cells": s.cells(), "phi": s.phi, "zeta": s.zeta, "inv": inv, "kappa": s.kappa, "fixed": s.fixed,
            "below": s.below, "own": s.own, "above": s.above, "along": s.along, "drive": s.drive,
        }));
    }
    serde_json::Value::Array(out).to_string()
}

impl Still {
    fn new(case: &Case, phi: f64, run_m: f64, finest: f64) -> Self {
        let profile = case.profile;
        let (lowest, length) = (case.lowest_s_m(), profile.length_m());
        // Fine from a little above the lowest edge to where the front ends; the upper edge and the rim at their own width.
        let mut fine = vec![(lowest - 2e-3, lowest + run_m + 2e-3, finest)];
        for layer in &case.layers {
            fine.push((layer.from_s_m - 1e-3, layer.from_s_m + 1e-3, 2.0 * finest));
        }
        for (a, b) in profile.convex_arcs(20e-3) {
            fine.push((a, b, 0.4e-3));
        }
        let spacing = |s: f64| {
            let mut dx = 2e-3_f64;
            for &(a, b, least) in &fine {
                dx = dx.min(least + 0.15 * (a - s).max(s - b).max(0.0));
            }
            dx
        };
        let mut s = vec![0.0];
        let mut at = 0.0;
        while at < length {
            at += spacing(at + 0.5 * spacing(at));
            s.push(at.min(length));
        }
        let n = s.len() - 1;
        let (weight, gamma) = (case.rho_kg_per_m3 * GRAVITY, case.gamma_n_per_m);
        let face: Vec<_> = s.iter().map(|&s| profile.at(s)).collect();
        let cell: Vec<_> = s
            .windows(2)
            .map(|w| profile.at(0.5 * (w[0] + w[1])))
            .collect();
        let r: Vec<f64> = face.iter().map(|p| p.r_m).collect();
        let mut volume = vec![0.0];
        for i in 0..n {
            // Simpson's rule over the cell.
            volume
                .push(volume[i] + (s[i + 1] - s[i]) * (r[i] + 4.0 * cell[i].r_m + r[i + 1]) / 6.0);
        }
        let along = (0..=n)
            .map(|j| -r[j] * face[j].psi_rad.sin() * weight / 3.0)
            .collect();
        let drive: Vec<f64> = (0..=n)
            .map(|j| {
                if j == 0 || j == n {
                    0.0
                } else {
                    2.0 / 3.0 * r[j] / (s[j + 1] - s[j - 1])
                }
            })
            .collect();
        let kappa: Vec<f64> = cell
            .iter()
            .map(|p| p.kappa1_per_m + p.kappa2_per_m)
            .collect();
        let (mut below, mut own, mut above) = (Vec::new(), Vec::new(), Vec::new());
        for i in 0..n {
            let per = 3.0 * gamma / (volume[i + 1] - volume[i]);
            let (lo, hi) = (drive[i] * per, drive[i + 1] * per);
            let square = cell[i].kappa1_per_m.powi(2) + cell[i].kappa2_per_m.powi(2);
            below.push(-lo);
            above.push(-hi);
            own.push(lo + hi + weight * cell[i].psi_rad.cos() - gamma * square);
        }
        let zeta = s
            .windows(2)
            .map(|w| {
                let mut sum = 0.0;
                for l in &case.layers {
                    let covered = (w[1].min(l.to_s_m) - w[0].max(l.from_s_m)).max(0.0);
                    sum += l.thickness_m * covered / (w[1] - w[0]);
                }
                f64::max(sum, case.precursor_m)
            })
            .collect();
        Self {
            volume,
            r,
            fixed: kappa.iter().map(|k| gamma * k).collect(),
            kappa,
            below,
            own,
            above,
            along,
            drive,
            zeta,
            phi,
            lowest,
            held: case.held_m2(lowest - 1e-6).unwrap_or(0.0),
            precursor: case.precursor_m,
            s,
        }
    }

    /// How many cells.
    pub fn cells(&self) -> usize {
        self.s.len() - 1
    }

    /// Run of a film on this mesh by the volume rule, m.
    pub fn run_m(&self, zeta: &[f64]) -> f64 {
        let mut beyond = 0.0;
        for i in (0..zeta.len()).rev() {
            let more = (zeta[i] - self.precursor) * (self.volume[i + 1] - self.volume[i])
                / self.r[i].max(1e-9);
            if beyond + more >= self.held {
                let t = (self.held - beyond) / more;
                return (self.s[i + 1] - t * (self.s[i + 1] - self.s[i]) - self.lowest).max(0.0);
            }
            beyond += more;
        }
        0.0
    }
}
