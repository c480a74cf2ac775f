//! The core's own method in another language: what it needs to know, as JSON.
//!
//! Takes a case of one film on one turned piece; gives the clay's angle and bend every 0.1 mm, the film, and the method's numbers.

use glazefall::physics::{
    constants::GRAVITY,
    film::{Case, Method},
};
use serde_json::{Value, json};

/// Distance of the nodes, m: the core's own.
const NODE_M: f64 = 1e-4;

/// The case as the rival reads it.
pub fn written(case: &Case, phi: f64, accuracies: &[f64]) -> String {
    let (profile, lowest) = (case.profile, case.lowest_s_m());
    let length = profile.length_m();
    let n = (length / NODE_M).ceil() as usize + 1;
    let nodes: Vec<f64> = (0..=n).map(|i| (i as f64 * NODE_M).min(length)).collect();
    let places = profile.at_each(&nodes);
    let fine: Vec<[f64; 3]> = profile
        .convex_arcs(20e-3)
        .into_iter()
        .map(|(from, to)| {
            let bends = profile.sample_between(from, to, 0.5e-3);
            let tightest = bends.iter().map(|(_, p)| p.kappa1_per_m);
            [from - 0.5e-3, to + 0.5e-3, tightest.fold(1e-9, f64::max)]
        })
        .collect();
    let layer = &case.layers[0];
    json!({
        "clay": {
            "node_m": NODE_M,
            "length": length,
            "start_r_m": places[0].r_m,
            "psi": places.iter().map(|p| p.psi_rad).collect::<Vec<f64>>(),
            "bend": places.iter().map(|p| -p.kappa1_per_m).collect::<Vec<f64>>(),
        },
        "fine": fine,
        "from": layer.from_s_m,
        "to": layer.to_s_m,
        "thickness": layer.thickness_m,
        "precursor": case.precursor_m,
        "weight": case.rho_kg_per_m3 * GRAVITY,
        "gamma": case.gamma_n_per_m,
        "held": case.held_m2(lowest - 1e-6).unwrap_or(0.0),
        "phi": phi,
        "methods": accuracies.iter().map(|&a| method(a)).collect::<Vec<Value>>(),
    })
    .to_string()
}

fn method(accuracy: f64) -> Value {
    let m = Method::for_accuracy(accuracy);
    json!({
        "accuracy": accuracy, "tolerance": m.tolerance, "absolute": m.absolute, "first": m.first, "grow": m.grow, "safety": m.safety,
        "ramp": m.ramp, "least_m": m.least_m, "most_m": m.most_m, "most_bare_m": m.most_bare_m, "bend": m.bend, "wedge": m.wedge,
        "rim": m.rim, "growth": m.growth, "growth_bare": m.growth_bare, "reach": m.reach, "worst": m.worst, "look_every": m.look_every,
        "stiff": m.stiff, "hold": m.hold, "ahead": m.ahead, "strain": m.strain,
    })
}
