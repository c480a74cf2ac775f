//! Times of the film solver and of its table: `cargo bench --bench film`.

mod cases;

use criterion::{Criterion, criterion_group, criterion_main};
use glazefall::physics::{
    constants::{GAMMA, GRAVITY, RHO},
    film, film_band,
    texture::{self, Across},
    tile::Band,
};
use std::hint::black_box;

fn solves(c: &mut Criterion) {
    let Ok(cases) = cases::ten() else { return };
    let mut group = c.benchmark_group("film");
    group.sample_size(20);
    for fixed in &cases[..9] {
        let case = fixed.case();
        for accuracy in [film::ACCURACY, 1e-2] {
            group.bench_function(format!("{}, accuracy {accuracy:.0e}", fixed.name), |b| {
                b.iter(|| film::solve(black_box(&case), black_box(&fixed.phis), accuracy));
            });
        }
    }
    group.finish();
}

fn table(c: &mut Criterion) {
    for (name, sin_slope) in [("upright", 1.0), ("70°", 0.94)] {
        let band = Band {
            h0_m: 0.5e-3,
            length_m: 0.06,
            sin_slope,
        };
        c.bench_function(&format!("band's run with its slopes, {name}"), |b| {
            let mut phi = 1.0;
            b.iter(|| {
                phi = if phi > 50.0 { 0.5 } else { phi * 1.01 };
                film_band::run_slopes(black_box(&band), phi, 1.4e-6, RHO, GAMMA)
            });
        });
    }
}

fn wavelength(c: &mut Criterion) {
    let film = texture::Film {
        melt_m: 0.3e-3,
        phi_per_pa: 1.5,
        weight_n_per_m3: RHO * GRAVITY,
        gamma_n_per_m: GAMMA,
        sin_slope: 1.0,
    };
    for (name, across) in [("rings", Across::Run), ("flutes", Across::Level)] {
        let waves = texture::Waves {
            wavelength_m: 5e-3,
            depth_m: 1e-3,
            across,
            recess_share: 0.1,
        };
        c.bench_function(&format!("one wavelength of {name}"), |b| {
            b.iter(|| texture::solved(black_box(&waves), black_box(&film)));
        });
    }
}

criterion_group!(benches, solves, table, wavelength);
criterion_main!(benches);
