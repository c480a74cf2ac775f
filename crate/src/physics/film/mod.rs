//! The film on the piece: gravity and surface tension move the melt along the profile.
//!
//! Takes a profile, layers as laid down, relief and the melt's properties; gives the film at any number of values of Φ,
//! and what a potter asks of it: front, visible edge, ridge, thin rim, relief kept, lost melt.
//!
//! The equation is that of Roy, Roberts & Simpson 2002 (J. Fluid Mech. 454, 235) in fluidity time Φ = ∫dt/η:
//! `ζ_t + (r q)_s/r = 0`, `ζ = h + (κ1 + κ2) h²/2`, `q = h³/3 · f · (ρ g_s − p_s)`,
//! `p = γ (κ1 + κ2 − (r h_s)_s/r − (κ1² + κ2²) h) + ρ g_n h`, a relief b of the clay entering as h + b in p. It holds for films that
//! are thin against the radii and lengths over which they change; where surface tension is 0 the pressure is left out altogether.

mod case;
mod composition;
mod error;
mod flux;
mod front;
mod gravity;
mod ground;
mod mesh;
mod method;
mod penta;
mod relief;
mod solution;
mod start;
mod step;

pub use case::{ACCURACY, Case, Layer, PRECURSOR_M, PairShift};
pub use error::FilmError;
pub use method::Method;
pub use relief::Relief;
pub use solution::{ColourEdge, Moment, Solution};
pub use step::WorkDone;

use flux::{Forces, Lay, Work};
use ground::Ground;
use relief::Clay;
use solution::About;
use start::Start;
use step::{Problem, State};

/// Solves a case through every Φ of `phis` (rising, 1/Pa of the layers' relative fluidity 1) in one go. `accuracy` is relative,
/// [`ACCURACY`] as a rule; 1e-2 is quick and still good to 1 % of a run.
///
/// # Errors
/// [`FilmError`] where a number is out of bounds, or the solve does not reach the last Φ within its work limit.
pub fn solve(case: &Case, phis: &[f64], accuracy: f64) -> Result<Solution, FilmError> {
    case.check(phis, accuracy)?;
    solve_by(case, phis, &Method::for_accuracy(accuracy))
}

/// As [`solve`], with every number of the method chosen.
///
/// # Errors
/// See [`solve`].
pub fn solve_by(case: &Case, phis: &[f64], method: &Method) -> Result<Solution, FilmError> {
    solve_while(case, phis, method, &mut |_| true)
}

/// As [`solve_by`], up to the first stop after which `go_on` says false; it is shown the solution so far, whose last stop is new. Where
/// gravity acts alone every stop is solved.
///
/// # Errors
/// See [`solve`].
pub fn solve_while(
    case: &Case,
    phis: &[f64],
    method: &Method,
    go_on: &mut dyn FnMut(&Solution) -> bool,
) -> Result<Solution, FilmError> {
    case.check(phis, ACCURACY)?;
    let ground = Ground::new(case.profile);
    let gravity_only = case.gamma_n_per_m == 0.0;
    let precursor = if gravity_only { 0.0 } else { case.precursor_m };
    let start = Start::new(case, &ground, precursor, method.blend_m);
    if start.laid_down() <= precursor {
        return Err(FilmError::WithinPrecursor {
            laid_m: start.laid_down(),
            precursor_m: precursor,
        });
    }
    let length = ground.length;
    let total = start.volume_at(&ground, length);
    let lowest = case.lowest_s_m().min(length);
    let glazed = |s: f64| case.present().any(|l| s > l.from_s_m && s < l.to_s_m);
    let edges = case
        .layers
        .iter()
        .enumerate()
        .filter(|(_, l)| l.thickness_m > 0.0 && l.to_s_m > l.from_s_m);
    let edges = edges
        .flat_map(|(i, l)| [(i, l.from_s_m), (i, l.to_s_m)])
        .filter(|&(_, s)| s > 0.0 && s < length && glazed(s - 1e-6) && glazed(s + 1e-6))
        .map(|(i, s)| (i, s, start.volume_at(&ground, s)))
        .collect();
    let clay = case.relief.map(|relief| Clay::new(relief, length));
    let about = About {
        turned: !case.profile.is_tile(),
        melt: start.melt.clone(),
        total,
        precursor,
        nominal: case.nominal_m(),
        lowest,
        held: case.held_m2(lowest - 1e-6),
        rim: case.profile.rim_s_m(),
        foot: case.profile.foot_s_m(),
        arcs: case.profile.convex_arcs(10e-3),
        edges,
        relief: clay,
    };
    let mut solution = Solution {
        stops: Vec::with_capacity(phis.len()),
        work: WorkDone::default(),
        volume_error: 0.0,
        smoothed_m: clay
            .map_or(0.0, |c| c.spread_m())
            .max(case.profile.smoothed_m()),
        about,
    };
    let lost = if gravity_only {
        let (stops, work, lost) = by_gravity(case, &ground, &start, phis, method)?;
        (solution.stops, solution.work) = (stops, work);
        lost
    } else {
        with_tension(case, &ground, &start, phis, method, &mut solution, go_on)?
    };
    let kept = solution.stops.last().map_or(total, |s| {
        s.zeta_m
            .iter()
            .zip(s.ground.windows(2))
            .map(|(z, w)| z * (w[1] - w[0]))
            .sum()
    });
    solution.volume_error = (kept + lost - total) / total;
    Ok(solution)
}

