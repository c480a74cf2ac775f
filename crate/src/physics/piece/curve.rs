//! Elements of a profile: lines, arcs, and curves sampled by their wall angle.
//!
//! Takes cubic Bézier pieces and splines; gives the wall angle and its mean rate of change at any arc length.

/// A point or direction in the plane (r, z), m.
pub(super) type P = [f64; 2];

pub(super) fn add(a: P, k: f64, b: P) -> P {
    [a[0] + k * b[0], a[1] + k * b[1]]
}

pub(super) fn towards(psi: f64) -> P {
    [psi.cos(), psi.sin()]
}

/// One element of a profile.
pub(super) enum Element {
    /// Straight, m.
    Line(f64),
    /// An arc: length, m, and dψ/ds, 1/m.
    Arc { length: f64, bend: f64 },
    /// A sampled curve: arc length from its own start and wall angle relative to nothing but the turn so far.
    Sampled(Samples),
}

/// Arc length and continuous wall angle along a curve.
#[derive(Clone, Default)]
pub(super) struct Samples {
    pub s: Vec<f64>,
    pub psi: Vec<f64>,
}

impl Samples {
    /// The same curve travelled the other way.
    pub fn reversed(&self) -> Self {
        let length = self.s.last().copied().unwrap_or(0.0);
        Self {
            s: self.s.iter().rev().map(|s| length - s).collect(),
            psi: self
                .psi
                .iter()
                .rev()
                .map(|psi| psi + std::f64::consts::PI)
                .collect(),
        }
    }
}

/// A cubic Bézier piece.
#[derive(Clone, Copy)]
pub(super) struct Cubic(pub [P; 4]);

impl Cubic {
    pub fn at(&self, t: f64) -> P {
        let u = 1.0 - t;
        let w = [u * u * u, 3.0 * u * u * t, 3.0 * u * t * t, t * t * t];
        let mut p = [0.0; 2];
        for (&w, &q) in w.iter().zip(&self.0) {
            p = add(p, w, q);
        }
        p
    }

    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn rate(&self, t: f64) -> P {
        let u = 1.0 - t;
        let w = [3.0 * u * u, 6.0 * u * t, 3.0 * t * t];
        let mut d = [0.0; 2];
        for (i, &w) in w.iter().enumerate() {
            d = add(d, w, add(self.0[i + 1], -1.0, self.0[i]));
        }
        d
    }
}

/// Samples Bézier pieces that join without a corner, about `step` apart.
pub(super) fn sample(pieces: &[Cubic], step: f64) -> Samples {
    let mut out = Samples::default();
    let (mut s, mut psi) = (0.0, f64::NAN);
    for piece in pieces {
        let hull: f64 = (0..3).map(|i| distance(piece.0[i], piece.0[i + 1])).sum();
        let n = (hull / step).ceil().clamp(8.0, 2000.0) as usize;
        for i in 0..=n {
            let t = i as f64 / n as f64;
            if i > 0 {
                // Simpson's rule on the speed.
                let h = 1.0 / n as f64;
                let speed = |t: f64| length(piece.rate(t));
                s += h / 6.0 * (speed(t - h) + 4.0 * speed(t - 0.5 * h) + speed(t));
            } else if !out.s.is_empty() {
                continue;
            }
            let d = piece.rate(t);
            let angle = d[1].atan2(d[0]);
            // Continue the angle without a jump of a whole turn.
            psi = if psi.is_nan() {
                angle
            } else {
                psi + wrapped(angle - psi)
            };
            out.s.push(s);
            out.psi.push(psi);
        }
    }
    out
}

/// A cubic spline through points with given end directions (none: free end), continuous to the second derivative in a
/// parameter that grows with the chord: Bézier pieces.
pub(super) fn spline(points: &[P], first: Option<P>, last: Option<P>) -> Vec<Cubic> {
    let n = points.len();
    let h: Vec<f64> = points
        .windows(2)
        .map(|w| distance(w[0], w[1]).max(1e-9))
        .collect();
    let mut m = vec![[0.0; 2]; n];
    for c in 0..2 {
        // Tridiagonal system for the first derivatives.
        let (mut lower, mut diag, mut upper, mut rhs) =
            (vec![0.0; n], vec![1.0; n], vec![0.0; n], vec![0.0; n]);
        let slope = |i: usize| (points[i + 1][c] - points[i][c]) / h[i];
        match first {
            Some(d) => rhs[0] = d[c],
            None => (diag[0], upper[0], rhs[0]) = (2.0, 1.0, 3.0 * slope(0)),
        }
        match last {
            Some(d) => rhs[n - 1] = d[c],
            None => (lower[n - 1], diag[n - 1], rhs[n - 1]) = (1.0, 2.0, 3.0 * slope(n - 2)),
        }
        for i in 1..n - 1 {
            (lower[i], diag[i], upper[i]) = (h[i], 2.0 * (h[i - 1] + h[i]), h[i - 1]);
            rhs[i] = 3.0 * (h[i] * slope(i - 1) + h[i - 1] * slope(i));
        }
        for i in 1..n {
            let f = lower[i] / diag[i - 1];
            diag[i] -= f * upper[i - 1];
            rhs[i] -= f * rhs[i - 1];
        }
        for i in (0..n).rev() {
            let above = if i + 1 < n {
                upper[i] * m[i + 1][c]
            } else {
                0.0
            };
            m[i][c] = (rhs[i] - above) / diag[i];
        }
    }
    (0..n - 1)
        .map(|i| {
            Cubic([
                points[i],
                add(points[i], h[i] / 3.0, m[i]),
                add(points[i + 1], -h[i] / 3.0, m[i + 1]),
                points[i + 1],
            ])
        })
        .collect()
}

