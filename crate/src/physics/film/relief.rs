//! The clay's relief under the film: a cosine on a stretch of the wall, its crests level with the wall around it.
//!
//! Takes amplitude, wavelength and stretch; gives cell means of its height and what it adds to the pressure.

use std::f64::consts::TAU;

/// A cosine relief, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// Half of crest to recess, m.
    pub amplitude_m: f64,
    /// Crest to crest, m.
    pub wavelength_m: f64,
    /// Arc length of a crest, m.
    pub crest_at_s_m: f64,
    /// Where it starts, m.
    pub from_s_m: f64,
    /// Where it ends, m; outside the wall is level with the crests.
    pub to_s_m: f64,
    /// Whether capillary levelling is corrected for finite depth (Stokes flow) at the relief's wave number.
    pub stokes_correction: bool,
}

impl Relief {
    /// Height of the clay, m: between −amplitude and amplitude.
    pub fn height_m(&self, s_m: f64) -> f64 {
        if s_m < self.from_s_m || s_m > self.to_s_m {
            return self.amplitude_m;
        }
        self.amplitude_m * ((s_m - self.crest_at_s_m) * TAU / self.wavelength_m).cos()
    }

    /// ∫ height ds from any fixed place.
    fn sum(&self, s: f64) -> f64 {
        let k = TAU / self.wavelength_m;
        let inside = s.clamp(self.from_s_m, self.to_s_m);
        self.amplitude_m * ((s - inside) + ((inside - self.crest_at_s_m) * k).sin() / k)
    }

    /// Mean height over each cell between faces `s`.
    pub(super) fn means(&self, s: &[f64]) -> Vec<f64> {
        let mut before = self.sum(s[0]);
        s.windows(2)
            .map(|w| {
                let after = self.sum(w[1]);
                let mean = (after - before) / (w[1] - w[0]);
                before = after;
                mean
            })
            .collect()
    }

    /// Adds the relief's part to the pressure of a dry wall.
    pub(super) fn press(
        &self,
        s: &[f64],
        below: &[f64],
        own: &[f64],
        above: &[f64],
        fixed: &mut [f64],
    ) {
        let b = self.means(s);
        let n = b.len();
        for i in 0..n {
            fixed[i] += below[i] * b[i.saturating_sub(1)]
                + own[i] * b[i]
                + above[i] * b[(i + 1).min(n - 1)];
        }
    }

    /// Wave number where the correction acts, 1/m; 0 elsewhere.
    pub(super) fn wave_number_at(&self, s: f64) -> f64 {
        if self.stokes_correction && s >= self.from_s_m && s <= self.to_s_m {
            TAU / self.wavelength_m
        } else {
            0.0
        }
    }
}
