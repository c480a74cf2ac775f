//! The film as laid down: stretches of one thickness and one composition between the layers' edges.
//!
//! Takes a case on its ground; gives the volume up to any place, and the melt's composition by volume.

use super::{
    case::Case,
    composition::{Fluidity, Stretch},
    ground::Ground,
};

/// The film before it flows.
pub(super) struct Start {
    /// Edges of stretches, from the profile's start to its end.
    cuts: Vec<f64>,
    /// ζ of each stretch, at least the precursor.
    pub zeta: Vec<f64>,
    /// Thickness of each layer in each stretch.
    pub parts: Vec<Vec<f64>>,
    /// Volume up to each cut.
    at_cut: Vec<f64>,
    pub melt: Fluidity,
}

impl Start {
    /// `blend_m`: width over which the composition changes at an edge.
    pub fn new(case: &Case, ground: &Ground, precursor: f64, blend_m: f64) -> Self {
        let mut cuts: Vec<f64> = case
            .present()
            .flat_map(|l| [l.from_s_m, l.to_s_m])
            .filter(|&e| e > 1e-9 && e < ground.length - 1e-9)
            .collect();
        cuts.extend([0.0, ground.length]);
        crate::order::ascending(&mut cuts);
        cuts.dedup_by(|b, a| *b - *a < 1e-9);
        let mut start = Self {
            at_cut: vec![0.0],
            zeta: Vec::new(),
            parts: Vec::new(),
            melt: Fluidity::default(),
            cuts,
        };
        let mut total = 0.0;
        for w in start.cuts.windows(2) {
            let mid = 0.5 * (w[0] + w[1]);
            let parts: Vec<f64> = case
                .layers
                .iter()
                .map(|l| {
                    if mid > l.from_s_m && mid < l.to_s_m {
                        l.thickness_m
                    } else {
                        0.0
                    }
                })
                .collect();
            let sum: f64 = parts.iter().sum();
            let zeta = sum.max(precursor);
            let (a, b) = (ground.face(w[0]), ground.face(w[1]));
            total += zeta * (b.volume - a.volume);
            start.at_cut.push(total);
            start.zeta.push(zeta);
            let stretches = &mut start.melt.stretches;
            if sum > 0.0 {
                let shares: Vec<f64> = parts.iter().map(|p| p / sum).collect();
                let ln_fluidity = case.ln_fluidity(&parts);
                stretches.push(Stretch {
                    to: total,
                    blend: 0.5 * blend_m * zeta * b.r,
                    fluidity: ln_fluidity.exp(),
                    resistance: (-ln_fluidity).exp(),
                    shares,
                });
            } else if let Some(last) = stretches.last_mut() {
                // A bare stretch takes the composition that arrives; above the first layer the first one's.
                last.to = total;
            }
            start.parts.push(parts);
        }
        start.melt.part_blends();
        start
    }

    /// Edges between stretches, without the profile's ends.
    pub fn edges(&self) -> &[f64] {
        &self.cuts[1..self.cuts.len() - 1]
    }

    /// Thickest stretch, m.
    pub fn thickest(&self) -> f64 {
        self.zeta.iter().copied().fold(0.0, f64::max)
    }

    /// What was laid down where it lies thickest, m.
    pub fn laid_down(&self) -> f64 {
        let sums = self.parts.iter().map(|parts| parts.iter().sum());
        sums.fold(0.0, f64::max)
    }

    /// Volume up to each face, every edge laid down as a smooth ramp of half-width `half` centred on it in volume.
    pub fn volumes(&self, ground: &Ground, s: &[f64], half: f64) -> Vec<f64> {
        let ramps: Vec<(f64, f64, f64)> = self.cuts[1..self.cuts.len() - 1]
            .iter()
            .enumerate()
            .map(|(i, &cut)| {
                let f = ground.face(cut);
                let room = (cut - self.cuts[i]).min(self.cuts[i + 2] - cut);
                (
                    f.volume,
                    f.r * half.min(0.45 * room),
                    self.zeta[i + 1] - self.zeta[i],
                )
            })
            .collect();
        s.iter()
            .map(|&s| {
                let x = ground.face(s).volume;
                self.zeta[0] * x
                    + ramps
                        .iter()
                        .map(|&(at, half, jump)| jump * ramp_sum(x - at, half))
                        .sum::<f64>()
            })
            .collect()
    }

    /// Mean of a quantity that is constant on each stretch, over each cell.
    pub fn means(&self, ground: &Ground, s: &[f64], value: impl Fn(usize) -> f64) -> Vec<f64> {
        let sums: Vec<f64> = {
            let mut sum = 0.0;
            let mut out = vec![0.0];
            for (i, w) in self.cuts.windows(2).enumerate() {
                sum += value(i) * (ground.face(w[1]).volume - ground.face(w[0]).volume);
                out.push(sum);
            }
            out
        };
        let upto = |s: f64| {
            let i = self
                .cuts
                .partition_point(|&c| c <= s)
                .clamp(1, self.cuts.len() - 1)
                - 1;
            sums[i] + value(i) * (ground.face(s).volume - ground.face(self.cuts[i]).volume)
        };
        s.windows(2)
            .map(|w| {
                (upto(w[1]) - upto(w[0])) / (ground.face(w[1]).volume - ground.face(w[0]).volume)
            })
            .collect()
    }

    /// Volume up to an edge, from the edges' places.
    pub fn volume_at(&self, ground: &Ground, s: f64) -> f64 {
        let i = self
            .cuts
            .partition_point(|&c| c <= s)
            .clamp(1, self.cuts.len() - 1)
            - 1;
        self.at_cut[i] + self.zeta[i] * (ground.face(s).volume - ground.face(self.cuts[i]).volume)
    }
}

/// Integral of a smooth step of half-width `half` about 0, from far below.
fn ramp_sum(x: f64, half: f64) -> f64 {
    let t = x / half;
    if t <= -1.0 {
        0.0
    } else if t >= 1.0 {
        x
    } else {
        // The step ½ + ¾ t − ¼ t³, integrated from −1.
        half * (3.0 / 16.0 + 0.5 * t + 0.375 * t * t - 0.0625 * t * t * t * t)
    }
}