/// Elements joined end to end: wall angle as a function of arc length.
pub(super) struct Trace<'a> {
    parts: Vec<(f64, f64, &'a Element)>,
    end_s: f64,
    end_psi: f64,
}

impl<'a> Trace<'a> {
    pub fn new(start_psi: f64, elements: &'a [Element]) -> Self {
        let (mut s, mut psi) = (0.0, start_psi);
        let mut parts = Vec::with_capacity(elements.len());
        for e in elements {
            parts.push((s, psi, e));
            let (length, turn) = e.extent();
            s += length;
            psi += turn;
        }
        Self {
            parts,
            end_s: s,
            end_psi: psi,
        }
    }

    pub fn length(&self) -> f64 {
        self.end_s
    }

    fn part(&self, s: f64) -> &(f64, f64, &'a Element) {
        let i = self
            .parts
            .partition_point(|p| p.0 <= s)
            .clamp(1, self.parts.len());
        &self.parts[i - 1]
    }

    fn psi(&self, s: f64) -> f64 {
        if s <= 0.0 {
            return self.parts[0].1 + s * self.parts[0].2.end_bend(false);
        }
        if s >= self.end_s {
            return self.end_psi
                + (s - self.end_s) * self.parts[self.parts.len() - 1].2.end_bend(true);
        }
        let &(from, psi, e) = self.part(s);
        psi + e.turn(s - from)
    }

    /// Rate of change of the wall angle averaged over `width` round `s`.
    pub fn mean_bend(&self, s: f64, width: f64) -> f64 {
        (self.psi(s + 0.5 * width) - self.psi(s - 0.5 * width)) / width
    }

    /// Rate of change of the wall angle where no smoothing is needed (a single line or arc).
    pub fn bend(&self, s: f64) -> f64 {
        let &(from, _, e) = self.part(s);
        match e {
            Element::Line(_) => 0.0,
            Element::Arc { bend, .. } => *bend,
            Element::Sampled(_) => {
                let d = 1e-5;
                (e.turn(s - from + d) - e.turn(s - from - d)) / (2.0 * d)
            }
        }
    }

    /// Joints between elements of different curvature, or anywhere a sampled curve may hide one.
    pub fn curvature_jumps(&self) -> Vec<f64> {
        self.parts
            .windows(2)
            .filter(|w| {
                let (a, b) = (w[0].2.end_bend(true), w[1].2.end_bend(false));
                (a - b).abs() > 1e-6 * (a.abs() + b.abs())
            })
            .map(|w| w[1].0)
            .collect()
    }

    /// Stretches with the knot step that each needs.
    pub fn steps(&self, step: f64, turn: f64) -> Vec<(f64, f64, f64)> {
        self.parts
            .iter()
            .map(|&(from, _, e)| {
                let to = from + e.extent().0;
                match e {
                    Element::Line(_) => (from, to, to - from),
                    Element::Arc { bend, .. } => (from, to, turn / bend.abs().max(1e-9)),
                    Element::Sampled(_) => (from, to, step),
                }
            })
            .collect()
    }
}

impl Element {
    /// Length and total turn.
    fn extent(&self) -> (f64, f64) {
        match self {
            Self::Line(length) => (*length, 0.0),
            Self::Arc { length, bend } => (*length, length * bend),
            Self::Sampled(c) => (
                c.s.last().copied().unwrap_or(0.0),
                c.psi.last().unwrap_or(&0.0) - c.psi.first().unwrap_or(&0.0),
            ),
        }
    }

    fn turn(&self, s: f64) -> f64 {
        match self {
            Self::Line(_) => 0.0,
            Self::Arc { bend, .. } => s * bend,
            Self::Sampled(c) => {
                let i = c.s.partition_point(|&x| x <= s).clamp(1, c.s.len() - 1);
                let (a, b) = (c.s[i - 1], c.s[i]);
                c.psi[i - 1] + (c.psi[i] - c.psi[i - 1]) * (s - a) / (b - a) - c.psi[0]
            }
        }
    }

    fn end_bend(&self, end: bool) -> f64 {
        match self {
            Self::Line(_) => 0.0,
            Self::Arc { bend, .. } => *bend,
            Self::Sampled(c) => {
                let n = c.s.len();
                let (i, j) = if end { (n - 2, n - 1) } else { (0, 1) };
                (c.psi[j] - c.psi[i]) / (c.s[j] - c.s[i])
            }
        }
    }
}

pub(super) fn length(d: P) -> f64 {
    d[0].hypot(d[1])
}

pub(super) fn distance(a: P, b: P) -> f64 {
    length(add(b, -1.0, a))
}

/// An angle brought into (−π, π].
fn wrapped(angle: f64) -> f64 {
    use std::f64::consts::{PI, TAU};
    angle - TAU * ((angle + PI) / TAU).floor()
}

impl Element {
    /// Length, m.
    pub fn length(&self) -> f64 {
        self.extent().0
    }
}
