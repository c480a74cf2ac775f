//! Pentadiagonal systems without pivoting.
//!
//! Takes rows `[j−2, j−1, j, j+1, j+2]`; factorises and solves for many right-hand sides. It goes in from both ends at once and meets in two
//! unknowns in the middle (van der Vorst 1987, Parallel Computing 5, 45): each step of a sweep waits for the one before it, so two sweeps side
//! by side take little longer than one.

/// What a row that has been eliminated leaves to the next two: the inverse of its pivot, its entries beyond, and those over the pivot.
#[derive(Clone, Copy, Default)]
struct Row {
    p: f64,
    u: f64,
    v: f64,
}

impl Row {
    /// Eliminates the two rows before (`self` the nearer) from one whose entries stand in the order of the sweep; gives what it leaves. Kept
    /// of it are both multipliers, the inverse of the pivot, and both entries beyond over the pivot.
    #[inline(always)]
    fn next(&self, far: &Self, d: f64, row: (f64, f64, f64, f64), kept: &mut [f64; 5]) -> Self {
        let f2 = -row.0 * far.p;
        let f1 = (-row.1 - f2 * far.u) * self.p;
        let (u, v) = (-row.2 - f1 * self.v, -row.3);
        let p = 1.0 / (d - f2 * far.v - f1 * self.u);
        kept[0] = f2;
        kept[1] = f1;
        kept[2] = p;
        kept[3] = u * p;
        kept[4] = v * p;
        Self { p, u, v }
    }
}

/// Rows eliminated from the first on, of `n`; two are left in the middle, and as many or one more go from the last on.
fn upper(n: usize) -> usize {
    (n - 2) / 2
}

/// LU of `diagonal` times one less `jacobian`, five rows or more. False where a pivot is not a number or zero.
#[cfg_attr(fast_by_function, optimize(speed))]
#[inline(never)] // Browsers do badly on one huge function.
pub(super) fn factorise(diagonal: f64, jacobian: &[[f64; 5]], lu: &mut [[f64; 5]]) -> bool {
    let n = jacobian.len();
    if n < 5 || lu.len() != n {
        return false;
    }
    let k = upper(n);
    let (jacobian_up, jacobian_down) = jacobian.split_at(k);
    let (lu_up, lu_down) = lu.split_at_mut(k);
    let none = Row::default();
    let (mut a1, mut a2, mut b1, mut b2) = (none, none, none, none);
    let mut sum = 0.0;
    let down = jacobian_down.iter().rev().zip(lu_down.iter_mut().rev());
    for ((ja, a), (jb, b)) in jacobian_up.iter().zip(lu_up.iter_mut()).zip(down) {
        let left_a = a1.next(&a2, diagonal - ja[2], (ja[0], ja[1], ja[3], ja[4]), a);
        let left_b = b1.next(&b2, diagonal - jb[2], (jb[4], jb[3], jb[1], jb[0]), b);
        (a2, a1, b2, b1) = (a1, left_a, b1, left_b);
        sum += a1.p + b1.p;
    }
    if n - 2 - k > k {
        let j = &jacobian[k + 2];
        let left = b1.next(
            &b2,
            diagonal - j[2],
            (j[4], j[3], j[1], j[0]),
            &mut lu[k + 2],
        );
        (b2, b1) = (b1, left);
        sum += left.p;
    }
    // The two in the middle: each loses what both sides leave to it.
    let (one, two) = (&jacobian[k], &jacobian[k + 1]);
    let f2 = -one[0] * a2.p;
    let f1 = (-one[1] - f2 * a2.u) * a1.p;
    let g = -one[4] * b1.p;
    let d1 = diagonal - one[2] - f2 * a2.v - f1 * a1.u - g * b1.v;
    let e1 = -one[3] - f1 * a1.v - g * b1.u;
    let h2 = -two[4] * b2.p;
    let h1 = (-two[3] - h2 * b2.u) * b1.p;
    let i = -two[0] * a1.p;
    let d2 = diagonal - two[2] - h2 * b2.v - h1 * b1.u - i * a1.v;
    let e2 = -two[1] - h1 * b1.v - i * a1.u;
    let per = 1.0 / (d1 * d2 - e1 * e2);
    // Their multipliers take no room of their own: those for one's rows in its place, the inverse of the two by two in both.
    lu[k] = [f2, f1, g, d2 * per, -e1 * per];
    lu[k + 1] = [i, h1, h2, -e2 * per, d1 * per];
    (sum + per).is_finite()
}

