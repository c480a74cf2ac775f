//! The door `solve`: one film case, plain physics, no spread.
//!
//! Reads one JSON document (a file named as argument, or standard input); prints one. A bad document ends with status 2 and its words on
//! standard error.

use glazefall::physics::{
    constants,
    film::{self, Case, Layer, PairShift, Relief, Solution},
    piece::{self, Part, Profile},
};
use serde::{Deserialize, Serialize};
use std::{io::Read, process::ExitCode, time::Instant};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Document {
    profile: ProfileIn,
    #[serde(default)]
    relief: Option<ReliefIn>,
    layers_wall_first: Vec<LayerIn>,
    #[serde(default)]
    pair_shifts: Vec<PairShiftIn>,
    #[serde(default = "usual_mixing")]
    mixing: f64,
    #[serde(default = "usual_gamma")]
    gamma_n_per_m: f64,
    #[serde(default = "usual_contact")]
    contact_deg: f64,
    #[serde(default = "usual_precursor")]
    precursor_m: f64,
    #[serde(default = "usual_accuracy")]
    accuracy: f64,
}

fn usual_mixing() -> f64 {
    glazefall::physics::melt::MIXING_MEAN
}
fn usual_gamma() -> f64 {
    constants::GAMMA
}
fn usual_contact() -> f64 {
    constants::CONTACT_RAD.to_degrees()
}
fn usual_precursor() -> f64 {
    film::PRECURSOR_M
}
fn usual_accuracy() -> f64 {
    film::ACCURACY
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProfileIn {
    axisymmetric: bool,
    #[serde(default)]
    start_radius_m: f64,
    pieces: Vec<PieceIn>,
    #[serde(default)]
    foot_s_m: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PieceIn {
    line_m: Option<f64>,
    angle_deg: Option<f64>,
    arc_radius_m: Option<f64>,
    from_deg: Option<f64>,
    to_deg: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReliefIn {
    amplitude_m: f64,
    wavelength_m: f64,
    crest_at_s_m: f64,
    from_s_m: f64,
    to_s_m: f64,
    #[serde(default)]
    window_from_s_m: Option<f64>,
    #[serde(default)]
    window_to_s_m: Option<f64>,
    #[serde(default)]
    stokes_correction: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LayerIn {
    thickness_m: f64,
    #[serde(default = "usual_density")]
    density_kg_per_m3: f64,
    phi_per_pa: f64,
    from_s_m: f64,
    to_s_m: f64,
}

fn usual_density() -> f64 {
    constants::RHO
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PairShiftIn {
    over: usize,
    under: usize,
    decades: f64,
}

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
    match answer() {
        Ok(text) => {
            println!("{text}");
            ExitCode::SUCCESS
        }
        Err(words) => {
            eprintln!("{words}");
            ExitCode::from(2)
        }
    }
}

fn answer() -> Result<String, String> {
    let text = match std::env::args().nth(1) {
        Some(path) => std::fs::read_to_string(&path)
            .map_err(|e| format!("The file {path} cannot be read: {e}."))?,
        None => {
            let mut text = String::new();
            std::io::stdin()
                .read_to_string(&mut text)
                .map_err(|e| format!("Standard input cannot be read: {e}."))?;
            text
        }
    };
    let document: Document = serde_json::from_str(&text)
        .map_err(|e| format!("The document is not a film case: {e}."))?;
    let profile = profile_of(&document.profile)?;
    let case = case_of(&document, &profile)?;
    let phis = [1.0];
    let clock = Instant::now();
    let solved = film::solve(&case, &phis, document.accuracy)
        .map_err(|e| format!("The film case has no answer: {e}"))?;
    let solve_ms = clock.elapsed().as_secs_f64() * 1e3;
    let answer = report(&document, &case, &solved, solve_ms);
    serde_json::to_string_pretty(&answer).map_err(|e| format!("The answer cannot be written: {e}."))
}

fn profile_of(given: &ProfileIn) -> Result<Profile, String> {
    let mut parts = Vec::with_capacity(given.pieces.len());
    for (i, p) in given.pieces.iter().enumerate() {
        let part = match *p {
            PieceIn {
                line_m: Some(length_m),
                angle_deg: Some(angle),
                arc_radius_m: None,
                from_deg: None,
                to_deg: None,
            } => Part::Line {
                length_m,
                psi_rad: angle.to_radians(),
            },
            PieceIn {
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
                    "profile.pieces, piece {}: a piece is either line_m with angle_deg, or arc_radius_m with from_deg and to_deg.",
                    i + 1
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

fn case_of<'a>(document: &Document, profile: &'a Profile) -> Result<Case<'a>, String> {
    let layers = &document.layers_wall_first;
    let mut shifts = Vec::new();
    for (i, p) in document.pair_shifts.iter().enumerate() {
        if p.over < 1 || p.under < 1 || p.over > layers.len() || p.under > layers.len() {
            return Err(format!(
                "pair_shifts, entry {}: layer numbers run from 1 to {}.",
                i + 1,
                layers.len()
            ));
        }
        shifts.push(PairShift {
            under: p.under - 1,
            over: p.over - 1,
            decades: p.decades,
        });
    }
    for (i, l) in layers.iter().enumerate() {
        if !(0.0..=1e9).contains(&l.phi_per_pa) {
            return Err(format!(
                "layers_wall_first, layer {}: phi_per_pa is {}; it must lie between 0 and 1e9.",
                i + 1,
                l.phi_per_pa
            ));
        }
        if l.density_kg_per_m3.is_nan() || l.density_kg_per_m3 <= 0.0 {
            return Err(format!(
                "layers_wall_first, layer {}: density_kg_per_m3 must be above 0.",
                i + 1
            ));
        }
    }
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
    case.pair_shifts = shifts;
    case.mixing = document.mixing;
    case.gamma_n_per_m = document.gamma_n_per_m;
    case.contact_rad = document.contact_deg.to_radians();
    case.precursor_m = document.precursor_m;
    case.rho_kg_per_m3 = if total > 0.0 {
        weighed / total
    } else {
        usual_density()
    };
    case.relief = document.relief.as_ref().map(|r| Relief {
        amplitude_m: r.amplitude_m,
        wavelength_m: r.wavelength_m,
        crest_at_s_m: r.crest_at_s_m,
        from_s_m: r.from_s_m,
        to_s_m: r.to_s_m,
        stokes_correction: r.stokes_correction,
    });
    Ok(case)
}

fn report(document: &Document, case: &Case, solved: &Solution, solve_ms: f64) -> Answer {
    let window = document.relief.as_ref().map(|r| {
        (
            r.window_from_s_m.unwrap_or(r.from_s_m),
            r.window_to_s_m.unwrap_or(r.to_s_m),
        )
    });
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
