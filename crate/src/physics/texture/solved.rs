//! A texture under a film of any depth: one wavelength of it, solved, where the levelling law is only for waves lower than the film.
//!
//! Takes the same as the law; gives relief kept, and the melt over crest and recess in m. The film equation on a ring of cells, with
//! the finite-depth correction on surface tension, stepped by Rodas3 as the film on the piece is (see `film`). Native it takes 0.01–0.08 ms, the
//! longest where a deep texture under a thin coat goes on levelling; as wasm a quarter more.

use super::{Across, Film, Waves, finite_depth_slope};
use core::f64::consts::TAU;

/// Cells of one wavelength, even.
const CELLS: usize = 28;
/// Unknowns to both sides of the diagonal, in an order that goes round the ring from both ends at once.
const BAND: usize = 4;
const TOLERANCE: f64 = 5e-3;
const MOST_STEPS: usize = 600;
/// Distance of the nodes between which the finite-depth correction is taken by cubics, in kh: within 2e-6 of it, and each needs an exponential.
const NODE: f64 = 0.05;
/// Nodes at the most: the correction is a thousandth by then, and what is thicker is worked out by itself.
const MOST_NODES: usize = 200;

/// What is left of a texture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kept {
    /// Amplitude of the glazed surface over the clay's, by its first wave, 0–1.
    pub kept: f64,
    /// Melt over the crest, m.
    pub crest_m: f64,
    /// Melt in the recess, m.
    pub recess_m: f64,
}

type Ring = [f64; CELLS];
type Rows = [[f64; 2 * BAND + 1]; CELLS];

struct Solver {
    k: f64,
    dx: f64,
    clay: Ring,
    /// Gravity along and into the wall, N/m³; surface tension over the square of a cell's width, N/m³.
    along: f64,
    into: f64,
    tension: f64,
    /// Half of crest to recess, m: what errors are measured by where the film is thicker.
    low: f64,
    /// The finite-depth correction with its slope at every [`NODE`] of kh up to where the melt can stand.
    depths: Vec<(f64, f64)>,
}

/// Solves one wavelength through the firing; none where it cannot be followed.
pub fn solved(waves: &Waves, film: &Film) -> Option<Kept> {
    let (h, depth) = (film.melt_m, waves.depth_m);
    if !(waves.wavelength_m > 0.0 && depth > 0.0 && h > 0.0 && film.phi_per_pa >= 0.0) {
        return None;
    }
    let (k, dx) = (TAU / waves.wavelength_m, waves.wavelength_m / CELLS as f64);
    // Means over the cells: crest in the first, recess half-way round.
    let mean = (0.5 * k * dx).sin() / (0.5 * k * dx);
    let (mut clay, mut y) = ([0.0; CELLS], [0.0; CELLS]);
    for i in 0..CELLS {
        let wave = (k * dx * i as f64).cos() * mean;
        clay[i] = 0.5 * depth * wave;
        y[i] = h * (1.0 - waves.recess_share * wave);
    }
    let (sin, across) = (film.sin_slope, waves.across == Across::Run);
    let solver = Solver {
        k,
        dx,
        clay,
        along: if across {
            film.weight_n_per_m3 * sin
        } else {
            0.0
        },
        into: film.weight_n_per_m3 * (1.0 - sin * sin).max(0.0).sqrt(),
        tension: film.gamma_n_per_m / (dx * dx),
        low: 0.5 * depth,
        depths: depths(k * (h + depth)),
    };
    solver.run(&mut y, film.phi_per_pa)?;
    let (mut c, mut s) = (0.0, 0.0);
    for i in 0..CELLS {
        let x = k * dx * i as f64;
        c += (y[i] + clay[i]) * x.cos();
        s += (y[i] + clay[i]) * x.sin();
    }
    Some(Kept {
        kept: (c.hypot(s) * 4.0 / (CELLS as f64 * depth * mean)).min(1.0),
        crest_m: y[0],
        recess_m: y[CELLS / 2],
    })
}

/// The correction at each node up to twice `kh`.
fn depths(kh: f64) -> Vec<(f64, f64)> {
    let count = ((2.0 * kh / NODE) as usize + 2).min(MOST_NODES);
    let mut depths = Vec::with_capacity(count);
    for i in 0..count {
        depths.push(finite_depth_slope(NODE * i as f64));
    }
    depths
}

