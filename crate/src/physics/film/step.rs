//! One solve: Rodas3 steps on a moving mesh from Φ = 0 through every stop.
//!
//! Takes the film as laid down; gives mesh and volumes at each stop. Rodas3: Sandu, Verwer, Blom, Spee, Carmichael & Potra 1997,
//! Atmospheric Environment 31, 3459: four stages, order 3 with an embedded order 2, stiffly accurate.

use super::{
    Method,
    composition::Fluidity,
    error::FilmError,
    flux::{Forces, Lay, Work},
    ground::Ground,
    mesh::{self, Fixed},
    penta,
    relief::Clay,
};

/// A precursor this near to its thickness, relative, is at rest: beyond the dip before a front.
const AT_REST: f64 = 0.1;

/// Work done by a solve.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WorkDone {
    /// Steps taken.
    pub steps: usize,
    /// Steps tried and thrown away.
    pub rejected: usize,
    /// Of those, for a thickness that was not positive.
    pub not_positive: usize,
    /// Matrices factorised.
    pub factorisations: usize,
    /// Jacobians formed.
    pub jacobians: usize,
    /// Meshes made.
    pub meshes: usize,
    /// Cells summed over the steps tried.
    pub cell_steps: usize,
    /// Most cells at once.
    pub most_cells: usize,
}

/// The film at one moment.
#[derive(Clone)]
pub(super) struct State {
    pub lay: Lay,
    pub m: Vec<f64>,
}

/// What is being solved.
pub(super) struct Problem<'a> {
    pub ground: &'a Ground,
    pub relief: Option<&'a Clay>,
    pub forces: Forces,
    pub melt: &'a Fluidity,
    pub fixed: Fixed,
    pub precursor: f64,
    pub method: Method,
}

/// Steps from 0 through every stop of `stops` (rising, positive), calling `at_stop` with each until it says false.
pub(super) fn run(
    problem: &Problem,
    start: State,
    stops: &[f64],
    mut at_stop: impl FnMut(usize, &Lay, &[f64]) -> bool,
) -> Result<WorkDone, FilmError> {
    let Some(&end) = stops.last() else {
        return Ok(WorkDone {
            meshes: 1,
            ..WorkDone::default()
        });
    };
    let method = &problem.method;
    let mut solver = Solver::new(problem, start);
    let mut dt = solver.first_step()?.min(end);
    let first = dt;
    let (mut grow, mut stop, mut in_a_row, mut since_look) = (method.grow, 0, 0, 0);
    while stop < stops.len() {
        let left = end - solver.phi;
        if dt > left * (1.0 - 1e-9) {
            dt = left;
        } else if dt > 0.6 * left {
            dt = 0.5 * left;
        }
        let error = solver.attempt(dt)?;
        let accepted = error <= 1.0;
        if accepted {
            let to = if dt == left { end } else { solver.phi + dt };
            while stop < stops.len() && stops[stop] <= to {
                let more = if stops[stop] == to {
                    at_stop(stop, &solver.next, &solver.y)
                } else {
                    solver.between(dt, (stops[stop] - solver.phi) / dt);
                    at_stop(stop, &solver.mid, &solver.mid_m)
                };
                if !more {
                    return Ok(solver.done);
                }
                stop += 1;
            }
            solver.accept(dt, to);
            (in_a_row, since_look) = (0, since_look + 1);
        } else {
            in_a_row += 1;
            solver.reject(in_a_row);
        }
        let factor = if error.is_finite() {
            method.safety * error.max(1e-9).powf(-1.0 / 3.0)
        } else {
            0.25
        };
        dt *= factor.clamp(0.2, grow);
        // A step does not grow straight after one was rejected.
        grow = if accepted { method.grow } else { 1.0 };
        if dt < 1e-12 * solver.phi.max(first) {
            return Err(FilmError::Stalled {
                phi_per_pa: solver.phi,
            });
        }
        if solver.done.factorisations > method.most_steps {
            return Err(FilmError::TooMuchWork {
                steps: solver.done.steps,
                phi_per_pa: solver.phi,
                wanted_per_pa: end,
            });
        }
        if accepted && method.look_every > 0 && since_look >= method.look_every {
            since_look = 0;
            solver.look_at_mesh();
        }
    }
    Ok(solver.done)
}

