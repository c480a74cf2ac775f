//! Pentadiagonal systems without pivoting.
//!
//! Takes rows `[j−2, j−1, j, j+1, j+2]`; factorises in place and solves for many right-hand sides.

/// LU of `diagonal` times one less `jacobian`: entries 0 and 1 become the multipliers, entry 2 the inverse of the pivot, entries 3 and 4 the row above the diagonal over
/// its pivot: the way back then waits for one product only.
/// False where a pivot is not a number or zero.
#[cfg_attr(fast_by_function, optimize(speed))]
pub(super) fn factorise(diagonal: f64, jacobian: &[[f64; 5]], lu: &mut [[f64; 5]]) -> bool {
    let mut ok = true;
    // The two rows above, already eliminated: (inverse pivot, first, second above the diagonal).
    let (mut p1, mut u1, mut v1) = (0.0, 0.0, 0.0);
    let (mut p2, mut u2, mut v2) = (0.0, 0.0, 0.0);
    for (row, j) in lu.iter_mut().zip(jacobian) {
        let f2 = -j[0] * p2;
        let f1 = (-j[1] - f2 * u2) * p1;
        let d = diagonal - j[2] - f2 * v2 - f1 * u1;
        let (u, v) = (-j[3] - f1 * v1, -j[4]);
        let p = 1.0 / d;
        ok &= p.is_finite();
        (p2, u2, v2) = (p1, u1, v1);
        (p1, u1, v1) = (p, u, v);
        *row = [f2, f1, p, u * p, v * p];
    }
    ok
}

/// Solves with the factors of [`factorise`]; `x` holds the right-hand side and then the solution.
#[cfg_attr(fast_by_function, optimize(speed))]
pub(super) fn solve(a: &[[f64; 5]], x: &mut [f64]) {
    let (mut x1, mut x2) = (0.0, 0.0);
    for (row, x) in a.iter().zip(x.iter_mut()) {
        let v = (*x - row[0] * x2) - row[1] * x1;
        *x = v;
        (x2, x1) = (x1, v);
    }
    (x1, x2) = (0.0, 0.0);
    for (row, x) in a.iter().zip(x.iter_mut()).rev() {
        let v = (*x * row[2] - row[4] * x2) - row[3] * x1;
        *x = v;
        (x2, x1) = (x1, v);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_what_it_was_given() {
        let n = 9;
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
