//! The quick law of a run beside fresh solves of the film on the piece: seeded stacks on pieces from tile to wide bowl.
//!
//! Takes a kind of stack and a form; gives runs of the film and of the law at three clocks.

use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::forward::EntryBands;
use glazefall::physics::film::{self, Layer};
use glazefall::physics::tile::RETENTION_M2;
use glazefall::studio::case::Case;
use glazefall::studio::document::{Edge, Entry, Studio};
use rand::RngExt;

/// Forms with how long their wall is, mm.
pub const FORMS: [(&str, &str, f64); 8] = [
    (
        "tile",
        r#""shape":{"family":"tile","width_mm":50,"length_mm":150,"slope_deg":90}"#,
        150.0,
    ),
    (
        "leaning",
        r#""shape":{"family":"tile","width_mm":50,"length_mm":150,"slope_deg":65}"#,
        150.0,
    ),
    (
        "jar",
        r#""shape":{"family":"jar","height_mm":150,"rim_diameter_mm":80,"belly_diameter_mm":110,"foot_diameter_mm":70}"#,
        150.0,
    ),
    (
        "mug",
        r#""shape":{"family":"mug","height_mm":100,"rim_diameter_mm":85,"foot_diameter_mm":75}"#,
        100.0,
    ),
    (
        "bowl",
        r#""shape":{"family":"bowl","height_mm":80,"rim_diameter_mm":160,"foot_diameter_mm":60}"#,
        95.0,
    ),
    (
        "wide bowl",
        r#""shape":{"family":"bowl","height_mm":60,"rim_diameter_mm":200,"foot_diameter_mm":70}"#,
        95.0,
    ),
    (
        "fat jar",
        r#""shape":{"family":"jar","height_mm":160,"rim_diameter_mm":70,"belly_diameter_mm":160,"foot_diameter_mm":80}"#,
        190.0,
    ),
    (
        "vase",
        r#""shape":{"family":"vase","height_mm":200,"rim_diameter_mm":70,"belly_diameter_mm":110,"neck_diameter_mm":45,"foot_diameter_mm":70}"#,
        220.0,
    ),
];

/// From, to (mm down from the rim) and coats.
pub type Zone = (f64, f64, u32);

/// A seeded stack of a kind on a wall: zones, and log10 Phi of each layer.
pub fn stack(kind: &str, wall: f64, rng: &mut ChaCha8Rng) -> (Vec<Zone>, Vec<f64>) {
    let low = (wall * rng.random_range(0.45..0.75)).round();
    let count = match kind {
        "one" => 1,
        "three" => 3,
        _ => 2,
    };
    let mut to = low;
    let mut layers = Vec::new();
    let mut phi = Vec::new();
    for l in 0..count {
        if l > 0 && kind != "two" && rng.random_range(0.0..1.0) < 0.85 || kind == "onto" && l > 0 {
            to = (to - rng.random_range(5.0..30.0_f64)).round().max(15.0);
        }
        let coats = if count == 1 {
            rng.random_range(2..7)
        } else {
            rng.random_range(2..4)
        };
        layers.push((0.0, to, coats));
        phi.push(rng.random_range(-0.3..2.0));
    }
    (layers, phi)
}

/// Runs at three clocks, m: of the film, of the law, and a line that says of what. `onto`: of the edge on glaze.
pub fn both(
    form: &str,
    layers: &[Zone],
    log10_phi: &[f64],
    onto: bool,
    rng: &mut ChaCha8Rng,
) -> Option<Vec<(f64, f64, String)>> {
    let list: Vec<String> = layers.iter().enumerate().map(|(i, (from, to, coats))| format!(
        r#"{{"glaze":"g{i}","zone":{{"from_mm":{from},"to_mm":{to}}},"how":{{"method":"brush","coats":{coats}}}}}"#)).collect();
    let glazes: Vec<String> = (0..layers.len())
        .map(|i| format!(r#"{{"id":"g{i}","name":"g{i}","kind":"medium","usual_sg":1.45}}"#))
        .collect();
    let json = format!(
        r#"{{"format":"glazefall-studio","version":1,"id":"s","name":"s","glazes":[{}],"forms":[{{"id":"f","name":"f",{form}}}],
        "entries":[{{"id":"e","form":"f","layers":[{}]}}]}}"#,
        glazes.join(","),
        list.join(",")
    );
    let studio: Studio = serde_json::from_str(&json).expect("a studio");
    let entry: &Entry = &studio.entries[0];
    let case = match Case::of(&studio, entry) {
        Ok(case) => case,
        Err(e) => {
            println!("{e:?}");
            return None;
        }
    };
    let thick = rng.random_range(0.8..1.6_f64);
    let melt: Vec<f64> = case.melt_m().iter().map(|h| h * thick).collect();
    let bands = EntryBands::of(
        &case,
        if onto {
            Edge::OntoGlaze
        } else {
            Edge::OntoBareClay
        },
    );
    let profile = case.profile.continued(0.1);
    let rim = profile.rim_s_m();
    let mixing = 0.7;
    let mut film_case = film::Case::new(
        &profile,
        case.layers
            .iter()
            .zip(&melt)
            .zip(log10_phi)
            .map(|((l, h), phi)| Layer {
                thickness_m: *h,
                log10_fluidity: *phi,
                from_s_m: rim + l.from_m,
                to_s_m: rim + l.to_m,
            })
            .collect(),
    );
    film_case.mixing = mixing;
    let clocks = [0.3, 1.0, 3.0];
    let solution = match film::solve(&film_case, &clocks, 3e-3) {
        Ok(s) => s,
        Err(e) => {
            println!("{e:?}");
            return None;
        }
    };
    let lowest = rim + case.lowest_m;
    let mut out = Vec::new();
    for (stop, clock) in clocks.iter().enumerate() {
        let film = if onto {
            let edges = solution.colour_edges(stop);
            let own = edges.iter().find(|e| {
                e.layer + 1 == case.layers.len()
                    && (e.laid_s_m - rim - case.layers[e.layer].to_m).abs() < 1e-4
            })?;
            own.now_s_m - own.laid_s_m
        } else {
            solution.visible_edge_for(stop, RETENTION_M2 / bands.bands[0].sin_slope)? - lowest
        };
        let phi: Vec<f64> = log10_phi.iter().map(|p| p + clock.log10()).collect();
        let law = bands.run_m(&melt, &phi, &|_, _| 0.0, mixing, RETENTION_M2);
        out.push((
            film,
            law,
            format!(
                "{:?} h {:?} phi {:?}",
                layers,
                melt.iter().map(|h| (h * 1e6).round()).collect::<Vec<_>>(),
                phi.iter()
                    .map(|p| (p * 100.0).round() / 100.0)
                    .collect::<Vec<_>>()
            ),
        ));
    }
    Some(out)
}