/// Place of a cell in the order that goes round from both ends.
fn place(i: usize) -> usize {
    if i < CELLS / 2 {
        2 * i
    } else {
        2 * (CELLS - 1 - i) + 1
    }
}

impl Solver {
    /// The finite-depth correction and its slope by kh.
    fn correction(&self, kh: f64) -> (f64, f64) {
        let x = kh / NODE;
        let i = x as usize;
        let (Some((a, rise_a)), Some((b, rise_b))) = (self.depths.get(i), self.depths.get(i + 1))
        else {
            return finite_depth_slope(kh);
        };
        // Hermite's cubic.
        let (t, u) = (x - i as f64, NODE * rise_a);
        let (over, bend) = (b - a - u, NODE * (rise_b - rise_a));
        let (square, cube) = (3.0 * over - bend, bend - 2.0 * over);
        (
            a + t * (u + t * (square + t * cube)),
            (u + t * (2.0 * square + 3.0 * t * cube)) / NODE,
        )
    }

    /// Change of thickness per Φ, and its derivatives less `diagonal` into `rows` where they are asked for. False where a thickness is not positive.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn rate(&self, h: &Ring, out: &mut Ring, mut rows: Option<(&mut Rows, f64)>) -> bool {
        let at = |i: usize| i % CELLS;
        if !h.iter().all(|h| *h > 0.0) {
            return false;
        }
        let mut p = [0.0; CELLS];
        for (i, p) in p.iter_mut().enumerate() {
            let up = |i: usize| h[i] + self.clay[i];
            let (before, here, after) = (up(at(i + CELLS - 1)), up(i), up(at(i + 1)));
            *p = self.tension * (2.0 * here - before - after) + self.into * here;
        }
        out.fill(0.0);
        if let Some((rows, diagonal)) = &mut rows {
            rows.fill([0.0; 2 * BAND + 1]);
            rows.iter_mut().for_each(|row| row[BAND] = *diagonal);
        }
        let per = 1.0 / self.dx;
        for ia in 0..CELLS {
            let ic = at(ia + 1);
            let (a, c) = (h[ia], h[ic]);
            let root = (a * c).sqrt();
            let cube = a * c * root / 3.0;
            let kh = self.k * root;
            let (ratio, slope) = self.correction(kh);
            let (mobility, drop) = (cube * ratio, (p[ia] - p[ic]) * per);
            let q = cube * self.along + mobility * drop;
            out[ia] -= q * per;
            out[ic] += q * per;
            if let Some((rows, _)) = &mut rows {
                let power = 1.5 + 0.5 * slope * kh / ratio;
                let (own, t) = (3.0 * self.tension + self.into, self.tension);
                let by = |x: f64| (1.5 * cube * self.along + power * mobility * drop) / x;
                let m = mobility * per;
                let cells = [at(ia + CELLS - 1), ia, ic, at(ic + 1)];
                let by_cell = [-m * t, by(a) + m * own, by(c) - m * own, m * t];
                for (&cell, dq) in cells.iter().zip(by_cell) {
                    let column = place(cell) + BAND;
                    rows[place(ia)][column - place(ia)] += dq * per;
                    rows[place(ic)][column - place(ic)] -= dq * per;
                }
            }
        }
        true
    }

    fn run(&self, y: &mut Ring, end: f64) -> Option<()> {
        let (mut f0, mut f) = ([0.0; CELLS], [0.0; CELLS]);
        let mut rows: Rows = [[0.0; 2 * BAND + 1]; CELLS];
        let (mut phi, mut grow) = (0.0, 3.0);
        self.rate(y, &mut f0, None).then_some(())?;
        let fastest = f0.iter().zip(&*y).map(|(f, h)| f.abs() / h);
        let mut dt = (0.1 / fastest.fold(1e-300, f64::max)).min(end);
        for _ in 0..MOST_STEPS {
            if phi >= end {
                return Some(());
            }
            dt = dt.min(end - phi);
            self.rate(y, &mut f0, Some((&mut rows, 2.0 / dt)))
                .then_some(())?;
            factorise(&mut rows);
            let error = self.attempt(y, &f0, &mut f, &rows, dt);
            if let Some((next, error)) = error.filter(|e| e.1 <= 1.0) {
                *y = next;
                phi = if dt >= end - phi { end } else { phi + dt };
                dt *= (0.9 * error.max(1e-9).powf(-1.0 / 3.0)).clamp(0.2, grow);
                grow = 3.0;
            } else {
                dt *= error.map_or(0.25, |e| (0.9 * e.1.powf(-1.0 / 3.0)).clamp(0.2, 0.9));
                grow = 1.0;
            }
        }
        None
    }

    /// The film a step on, and its error over the tolerance; none where a thickness was not positive.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn attempt(
        &self,
        y: &Ring,
        f0: &Ring,
        f: &mut Ring,
        lu: &Rows,
        dt: f64,
    ) -> Option<(Ring, f64)> {
        let per = 1.0 / dt;
        let (mut k0, mut k1, mut k2, mut k3, mut next) = (*f0, *f0, *f0, *f0, *y);
        solve(lu, &mut k0);
        for i in 0..CELLS {
            k1[i] = f0[i] + 4.0 * per * k0[i];
            next[i] = y[i] + 2.0 * k0[i];
        }
        solve(lu, &mut k1);
        self.rate(&next, f, None).then_some(())?;
        for i in 0..CELLS {
            k2[i] = f[i] + per * (k0[i] - k1[i]);
        }
        solve(lu, &mut k2);
        for i in 0..CELLS {
            next[i] += k2[i];
        }
        self.rate(&next, f, None).then_some(())?;
        for i in 0..CELLS {
            k3[i] = f[i] + per * (k0[i] - k1[i] - 8.0 / 3.0 * k2[i]);
        }
        solve(lu, &mut k3);
        let mut sum = 0.0;
        for i in 0..CELLS {
            next[i] += k3[i];
            let size = if next[i] < self.low {
                next[i]
            } else {
                self.low
            };
            let e = k3[i] / (TOLERANCE * size);
            sum += e * e;
        }
        let error = (sum / CELLS as f64).sqrt();
        (error.is_finite() && next.iter().all(|h| *h > 0.0)).then_some((next, error))
    }
}

