//! Composition of the melt: what each layer brought stays with the melt that carries it.
//!
//! Along one line the shares of the layers are constant on every particle, so they are a fixed function of the volume M
//! between the start and the particle. Takes the layers as laid down; gives fluidity and shares at any M.

/// A stretch of one composition.
#[derive(Clone, Debug)]
pub(super) struct Stretch {
    /// M at its end.
    pub to: f64,
    /// Half-width in M of the blend into the next stretch.
    pub blend: f64,
    /// ln of its fluidity.
    pub ln_fluidity: f64,
    /// Share of each layer, the wall first.
    pub shares: Vec<f64>,
}

/// Fluidity as a function of M.
#[derive(Clone, Debug, Default)]
pub(super) struct Fluidity {
    pub stretches: Vec<Stretch>,
}

impl Fluidity {
    /// Fluidity and its derivative by M at rising M.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn along(&self, m: &[f64], out: &mut Vec<(f64, f64)>) {
        out.clear();
        if let [only] = &self.stretches[..] {
            out.resize(m.len(), (only.ln_fluidity.exp(), 0.0));
            return;
        }
        // Faces of one stretch after the other: those before its blend, then those in it.
        let (mut from, n) = (0, m.len());
        for (i, here) in self.stretches.iter().enumerate() {
            let value = here.ln_fluidity.exp();
            let Some(next) = self.stretches.get(i + 1) else {
                out.resize(n, (value, 0.0));
                return;
            };
            let (start, end) = (here.to - here.blend, here.to + here.blend);
            while from < n && m[from] < start {
                from += 1;
            }
            out.resize(from, (value, 0.0));
            let change = next.ln_fluidity - here.ln_fluidity;
            while from < n && m[from] <= end {
                let (w, dw) = smooth((m[from] - here.to) / here.blend);
                let f = (here.ln_fluidity + change * w).exp();
                out.push((f, f * change * dw / here.blend));
                from += 1;
            }
        }
    }

    /// Keeps the blends apart from each other.
    pub fn part_blends(&mut self) {
        let mut before = 0.0;
        for i in 0..self.stretches.len().saturating_sub(1) {
            let (to, next) = (self.stretches[i].to, self.stretches[i + 1].to);
            let blend = self.stretches[i]
                .blend
                .min(0.45 * (to - before))
                .min(0.45 * (next - to));
            self.stretches[i].blend = blend;
            before = to;
        }
    }

    /// Shares of the layers at `m`.
    pub fn shares(&self, m: f64) -> Vec<f64> {
        let last = self.stretches.len() - 1;
        let i = self
            .stretches
            .iter()
            .position(|s| m <= s.to + s.blend)
            .unwrap_or(last)
            .min(last);
        let here = &self.stretches[i];
        if i == last || m < here.to - here.blend {
            return here.shares.clone();
        }
        let (w, _) = smooth((m - here.to) / here.blend);
        here.shares
            .iter()
            .zip(&self.stretches[i + 1].shares)
            .map(|(a, b)| a + w * (b - a))
            .collect()
    }
}

/// A smooth step over −1 … 1 and its derivative.
fn smooth(x: f64) -> (f64, f64) {
    let t = (0.5 * (x + 1.0)).clamp(0.0, 1.0);
    (t * t * (3.0 - 2.0 * t), 3.0 * t * (1.0 - t))
}
