//! The film under gravity alone: no surface tension, no hydrostatic pressure, so that the exact laws of kinematic waves hold.
//!
//! Takes ground, layers and Φ; gives the film at each stop. Finite volumes on even cells: van Leer's limiter (1974, J. Comput. Phys. 14,
//! 361), half a step ahead within each cell (van Leer's scheme of Hancock, 1984, SIAM J. Sci. Stat. Comput. 5, 1), CFL 0.9; every wave runs
//! with gravity, so the upwind flux is the exact one. Only cells that hold melt are gone through.

use crate::physics::root::cube_root;

use super::{composition::Fluidity, error::FilmError, flux::thickness, ground::Ground};

/// Most steps of one solve.
const MOST_STEPS: usize = 200_000;
/// Of the cell's width that the fastest wave of the step before may go; what it gains in a step leaves it within the width.
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

/// Cells on the ground, of one width but for what makes every layer's edge a face: a film that starts within a cell would flow from that
/// cell's upper face.
pub(super) struct Cells {
    pub s: Vec<f64>,
    pub volume: Vec<f64>,
    /// r ρ g_s/3 at each face; 0 where nothing can pass: at the start, and at an end that gravity leads away from.
    pub along: Vec<f64>,
    /// Speed of the fastest wave over flux per thickness, at each face.
    pace: Vec<f64>,
    pub inv_volume: Vec<f64>,
    kappa: Vec<f64>,
    /// Least width.
    pub least: f64,
}

impl Cells {
    /// `edges`: places that are to be faces, rising.
    pub fn new(ground: &Ground, edges: &[f64], width: f64, weight: f64) -> Self {
        let mut s = vec![0.0];
        let (mut from, mut least) = (0.0, f64::INFINITY);
        for &to in edges.iter().chain([&ground.length]) {
            let end = to == ground.length;
            if !end && (to - from < 0.5 * width || ground.length - to < 0.5 * width) {
                continue;
            }
            let n = ((to - from) / width * (1.0 - 1e-9)).ceil().max(1.0);
            let dx = (to - from) / n;
            least = if dx < least { dx } else { least };
            s.extend((1..n as usize).map(|i| from + dx * i as f64));
            s.push(to);
            from = to;
        }
        let n = s.len() - 1;
        let faces: Vec<_> = s.iter().map(|&s| ground.face(s)).collect();
        let volume: Vec<f64> = faces.iter().map(|f| f.volume).collect();
        let mut along: Vec<f64> = faces.iter().map(|f| f.r * f.along * weight / 3.0).collect();
        along[0] = 0.0;
        along[n] = if along[n] > 0.0 { along[n] } else { 0.0 };
        // Three times the surface's speed bounds every wave; per length, so without the radius.
        let pace = (0..=n).map(|j| {
            let (a, b) = (j.saturating_sub(1), (j + 1).min(n));
            let r = (volume[b] - volume[a]) / (s[b] - s[a]);
            3.0 / if r > 1e-12 { r } else { 1e-12 }
        });
        Self {
            pace: pace.collect(),
            inv_volume: volume.windows(2).map(|w| 1.0 / (w[1] - w[0])).collect(),
            kappa: (0..n)
                .map(|i| ground.cell(0.5 * (s[i] + s[i + 1])).kappa)
                .collect(),
            volume,
            along,
            s,
            least,
        }
    }

    /// h of cell i from its ζ.
    pub fn thickness(&self, i: usize, zeta: f64) -> f64 {
        thickness(zeta, self.kappa[i])
    }

    pub fn len(&self) -> usize {
        self.kappa.len()
    }

    /// Which cell a place lies in.
    pub fn at(&self, s: f64) -> usize {
        self.s.partition_point(|&x| x <= s).clamp(1, self.len()) - 1
    }

    /// ∫ r ds up to a place, straight within its cell.
    pub fn volume_at(&self, s: f64) -> f64 {
        let i = self.at(s);
        let t = (s - self.s[i]) / (self.s[i + 1] - self.s[i]);
        self.volume[i] + t * (self.volume[i + 1] - self.volume[i])
    }

