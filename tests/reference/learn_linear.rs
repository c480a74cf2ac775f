//! The engine on the linear part of the model against a general-purpose sampler.
//!
//! Source: `fixtures/learn/linear_posterior.json`, how it was made in the README beside it. Both sides are Monte Carlo: every tolerance is a number of
//! joint standard errors, 4 of them over 15 parameters being passed by chance alone in 999 of 1,000 runs (the seed is fixed).

use glazefall::learn::diagnostics::mixing;
use glazefall::learn::linear::{Linear, LinearRow, Reading};
use glazefall::learn::mode::ModeSearch;
use glazefall::learn::normal::cdf;
use glazefall::learn::prior::Prior;
use glazefall::learn::sampler::{Draws, Plan, Sampling};
use glazefall::learn::settle::Settling;
use serde_json::Value;

const TILES: &str = include_str!("../../fixtures/learn/linear_tiles.csv");
const POSTERIOR: &str = include_str!("../../fixtures/learn/linear_posterior.json");
/// Coordinates: firings 0–4, glazes 5–10, pairs 11–13, noise 14; the fixture has the firings after the pairs.
const PLACE_OF: [usize; 15] = [5, 6, 7, 8, 9, 10, 11, 12, 13, 0, 1, 2, 3, 4, 14];

fn model() -> Linear {
    let mut priors = vec![
        Prior::Normal {
            mean: 0.0,
            sd: 0.15
        };
        5
    ];
    priors.extend(
        [Prior::Normal {
            mean: 0.18,
            sd: 0.60,
        }; 6],
    );
    priors.extend(
        [Prior::Normal {
            mean: 0.15,
            sd: 0.25,
        }; 3],
    );
    priors.push(Prior::HalfNormal {
        scale: 0.30,
        fold: 0.30,
    });
    let mut lines = TILES.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let column = |name: &str| header.iter().position(|h| *h == name).unwrap();
    let (firing, status, value) = (
        column("firing"),
        column("status"),
        column("log10_phi_per_pa"),
    );
    let weights = column("share_g1");
    let rows = lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |i: usize| cells[i].trim().parse::<f64>().unwrap();
            let mut row = LinearRow {
                places: vec![number(firing) as u32 - 1],
                weights: vec![1.0],
                reading: match cells[status] {
                    "read" => Reading::Read(number(value)),
                    "did_not_move" => Reading::Below(number(value)),
                    _ => Reading::Above(number(value)),
                },
            };
            for i in 0..9 {
                let weight = number(weights + i);
                if weight != 0.0 {
                    row.places.push(5 + i as u32);
                    row.weights.push(weight);
                }
            }
            row
        })
        .collect();
    Linear {
        priors,
        separate: 5,
        rows,
    }
}

fn sample(model: &Linear, draws: usize, seed: u64) -> Draws {
    let mut search = ModeSearch::new(model);
    let mode = loop {
        if let Some(mode) = search.step(model) {
            break mode;
        }
    };
    let mut settling = Settling::new(model, mode.at, seed);
    let mode = loop {
        if let Some(mode) = settling.step(model) {
            break mode;
        }
    };
    let plan = Plan {
        pairs: 2,
        warm_up: 200,
        draws,
        seed,
    };
    let mut all = Draws::default();
    for pair in 0..plan.pairs {
        let mut sampling = Sampling::new(model, mode.clone(), plan.clone(), pair);
        let drawn = loop {
            if let Some(draws) = sampling.step(model) {
                break draws;
            }
        };
        all.acceptance += drawn.acceptance / plan.pairs as f64;
        all.kicks = all.kicks.max(drawn.kicks);
        all.chains.extend(drawn.chains);
    }
    all
}

