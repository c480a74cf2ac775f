//! How far the quick law of a run is from the film on the piece, kind by kind of piece and stack.
//!
//! `cargo run --release -p glazefall-tests --example forward_error [cases] [seed]`

use glazefall::chacha::ChaCha8Rng;
use glazefall_tests::against_film::{FORMS, both, stack};
use rand::SeedableRng;

fn main() {
    let asked: Vec<u64> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let (cases, seed) = (
        asked.first().copied().unwrap_or(12),
        asked.get(1).copied().unwrap_or(1),
    );
    let verbose = asked.len() > 2;
    println!("piece       stack     n   film p50   error: mean  p50|.|  p90|.|  worst");
    for (name, form, wall) in FORMS {
        for kind in ["one", "two", "stepped", "three", "onto"] {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            let (mut errors, mut films) = (Vec::new(), Vec::new());
            for _ in 0..cases {
                let (layers, log10_phi) = stack(kind, wall, &mut rng);
                let Some(runs) = both(form, &layers, &log10_phi, kind == "onto", &mut rng) else {
                    continue;
                };
                for (film, law, line) in runs {
                    if verbose && (film - law).abs() > 0.004 + 0.2 * film.max(law) {
                        println!("    {line}: film {:.1} law {:.1}", film * 1e3, law * 1e3);
                    }
                    // What matters is being right up to some centimetres; both far is far.
                    if film.max(law) > 2e-4 {
                        errors.push((law.min(0.06) - film.min(0.06)) * 1e3);
                        films.push(film * 1e3);
                    }
                }
            }
            if errors.is_empty() {
                continue;
            }
            let n = errors.len();
            let mean = errors.iter().sum::<f64>() / n as f64;
            let mut size: Vec<f64> = errors.iter().map(|e| e.abs()).collect();
            size.sort_by(f64::total_cmp);
            films.sort_by(f64::total_cmp);
            println!(
                "{name:10}  {kind:8} {n:3}   {:6.1}       {mean:6.2}  {:6.2}  {:6.2}  {:6.2}",
                films[n / 2],
                size[n / 2],
                size[n * 9 / 10],
                size[n - 1]
            );
        }
    }
}
