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
    /// Its fluidity.
    pub fluidity: f64,
    /// One over it.
    pub resistance: f64,
    /// Share of each layer, the wall first.
    pub shares: Vec<f64>,
}

/// Fluidity as a function of M.
#[derive(Clone, Debug, Default)]
pub(super) struct Fluidity {
    pub stretches: Vec<Stretch>,
}

/// What passes through a face: the fluidity between the middles of the cells before and behind it, and its derivatives by the volumes at
/// the two middles.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Through {
    pub fluidity: f64,
    pub by_before: f64,
    pub by_behind: f64,
}

/// Goes through the stretches at rising M.
struct Walk<'a> {
    stretches: &'a [Stretch],
    /// Which stretch, where its even part starts, and the resistance summed up to there.
    i: usize,
    from: f64,
    sum: f64,
}

/// A place on that way.
#[derive(Clone, Copy, PartialEq)]
struct Point {
    /// Twice the stretch's number, one more in the blend behind it.
    part: usize,
    m: f64,
    /// ∫ resistance dM up to here, and the resistance.
    sum: f64,
    resistance: f64,
}

impl Walk<'_> {
    #[inline]
    fn to(&mut self, m: f64) -> Point {
        loop {
            let here = &self.stretches[self.i];
            let next = self.stretches.get(self.i + 1);
            let start = here.to - here.blend;
            let resistance = here.resistance;
            let Some(next) = next.filter(|_| m >= start) else {
                return Point {
                    part: 2 * self.i,
                    m,
                    sum: self.sum + (m - self.from) * resistance,
                    resistance,
                };
            };
            let (width, more) = (2.0 * here.blend, next.resistance - resistance);
            let even = self.sum + (start - self.from) * resistance;
            if m < start + width {
                let t = (m - start) / width;
                let cube = t * t * t;
                return Point {
                    part: 2 * self.i + 1,
                    m,
                    sum: even + width * (resistance * t + more * (cube - 0.5 * cube * t)),
                    resistance: resistance + more * (3.0 * t * t - 2.0 * cube),
                };
            }
            self.sum = even + width * (resistance + 0.5 * more);
            self.from = start + width;
            self.i += 1;
        }
    }
}

impl Fluidity {
    fn walk(&self) -> Walk<'_> {
        Walk {
            stretches: &self.stretches,
            i: 0,
            from: 0.0,
            sum: 0.0,
        }
    }

    /// The fluidity where it is one everywhere.
    pub fn even(&self) -> Option<f64> {
        match &self.stretches[..] {
            [only] => Some(only.fluidity),
            _ => None,
        }
    }

    /// Fluidity at rising M.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn at(&self, m: &[f64], out: &mut Vec<f64>) {
        out.clear();
        if let [only] = &self.stretches[..] {
            out.resize(m.len(), only.fluidity);
            return;
        }
        let mut walk = self.walk();
        for &m in m {
            out.push(1.0 / walk.to(m).resistance);
        }
    }

    /// What passes through each face of cells whose faces lie at rising M: between two middles the resistances add up, so that an edge of the
    /// colour may lie anywhere between them. The last face has its cell's middle before it only.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn through(&self, m: &[f64], out: &mut Vec<Through>) {
        out.clear();
        let even = |fluidity: f64| Through {
            fluidity,
            ..Through::default()
        };
        let mut walk = self.walk();
        let n = m.len() - 1;
        out.push(even(1.0 / walk.to(m[0]).resistance));
        let mut a = walk.to(0.5 * (m[0] + m[1]));
        for j in 1..=n {
            let b = walk.to(if j < n { 0.5 * (m[j] + m[j + 1]) } else { m[n] });
            out.push(if a.part == b.part && a.part.is_multiple_of(2) {
                even(1.0 / a.resistance)
            } else {
                let per = 1.0 / (b.sum - a.sum);
                let fluidity = (b.m - a.m) * per;
                Through {
                    fluidity,
                    by_before: (fluidity * a.resistance - 1.0) * per,
                    by_behind: (1.0 - fluidity * b.resistance) * per,
                }
            });
            a = b;
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
        let w = smooth((m - here.to) / here.blend);
        here.shares
            .iter()
            .zip(&self.stretches[i + 1].shares)
            .map(|(a, b)| a + w * (b - a))
            .collect()
    }
}

/// A smooth step over −1 … 1.
fn smooth(x: f64) -> f64 {
    let t = (0.5 * (x + 1.0)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn three() -> Fluidity {
        let stretch = |to: f64, blend: f64, fluidity: f64| Stretch {
            to,
            blend,
            fluidity,
            resistance: 1.0 / fluidity,
            shares: Vec::new(),
        };
        Fluidity {
            stretches: vec![
                stretch(1.0, 0.1, 40.0),
                stretch(2.0, 0.3, 0.5),
                stretch(3.0, 0.0, 2.0),
            ],
        }
    }

    /// Volumes over resistances of all the faces add up to the whole resistance: by Simpson's rule over what lies at each place.
    #[test]
    fn resistances_of_the_faces_add_up() {
        let melt = three();
        let m: Vec<f64> = (0..=40)
            .map(|i| 3.0 * (f64::from(i) / 40.0).powf(1.3))
            .collect();
        let mut through = Vec::new();
        melt.through(&m, &mut through);
        let middle = |j: usize| 0.5 * (m[j - 1] + m[j]);
        let sum: f64 = (1..40)
            .map(|j| (middle(j + 1) - middle(j)) / through[j].fluidity)
            .sum();
        let (from, to, n) = (middle(1), middle(40), 40_000);
        let at: Vec<f64> = (0..=2 * n)
            .map(|i| from + (to - from) * i as f64 / (2 * n) as f64)
            .collect();
        let mut fluid = Vec::new();
        melt.at(&at, &mut fluid);
        let whole: f64 = (0..n)
            .map(|i| 1.0 / fluid[2 * i] + 4.0 / fluid[2 * i + 1] + 1.0 / fluid[2 * i + 2])
            .sum();
        let whole = whole * (to - from) / (6 * n) as f64;
        assert!((sum - whole).abs() < 1e-9 * whole, "{sum} {whole}");
    }

    /// The derivatives are those of differences, to their rounding.
    #[test]
    fn derivatives_are_those_of_differences() {
        let melt = three();
        let m: Vec<f64> = (0..=25).map(|i| 0.12 * f64::from(i)).collect();
        let (mut here, mut more, mut less) = (Vec::new(), Vec::new(), Vec::new());
        melt.through(&m, &mut here);
        for j in 1..25 {
            for (k, want) in [
                (j - 1, 0.5 * here[j].by_before),
                (j, 0.5 * (here[j].by_before + here[j].by_behind)),
                (j + 1, 0.5 * here[j].by_behind),
            ] {
                let step = 1e-6;
                let mut moved = m.clone();
                moved[k] += step;
                melt.through(&moved, &mut more);
                moved[k] -= 2.0 * step;
                melt.through(&moved, &mut less);
                let got = (more[j].fluidity - less[j].fluidity) / (2.0 * step);
                assert!(
                    (got - want).abs() < 1e-5 * (1.0 + want.abs()),
                    "{j} {k}: {got} {want}"
                );
            }
        }
    }
}
