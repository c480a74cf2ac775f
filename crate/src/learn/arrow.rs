//! Precision matrices of arrow shape and their Cholesky factors.
//!
//! Takes a symmetric positive definite matrix whose first rows meet one another only on the diagonal (firings: no
//! entry has two) and the rest densely; gives solves and whitening in O(F G + G²) after O(F G² + G³) once.

use crate::real::{Pair, Real};

/// Least share of a diagonal entry that its pivot is held at.
const LEAST_PIVOT: f64 = 1e-4;
/// Rows that are factored together.
const TOGETHER: usize = 4;

/// A symmetric matrix `[[D, B], [Bᵀ, C]]`, D diagonal with F rows, C dense with G.
#[derive(Clone, Debug)]
pub struct Arrow {
    separate: usize,
    dense: usize,
    /// Diagonal of D.
    diagonal: Vec<f64>,
    /// B, a row of G per separate coordinate.
    cross: Vec<f64>,
    /// C, row by row; only its lower triangle is read.
    block: Vec<f64>,
}

impl Arrow {
    /// A matrix of zeros of `len` rows, the first `separate` of them separate.
    pub fn zeros(len: usize, separate: usize) -> Self {
        let dense = len - separate;
        Self {
            separate,
            dense,
            diagonal: vec![0.0; separate],
            cross: vec![0.0; separate * dense],
            block: vec![0.0; dense * dense],
        }
    }

    /// Adds to the diagonal.
    pub fn add_diagonal(&mut self, at: usize, value: f64) {
        if at < self.separate {
            self.diagonal[at] += value;
        } else {
            let i = at - self.separate;
            self.block[i * self.dense + i] += value;
        }
    }

    /// Adds `weight · v vᵀ` for a sparse `v`, its places rising; at most one of them separate.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn add_outer(&mut self, weight: f64, places: &[u32], v: &[f64]) {
        let mut start = 0;
        if let (Some(first), Some(value)) = (places.first(), v.first())
            && (*first as usize) < self.separate
        {
            start = 1;
            let at = *first as usize;
            let scaled = weight * value;
            self.diagonal[at] += scaled * value;
            let row = &mut self.cross[at * self.dense..(at + 1) * self.dense];
            for (place, value) in places[1..].iter().zip(&v[1..]) {
                row[*place as usize - self.separate] += scaled * value;
            }
        }
        for i in start..places.len() {
            let scaled = weight * v[i];
            let row = (places[i] as usize - self.separate) * self.dense;
            for j in start..=i {
                self.block[row + places[j] as usize - self.separate] += scaled * v[j];
            }
        }
    }

    /// Moves this matrix towards `other`, of the same shape, by a share of the way.
    pub fn blend(&mut self, other: &Self, share: f64) {
        let lists = [
            (&mut self.diagonal, &other.diagonal),
            (&mut self.cross, &other.cross),
            (&mut self.block, &other.block),
        ];
        for (own, other) in lists {
            for (a, b) in own.iter_mut().zip(other) {
                *a += share * (b - *a);
            }
        }
    }

    /// The diagonal entry at a place.
    pub fn diagonal(&self, at: usize) -> f64 {
        if at < self.separate {
            self.diagonal[at]
        } else {
            self.block[(at - self.separate) * (self.dense + 1)]
        }
    }

    /// Puts `values` in place of the row and column at `at`, a dense coordinate.
    pub fn replace(&mut self, at: usize, values: &[f64]) {
        let (f, g) = (self.separate, self.dense);
        let Some(i) = at.checked_sub(f) else { return };
        for (a, value) in values[..f].iter().enumerate() {
            self.cross[a * g + i] = *value;
        }
        for (j, value) in values[f..].iter().enumerate() {
            self.block[i.max(j) * g + i.min(j)] = *value;
        }
    }

    /// Cholesky factor. Where rounding (or a curvature that is not positive) leaves a pivot that is not positive, the pivot is held at a small
    /// share of its diagonal: the factor then belongs to a nearby positive matrix, which is all that a step or a base for sampling needs.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn factor(mut self) -> Factor {
        let (f, g) = (self.separate, self.dense);
        let mut held = 0;
        let mut met: Vec<(usize, f64)> = Vec::new();
        for a in 0..f {
            if self.diagonal[a].is_nan() || self.diagonal[a] <= 0.0 {
                held += 1;
                self.diagonal[a] = 1.0;
            }
            let root = self.diagonal[a].sqrt();
            self.diagonal[a] = root;
            // Rows of B are mostly zeros: a firing has few glazes and few of their pairs.
            met.clear();
            for (i, b) in self.cross[a * g..(a + 1) * g].iter_mut().enumerate() {
                if *b != 0.0 {
                    *b /= root;
                    met.push((i, *b));
                }
            }
            for (k, (i, bi)) in met.iter().enumerate() {
                let into = &mut self.block[i * g..i * g + i + 1];
                for (j, bj) in &met[..k + 1] {
                    into[*j] -= bi * bj;
                }
            }
        }
        let whole: Vec<f64> = (0..g).map(|i| self.block[i * g + i].abs()).collect();
        let mut from = 0;
        while from < g {
            let to = (from + TOGETHER).min(g);
            // As far as the rows above go, two columns at a time.
            let mut done = 0;
            while to == from + TOGETHER && done + 2 <= from {
                self.take_off_two(from, done);
                done += 2;
            }
            for i in from..to {
                let (above, rest) = self.block.split_at_mut(i * g);
                let row = &mut rest[..g];
                for j in done..i {
                    let other = &above[j * g..j * g + j + 1];
                    row[j] = (row[j] - dot(&row[..j], &other[..j])) / other[j];
                }
                let pivot = row[i] - dot(&row[..i], &row[..i]);
                let least = (LEAST_PIVOT * whole[i]).max(f64::MIN_POSITIVE);
                if pivot.is_nan() || pivot <= least {
                    held += 1;
                }
                row[i] = pivot.max(least).sqrt();
            }
            from = to;
        }
        Factor { lower: self, held }
    }

    /// Columns `j` and the next of [`TOGETHER`] rows of C's factor, those from `from` on: what is read once serves for several products.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn take_off_two(&mut self, from: usize, j: usize) {
        let g = self.dense;
        let (above, rest) = self.block.split_at_mut(from * g);
        let (first, second) = (&above[j * g..], &above[(j + 1) * g..]);
        let n = j / 2;
        let pairs = |row: usize| &rest[row * g..].as_chunks::<2>().0[..n];
        let (x, y) = (
            &first.as_chunks::<2>().0[..n],
            &second.as_chunks::<2>().0[..n],
        );
        // Written out: in a loop over the rows the page's sums would lie in memory.
        let (r0, r1, r2, r3) = (pairs(0), pairs(1), pairs(2), pairs(3));
        let (mut x0, mut x1, mut x2, mut x3) = (Pair::ZERO, Pair::ZERO, Pair::ZERO, Pair::ZERO);
        let (mut y0, mut y1, mut y2, mut y3) = (Pair::ZERO, Pair::ZERO, Pair::ZERO, Pair::ZERO);
        for k in 0..n {
            let (x, y) = (Pair::from(x[k]), Pair::from(y[k]));
            let own = Pair::from(r0[k]);
            x0 += own * x;
            y0 += own * y;
            let own = Pair::from(r1[k]);
            x1 += own * x;
            y1 += own * y;
            let own = Pair::from(r2[k]);
            x2 += own * x;
            y2 += own * y;
            let own = Pair::from(r3[k]);
            x3 += own * x;
            y3 += own * y;
        }
        let sums = [[x0, y0], [x1, y1], [x2, y2], [x3, y3]];
        for (row, sums) in rest.chunks_mut(g).zip(sums) {
            row[j] = (row[j] - sums[0].reduce_add()) / first[j];
            let taken = sums[1].reduce_add() + row[j] * second[j];
            row[j + 1] = (row[j + 1] - taken) / second[j + 1];
        }
    }
}

