//! Fronts under gravity alone, as sharp as they are.
//!
//! Takes the film of even cells, which spread a front over three or four; gives it with each front where its volume says. The volume is
//! exact, so that is good to the square of the cells' width, where the cells themselves are good to half of one.

use super::{gravity::Cells, solution::Moment};

/// The film of gravity's cells, every front as sharp as it is.
pub(super) fn sharpened(cells: &Cells, zeta: &[Vec<f64>], phi_per_pa: f64, apart: bool) -> Moment {
    let mut faces_m = cells.s.clone();
    let length = faces_m[faces_m.len() - 1];
    let mut fronts: Vec<Vec<Front>> = Vec::with_capacity(zeta.len());
    for zeta in zeta {
        let mut own = Vec::new();
        for down in [false, true] {
            if let Some(front) = Front::of(cells, zeta, down) {
                // A narrow cell before it and one behind, so that it is read where it is.
                for end in [front.from, front.to] {
                    faces_m.extend([end - 1e-9, end, end + 1e-9]);
                }
                own.push(front);
            }
        }
        fronts.push(own);
    }
    // The other layers step where one ends, but where they end too.
    for l in 0..zeta.len() {
        let mut steps = Vec::new();
        for (k, others) in fronts.iter().enumerate() {
            for front in others {
                if k != l && !fronts[l].iter().any(|own| own.meets(front)) {
                    steps.extend(front.beside(cells, &zeta[l]));
                }
            }
        }
        fronts[l].extend(steps);
    }
    crate::order::ascending(&mut faces_m);
    faces_m.retain(|&s| s >= 0.0 && s <= length);
    faces_m.dedup_by(|b, a| *b - *a < 0.5e-9);
    let n = faces_m.len() - 1;
    let mut moment = Moment {
        phi_per_pa,
        h_m: Vec::with_capacity(n),
        zeta_m: Vec::with_capacity(n),
        volume: vec![0.0],
        ground: Vec::with_capacity(n + 1),
        apart: None,
        faces_m,
    };
    for &s in &moment.faces_m {
        moment.ground.push(cells.volume_at(s));
    }
    let mut shares = vec![vec![0.0; n]; zeta.len()];
    let mut sum = 0.0;
    for i in 0..n {
        let (a, b) = (moment.faces_m[i], moment.faces_m[i + 1]);
        let cell = cells.at(0.5 * (a + b));
        let mut total = 0.0;
        for ((share, zeta), fronts) in shares.iter_mut().zip(zeta).zip(&fronts) {
            let sharp = fronts.iter().find_map(|f| f.zeta(a, b));
            share[i] = sharp.unwrap_or(zeta[cell]);
            total += share[i];
        }
        for share in &mut shares {
            share[i] = if total > 0.0 { share[i] / total } else { 0.0 };
        }
        moment.h_m.push(cells.thickness(cell, total));
        moment.zeta_m.push(total);
        sum += total * (moment.ground[i + 1] - moment.ground[i]);
        moment.volume.push(sum);
    }
    if apart {
        moment.apart = Some(shares);
    }
    moment
}

/// A front as sharp as it is: the cells that the scheme spreads it over hold what lies between it and the film behind.
struct Front {
    /// The stretch in place of those cells, and where beyond them all is bare.
    from: f64,
    to: f64,
    bare_to: f64,
    /// ζ there: at a place, and its change per length.
    zeta: f64,
    at: f64,
    slope: f64,
    /// ζ beyond.
    beyond: f64,
    /// Cells behind and beyond.
    cells: (usize, usize),
}

impl Front {
    /// Most cells that the scheme spreads a front over.
    const WIDEST: usize = 12;