/// Spacing of a film of several layers over that of one.
const LAYERED_BEND: f64 = 0.85;
/// Width of the cells where gravity acts alone, m.
const GRAVITY_CELL_M: f64 = 2.5e-4;

type Solved = (Vec<Moment>, WorkDone, f64);

fn with_tension(
    case: &Case,
    ground: &Ground,
    start: &Start,
    phis: &[f64],
    method: &Method,
    solution: &mut Solution,
    go_on: &mut dyn FnMut(&Solution) -> bool,
) -> Result<f64, FilmError> {
    let forces = Forces {
        weight: case.rho_kg_per_m3 * super::constants::GRAVITY,
        gamma: case.gamma_n_per_m,
    };
    let relief = solution.about.relief;
    let relief = relief.as_ref();
    // Where a fluid layer pushes a stiff one along, the wave between them decides how far it comes.
    let mut method = method.clone();
    method.bend *= if start.melt.stretches.len() > 1 {
        LAYERED_BEND
    } else {
        1.0
    };
    let method = &method;
    let fixed = mesh::fixed_of(case.profile, relief, method);
    let scale = start.thickest();
    let half = (0.5 * method.ramp * scale).min(levelled_m(start, forces.gamma, scale, phis));
    let mut work = Work::default();
    let (mut lay, mut m);
    if method.even_cells > 0 {
        lay = Lay::of(
            (0..=method.even_cells)
                .map(|i| ground.length * i as f64 / method.even_cells as f64)
                .collect(),
        );
        lay.put(ground, relief, forces);
        m = start.volumes(ground, &lay.s, half);
    } else {
        lay = Lay::of(mesh::first(
            ground.length,
            start.edges(),
            2.0 * half,
            method,
        ));
        let mut round = 0;
        loop {
            lay.put(ground, relief, forces);
            m = start.volumes(ground, &lay.s, half);
            if !work.thicken(&lay, &m) {
                return Err(FilmError::NotPositive { phi_per_pa: 0.0 });
            }
            if round == 4 {
                break;
            }
            round += 1;
            let want = mesh::wanted(&lay, &work, &fixed, case.precursor_m, method);
            let spacing = mesh::eased(&lay.s, &want, method);
            lay = Lay::of(mesh::remade(&lay.s, &spacing));
        }
    }
    let problem = Problem {
        ground,
        relief,
        forces,
        melt: &start.melt,
        fixed,
        precursor: case.precursor_m,
        method: method.clone(),
    };
    let mut at = |k: usize, lay: &Lay, m: &[f64]| {
        work.thicken(lay, m);
        solution.stops.push(Moment {
            phi_per_pa: phis[k],
            faces_m: lay.s.clone(),
            h_m: work.h.clone(),
            zeta_m: work.zeta.clone(),
            volume: m.to_vec(),
            ground: lay.volume.clone(),
            apart: None,
        });
        go_on(solution)
    };
    let at_rest = phis.iter().take_while(|&&phi| phi <= 0.0).count();
    let state = State { lay, m };
    let mut more = true;
    for k in 0..at_rest {
        more = more && at(k, &state.lay, &state.m);
    }
    let total = state.m.last().copied().unwrap_or(0.0);
    if more {
        let done = step::run(&problem, state, &phis[at_rest..], |k, lay, m| {
            at(k + at_rest, lay, m)
        })?;
        solution.work = done;
    }
    let kept = solution
        .stops
        .last()
        .and_then(|s| s.volume.last())
        .copied()
        .unwrap_or(total);
    // What has left is the fall of the volume at the profile's end: it is the unknown there, so none is lost to rounding.
    Ok(total - kept)
}

