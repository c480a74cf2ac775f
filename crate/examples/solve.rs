//! The door `solve`: one film case, plain physics, no spread.
//!
//! Reads one JSON document (a file named as argument, or standard input); prints one. A bad document ends with status 2 and its words on
//! standard error.

#[path = "solve/document.rs"]
mod document;
mod door;

use document::{Document, Piece};
use glazefall::physics::{
    constants,
    film::{self, Case, Layer, PairShift, Relief, Solution},
    piece::{self, Part, Profile},
};
use serde::Serialize;
use std::{process::ExitCode, time::Instant};

#[derive(Serialize)]
struct Answer {
    front_s_m: Option<f64>,
    front_half_s_m: Option<f64>,
    visible_edge_s_m: Option<f64>,
    run_m: Option<f64>,
    ridge_m: Option<f64>,
    ridge_s_m: Option<f64>,
    rim_minimum_m: Option<f64>,
    crest_m: Option<f64>,
    recess_m: Option<f64>,
    relief_kept: Option<f64>,
    relief_slope_deg: Option<f64>,
    centre_m: Option<f64>,
    melt_past_foot_m3: Option<f64>,
    pool_width_m: Option<f64>,
    front_at_half_precursor_s_m: Option<f64>,
    colour_edges: Vec<ColourEdgeOut>,
    smoothed_m: f64,
    volume_error: f64,
    cells: usize,
    steps: usize,
    rejected: usize,
    factorisations: usize,
    meshes: usize,
    solve_ms: f64,
    profile: Vec<[f64; 2]>,
    shares: Option<Vec<Vec<[f64; 2]>>>,
}

#[derive(Serialize)]
struct ColourEdgeOut {
    layer: usize,
    laid_s_m: f64,
    now_s_m: f64,
    roll_m: f64,
}

fn main() -> ExitCode {
    door::open(answer)
}

fn answer(text: &str) -> Result<String, String> {
    let document = document::read(text)?;
    let profile = profile_of(&document.profile)?;
    document::fits(&document, profile.length_m())?;
    let case = case_of(&document, &profile);
    let phis = [1.0];
    let clock = Instant::now();
    let solved = film::solve(&case, &phis, document.accuracy)
        .map_err(|e| format!("The film case has no answer: {e}"))?;
    let solve_ms = clock.elapsed().as_secs_f64() * 1e3;
    let answer = report(&document, &case, &solved, solve_ms);
    serde_json::to_string_pretty(&answer).map_err(|e| format!("The answer cannot be written: {e}."))
}

fn profile_of(given: &document::Profile) -> Result<Profile, String> {
    let mut parts = Vec::with_capacity(given.pieces.len());
    for (i, p) in given.pieces.iter().enumerate() {
        let part = match *p {
            Piece {
                line_m: Some(length_m),
                angle_deg: Some(angle),
                arc_radius_m: None,
                from_deg: None,
                to_deg: None,
            } => Part::Line {
                length_m,
                psi_rad: angle.to_radians(),
            },
            Piece {
                line_m: None,
                angle_deg: None,
                arc_radius_m: Some(radius_m),
                from_deg: Some(from),
                to_deg: Some(to),
            } => Part::Arc {
                radius_m,
                from_rad: from.to_radians(),
                to_rad: to.to_radians(),
            },
            _ => {
                return Err(format!(
                    "profile.pieces[{i}]: This is neither a line nor an arc. Give line_m with angle_deg, or arc_radius_m with from_deg and to_deg."
                ));
            }
        };
        parts.push(part);
    }
    let profile = piece::from_parts(
        given.start_radius_m,
        &parts,
        given.axisymmetric,
        given.foot_s_m,
    );
    profile.map_err(|e| format!("profile: {e}"))
}