    /// The front at one end of a layer: towards the profile's end (`down`) or its start; none where it is not as steep as one.
    fn of(cells: &Cells, zeta: &[f64], down: bool) -> Option<Self> {
        let n = zeta.len();
        let wet = |z: &f64| *z > 0.0;
        let last = if down {
            zeta.iter().rposition(wet)?
        } else {
            zeta.iter().position(wet)?
        };
        // Melt comes to a front; from the other edge it goes away.
        let end = last + usize::from(down);
        let along = if down { 1.0 } else { -1.0 } * cells.along[end];
        if end == 0 || end == n || along < 0.0 {
            return None;
        }
        // The k-th cell back from the last.
        let back = |k: usize| {
            if down {
                last.checked_sub(k)
            } else {
                (last + k < n).then_some(last + k)
            }
        };
        let z = |k: usize| back(k).map(|i| zeta[i]);
        let mut k = 1;
        while z(k)? < 0.98 * z(k + 1)? {
            k += 1;
            if k > Self::WIDEST {
                return None;
            }
        }
        let (k, here) = (k + 1, z(k + 1)?);
        let (i, gap) = (back(k)?, here - z(k + 1)?);
        let step = z(k - 1)? - here;
        let slope = if gap * step <= 0.0 {
            0.0
        } else if gap.abs() < step.abs() {
            gap
        } else {
            step
        };
        // Per length, rising towards the profile's end.
        let sign = if down { 1.0 } else { -1.0 };
        let slope = sign * slope / (cells.s[i + 1] - cells.s[i]);
        let at = 0.5 * (cells.s[i] + cells.s[i + 1]);
        let edge = cells.s[i + usize::from(down)];
        let volume: f64 = (0..k)
            .filter_map(back)
            .map(|i| zeta[i] / cells.inv_volume[i])
            .sum();
        let (start, mut front) = (cells.volume_at(edge), edge);
        for _ in 0..4 {
            let mean = here + slope * (0.5 * (edge + front) - at);
            if mean <= 0.0 {
                return None;
            }
            front = cells.place_of(start + sign * volume / mean);
        }
        let bare_to = cells.s[end];
        ((front - edge) * sign > 0.0 && (bare_to - front) * sign > -cells.least).then(|| {
            let (from, to) = if down { (edge, front) } else { (front, edge) };
            let mut out = Self {
                from,
                to,
                bare_to,
                zeta: here,
                at,
                slope,
                beyond: 0.0,
                cells: (i, if down { last + 1 } else { last - 1 }),
            };
            // To the last digit of the volume.
            let mut held = 0.0;
            for i in cells.at(from)..=cells.at(to) {
                let (a, b) = (cells.s[i].max(from), cells.s[i + 1].min(to));
                held += (cells.volume_at(b) - cells.volume_at(a)) * out.inside(0.5 * (a + b));
            }
            let more = volume / held;
            (out.zeta, out.slope) = (out.zeta * more, out.slope * more);
            out
        })
    }

    fn inside(&self, s: f64) -> f64 {
        self.zeta + self.slope * (s - self.at)
    }

    /// From where to where the front has something to say.
    fn reach(&self) -> (f64, f64) {
        let (least, most) = (self.from.min(self.bare_to), self.to.max(self.bare_to));
        (least, most)
    }

    fn meets(&self, other: &Self) -> bool {
        let ((a, b), (c, d)) = (self.reach(), other.reach());
        a < d && c < b
    }

    /// What another layer does there: it steps from what it is behind to what it is beyond, all of its volume kept.
    fn beside(&self, cells: &Cells, zeta: &[f64]) -> Option<Self> {
        let (behind, beyond) = (zeta[self.cells.0], zeta[self.cells.1]);
        let (a, b) = self.reach();
        let volume = |from: f64, to: f64| cells.volume_at(to) - cells.volume_at(from);
        let mut held = 0.0;
        let within = zeta.iter().enumerate().take(cells.at(b) + 1);
        for (i, z) in within.skip(cells.at(a)) {
            let (a, b) = (cells.s[i].max(a), cells.s[i + 1].min(b));
            held += z * if b > a { volume(a, b) } else { 0.0 };
        }
        let steps = behind * volume(self.from, self.to)
            + beyond * (volume(a, self.from) + volume(self.to, b));
        let more = held / steps;
        (steps > 0.0 && more > 0.5 && more < 2.0).then_some(Self {
            zeta: behind * more,
            slope: 0.0,
            beyond: beyond * more,
            ..*self
        })
    }

    /// ζ of the cell between two places; none where the front has nothing to say. A cell lies on one side of each end.
    fn zeta(&self, a: f64, b: f64) -> Option<f64> {
        let s = 0.5 * (a + b);
        let (least, most) = self.reach();
        if s < least || s > most {
            None
        } else if s > self.from && s < self.to {
            Some(self.inside(s))
        } else {
            Some(self.beyond)
        }
    }
}
