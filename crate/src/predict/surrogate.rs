//! Between a few solves: what a solve would have given for any draw, as a weighted sum of those that were made.
//!
//! Takes the nodes' features; gives for any other features the weight of each node. Cubic radial functions with a linear tail (Powell 1992,
//! in Advances in Numerical Analysis II, 105), smoothed a little, since solves are not exact.

/// Weights by features.
#[derive(Clone, Debug, Default)]
pub struct Surrogate {
    nodes: Vec<Vec<f64>>,
    /// Least and greatest of each feature that is told apart.
    range: Vec<(f64, f64)>,
    /// Rows: one per basis function; columns: one per node.
    inverse: Vec<Vec<f64>>,
}

/// How far beyond the nodes features are taken, as a share of the nodes' range: further out the weights stay, since a cubic runs wild.
const BEYOND: f64 = 0.3;
/// Least pivot: nodes that coincide leave no way to tell.
const LEAST_PIVOT: f64 = 1e-12;
/// Smoothing over the mean cube of the nodes' distances.
const SMOOTHING: f64 = 1e-3;

/// Nodes are picked among so many points.
const POOL: usize = 128;
/// Nodes closer to one another than this tell nothing new.
const TOO_NEAR: f64 = 1e-2;

impl Surrogate {
    /// From nodes; none where there is none or they leave no way to tell. With no more nodes than a linear tail has unknowns there is none.
    pub fn new(nodes: Vec<Vec<f64>>) -> Option<Self> {
        let n = nodes.len();
        let mut range = vec![(f64::INFINITY, f64::NEG_INFINITY); nodes.first()?.len()];
        for node in &nodes {
            for (range, x) in range.iter_mut().zip(node) {
                *range = (range.0.min(*x), range.1.max(*x));
            }
        }
        let tail = if n > range.len() + 1 {
            1 + range.len()
        } else {
            1
        };
        let mut system = vec![vec![0.0; n + tail]; n + tail];
        let mut sum = 0.0;
        for i in 0..n {
            for j in 0..n {
                system[i][j] = Self::distance(&nodes[i], &nodes[j]).powi(3);
                sum += system[i][j];
            }
            for k in 0..tail {
                let value = if k == 0 { 1.0 } else { nodes[i][k - 1] };
                system[i][n + k] = value;
                system[n + k][i] = value;
            }
        }
        for (i, row) in system.iter_mut().enumerate().take(n) {
            row[i] += SMOOTHING * sum / (n * n) as f64;
        }
        Some(Self {
            nodes,
            range,
            inverse: inverted(system)?,
        })
    }

    /// The weight of each node at these features; they add up to 1.
    pub fn weights(&self, features: &[f64]) -> Vec<f64> {
        let mut x = features.to_vec();
        for (x, (low, high)) in x.iter_mut().zip(&self.range) {
            let room = BEYOND * (high - low);
            *x = x.clamp(low - room, high + room);
        }
        let n = self.nodes.len();
        let mut weights = vec![0.0; n];
        for (k, row) in self.inverse.iter().enumerate() {
            let value = match k.checked_sub(n) {
                None => Self::distance(&self.nodes[k], &x).powi(3),
                Some(0) => 1.0,
                Some(d) => x[d - 1],
            };
            for (weight, per) in weights.iter_mut().zip(row) {
                *weight += value * per;
            }
        }
        weights
    }

    /// Distance of two rows of features.
    pub fn distance(a: &[f64], b: &[f64]) -> f64 {
        let mut sum = 0.0;
        for (a, b) in a.iter().zip(b) {
            sum += (a - b) * (a - b);
        }
        sum.sqrt()
    }
}

/// Picks up to `most` of the points, each time the one that brings all, by their weights, nearest to those that were picked.
pub fn medoids(points: &[&[f64]], weights: &[f64], most: usize) -> Vec<usize> {
    let mut nearest = vec![f64::INFINITY; points.len()];
    let mut picked = Vec::new();
    // One in so many stands for as many, and may be picked.
    let step = (points.len() / POOL).max(1);
    while picked.len() < most {
        let mut best = (0, f64::INFINITY);
        for i in (0..points.len()).step_by(step) {
            let mut sum = 0.0;
            for j in (0..points.len()).step_by(step) {
                let to = Surrogate::distance(points[i], points[j]);
                sum += weights[j] * if to < nearest[j] { to } else { nearest[j] };
            }
            if sum < best.1 {
                best = (i, sum);
            }
        }
        let i = best.0;
        if nearest[i] < TOO_NEAR {
            break;
        }
        for (nearest, p) in nearest.iter_mut().zip(points) {
            let to = Surrogate::distance(points[i], p);
            if to < *nearest {
                *nearest = to;
            }
        }
        picked.push(i);
    }
    picked
}