/// A third of the width over which surface tension has spread an edge by the last stop, `(γ h³ Φ/3)^(1/4)`: no edge is laid down softer
/// than that, but for a tenth of its thickness.
fn levelled_m(start: &Start, gamma: f64, h: f64, phis: &[f64]) -> f64 {
    let most = start.melt.stretches.iter().map(|s| s.fluidity);
    let phi = phis.last().copied().unwrap_or(0.0) * most.fold(0.0, f64::max);
    (gamma * h * h * h * phi / 3.0).sqrt().sqrt().max(0.3 * h) / 3.0
}

/// The band that one even film lies on, where it lies on one band of a plane wall.
fn one_band(case: &Case, start: &Start) -> Option<(f64, f64, f64)> {
    let mut present = case.present();
    let first = *present.next()?;
    let alike = present.all(|l| l.from_s_m == first.from_s_m && l.to_s_m == first.to_s_m);
    let apart = case.mixing == 0.0 && case.present().count() > 1;
    (case.profile.is_plane() && alike && !apart && case.profile.at(0.0).psi_rad <= 0.0)
        .then(|| (first.from_s_m, first.to_s_m, start.thickest()))
}

fn by_exact_law(case: &Case, start: &Start, band: (f64, f64, f64), phis: &[f64]) -> Solved {
    let length = case.profile.length_m();
    let weight = case.rho_kg_per_m3 * super::constants::GRAVITY;
    let fluidity = start.melt.stretches.first().map_or(1.0, |s| s.fluidity);
    let k = weight * -case.profile.at(0.0).psi_rad.sin() / 3.0 * fluidity;
    let mut lost = 0.0;
    let mut stops = Vec::with_capacity(phis.len());
    for &phi in phis {
        let (faces_m, h_m) = gravity::band(length, band.0, band.1, band.2, k, phi, 2000);
        let mut sum = 0.0;
        let mut volume = vec![0.0];
        for (h, w) in h_m.iter().zip(faces_m.windows(2)) {
            sum += h * (w[1] - w[0]);
            volume.push(sum);
        }
        lost = (band.2 * (band.1 - band.0) - sum).max(0.0);
        let ground = faces_m.clone();
        stops.push(Moment {
            phi_per_pa: phi,
            zeta_m: h_m.clone(),
            h_m,
            faces_m,
            volume,
            ground,
            apart: None,
        });
    }
    (stops, WorkDone::default(), lost)
}

fn by_gravity(
    case: &Case,
    ground: &Ground,
    start: &Start,
    phis: &[f64],
    method: &Method,
) -> Result<Solved, FilmError> {
    if let Some(band) = one_band(case, start) {
        return Ok(by_exact_law(case, start, band, phis));
    }
    let width = GRAVITY_CELL_M * method.bend / Method::default().bend;
    let width = width.clamp(ground.length / 6000.0, ground.length / 50.0);
    let weight = case.rho_kg_per_m3 * super::constants::GRAVITY;
    let cells = gravity::Cells::new(ground, start.edges(), width, weight);
    let apart = case.mixing == 0.0 && case.layers.len() > 1;
    let phi: Vec<f64> = case
        .layers
        .iter()
        .map(|l| 10f64.powf(l.log10_fluidity))
        .collect();
    let (melt, zeta) = if apart {
        let zeta = (0..case.layers.len())
            .map(|l| start.means(ground, &cells.s, |i| start.parts[i][l]))
            .collect();
        (gravity::Melt::Apart(&phi), zeta)
    } else {
        (
            gravity::Melt::Film(&start.melt),
            vec![start.means(ground, &cells.s, |i| start.zeta[i])],
        )
    };
    let mut stops: Vec<Moment> = Vec::with_capacity(phis.len());
    let mut lost_all = 0.0;
    let done = gravity::run(&cells, &melt, zeta, phis, |k, zeta, lost| {
        let moment = front::sharpened(&cells, zeta, phis[k], apart);
        lost_all = lost.iter().sum();
        stops.push(moment);
    })?;
    let work = WorkDone {
        steps: done.steps,
        cell_steps: done.cell_steps,
        most_cells: cells.len(),
        meshes: 1,
        ..WorkDone::default()
    };
    Ok((stops, work, lost_all))
}