/// LU in place without pivoting.
#[cfg_attr(fast_by_function, optimize(speed))]
fn factorise(rows: &mut Rows) {
    for j in 0..CELLS {
        let pivot = rows[j];
        for i in j + 1..(j + 1 + BAND).min(CELLS) {
            let row = &mut rows[i];
            let factor = row[j + BAND - i] / pivot[BAND];
            row[j + BAND - i] = factor;
            for k in 1..=BAND {
                row[j + k + BAND - i] -= factor * pivot[BAND + k];
            }
        }
    }
}

/// Solves with the factors; `x` by cell.
#[cfg_attr(fast_by_function, optimize(speed))]
fn solve(lu: &Rows, x: &mut Ring) {
    let mut z = [0.0; CELLS];
    for (i, x) in x.iter().enumerate() {
        z[place(i)] = *x;
    }
    for i in 0..CELLS {
        for j in i.saturating_sub(BAND)..i {
            z[i] -= lu[i][j + BAND - i] * z[j];
        }
    }
    for i in (0..CELLS).rev() {
        for j in i + 1..(i + 1 + BAND).min(CELLS) {
            z[i] -= lu[i][j + BAND - i] * z[j];
        }
        z[i] /= lu[i][BAND];
    }
    for (i, x) in x.iter_mut().enumerate() {
        *x = z[place(i)];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Between nodes the correction is that of the formula, to what a cubic of a smooth function with nodes 0.05 apart leaves.
    #[test]
    fn the_correction_between_nodes_is_the_formulas() {
        let depths = depths(3.0);
        let solver = Solver {
            k: 1.0,
            dx: 1.0,
            clay: [0.0; CELLS],
            along: 0.0,
            into: 0.0,
            tension: 0.0,
            low: 1.0,
            depths,
        };
        for i in 1..800 {
            let kh = 0.01 * f64::from(i) + 0.003;
            let (ratio, slope) = solver.correction(kh);
            let (exact, rises) = finite_depth_slope(kh);
            assert!((ratio - exact).abs() < 2e-6, "{kh}: {ratio} {exact}");
            assert!((slope - rises).abs() < 1e-4, "{kh}: {slope} {rises}");
        }
    }
}