/// State and room of a solve.
struct Solver<'a, 'p> {
    p: &'a Problem<'p>,
    phi: f64,
    /// Mesh and volumes now, and at the end of the step being tried.
    lay: Lay,
    m: Vec<f64>,
    next: Lay,
    y: Vec<f64>,
    /// Mesh and volumes at a stop between, and whether `f` is the rate at the step's end.
    mid: Lay,
    mid_m: Vec<f64>,
    known: Option<bool>,
    /// Speed of each face in the step being tried, and its means over the last step and the one before.
    v: Vec<f64>,
    mean: Vec<f64>,
    before: Vec<f64>,
    dt_last: f64,
    dt_before: f64,
    /// Whether rate and Jacobian belong to the state and speeds as they are.
    fresh: bool,
    guess: bool,
    work: Work,
    f0: Vec<f64>,
    ft: Vec<f64>,
    f: Vec<f64>,
    k: [Vec<f64>; 4],
    jacobian: Vec<[f64; 5]>,
    lu: Vec<[f64; 5]>,
    zeta: Vec<f64>,
    change: Vec<f64>,
    done: WorkDone,
}

impl<'a, 'p> Solver<'a, 'p> {
    fn new(p: &'a Problem<'p>, start: State) -> Self {
        let mut solver = Self {
            p,
            phi: 0.0,
            lay: start.lay,
            m: start.m,
            next: Lay::default(),
            y: Vec::new(),
            mid: Lay::default(),
            mid_m: Vec::new(),
            known: None,
            v: Vec::new(),
            mean: Vec::new(),
            before: Vec::new(),
            dt_last: 0.0,
            dt_before: 0.0,
            fresh: false,
            guess: true,
            work: Work::default(),
            f0: Vec::new(),
            ft: Vec::new(),
            f: Vec::new(),
            k: Default::default(),
            jacobian: Vec::new(),
            lu: Vec::new(),
            zeta: Vec::new(),
            change: Vec::new(),
            done: WorkDone {
                meshes: 1,
                ..WorkDone::default()
            },
        };
        solver.make_room();
        solver
    }

    fn make_room(&mut self) {
        let n = self.lay.cells();
        let [k0, k1, k2, k3] = &mut self.k;
        for x in [
            &mut self.f0,
            &mut self.y,
            &mut self.f,
            &mut self.ft,
            k0,
            k1,
            k2,
            k3,
        ] {
            x.clear();
            x.resize(n + 1, 0.0);
        }
        self.jacobian.resize(n, [0.0; 5]);
        self.lu.resize(n, [0.0; 5]);
        self.v.resize(n + 1, 0.0);
        self.mean.resize(n + 1, 0.0);
        self.before.resize(n + 1, 0.0);
        self.done.most_cells = self.done.most_cells.max(n);
    }

    fn empty(&self) -> FilmError {
        FilmError::NotPositive {
            phi_per_pa: self.phi,
        }
    }

    /// A step in which the fastest cell changes by a part of itself.
    fn first_step(&mut self) -> Result<f64, FilmError> {
        if !self
            .work
            .rate(&self.lay, self.p.melt, None, &self.m, &mut self.f0)
        {
            return Err(self.empty());
        }
        let rates = self.f0.windows(2).zip(self.m.windows(2));
        let fastest = rates
            .map(|(f, m)| (f[1] - f[0]).abs() / (m[1] - m[0]))
            .fold(0.0, f64::max);
        Ok(self.p.method.first / fastest.max(1e-300))
    }

    /// Where the film is other than a precursor at rest, and a few cells to both sides.
    #[inline(never)] // As in `penta`.
    fn find_wet(&mut self) {
        let n = self.lay.cells();
        let (m, inv, bare) = (&self.m, &self.lay.inv_volume, self.p.precursor);
        let wet = |&i: &usize| ((m[i + 1] - m[i]) * inv[i] - bare).abs() > AT_REST * bare;
        let first = (0..n).find(wet).unwrap_or(0);
        let last = (0..n).rev().find(wet).unwrap_or(n);
        self.work.wet = (first.saturating_sub(4), last + 5);
    }

    /// Speeds for the next step: means over the last step, carried forward to the middle of this one, and held to what a cell can
    /// bear in it.
    #[inline(never)] // As in `penta`.
    fn choose_speeds(&mut self, dt: f64) {
        let method = &self.p.method;
        if self.guess && self.dt_before > 0.0 {
            let x = method.ahead * ((dt + self.dt_last) / (self.dt_last + self.dt_before)).min(1.0);
            for ((v, m), b) in self.v.iter_mut().zip(&self.mean).zip(&self.before) {
                *v = m + x * (m - b);
            }
            self.fresh = false;
        }
        self.guess = false;
        let strain = mesh::strain(&self.lay.s, &self.v) * dt;
        if strain > method.strain {
            let less = method.strain / strain;
            self.v.iter_mut().for_each(|v| *v *= less);
            self.fresh = false;
        }
    }