/// Solves with the factors of [`factorise`]; `x` holds the right-hand side and then the solution.
#[cfg_attr(fast_by_function, optimize(speed))]
pub(super) fn solve(lu: &[[f64; 5]], x: &mut [f64]) {
    let n = lu.len();
    if n < 5 || x.len() != n {
        return;
    }
    let k = upper(n);
    let (mut a1, mut a2, mut b1, mut b2) = (0.0, 0.0, 0.0, 0.0);
    {
        let (up, down) = lu.split_at(k);
        let (x_up, x_down) = x.split_at_mut(k);
        let down = down.iter().rev().zip(x_down.iter_mut().rev());
        for ((ra, xa), (rb, xb)) in up.iter().zip(x_up).zip(down) {
            let a = (*xa - ra[0] * a2) - ra[1] * a1;
            let b = (*xb - rb[0] * b2) - rb[1] * b1;
            (a2, a1, b2, b1) = (a1, a, b1, b);
            (*xa, *xb) = (a, b);
        }
    }
    if n - 2 - k > k {
        let row = &lu[k + 2];
        let b = (x[k + 2] - row[0] * b2) - row[1] * b1;
        (b2, b1) = (b1, b);
        x[k + 2] = b;
    }
    let (one, two) = (&lu[k], &lu[k + 1]);
    let y1 = x[k] - one[0] * a2 - one[1] * a1 - one[2] * b1;
    let y2 = x[k + 1] - two[0] * a1 - two[1] * b1 - two[2] * b2;
    let (m1, m2) = (one[3] * y1 + one[4] * y2, two[3] * y1 + two[4] * y2);
    (x[k], x[k + 1]) = (m1, m2);
    (a1, a2, b1, b2) = (m1, m2, m2, m1);
    let mut first = k + 2;
    if n - 2 - k > k {
        let row = &lu[first];
        let b = (x[first] * row[2] - row[4] * b2) - row[3] * b1;
        (b2, b1) = (b1, b);
        x[first] = b;
        first += 1;
    }
    let (x_up, x_down) = x.split_at_mut(first);
    let down = lu[first..].iter().zip(x_down);
    for ((ra, xa), (rb, xb)) in lu[..k].iter().zip(&mut x_up[..k]).rev().zip(down) {
        let a = (*xa * ra[2] - ra[4] * a2) - ra[3] * a1;
        let b = (*xb * rb[2] - rb[4] * b2) - rb[3] * b1;
        (a2, a1, b2, b1) = (a1, a, b1, b);
        (*xa, *xb) = (a, b);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_what_it_was_given() {
        for n in 5..12 {
            solves(n);
        }
    }

    fn solves(n: usize) {
        let mut rows: Vec<[f64; 5]> = (0..n)
            .map(|i| {
                let x = i as f64;
                [
                    0.3 - 0.1 * x,
                    1.0 + 0.05 * x,
                    6.0 + x,
                    -1.2,
                    0.4 * (x - 2.0),
                ]
            })
            .collect();
        for (i, row) in rows.iter_mut().enumerate() {
            for (k, v) in row.iter_mut().enumerate() {
                if i + k < 2 || i + k >= n + 2 {
                    *v = 0.0;
                }
            }
        }
        let x: Vec<f64> = (0..n).map(|i| (i as f64 * 1.3).sin() + 2.0).collect();
        let mut b: Vec<f64> = (0..n)
            .map(|i| {
                (0..5)
                    .filter(|k| i + k >= 2 && i + k < n + 2)
                    .map(|k| rows[i][k] * x[i + k - 2])
                    .sum()
            })
            .collect();
        // The rows with a diagonal of their own, and what is left of them.
        let mut jacobian = rows.clone();
        for row in &mut jacobian {
            *row = [-row[0], -row[1], 3.0 - row[2], -row[3], -row[4]];
        }
        assert!(factorise(3.0, &jacobian, &mut rows));
        solve(&rows, &mut b);
        for (got, want) in b.iter().zip(&x) {
            assert!((got - want).abs() < 1e-13);
        }
    }
}