    /// The place up to which ∫ r ds is that.
    pub fn place_of(&self, volume: f64) -> f64 {
        let i = self.volume.partition_point(|&x| x <= volume);
        let i = i.clamp(1, self.len()) - 1;
        let t = (volume - self.volume[i]) * self.inv_volume[i];
        self.s[i] + t * (self.s[i + 1] - self.s[i])
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
    pub cell_steps: usize,
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
    let mut thickest: f64 = 0.0;
    let (mut first, mut last) = (n, 0);
    for i in 0..n {
        let total: f64 = zeta.iter().map(|z| z[i]).sum();
        if total > 0.0 {
            (first, last) = (first.min(i), i + 1);
        }
        thickest = if total > thickest { total } else { thickest };
    }
    let empty = vec![vec![0.0; n + 1]; layers];
    let mut flow = Flow {
        pool: POOL * thickest,
        first,
        last,
        h: empty.clone(),
        lo: empty.clone(),
        hi: empty.clone(),
        flux: empty,
        per_zeta: vec![1.0; n],
        m: vec![0.0; n + 1],
        fluidity: vec![1.0; n + 1],
        room: vec![0.0; 3 * layers],
    };
    if let Melt::Film(fluidity) = melt {
        fluidity.at(&flow.m, &mut flow.fluidity);
    }
    let mut done = Steps::default();
    let mut phi = 0.0;
    flow.look(cells, melt, &zeta);
    let mut speed = flow.fluxes(cells, melt, &zeta, f64::INFINITY);
    for (k, &stop) in stops.iter().enumerate() {
        while phi < stop {
            let mut dt = if speed > 0.0 {
                CFL * cells.least / speed
            } else {
                f64::INFINITY
            };
            dt = dt.min(stop - phi);
            if stop - phi - dt < 1e-12 * stop {
                dt = stop - phi;
            }
            loop {
                flow.look(cells, melt, &zeta);
                flow.go_ahead(cells, melt, dt);
                speed = flow.fluxes(cells, melt, &zeta, dt);
                // Where another melt arrives the film is fluid all at once, and more would leave a cell than it holds.
                if speed * dt <= cells.least {
                    break;
                }
                dt = CFL * cells.least / speed;
            }
            for (l, zeta) in zeta.iter_mut().enumerate() {
                let (q, a, b) = (&flow.flux[l], flow.first, flow.last);
                for i in a..b {
                    let z = zeta[i] + dt * (q[i] - q[i + 1]) * cells.inv_volume[i];
                    // The film before a front shrinks to numbers that processors are slow with.
                    zeta[i] = if z > 1e-60 { z } else { 0.0 };
                }
                lost[l] += dt * q[n];
            }
            phi += dt;
            done.steps += 1;
            done.cell_steps += flow.last - flow.first;
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
    /// Cells that hold melt, and one to each side.
    first: usize,
    last: usize,
    /// Thickness of each layer in each cell, and at its lower and upper face.
    h: Vec<Vec<f64>>,
    lo: Vec<Vec<f64>>,
    hi: Vec<Vec<f64>>,
    flux: Vec<Vec<f64>>,
    /// Change of thickness per ζ.
    per_zeta: Vec<f64>,
    m: Vec<f64>,
    fluidity: Vec<f64>,
    room: Vec<f64>,
}

impl Flow {
    /// Thicknesses, and straight lines through them in each cell.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn look(&mut self, cells: &Cells, melt: &Melt, zeta: &[Vec<f64>]) {
        let n = cells.len();
        let wet = |i: usize| zeta.iter().any(|z| z[i] > 0.0);
        if self.first > 0 && wet(self.first) {
            self.first -= 1;
        }
        if self.last < n && wet(self.last - 1) {
            self.last += 1;
        }
        let (a, b) = (self.first, self.last);
        for i in a..b {
            let mut total = 0.0;
            for z in zeta {
                total += z[i];
            }
            let h = thickness(total, cells.kappa[i]);
            let share = if total > 0.0 { h / total } else { 1.0 };
            for (h, z) in self.h.iter_mut().zip(zeta) {
                h[i] = z[i] * share;
            }
            let root = 1.0 + cells.kappa[i] * h;
            self.per_zeta[i] = 1.0 / if root > 0.5 { root } else { 0.5 };
            self.m[i + 1] = self.m[i] + total / cells.inv_volume[i];
        }
        if let Melt::Film(fluidity) = melt
            && fluidity.stretches.len() > 1
        {
            let mut f = std::mem::take(&mut self.fluidity);
            fluidity.at(&self.m[a..=b], &mut f);
            self.fluidity = f;
        }
        for ((h, lo), hi) in self.h.iter().zip(&mut self.lo).zip(&mut self.hi) {
            for i in a..b {
                let before = if i > 0 { h[i - 1] } else { h[i] };
                let (here, after) = (h[i], if i + 1 < n { h[i + 1] } else { h[i] });
                let (d0, d1) = (here - before, after - here);
                let up = d0 * d1;
                let half = if up > 0.0 { up / (d0 + d1) } else { 0.0 };
                (lo[i], hi[i]) = (here - half, here + half);
            }
        }
    }

    /// Fluidity at a face of the cells that hold melt.
    #[inline]
    fn fluid(&self, melt: &Melt, j: usize) -> f64 {
        match melt {
            Melt::Film(all) if all.stretches.len() > 1 => self.fluidity[j - self.first],
            Melt::Film(_) => self.fluidity[0],
            Melt::Apart(_) => 1.0,
        }
    }

    /// Both faces' thicknesses half a step ahead, by what flows within the cell.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn go_ahead(&mut self, cells: &Cells, melt: &Melt, dt: f64) {
        let layers = self.h.len();
        for i in self.first..self.last {
            let half = 0.5 * dt * cells.inv_volume[i] * self.per_zeta[i];
            let (up, down) = (cells.along[i], cells.along[i + 1]);
            match melt {
                Melt::Film(_) => {
                    let (a, b) = (self.lo[0][i], self.hi[0][i]);
                    let more = half
                        * (up * self.fluid(melt, i) * a * a * a
                            - down * self.fluid(melt, i + 1) * b * b * b);
                    if self.h[0][i] < self.pool {
                        self.lo[0][i] = if a + more > 0.0 { a + more } else { 0.0 };
                        self.hi[0][i] = if b + more > 0.0 { b + more } else { 0.0 };
                    }
                }
                Melt::Apart(phi) => {
                    let (edge, flux) = self.room.split_at_mut(layers);
                    let (enters, leaves) = flux.split_at_mut(layers);
                    let mut total = 0.0;
                    for (x, h) in edge.iter_mut().zip(&self.lo) {
                        *x = h[i];
                    }
                    apart(edge, up, phi, enters);
                    for (x, h) in edge.iter_mut().zip(&self.hi) {
                        *x = h[i];
                        total += h[i];
                    }
                    apart(edge, down, phi, leaves);
                    if total >= self.pool {
                        continue;
                    }
                    for l in 0..layers {
                        let more = half * (self.room[layers + l] - self.room[2 * layers + l]);
                        for side in [&mut self.lo, &mut self.hi] {
                            let x = &mut side[l][i];
                            *x = if *x + more > 0.0 { *x + more } else { 0.0 };
                        }
                    }
                }
            }
        }
    }

    /// Flux of each layer through each face; returns the fastest wave but for those in pools. A pool gives no more in a step than it holds.
    #[cfg_attr(fast_by_function, optimize(speed))]
    fn fluxes(&mut self, cells: &Cells, melt: &Melt, zeta: &[Vec<f64>], dt: f64) -> f64 {
        let (layers, n) = (self.h.len(), cells.len());
        let mut fastest = 0.0;
        for j in self.first.max(1)..=self.last {
            let along = cells.along[j];
            let (from, side) = if along >= 0.0 {
                (j - 1, &self.hi)
            } else {
                (j.min(n - 1), &self.lo)
            };
            let mut total = 0.0;
            for x in side {
                total += x[from];
            }
            let surface = match melt {
                Melt::Film(_) => {
                    let speed = along * self.fluid(melt, j) * total * total;
                    self.flux[0][j] = speed * total;
                    speed
                }
                Melt::Apart(phi) => {
                    let (edge, flux) = self.room.split_at_mut(layers);
                    for (x, h) in edge.iter_mut().zip(side) {
                        *x = h[from];
                    }
                    let speed = apart(edge, along, phi, flux);
                    for (q, x) in self.flux.iter_mut().zip(flux) {
                        q[j] = *x;
                    }
                    speed
                }
            };
            let speed = surface.abs() * cells.pace[j];
            if total >= self.pool {
                for (q, zeta) in self.flux.iter_mut().zip(zeta) {
                    let most = 0.9 * zeta[from] / (cells.inv_volume[from] * dt);
                    q[j] = q[j].clamp(-most, most);
                }
            } else if speed > fastest {
                fastest = speed;
            }
        }
        fastest
    }
}

/// Fluxes of layers that stay apart: `q_i = h_i u_(i−1) + (T_i h_i²/2 + G h_i³/3) Φ_i`; returns the surface's speed times the radius.
#[cfg_attr(fast_by_function, optimize(speed))]
fn apart(h: &[f64], k: f64, phi: &[f64], flux: &mut [f64]) -> f64 {
    let g = 3.0 * k;
    let mut above = 0.0;
    for h in h {
        above += h;
    }
    let mut u = 0.0;
    for ((q, &h), &phi) in flux.iter_mut().zip(h).zip(phi) {
        above -= h;
        let t = g * above;
        *q = h * u + phi * h * h * (0.5 * t + g * h / 3.0);
        u += phi * h * (t + 0.5 * g * h);
    }
    u
}
