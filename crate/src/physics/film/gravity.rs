//! The film under gravity alone: no surface tension, no hydrostatic pressure, so that the exact laws of kinematic waves hold.
//!
//! Takes ground, layers and Φ; gives the film at each stop. Finite volumes, van Leer's limiter (1974, J. Comput. Phys. 14, 361),
//! strong-stability-preserving Runge–Kutta of order 3 (Shu & Osher 1988, J. Comput. Phys. 77, 439), CFL 0.9; every wave runs with
//! gravity, so the upwind flux is the exact one.

use crate::physics::root::cube_root;

use super::{composition::Fluidity, error::FilmError, flux::thickness, ground::Ground};

/// Most steps of one solve.
const MOST_STEPS: usize = 200_000;
const CFL: f64 = 0.9;
/// Thickness over the greatest one laid down from which a place counts as a pool: gravity alone piles melt up without bound where
/// the wall turns level below it, the equation says nothing there, and nothing runs back up from there.
const POOL: f64 = 4.0;

/// What flows.
pub(super) enum Melt<'a> {
    /// One film whose composition travels with it.
    Film(&'a Fluidity),
    /// Layers that stay apart, the wall first, each with its fluidity.
    Apart(&'a [f64]),
}

/// Even cells on the ground.
pub(super) struct Cells {
    pub s: Vec<f64>,
    pub volume: Vec<f64>,
    /// r ρ g_s/3 at each face.
    along: Vec<f64>,
    inv_volume: Vec<f64>,
    kappa: Vec<f64>,
    dx: f64,
}

impl Cells {
    pub fn new(ground: &Ground, n: usize, weight: f64) -> Self {
        let dx = ground.length / n as f64;
        let s: Vec<f64> = (0..=n).map(|i| i as f64 * dx).collect();
        let faces: Vec<_> = s.iter().map(|&s| ground.face(s)).collect();
        Self {
            volume: faces.iter().map(|f| f.volume).collect(),
            along: faces.iter().map(|f| f.r * f.along * weight / 3.0).collect(),
            inv_volume: faces
                .windows(2)
                .map(|w| 1.0 / (w[1].volume - w[0].volume))
                .collect(),
            kappa: (0..n)
                .map(|i| ground.cell((i as f64 + 0.5) * dx).kappa)
                .collect(),
            s,
            dx,
        }
    }

    /// h of cell i from its ζ.
    pub fn thickness(&self, i: usize, zeta: f64) -> f64 {
        thickness(zeta, self.kappa[i])
    }

    fn len(&self) -> usize {
        self.kappa.len()
    }
}

/// One even film on one band of a plane wall: the exact law. Behind the front `h = sqrt(x/(3 k Φ))` from the upper edge, at most the
/// thickness laid down; the front where the volume says (Jeffreys 1930; Huppert 1982, Nature 300, 427). Gives faces and the mean
/// thickness of each cell. `k` = ρ g sinθ/3 times the fluidity.
pub(super) fn band(
    length: f64,
    from: f64,
    to: f64,
    h0: f64,
    k: f64,
    phi: f64,
    cells: usize,
) -> (Vec<f64>, Vec<f64>) {
    let reach = k * h0 * h0 * phi;
    let band = to - from;
    let front = if reach <= 0.5 * band {
        band + reach
    } else {
        cube_root(6.75 * h0 * h0 * band * band * k * phi)
    };
    // Volume from the upper edge to x.
    let full = 3.0 * reach;
    let upto = |s: f64| {
        let x = (s - from).clamp(0.0, front);
        let thin = x.min(full);
        let tail = if full > 0.0 {
            2.0 / 3.0 * thin * h0 * (thin / full).sqrt()
        } else {
            0.0
        };
        tail + h0 * (x - thin)
    };
    let mut faces: Vec<f64> = (0..=cells)
        .map(|i| length * i as f64 / cells as f64)
        .collect();
    // Two narrow cells round the front, so that it is where it is to a nanometre.
    let at = from + front;
    faces.extend(
        [at - 1e-9, at, at + 1e-9, from, (from + full).min(at)]
            .into_iter()
            .filter(|&s| s > 0.0 && s < length),
    );
    crate::order::ascending(&mut faces);
    faces.dedup_by(|b, a| *b - *a < 0.5e-9);
    let h = faces
        .windows(2)
        .map(|w| (upto(w[1]) - upto(w[0])) / (w[1] - w[0]))
        .collect();
    (faces, h)
}

/// Work of a solve.
#[derive(Clone, Copy, Default)]
pub(super) struct Steps {
    pub steps: usize,
}

/// Runs layers `zeta[layer][cell]` through every stop; what leaves at the end counts as lost.
/// `at_stop` gets the layers and the volume that each has lost.
pub(super) fn run(
    cells: &Cells,
    melt: &Melt,
    mut zeta: Vec<Vec<f64>>,
    stops: &[f64],
    mut at_stop: impl FnMut(usize, &[Vec<f64>], &[f64]),
) -> Result<Steps, FilmError> {
    let (layers, n) = (zeta.len(), cells.len());
    let mut lost = vec![0.0; layers];
    let (mut one, mut rate) = (zeta.clone(), zeta.clone());
    let thickest = (0..n)
        .map(|i| zeta.iter().map(|z| z[i]).sum::<f64>())
        .fold(0.0, f64::max);
    let mut flow = Flow {
        pool: POOL * thickest,
        edge: vec![0.0; layers],
        flux: vec![0.0; layers],
        h: zeta.clone(),
        m: vec![0.0; n + 1],
        fluidity: Vec::new(),
    };
    let mut done = Steps::default();
    let mut phi = 0.0;
    for (k, &stop) in stops.iter().enumerate() {
        while phi < stop {
            let (speed, _) = flow.rate(cells, melt, &zeta, &mut rate, f64::INFINITY);
            let mut dt = if speed > 0.0 {
                CFL * cells.dx / speed
            } else {
                f64::INFINITY
            };
            dt = dt.min(stop - phi);
            if stop - phi - dt < 1e-12 * stop {
                dt = stop - phi;
            }
            let (_, out0) = flow.rate(cells, melt, &zeta, &mut rate, dt);
            let blend = |out: &mut [Vec<f64>],
                         a: f64,
                         base: &[Vec<f64>],
                         b: f64,
                         add: Option<&[Vec<f64>]>,
                         rate: &[Vec<f64>]| {
                for l in 0..layers {
                    for i in 0..n {
                        let from = add.map_or(out[l][i], |x| x[l][i]);
                        out[l][i] = a * base[l][i] + b * (from + dt * rate[l][i]);
                    }
                }
            };
            blend(&mut one, 0.0, &zeta, 1.0, Some(&zeta), &rate);
            let (_, out1) = flow.rate(cells, melt, &one, &mut rate, dt);
            blend(&mut one, 0.75, &zeta, 0.25, None, &rate);
            let (_, out2) = flow.rate(cells, melt, &one, &mut rate, dt);
            blend(&mut one, 1.0 / 3.0, &zeta, 2.0 / 3.0, None, &rate);
            std::mem::swap(&mut zeta, &mut one);
            for l in 0..layers {
                lost[l] += dt * (out0[l] + out1[l] + 4.0 * out2[l]) / 6.0;
            }
            phi += dt;
            done.steps += 1;
            if done.steps > MOST_STEPS {
                return Err(FilmError::TooMuchWork {
                    steps: done.steps,
                    phi_per_pa: phi,
                    wanted_per_pa: stops[stops.len() - 1],
                });
            }
        }
        at_stop(k, &zeta, &lost);
    }
    Ok(done)
}

struct Flow {
    pool: f64,
    /// Thicknesses at a face, on the side that it comes from.
    edge: Vec<f64>,
    flux: Vec<f64>,
    h: Vec<Vec<f64>>,
    m: Vec<f64>,
    fluidity: Vec<(f64, f64)>,
}

impl Flow {
    /// dζ/dΦ into `out`, no cell giving more in `dt` than it holds; returns the fastest wave and what leaves at the end, per layer.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn rate(
        &mut self,
        cells: &Cells,
        melt: &Melt,
        zeta: &[Vec<f64>],
        out: &mut [Vec<f64>],
        dt: f64,
    ) -> (f64, Vec<f64>) {
        let (layers, n) = (zeta.len(), cells.len());
        for i in 0..n {
            let total: f64 = zeta.iter().map(|z| z[i]).sum();
            let h = thickness(total, cells.kappa[i]);
            let share = if total > 0.0 { h / total } else { 1.0 };
            for (h, zeta) in self.h.iter_mut().zip(zeta) {
                h[i] = zeta[i] * share;
            }
            self.m[i + 1] = self.m[i] + total / cells.inv_volume[i];
        }
        if let Melt::Film(fluidity) = melt {
            fluidity.along(&self.m, &mut self.fluidity);
        }
        let slope = |h: &[f64], i: usize| {
            let (a, b) = (h[i] - h[i.saturating_sub(1)], h[(i + 1).min(n - 1)] - h[i]);
            if a * b > 0.0 { a * b / (a + b) } else { 0.0 }
        };
        let mut before = vec![0.0; layers];
        let mut fastest: f64 = 0.0;
        for j in 1..=n {
            let along = cells.along[j];
            let from = if along >= 0.0 { j - 1 } else { j.min(n - 1) };
            let side = if along >= 0.0 { 1.0 } else { -1.0 };
            if j == n && along < 0.0 {
                self.flux.fill(0.0);
            } else {
                for (edge, h) in self.edge.iter_mut().zip(&self.h) {
                    *edge = (h[from] + side * slope(h, from)).max(0.0);
                }
                let surface = match melt {
                    Melt::Film(_) => {
                        one_film(&self.edge, along * self.fluidity[j].0, &mut self.flux)
                    }
                    Melt::Apart(phi) => apart(&self.edge, along, phi, &mut self.flux),
                };
                // Three times the surface's speed bounds every wave; per length, so without the radius.
                let r = (cells.volume[(j + 1).min(n)] - cells.volume[j - 1])
                    / (cells.s[(j + 1).min(n)] - cells.s[j - 1]);
                if self.edge.iter().sum::<f64>() < self.pool {
                    fastest = fastest.max(surface.abs() / r.max(1e-12));
                } else if dt.is_finite() {
                    for (q, zeta) in self.flux.iter_mut().zip(zeta) {
                        let most = 0.9 * zeta[from] / (cells.inv_volume[from] * dt);
                        *q = q.clamp(-most, most);
                    }
                }
            }
            for l in 0..layers {
                out[l][j - 1] = (before[l] - self.flux[l]) * cells.inv_volume[j - 1];
                before[l] = self.flux[l];
            }
        }
        (3.0 * fastest, before)
    }
}

/// Flux of each layer in one film, `k h³` shared by thickness; returns a third of the wave's speed times the radius.
#[cfg_attr(fast_by_function, optimize(speed))]
fn one_film(h: &[f64], k: f64, flux: &mut [f64]) -> f64 {
    let total: f64 = h.iter().sum();
    for (q, h) in flux.iter_mut().zip(h) {
        *q = k * total * total * h;
    }
    k * total * total
}

/// Fluxes of layers that stay apart: `q_i = h_i u_(i−1) + (T_i h_i²/2 + G h_i³/3) Φ_i`; returns the surface's speed times the radius.
#[cfg_attr(fast_by_function, optimize(speed))]
fn apart(h: &[f64], k: f64, phi: &[f64], flux: &mut [f64]) -> f64 {
    let g = 3.0 * k;
    let mut above: f64 = h.iter().sum();
    let mut u = 0.0;
    for ((q, &h), &phi) in flux.iter_mut().zip(h).zip(phi) {
        above -= h;
        let t = g * above;
        *q = h * u + phi * h * h * (0.5 * t + g * h / 3.0);
        u += phi * h * (t + 0.5 * g * h);
    }
    u
}