/// Gauss–Jordan with row pivoting; none where the matrix is singular.
fn inverted(mut a: Vec<Vec<f64>>) -> Option<Vec<Vec<f64>>> {
    let n = a.len();
    for (i, row) in a.iter_mut().enumerate() {
        row.resize(2 * n, 0.0);
        row[n + i] = 1.0;
    }
    for c in 0..n {
        let p = (c..n).max_by(|i, j| a[*i][c].abs().total_cmp(&a[*j][c].abs()))?;
        if a[p][c].abs() < LEAST_PIVOT {
            return None;
        }
        a.swap(c, p);
        let pivot: Vec<f64> = a[c].iter().map(|x| x / a[c][c]).collect();
        for (i, row) in a.iter_mut().enumerate() {
            let times = row[c];
            if i != c && times != 0.0 {
                for (x, p) in row.iter_mut().zip(&pivot) {
                    *x -= times * p;
                }
            }
        }
        a[c] = pivot;
    }
    for row in &mut a {
        row.drain(..n);
    }
    Some(a)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(nodes: &[[f64; 2]], x: &[f64], of: impl Fn(&[f64]) -> f64) -> f64 {
        let surrogate = Surrogate::new(nodes.iter().map(|n| n.to_vec()).collect()).unwrap();
        let weights = surrogate.weights(x);
        assert!((weights.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        weights.iter().zip(nodes).map(|(w, n)| w * of(n)).sum()
    }

    const STAR: [[f64; 2]; 9] = [
        [0.0, 5.0],
        [1.0, 5.0],
        [-1.0, 5.0],
        [0.0, 6.0],
        [0.0, 4.0],
        [0.7, 5.7],
        [-0.7, 5.7],
        [0.7, 4.3],
        [-0.7, 4.3],
    ];

    /// Exact for straight lines, whatever the smoothing.
    #[test]
    fn reproduces_straight_lines() {
        let line = |x: &[f64]| 2.0 - 3.0 * x[0] + 0.25 * x[1];
        for x in [[0.1, 5.3], [-0.7, 4.2], [1.1, 6.1]] {
            assert!((at(&STAR, &x, line) - line(&x)).abs() < 1e-9, "{x:?}");
        }
    }

    /// A smooth hill between nine nodes: within 3 % of its height.
    #[test]
    fn follows_a_curve() {
        let hill = |x: &[f64]| (-(x[0] * x[0] + (x[1] - 5.0).powi(2)) / 4.0).exp();
        for x in [[0.0, 5.0], [0.3, 5.2], [-0.5, 4.6], [0.7, 5.7]] {
            assert!((at(&STAR, &x, hill) - hill(&x)).abs() < 0.03, "{x:?}");
        }
    }

    #[test]
    fn one_node_is_all_there_is_and_none_is_none() {
        assert_eq!(at(&STAR[..1], &[9.0, -3.0], |_| 7.0), 7.0);
        assert!(Surrogate::new(Vec::new()).is_none());
    }

    /// Of two heaps of points the first picked is the middle of the heavier, the second one of the other; the same place is not picked twice.
    #[test]
    fn medoids_stand_for_heaps() {
        let points: Vec<Vec<f64>> = (0..40)
            .map(|i| vec![if i < 25 { 0.0 } else { 5.0 }, 0.01 * f64::from(i % 5)])
            .collect();
        let rows: Vec<&[f64]> = points.iter().map(|p| &p[..]).collect();
        let picked = medoids(&rows, &[1.0; 40], 2);
        assert_eq!(picked, [2, 27]);
        let alike = vec![&points[0][..]; 40];
        assert_eq!(medoids(&alike, &[1.0; 40], 3).len(), 1);
    }
}