#[test]
fn agrees_with_a_general_purpose_sampler() {
    let model = model();
    let draws = sample(&model, 6000, 1);
    let reference: Value = serde_json::from_str(POSTERIOR).unwrap();
    let order = reference["order"].as_array().unwrap();
    let mut worst: f64 = 0.0;
    let value = |name: usize, point: &[f64]| match PLACE_OF[name] {
        14 => model.priors[14].value(point[14]),
        place => point[place],
    };
    let mut all: Vec<Vec<f64>> = Vec::new();
    for (i, name) in order.iter().enumerate() {
        let chains: Vec<Vec<f64>> = draws
            .chains
            .iter()
            .map(|c| c.iter().map(|p| value(i, p)).collect())
            .collect();
        let mixed = mixing(&chains);
        let mut flat: Vec<f64> = chains.concat();
        let n = flat.len() as f64;
        let mean = flat.iter().sum::<f64>() / n;
        let sd = (flat.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
        all.push(flat.clone());
        flat.sort_unstable_by(f64::total_cmp);
        let known = &reference["parameters"][name.as_str().unwrap()];
        let get = |key: &str| known[key].as_f64().unwrap();
        let error = (sd / mixed.effective.sqrt()).hypot(get("mcse"));
        let z = (mean - get("mean")) / error;
        // An sd's own standard error is sd/√(2 n) for a normal; half as much again for the skewed ones.
        let of_sd = 1.5 * sd * (0.5 / mixed.effective + 0.5 / get("ess")).sqrt();
        let z_sd = (sd - get("sd")) / of_sd;
        println!(
            "{:14} mean {mean:8.4} z {z:5.2}  sd {sd:.4} z {z_sd:5.2}  effective {:7.0} r_hat {:.4}",
            name.as_str().unwrap(),
            mixed.effective,
            mixed.r_hat
        );
        worst = worst.max(z.abs()).max(z_sd.abs());
        assert!(
            z.abs() < 4.0 && z_sd.abs() < 4.0,
            "{name}: mean {z} sd {z_sd}"
        );
        assert!(mixed.r_hat < 1.01, "{name}: {mixed:?}");
        // A quantile's standard error is √(p(1 − p)/n)/density; the normal's density at it, halved for the skewed ones.
        for (p, q) in known["quantiles"].as_object().unwrap() {
            let p: f64 = p.parse().unwrap();
            let at = flat[(p * n) as usize];
            let density =
                glazefall::learn::normal::pdf(glazefall::learn::normal::quantile(p)) / sd / 2.0;
            let error =
                (p * (1.0 - p) * (1.0 / mixed.effective + 1.0 / get("ess"))).sqrt() / density;
            assert!(
                (at - q.as_f64().unwrap()).abs() < 4.0 * error,
                "{name} {p}: {at} against {q}"
            );
        }
    }
    println!(
        "acceptance {:.3}, kicks {}, worst z {worst:.2}",
        draws.acceptance, draws.kicks
    );
    // Correlations: standard error (1 − r²)/√n at the poorer of the two, 11,000 or so.
    let spread: Vec<(f64, f64)> = all
        .iter()
        .map(|x| {
            let n = x.len() as f64;
            let mean = x.iter().sum::<f64>() / n;
            (
                mean,
                (x.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n).sqrt(),
            )
        })
        .collect();
    for i in 0..15 {
        for j in 0..i {
            let n = all[i].len() as f64;
            let both: f64 = all[i]
                .iter()
                .zip(&all[j])
                .map(|(a, b)| (a - spread[i].0) * (b - spread[j].0))
                .sum();
            let r = both / n / (spread[i].1 * spread[j].1);
            let known = reference["correlation"][i][j].as_f64().unwrap();
            assert!((r - known).abs() < 0.05, "{i} {j}: {r} against {known}");
        }
    }
    // Chances that a new tile in a new firing runs over 20 mm, firing and noise integrated out.
    let need = reference["threshold_log10_phi"].as_f64().unwrap();
    for (name, weights) in [
        ("g3 alone", vec![(7, 1.0)]),
        ("g3 over g4, halves", vec![(7, 0.5), (8, 0.5), (13, 1.0)]),
        (
            "g3 over g5, three to one",
            vec![(7, 0.75), (9, 0.25), (11, 0.75)],
        ),
    ] {
        let chance = |p: &Vec<f64>| {
            let mean: f64 = weights.iter().map(|(i, w)| w * p[*i]).sum();
            cdf((mean - need) / 0.15_f64.hypot(model.priors[14].value(p[14])))
        };
        let chains: Vec<Vec<f64>> = draws
            .chains
            .iter()
            .map(|c| c.iter().map(chance).collect())
            .collect();
        let flat = chains.concat();
        let n = flat.len() as f64;
        let mean = flat.iter().sum::<f64>() / n;
        let sd = (flat.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n).sqrt();
        let known = &reference["stacks"][name];
        let error = (sd / mixing(&chains).effective.sqrt()).hypot(known["mcse"].as_f64().unwrap());
        let z = (mean - known["chance_run_over_20mm"].as_f64().unwrap()) / error;
        println!("{name}: {mean:.5} z {z:.2}");
        assert!(z.abs() < 4.0, "{name}: {mean} z {z}");
    }
}

#[test]
fn a_seed_repeats_it_bit_for_bit() {
    let model = model();
    let (one, two) = (sample(&model, 50, 5), sample(&model, 50, 5));
    assert_eq!(one.chains, two.chains);
    assert_ne!(one.chains, sample(&model, 50, 6).chains);
}