/// Four sums side by side: one alone waits for each addition before the next.
#[inline]
#[cfg_attr(fast_by_function, optimize(speed))]
fn dot<R: Real>(a: &[f64], b: &[R]) -> R {
    let zero = R::all(0.0);
    // Each by its name: as a list the page's compiler keeps them in memory.
    let (mut one, mut two, mut three, mut four) = (zero, zero, zero, zero);
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let mut sum = zero;
    for (x, y) in a4.remainder().iter().zip(b4.remainder()) {
        sum += R::all(*x) * *y;
    }
    for (x, y) in a4.zip(b4) {
        one += R::all(x[0]) * y[0];
        two += R::all(x[1]) * y[1];
        three += R::all(x[2]) * y[2];
        four += R::all(x[3]) * y[3];
    }
    sum + (one + two) + (three + four)
}

/// Cholesky factor L of an [`Arrow`], `L Lᵀ` = matrix.
#[derive(Clone, Debug)]
pub struct Factor {
    lower: Arrow,
    /// Pivots that were held.
    pub held: usize,
}

impl Factor {
    /// Puts it behind `numbers`.
    pub fn put_numbers(&self, numbers: &mut Vec<f64>) {
        for list in [&self.lower.diagonal, &self.lower.cross, &self.lower.block] {
            numbers.extend(list);
        }
        numbers.push(self.held as f64);
    }