    /// Tries a step; gives its error over the tolerance, infinite where a thickness was not positive.
    #[cfg_attr(fast_by_function, optimize(speed))]
    #[inline(never)] // As in `penta`.
    fn attempt(&mut self, dt: f64) -> Result<f64, FilmError> {
        if self.guess {
            self.find_wet();
        }
        self.choose_speeds(dt);
        self.known = None;
        let n = self.lay.cells();
        let p = self.p;
        let moving = self.v.iter().any(|&v| v != 0.0);
        let v = moving.then_some(&self.v[..]);
        if !self.fresh {
            if !self.work.rate(&self.lay, p.melt, v, &self.m, &mut self.f0) {
                return Err(self.empty());
            }
            self.work.jacobian(&self.lay, v, &mut self.jacobian);
            self.done.jacobians += 1;
            self.fresh = true;
        }
        self.ft.fill(0.0);
        if moving {
            self.next.s.clear();
            self.next
                .s
                .extend(self.lay.s.iter().zip(&self.v).map(|(s, v)| s + dt * v));
            self.next.put(p.ground, p.relief, p.forces);
            // dt ∂f/∂Φ by the mesh's motion alone, over the whole step: what that is off is of the step's third order.
            if self.work.rate(&self.next, p.melt, v, &self.m, &mut self.ft) {
                self.ft
                    .iter_mut()
                    .zip(&self.f0)
                    .for_each(|(t, f0)| *t -= f0);
            } else {
                self.ft.fill(0.0);
            }
        } else {
            self.next.clone_from(&self.lay);
        }
        let (two, per) = (2.0 / dt, 1.0 / dt);
        self.done.factorisations += 1;
        self.done.cell_steps += n;
        if !penta::factorise(two, &self.jacobian, &mut self.lu) {
            return Ok(f64::INFINITY);
        }
        let [k0, k1, k2, k3] = &mut self.k;
        let (f0, ft, m, y) = (
            &self.f0[..=n],
            &self.ft[..=n],
            &self.m[..=n],
            &mut self.y[..=n],
        );
        for ((k, f), t) in k0.iter_mut().zip(f0).zip(ft) {
            *k = f + 0.5 * t;
        }
        penta::solve(&self.lu, &mut k0[1..]);
        for (((k, f), t), a) in k1.iter_mut().zip(f0).zip(ft).zip(&*k0) {
            *k = f + 1.5 * t + 4.0 * per * a;
        }
        penta::solve(&self.lu, &mut k1[1..]);
        for ((y, m), a) in y.iter_mut().zip(m).zip(&*k0) {
            *y = m + 2.0 * a;
        }
        if !self.work.rate(&self.next, p.melt, v, y, &mut self.f) {
            return Ok(f64::INFINITY);
        }
        for (((k, f), a), b) in k2.iter_mut().zip(&self.f).zip(&*k0).zip(&*k1) {
            *k = f + per * (a - b);
        }
        penta::solve(&self.lu, &mut k2[1..]);
        y.iter_mut().zip(&*k2).for_each(|(y, k)| *y += k);
        if !self.work.rate(&self.next, p.melt, v, y, &mut self.f) {
            return Ok(f64::INFINITY);
        }
        for ((((k, f), a), b), c) in k3.iter_mut().zip(&self.f).zip(&*k0).zip(&*k1).zip(&*k2) {
            *k = f + per * (a - b - 8.0 / 3.0 * c);
        }
        penta::solve(&self.lu, &mut k3[1..]);
        y.iter_mut().zip(&*k3).for_each(|(y, k)| *y += k);
        // The last stage is the error estimate.
        let (relative, absolute) = (
            p.method.tolerance,
            p.method.tolerance * p.method.absolute * p.precursor,
        );
        let (mut sum, mut least) = (0.0, f64::INFINITY);
        self.zeta.resize(n, 0.0);
        for ((((z, y), k), inv), _) in self
            .zeta
            .iter_mut()
            .zip(y.windows(2))
            .zip(k3.windows(2))
            .zip(&self.next.inv_volume)
            .zip(0..n)
        {
            *z = (y[1] - y[0]) * inv;
            least = if *z > least { least } else { *z };
            let e = (k[1] - k[0]) * inv / (absolute + relative * *z);
            sum += e * e;
        }
        Ok(if least > 0.0 && sum.is_finite() {
            (sum / n as f64).sqrt()
        } else {
            f64::INFINITY
        })
    }

