//! Which readings settle most of an answer: the drop in its variance by linear regression, picked greedily.
//!
//! Takes draws of the answers and of what each candidate would read; gives candidates with the share of the variance that each settles.

/// What one candidate would tell: columns of features over the draws.
#[derive(Clone, Debug)]
pub struct Candidate(Vec<Vec<f64>>);

impl Candidate {
    /// A reading as it is.
    pub fn exact(read: Vec<f64>) -> Self {
        Self(vec![read])
    }

    /// A reading of which only the log between `least` and `most` is seen; below and above it is only known to be so.
    pub fn censored(read: &[f64], least: f64, most: f64) -> Self {
        let most = most.max(2.0 * least);
        Self(vec![
            read.iter().map(|r| r.clamp(least, most).ln()).collect(),
            read.iter().map(|r| f64::from(*r <= least)).collect(),
            read.iter().map(|r| f64::from(*r >= most)).collect(),
        ])
    }
}

/// A column whose length is this share or less of what it was says nothing new.
const NOTHING_NEW: f64 = 1e-6;
/// A tile that settles less than this is not worth glazing.
const WORTH_IT: f64 = 0.005;

/// Picks up to `budget` candidates, each given those before it: their places with the share of the weighted variance of the answers that each
/// settles; and that variance. What a regression on so few draws would settle by chance alone is taken off.
pub fn greedy(
    answers: &[Vec<f64>],
    weights: &[f64],
    candidates: &[Candidate],
    budget: usize,
) -> (Vec<(usize, f64)>, f64) {
    let mut left: Vec<Vec<f64>> = answers.iter().map(|a| centred(a)).collect();
    let mut open: Vec<Vec<Vec<f64>>> = candidates
        .iter()
        .map(|c| c.0.iter().map(|column| centred(column)).collect())
        .collect();
    let weight: f64 = weights.iter().sum();
    let spread = |left: &[Vec<f64>]| -> f64 {
        left.iter()
            .zip(weights)
            .map(|(a, w)| w * dot(a, a) / a.len().max(1) as f64)
            .sum::<f64>()
            / weight
    };
    let now = spread(&left);
    let mut picked: Vec<(usize, f64)> = Vec::new();
    if weight.is_nan() || weight <= 0.0 || now.is_nan() || now <= 0.0 {
        return (picked, 0.0);
    }
    while picked.len() < budget.min(candidates.len()) {
        let gain = |columns: &[Vec<f64>]| {
            let basis = orthonormal(columns);
            let drop = |(a, w): (&Vec<f64>, &f64)| {
                let found: f64 = basis.iter().map(|q| dot(q, a).powi(2)).sum();
                let chance = dot(a, a) * basis.len() as f64 / a.len() as f64;
                w * (found - chance) / a.len() as f64
            };
            left.iter().zip(weights).map(drop).sum::<f64>() / weight / now
        };
        let best = (0..candidates.len())
            .filter(|c| picked.iter().all(|(p, _)| p != c))
            .map(|c| (c, gain(&open[c])))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((which, settles)) = best.filter(|(_, gain)| *gain >= WORTH_IT) else {
            break;
        };
        let basis = orthonormal(&open[which]);
        for column in left.iter_mut().chain(open.iter_mut().flatten()) {
            for q in &basis {
                take_off(column, q);
            }
        }
        picked.push((which, settles));
    }
    (picked, now)
}

/// Correlation of two columns, −1 to 1; 0 where one does not vary.
pub fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let (a, b) = (centred(a), centred(b));
    let lengths = (dot(&a, &a) * dot(&b, &b)).sqrt();
    if lengths > 0.0 {
        dot(&a, &b) / lengths
    } else {
        0.0
    }
}

fn centred(values: &[f64]) -> Vec<f64> {
    let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
    values.iter().map(|v| v - mean).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn take_off(column: &mut [f64], q: &[f64]) {
    let along = dot(column, q);
    for (v, q) in column.iter_mut().zip(q) {
        *v -= along * q;
    }
}

/// Modified Gram–Schmidt; columns that say nothing new are left out.
fn orthonormal(columns: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut basis: Vec<Vec<f64>> = Vec::new();
    for column in columns {
        let before = dot(column, column);
        let mut rest = column.clone();
        for q in &basis {
            take_off(&mut rest, q);
        }
        let length = dot(&rest, &rest);
        if length > NOTHING_NEW * before && length > NOTHING_NEW {
            let scale = length.sqrt().recip();
            basis.push(rest.iter().map(|v| v * scale).collect());
        }
    }
    basis
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::predict::spread::StandardDraws;

    /// Linear-Gaussian: a = 2 x + z, y1 = x + 0.5 e1, y2 = z + 0.5 e2, all standard normal. One reading of y1 takes cov²/var = 4/1.25 off the variance
    /// 5 (the Kalman update), y2 then 1/1.25 more: shares 0.64 and 0.16. 4,096 draws leave 0.02.
    #[test]
    fn shares_are_those_of_the_kalman_update() {
        let n = 4096;
        let draws = StandardDraws::new(n, 5, 8);
        let column = |c: usize| (0..n).map(|i| draws.normal(i, c)).collect::<Vec<_>>();
        let (x, z, e1, e2) = (column(0), column(1), column(2), column(3));
        let mix = |a: &[f64], wa: f64, b: &[f64], wb: f64| -> Vec<f64> {
            a.iter().zip(b).map(|(a, b)| wa * a + wb * b).collect()
        };
        let candidates = [
            Candidate::exact(mix(&z, 1.0, &e2, 0.5)),
            Candidate::exact(column(4)),
            Candidate::exact(mix(&x, 1.0, &e1, 0.5)),
        ];
        let (picked, before) = greedy(&[mix(&x, 2.0, &z, 1.0)], &[1.0], &candidates[..], 2);
        assert!((before - 5.0).abs() < 0.1, "{before}");
        assert_eq!((picked[0].0, picked[1].0), (2, 0));
        assert!(
            (picked[0].1 - 0.64).abs() < 0.02 && (picked[1].1 - 0.16).abs() < 0.02,
            "{picked:?}"
        );
    }

    /// A tile that never moves tells nothing, and one that is read half of the time less than one always read.
    #[test]
    fn a_censored_reading_tells_less() {
        let n = 2048;
        let draws = StandardDraws::new(n, 2, 9);
        let read = |shift: f64| {
            (0..n)
                .map(|i| (draws.normal(i, 0) + 0.3 * draws.normal(i, 1) + shift).exp())
                .collect::<Vec<_>>()
        };
        let answer: Vec<f64> = (0..n).map(|i| draws.normal(i, 0)).collect();
        let settles = |shift: f64| {
            let candidates = [Candidate::censored(&read(shift), 1.0, 1e3)];
            greedy(std::slice::from_ref(&answer), &[1.0], &candidates, 1)
                .0
                .first()
                .map_or(0.0, |p| p.1)
        };
        assert_eq!(settles(-9.0), 0.0);
        assert!(
            settles(0.0) > 0.3 && settles(0.0) < settles(3.0),
            "{} {}",
            settles(0.0),
            settles(3.0)
        );
        assert!((settles(3.0) - 1.0 / 1.09).abs() < 0.03, "{}", settles(3.0));
    }

    #[test]
    fn nothing_to_ask_gives_nothing() {
        assert_eq!(greedy(&[], &[], &[], 3), (Vec::new(), 0.0));
        let flat = vec![1.0; 8];
        assert!(
            greedy(
                std::slice::from_ref(&flat),
                &[1.0],
                &[Candidate::exact(flat.clone())],
                3
            )
            .0
            .is_empty()
        );
    }
}