fn case_of<'a>(document: &Document, profile: &'a Profile) -> Case<'a> {
    let layers = &document.layers_wall_first;
    // One film has one density: the mean by thickness.
    let total: f64 = layers.iter().map(|l| l.thickness_m).sum();
    let weighed: f64 = layers
        .iter()
        .map(|l| l.thickness_m * l.density_kg_per_m3)
        .sum();
    let film = layers.iter().map(|l| Layer {
        thickness_m: l.thickness_m,
        log10_fluidity: l.phi_per_pa.max(1e-9).log10(),
        from_s_m: l.from_s_m,
        to_s_m: l.to_s_m,
    });
    let mut case = Case::new(profile, film.collect());
    let index = |number: u32| number as usize - 1;
    case.pair_shifts = (document.pair_shifts.iter())
        .map(|p| PairShift {
            under: index(p.under),
            over: index(p.over),
            decades: p.decades,
        })
        .collect();
    case.mixing = document.mixing;
    case.gamma_n_per_m = document.gamma_n_per_m;
    case.contact_rad = document.contact_deg.to_radians();
    case.precursor_m = document.precursor_m;
    case.rho_kg_per_m3 = if total > 0.0 {
        weighed / total
    } else {
        constants::RHO
    };
    case.relief = document.relief.as_ref().map(|r| Relief {
        amplitude_m: r.amplitude_m,
        wavelength_m: r.wavelength_m,
        crest_at_s_m: r.crest_at_s_m,
        from_s_m: r.from_s_m,
        to_s_m: r.to_s_m,
        stokes_correction: r.stokes_correction,
    });
    case
}

fn report(document: &Document, case: &Case, solved: &Solution, solve_ms: f64) -> Answer {
    let window = document.relief.as_ref().map(document::Relief::window);
    let crests = window.and_then(|(a, b)| solved.crest_and_recess_m(0, a, b));
    let ridge = solved.ridge(0);
    let foot = document.profile.foot_s_m;
    let past = foot.and_then(|_| solved.past_foot_m3(0));
    let around = foot
        .filter(|_| document.profile.axisymmetric)
        .map(|s| case.profile.at(s).r_m);
    let thin = Case {
        precursor_m: 0.5 * case.precursor_m,
        ..case.clone()
    };
    let thin = (case.gamma_n_per_m > 0.0)
        .then(|| film::solve(&thin, &[1.0], document.accuracy).ok())
        .flatten();
    let edges = solved.colour_edges(0);
    Answer {
        front_s_m: solved.front_s_m(0, 0.1),
        front_half_s_m: solved.front_s_m(0, 0.5),
        visible_edge_s_m: solved.visible_edge_s_m(0),
        run_m: solved.run_m(0),
        ridge_m: ridge.map(|r| r.0),
        ridge_s_m: ridge.map(|r| r.1),
        rim_minimum_m: solved.rim_minimum_m(0),
        crest_m: crests.map(|c| c.0),
        recess_m: crests.map(|c| c.1),
        relief_kept: window.and_then(|(a, b)| solved.relief_kept(0, a, b)),
        relief_slope_deg: solved.relief_slope_deg(),
        centre_m: solved.centre_m(0),
        melt_past_foot_m3: past,
        pool_width_m: past
            .zip(around)
            .map(|(v, r)| Solution::pool_width_m(v, r, case)),
        front_at_half_precursor_s_m: thin.and_then(|t| t.front_s_m(0, 0.1)),
        colour_edges: edges
            .iter()
            .map(|e| ColourEdgeOut {
                layer: e.layer + 1,
                laid_s_m: e.laid_s_m,
                now_s_m: e.now_s_m,
                roll_m: e.roll_m,
            })
            .collect(),
        smoothed_m: solved.smoothed_m,
        volume_error: solved.volume_error,
        cells: solved.stops[0].h_m.len(),
        steps: solved.work.steps,
        rejected: solved.work.rejected,
        factorisations: solved.work.factorisations,
        meshes: solved.work.meshes,
        solve_ms,
        profile: solved.stops[0].sampled(0.5e-3),
        shares: (case.layers.len() > 1).then(|| solved.shares_sampled(0, 0.5e-3)),
    }
}
