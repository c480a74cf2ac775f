//! What the spread of the run hangs on: the share of its variance that each unknown brings.
//!
//! Takes the log of the run of every draw and the draws of every unknown; gives shares that add up to at most 1. What is
//! left is what unknowns do together, and what a sum of curves cannot follow.

/// One unknown over all draws.
#[derive(Clone, Debug)]
pub struct Unknown {
    /// In words, e.g. "how fluid Honey Drift is".
    pub what: String,
    /// Its value in each draw, any unit.
    pub draws: Vec<f64>,
}

/// Shares of the variance of `log_run` by unknown, in the order given; 0 where nothing varies.
///
/// A sum of one parabola per unknown is fitted by least squares, and the share of an unknown is the covariance of its parabola with
/// the log of the run over the latter's variance: the first-order index where unknowns are independent, and where the log has
/// taught two of them together (fluidity and laydown), the structural and correlative index (Li et al. 2010, Journal of
/// Physical Chemistry A 114, 6022). A share below 0 counts as 0 and the others are brought down to the fit's own share.
pub fn shares(log_run: &[f64], unknowns: &[Unknown]) -> Vec<f64> {
    let n = log_run.len();
    let mut columns: Vec<(usize, Vec<f64>)> = Vec::new();
    for (i, unknown) in unknowns.iter().enumerate() {
        let Some(straight) = standardised(&unknown.draws, n) else {
            continue;
        };
        let square = standardised(&straight.iter().map(|x| x * x).collect::<Vec<_>>(), n);
        columns.push((i, straight));
        columns.extend(square.map(|s| (i, s)));
    }
    let mut found = vec![0.0; unknowns.len()];
    let Some(y) = standardised(log_run, n) else {
        return found;
    };
    let Some(weights) = least_squares(&columns, &y) else {
        return found;
    };
    for ((i, column), weight) in columns.iter().zip(&weights) {
        found[*i] += weight * mean_product(column, &y);
    }
    let explained: f64 = found.iter().sum::<f64>().clamp(0.0, 1.0);
    for share in &mut found {
        *share = share.max(0.0);
    }
    let positive: f64 = found.iter().sum();
    if positive > explained && positive > 0.0 {
        for share in &mut found {
            *share *= explained / positive;
        }
    }
    found
}

/// Mean 0, variance 1; none where the values do not vary or are not all there.
fn standardised(values: &[f64], n: usize) -> Option<Vec<f64>> {
    if n < 3 || values.len() != n {
        return None;
    }
    let mean = values.iter().sum::<f64>() / n as f64;
    let sd = (values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / n as f64).sqrt();
    // Smaller than rounding makes of a constant.
    (sd > 1e-9 * (1.0 + mean.abs()) && sd.is_finite())
        .then(|| values.iter().map(|v| (v - mean) / sd).collect())
}

fn mean_product(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>() / a.len() as f64
}

/// Weights of standardised columns: normal equations by Cholesky, with as much ridge as the noise of `n` draws would put
/// into a weight that is none (columns/n of the variance), so that many unknowns and few draws do not explain chance.
fn least_squares(columns: &[(usize, Vec<f64>)], y: &[f64]) -> Option<Vec<f64>> {
    let p = columns.len();
    let ridge = 1.0 / y.len() as f64;
    let mut a = vec![0.0; p * p];
    for i in 0..p {
        for j in 0..=i {
            a[i * p + j] = mean_product(&columns[i].1, &columns[j].1);
        }
        a[i * p + i] += ridge;
    }
    for i in 0..p {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|k| a[i * p + k] * a[j * p + k]).sum();
            let left = a[i * p + j] - sum;
            if i == j {
                if left <= 0.0 {
                    return None;
                }
                a[i * p + i] = left.sqrt();
            } else {
                a[i * p + j] = left / a[j * p + j];
            }
        }
    }
    let mut w: Vec<f64> = columns.iter().map(|(_, c)| mean_product(c, y)).collect();
    for i in 0..p {
        let sum: f64 = (0..i).map(|k| a[i * p + k] * w[k]).sum();
        w[i] = (w[i] - sum) / a[i * p + i];
    }
    for i in (0..p).rev() {
        let sum: f64 = (i + 1..p).map(|k| a[k * p + i] * w[k]).sum();
        w[i] = (w[i] - sum) / a[i * p + i];
    }
    Some(w)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::predict::spread::StandardDraws;

    fn column(draws: &StandardDraws, n: usize, c: usize) -> Vec<f64> {
        (0..n).map(|i| draws.normal(i, c)).collect()
    }

    fn unknown(draws: Vec<f64>) -> Unknown {
        Unknown {
            what: String::new(),
            draws,
        }
    }

    /// y = 3 a + 4 b + 0·c, a, b, c standard normal and independent: shares 9/25 and 16/25 exactly (variance of a sum).
    /// 1024 draws leave about 0.03.
    #[test]
    fn independent_unknowns_get_their_variance() {
        let n = 1024;
        let draws = StandardDraws::new(n, 3, 2);
        let (a, b, c) = (
            column(&draws, n, 0),
            column(&draws, n, 1),
            column(&draws, n, 2),
        );
        let y: Vec<f64> = a.iter().zip(&b).map(|(a, b)| 3.0 * a + 4.0 * b).collect();
        let found = shares(&y, &[unknown(a), unknown(b), unknown(c)]);
        assert!(
            (found[0] - 0.36).abs() < 0.03 && (found[1] - 0.64).abs() < 0.03,
            "{found:?}"
        );
        assert!(
            found[2] < 0.01 && found.iter().sum::<f64>() <= 1.0,
            "{found:?}"
        );
    }

    /// y = a² has variance 2 and all of it from a (chi-square of one degree): a straight line would find nothing.
    #[test]
    fn a_curve_is_seen() {
        let n = 512;
        let draws = StandardDraws::new(n, 2, 3);
        let a = column(&draws, n, 0);
        let y: Vec<f64> = a.iter().map(|a| a * a).collect();
        let found = shares(&y, &[unknown(a), unknown(column(&draws, n, 1))]);
        assert!(found[0] > 0.97, "{found:?}");
    }

    /// What two unknowns do only together (y = a b) belongs to neither.
    #[test]
    fn what_is_done_together_is_left_over() {
        let n = 1024;
        let draws = StandardDraws::new(n, 2, 4);
        let (a, b) = (column(&draws, n, 0), column(&draws, n, 1));
        let y: Vec<f64> = a.iter().zip(&b).map(|(a, b)| a * b).collect();
        let sum: f64 = shares(&y, &[unknown(a), unknown(b)]).iter().sum();
        assert!(sum < 0.05, "{sum}");
    }

    #[test]
    fn what_does_not_vary_has_no_share() {
        let y = vec![1.0; 10];
        assert_eq!(
            shares(&y, &[unknown((0..10).map(f64::from).collect())]),
            vec![0.0]
        );
        let y: Vec<f64> = (0..10).map(f64::from).collect();
        assert_eq!(shares(&y, &[unknown(vec![2.0; 10])]), vec![0.0]);
    }
}
