//! The clay's relief under the film: a cosine on a stretch of the wall, its crests level with the wall around it.
//!
//! Takes amplitude, wavelength and stretch; gives its height, cell means of it and what it adds to the pressure.

use std::f64::consts::TAU;

/// Length over which an end of a relief is spread at most, m.
const SPREAD_M: f64 = 2e-3;

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
    /// Where it ends, m; outside the wall is level with the crests. An end on the wall is spread over 2 mm, or half a
    /// wavelength where that is less.
    pub to_s_m: f64,
    /// Whether capillary levelling is corrected for finite depth (Stokes flow) at the relief's wave number.
    pub stokes_correction: bool,
}

impl Relief {
    /// Height of the clay, m: between −amplitude and amplitude; outside its stretch the wall is level with the crests.
    pub fn height_m(&self, s_m: f64) -> f64 {
        if s_m < self.from_s_m || s_m > self.to_s_m {
            return self.amplitude_m;
        }
        self.amplitude_m * ((s_m - self.crest_at_s_m) * TAU / self.wavelength_m).cos()
    }
}

/// A relief on its wall: where its stretch begins or ends on the wall, its depth grows from nothing over [`SPREAD_M`], smooth to the second
/// derivative. A stretch that reaches the wall's end goes on there as its own mirror.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clay {
    pub relief: Relief,
    /// Length over which the depth grows at each end, m; 0 where the stretch reaches the wall's end.
    from_m: f64,
    to_m: f64,
}

impl Clay {
    pub fn new(relief: Relief, length_m: f64) -> Self {
        let most = 0.5 * (relief.to_s_m - relief.from_s_m);
        let taper = most.min(0.5 * relief.wavelength_m).min(SPREAD_M);
        let only = |inside: bool| if inside { taper } else { 0.0 };
        Self {
            relief,
            from_m: only(relief.from_s_m > 1e-9),
            to_m: only(relief.to_s_m < length_m - 1e-9),
        }
    }

    /// Length over which an end is spread, m.
    pub fn spread_m(&self) -> f64 {
        if self.from_m > self.to_m {
            self.from_m
        } else {
            self.to_m
        }
    }

    /// Height of the clay, m.
    pub fn height_m(&self, s: f64) -> f64 {
        let r = &self.relief;
        r.amplitude_m - (r.amplitude_m - r.height_m(s)) * self.share(s)
    }

    /// Share of the full depth there, on the relief's stretch.
    fn share(&self, s: f64) -> f64 {
        let r = &self.relief;
        let mut share = 1.0;
        if s < r.from_s_m + self.from_m {
            share *= growing((s - r.from_s_m) / self.from_m);
        }
        if s > r.to_s_m - self.to_m {
            share *= growing((r.to_s_m - s) / self.to_m);
        }
        share
    }

    /// ∫ height ds from any fixed place, where the relief has its full depth.
    fn sum(&self, s: f64) -> f64 {
        let r = &self.relief;
        let k = TAU / r.wavelength_m;
        r.amplitude_m * ((s - r.crest_at_s_m) * k).sin() / k
    }

    /// Mean height over the cell from a to c.
    fn mean(&self, a: f64, c: f64) -> f64 {
        let r = &self.relief;
        if c <= r.from_s_m || a >= r.to_s_m {
            r.amplitude_m
        } else if a >= r.from_s_m + self.from_m && c <= r.to_s_m - self.to_m {
            (self.sum(c) - self.sum(a)) / (c - a)
        } else {
            // Gauss's rule of three points.
            let (mid, off) = (0.5 * (a + c), 0.5 * (c - a) * 0.6_f64.sqrt());
            (5.0 * (self.height_m(mid - off) + self.height_m(mid + off)) + 8.0 * self.height_m(mid))
                / 18.0
        }
    }

    /// Adds the relief's part to the pressure of a dry wall.
    pub fn press(&self, s: &[f64], below: &[f64], own: &[f64], above: &[f64], fixed: &mut [f64]) {
        let n = fixed.len();
        let mut here = self.mean(s[0], s[1]);
        let mut before = here;
        for i in 0..n {
            let after = if i + 1 < n {
                self.mean(s[i + 1], s[i + 2])
            } else {
                here
            };
            fixed[i] += below[i] * before + own[i] * here + above[i] * after;
            (before, here) = (here, after);
        }
    }

    /// Wave number where the correction acts, 1/m; 0 elsewhere. It grows with the depth: faces that move pass the ends.
    pub fn wave_number_at(&self, s: f64) -> f64 {
        let r = &self.relief;
        if r.stokes_correction && s >= r.from_s_m && s <= r.to_s_m {
            TAU / r.wavelength_m * self.share(s)
        } else {
            0.0
        }
    }
}

/// From 0 at 0 to 1 at 1, slope and bend 0 at both.
fn growing(t: f64) -> f64 {
    if t <= 0.0 {
        0.0
    } else if t >= 1.0 {
        1.0
    } else {
        t * t * t * (10.0 - t * (15.0 - 6.0 * t))
    }
}
