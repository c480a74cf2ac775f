//! What the warm-up of the chains teaches of the Gaussian that they turn in: its middle and its widths, and how the few numbers that all entries share hang together.
//!
//! Takes whitened points that the chains were at and the forces there that the Gaussian does not explain; gives a better [`Mode`].
//!
//! In whitened coordinates u a Gaussian posterior of curvature H about c leaves the force `g + u = (1 − H) u + H c`: a regression of force on place finds both from few points,
//! wherever the chains have been, for the forces are without noise (gradients as well as draws are used to precondition by Seyboldt, Carlson & Carpenter 2026, arXiv 2603.18845). All of
//! H would be far too much to ask of some eighty points: it is looked for among the shared numbers and, for the rest, on the diagonal.

use super::arrow::Arrow;
use super::mode::Mode;
use std::ops::Range;

/// Points that the prior of "nothing to mend" is worth.
const CAUTION: f64 = 6.0;
/// A middle that would move further than this is not believed.
const FARTHEST: f64 = 3.0;
/// Curvatures are held within this factor of what they were.
const MOST: f64 = 4.0;

/// Sums over the points seen.
#[derive(Clone, Debug, Default)]
pub struct Seen {
    places: Vec<Vec<f64>>,
    forces: Vec<Vec<f64>>,
}

impl Seen {
    /// Adds a point and the gradient there, both whitened.
    pub fn add(&mut self, u: &[f64], gradient: &[f64]) {
        self.places.push(u.to_vec());
        self.forces
            .push(u.iter().zip(gradient).map(|(u, g)| u + g).collect());
    }

    /// Mends `mode` by what was seen; `shared` are the coordinates whose curvature is looked at together.
    pub fn mend(&self, mode: &mut Mode, shared: Range<usize>) {
        let (n, seen) = (mode.at.len(), self.places.len() as f64);
        if seen < 16.0 {
            return;
        }
        let (place, force) = (mean(&self.places, n), mean(&self.forces, n));
        // Each on its own: the slope of its force in its place.
        let mut curvature = vec![1.0; n];
        for i in 0..n {
            let (mut both, mut square) = (0.0, CAUTION);
            for (u, r) in self.places.iter().zip(&self.forces) {
                let off = u[i] - place[i];
                both += off * r[i];
                square += off * off;
            }
            curvature[i] = (1.0 - both / square).clamp(1.0 / MOST, MOST);
        }
        // The shared ones together.
        let (from, k) = (shared.start, shared.len());
        let mut squares = Arrow::zeros(k, 0);
        for i in 0..k {
            for j in 0..=i {
                let mut sum = if i == j { CAUTION } else { 0.0 };
                for u in &self.places {
                    sum += (u[from + i] - place[from + i]) * (u[from + j] - place[from + j]);
                }
                squares.add_pair(i, j, sum);
            }
        }
        let squares = squares.factor();
        let mut slopes = vec![0.0; k * k];
        for (i, row) in slopes.chunks_exact_mut(k.max(1)).enumerate() {
            for (u, r) in self.places.iter().zip(&self.forces) {
                for (j, sum) in row.iter_mut().enumerate() {
                    *sum += (r[from + i] - force[from + i]) * (u[from + j] - place[from + j]);
                }
            }
            squares.solve(row);
        }
        let mut block = Arrow::zeros(k, 0);
        for i in 0..k {
            for j in 0..=i {
                let one = if i == j { 1.0 } else { 0.0 };
                block.add_pair(i, j, one - 0.5 * (slopes[i * k + j] + slopes[j * k + i]));
            }
        }
        let mut own = block.clone().factor();
        if own.held > 0 || !own.pivots_within(1.0 / MOST, MOST) {
            // Not positive, or not to be believed: each on its own there as well.
            block = Arrow::zeros(k, 0);
            for i in 0..k {
                block.add_diagonal(i, curvature[from + i]);
            }
            own = block.clone().factor();
        }
        // The middle: where the force that is left balances the Gaussian's own.
        let mut middle: Vec<f64> = (0..n)
            .map(|i| force[i] - (1.0 - curvature[i]) * place[i])
            .collect();
        for i in 0..k {
            let mut straight = place[from + i];
            for j in 0..k {
                straight -= block.pair(i, j) * place[from + j];
            }
            middle[from + i] = force[from + i] - straight;
        }
        for (i, m) in middle.iter_mut().enumerate() {
            if !shared.contains(&i) {
                *m /= curvature[i];
            }
        }
        own.solve(&mut middle[shared.clone()]);
        if middle.iter().map(|m| m * m).sum::<f64>() > FARTHEST * FARTHEST {
            return;
        }
        mode.factor.unwhiten(&mut middle);
        for (x, m) in mode.at.iter_mut().zip(&middle) {
            *x += m;
        }
        for c in &mut curvature {
            *c = c.sqrt();
        }
        mode.factor.sharpen(&curvature, from, &own);
    }
}

fn mean(all: &[Vec<f64>], n: usize) -> Vec<f64> {
    let mut mean = vec![0.0; n];
    for one in all {
        for (m, x) in mean.iter_mut().zip(one) {
            *m += x / all.len() as f64;
        }
    }
    mean
}