    /// Takes the step that was tried.
    #[inline(never)] // As in `penta`.
    fn accept(&mut self, dt: f64, to: f64) {
        self.change.clear();
        let then = self
            .m
            .windows(2)
            .zip(&self.lay.inv_volume)
            .map(|(m, inv)| (m[1] - m[0]) * inv);
        self.change.extend(
            self.zeta
                .iter()
                .zip(then)
                .map(|(now, then)| (now - then) / dt),
        );
        std::mem::swap(&mut self.m, &mut self.y);
        std::mem::swap(&mut self.lay, &mut self.next);
        std::mem::swap(&mut self.before, &mut self.mean);
        self.mean.clone_from(&self.v);
        if self.p.method.moving {
            mesh::speeds(
                &self.lay,
                &self.zeta,
                &self.change,
                self.p.precursor,
                &self.p.method,
                &mut self.mean,
            );
        }
        self.v.clone_from(&self.mean);
        (self.dt_before, self.dt_last) = (self.dt_last, dt);
        (self.fresh, self.guess) = (false, true);
        self.phi = to;
        self.done.steps += 1;
    }

    /// Throws away the step that was tried.
    fn reject(&mut self, in_a_row: usize) {
        self.done.rejected += 1;
        self.done.not_positive +=
            usize::from(self.zeta.iter().any(|&z| z <= 0.0) || !self.work.positive());
        if in_a_row == 2 {
            // Where the speed was guessed wrong, fall back on the one that was measured.
            self.v.clone_from(&self.mean);
            self.fresh = false;
        }
    }

    /// The film between the last state and the step that was tried: cubic in Φ, linear where that would leave a cell empty.
    fn between(&mut self, dt: f64, t: f64) {
        self.mid.s.clear();
        for (a, b) in self.lay.s.iter().zip(&self.next.s) {
            self.mid.s.push(a + t * (b - a));
        }
        self.mid.measure(self.p.ground);
        let known = self.known.unwrap_or_else(|| {
            let v = self.v.iter().any(|&v| v != 0.0).then_some(&self.v[..]);
            self.work
                .rate(&self.next, self.p.melt, v, &self.y, &mut self.f)
        });
        self.known = Some(known);
        let u = 1.0 - t;
        let (a, b) = ((1.0 + 2.0 * t) * u * u, t * t * (3.0 - 2.0 * t));
        self.mid_m.clear();
        for (j, (m, y)) in self.m.iter().zip(&self.y).enumerate() {
            let bent = dt * t * u * (self.f0[j] * u - self.f[j] * t);
            self.mid_m.push(a * m + b * y + bent);
        }
        if !(known && self.work.thicken(&self.mid, &self.mid_m)) {
            for (mid, (m, y)) in self.mid_m.iter_mut().zip(self.m.iter().zip(&self.y)) {
                *mid = m + t * (y - m);
            }
        }
    }

    /// Makes a new mesh where the film has outgrown this one, or could do with far fewer cells.
    fn look_at_mesh(&mut self) {
        let (p, n) = (self.p, self.lay.cells());
        if !self.work.thicken(&self.lay, &self.m) {
            return;
        }
        let want = mesh::wanted(&self.lay, &self.work, &p.fixed, p.precursor, &p.method);
        let worst = self
            .lay
            .s
            .windows(2)
            .zip(&want)
            .map(|(s, want)| (s[1] - s[0]) / want)
            .fold(0.0, mesh::larger);
        let spacing = mesh::eased(&self.lay.s, &want, &p.method);
        if worst <= p.method.worst && n as f64 <= 1.35 * mesh::count(&self.lay.s, &spacing) + 8.0 {
            return;
        }
        self.next.s = mesh::remade(&self.lay.s, &spacing);
        self.next.put(p.ground, p.relief, p.forces);
        self.m = mesh::carried(&self.lay.volume, &self.m, &self.next.volume);
        for v in [&mut self.v, &mut self.mean, &mut self.before] {
            *v = mesh::speeds_at(&self.lay.s, v, &self.next.s);
        }
        std::mem::swap(&mut self.lay, &mut self.next);
        self.make_room();
        self.done.meshes += 1;
    }
}