    /// One of `len` rows, `separate` of them separate, of the numbers that `next` gives so many at a time.
    pub fn of_numbers<'a>(
        len: usize,
        separate: usize,
        next: &mut dyn FnMut(usize) -> Option<&'a [f64]>,
    ) -> Option<Self> {
        let mut lower = Arrow::zeros(len, separate);
        for list in [&mut lower.diagonal, &mut lower.cross, &mut lower.block] {
            *list = next(list.len())?.to_vec();
        }
        let held = next(1)?[0] as usize;
        Some(Self { lower, held })
    }

    /// `L⁻¹ v` in place: a gradient in whitened coordinates.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn whiten_gradient<R: Real>(&self, v: &mut [R]) {
        let Arrow {
            separate: f,
            dense: g,
            diagonal,
            cross,
            block,
        } = &self.lower;
        let (top, bottom) = v.split_at_mut(*f);
        for (a, t) in top.iter_mut().enumerate() {
            *t *= R::all(1.0 / diagonal[a]);
            for (x, b) in bottom.iter_mut().zip(&cross[a * g..(a + 1) * g]) {
                *x -= R::all(*b) * *t;
            }
        }
        for i in 0..*g {
            let row = &block[i * g..i * g + i + 1];
            bottom[i] = (bottom[i] - dot(&row[..i], &bottom[..i])) * R::all(1.0 / row[i]);
        }
    }

    /// `L⁻ᵀ u` in place: a step from whitened coordinates.
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn unwhiten<R: Real>(&self, u: &mut [R]) {
        let Arrow {
            separate: f,
            dense: g,
            diagonal,
            cross,
            block,
        } = &self.lower;
        let (top, bottom) = u.split_at_mut(*f);
        for i in (0..*g).rev() {
            let row = &block[i * g..i * g + i + 1];
            let x = bottom[i] * R::all(1.0 / row[i]);
            bottom[i] = x;
            for (b, l) in bottom[..i].iter_mut().zip(&row[..i]) {
                *b -= R::all(*l) * x;
            }
        }
        for (a, t) in top.iter_mut().enumerate() {
            let rest = *t - dot(&cross[a * g..(a + 1) * g], bottom);
            *t = rest * R::all(1.0 / diagonal[a]);
        }
    }

    /// `(L Lᵀ)⁻¹ v` in place.
    pub fn solve(&self, v: &mut [f64]) {
        self.whiten_gradient(v);
        self.unwhiten(v);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chacha::ChaCha8Rng;
    use rand::{RngExt, SeedableRng};

    /// A matrix built from outer products; its factor's solve is put back through the matrix by hand.
    #[test]
    fn solve_undoes_the_matrix() {
        let rows: [(&[u32], &[f64]); 4] = [
            (&[0, 2, 4], &[1.0, 0.5, -2.0]),
            (&[1, 3], &[2.0, 1.0]),
            (&[1, 2, 3, 4], &[0.3, -1.0, 0.7, 0.2]),
            (&[3, 4], &[1.0, 1.5]),
        ];
        let mut arrow = Arrow::zeros(5, 2);
        let mut full = [[0.0; 5]; 5];
        for (places, v) in rows {
            arrow.add_outer(1.5, places, v);
            for (i, p) in places.iter().enumerate() {
                for (j, q) in places.iter().enumerate() {
                    full[*p as usize][*q as usize] += 1.5 * v[i] * v[j];
                }
            }
        }
        for (i, row) in full.iter_mut().enumerate() {
            arrow.add_diagonal(i, 0.4);
            row[i] += 0.4;
        }
        let b = [1.0, -2.0, 0.5, 3.0, 0.25];
        let mut x = b;
        let factor = arrow.factor();
        factor.solve(&mut x);
        for i in 0..5 {
            let back: f64 = (0..5).map(|j| full[i][j] * x[j]).sum();
            assert!((back - b[i]).abs() < 1e-12, "{i}: {back}");
        }
        // uᵀu = xᵀ P x where x = L⁻ᵀ u.
        let mut u = b;
        factor.unwhiten(&mut u);
        let quadratic: f64 = (0..5)
            .map(|i| (0..5).map(|j| u[i] * full[i][j] * u[j]).sum::<f64>())
            .sum();
        assert!((quadratic - dot(&b, &b)).abs() < 1e-12);
    }

    /// As many rows as are factored together, several times and some over: the solve of a product gives its vector back. Every separate row meets some of the dense.
    #[test]
    fn solve_undoes_a_larger_matrix() {
        let (separate, n) = (3, 25);
        let mut rng = ChaCha8Rng::seed_from_u64(1);
        let mut arrow = Arrow::zeros(n, separate);
        let mut full = vec![vec![0.0; n]; n];
        for outer in 0..60 {
            let mut places: Vec<u32> = vec![outer % 3];
            places.extend((3..n as u32).filter(|place| (place + outer) % 4 != 0));
            let v: Vec<f64> = places.iter().map(|_| rng.random::<f64>() - 0.3).collect();
            arrow.add_outer(1.0, &places, &v);
            for (i, p) in places.iter().enumerate() {
                for (j, q) in places.iter().enumerate() {
                    full[*p as usize][*q as usize] += v[i] * v[j];
                }
            }
        }
        let wanted: Vec<f64> = (0..n).map(|_| rng.random::<f64>()).collect();
        let product = full
            .iter()
            .map(|row| row.iter().zip(&wanted).map(|(a, b)| a * b).sum());
        let mut x: Vec<f64> = product.collect();
        let factor = arrow.factor();
        assert_eq!(factor.held, 0);
        factor.solve(&mut x);
        for (x, wanted) in x.iter().zip(&wanted) {
            assert!((x - wanted).abs() < 1e-9, "{x} {wanted}");
        }
    }
}
