//! Relief under the film, against figures of other programs and against exact levelling.

use crate::film::{figures, layer, number, numbers, reference_case, upright};
use glazefall::physics::{
    film::{self, Case, Method, Relief},
    piece::{self, Part, Profile},
    texture,
};
use std::f64::consts::TAU;

fn relief(amplitude_m: f64, wavelength_m: f64, to_s_m: f64) -> Relief {
    Relief {
        amplitude_m,
        wavelength_m,
        crest_at_s_m: 0.0,
        from_s_m: 0.0,
        to_s_m,
        stokes_correction: false,
    }
}

/// A stretch of clay that lies flat.
fn flat(length_m: f64) -> Profile {
    piece::from_parts(
        0.0,
        &[Part::Line {
            length_m,
            psi_rad: 0.0,
        }],
        false,
        None,
    )
    .unwrap()
}

fn near(got: f64, want: f64, within: f64, what: &str) {
    assert!(
        (got / want - 1.0).abs() <= within,
        "{what}: {got} against {want}, within {within}"
    );
}

#[test]
fn a_deep_relief_fills_lying_flat_and_without_gravity() {
    let figures = figures();
    // Half a wavelength, mirrored at crest and recess: periodic.
    let tile = flat(3e-3);
    for (name, rho) in [("flat", 2400.0), ("no_gravity", 0.0)] {
        let f = &figures["relief"][name];
        let mut case = reference_case(&tile, vec![layer(3e-4, 1.0, 0.0, 3e-3)]);
        case.rho_kg_per_m3 = rho;
        case.relief = Some(relief(0.5e-3, 6e-3, 3e-3));
        for (accuracy, within) in [(1e-3, 2e-3), (1e-5, 1e-4)] {
            let solved = film::solve(&case, &[0.3], accuracy).unwrap();
            let (crest, recess) = solved.crest_and_recess_m(0, 0.0, 3e-3).unwrap();
            near(crest, number(&f["crest_m"]), within, name);
            near(recess, number(&f["recess_m"]), within, name);
            if let Some(profile) = f.get("profile") {
                for (x, h) in numbers(&profile["x_m"])
                    .into_iter()
                    .zip(numbers(&profile["h_m"]))
                {
                    near(solved.stops[0].thickness_m(x), h, within * 2.0, "profile");
                }
            }
        }
    }
}

#[test]
fn a_deep_relief_fills_upright() {
    let f = &figures()["relief"]["upright"];
    // Twenty wavelengths on an upright tile; the middle ones do not know of the ends yet.
    let tile = upright(0.12);
    let mut case = reference_case(&tile, vec![layer(3e-4, 1.0, 0.0, 0.12)]);
    case.relief = Some(relief(0.5e-3, 6e-3, 0.12));
    let solved = film::solve(&case, &[0.3], 2e-4).unwrap();
    let (crest, recess) = solved.crest_and_recess_m(0, 0.06, 0.066).unwrap();
    near(crest, number(&f["crest_m"]), 1e-3, "crest");
    near(recess, number(&f["recess_m"]), 1e-3, "recess");
    let (thin, at) = solved.stops[0].thinnest(0.059, 0.065).unwrap();
    near(thin, number(&f["thinnest_m"]), 1e-3, "thinnest");
    assert!(
        (at - 0.06 - number(&f["thinnest_at_m"])).abs() < 0.03e-3,
        "{at}"
    );
}

#[test]
fn a_small_ripple_levels_at_the_exact_rate() {
    // The surface over a clay ripple of 1 µm levels as a ripple of the surface would: γ k⁴ h³/3 (Orchard 1962).
    let (h, wavelength) = (5e-4, 5e-3);
    let tile = flat(0.5 * wavelength);
    let mut case = Case {
        rho_kg_per_m3: 0.0,
        ..reference_case(&tile, vec![layer(h, 1.0, 0.0, 0.5 * wavelength)])
    };
    let rate = number(&figures()["levelling"]["rate_exact_pa"]);
    let k = TAU / wavelength;
    near(
        rate,
        0.32 * k.powi(4) * h.powi(3) / 3.0,
        1e-12,
        "the rate itself",
    );
    // The ripple is a 500th of the film, so steps are held to a small part of that.
    let method = Method {
        tolerance: 1e-8,
        ..Method::for_accuracy(1e-4)
    };
    let finite = glazefall::physics::texture::finite_depth(k * h);
    for (stokes, ratio) in [(false, 1.0), (true, finite)] {
        case.relief = Some(Relief {
            stokes_correction: stokes,
            ..relief(1e-6, wavelength, wavelength)
        });
        let solved = film::solve_by(&case, &[1.0 / (rate * ratio)], &method).unwrap();
        let kept = solved.relief_kept(0, 0.0, 0.5 * wavelength).unwrap();
        // Second order in space: k²dx²/4 is 1e-4 here.
        near(-kept.ln(), 1.0, 3e-4, "rate");
    }
    // Gravity into the wall helps: (γ k² + ρ g) k² h³/3.
    case.rho_kg_per_m3 = 2400.0;
    case.relief = Some(relief(1e-6, wavelength, wavelength));
    let more = rate * (1.0 + 2400.0 * 9.80665 / (0.32 * k * k));
    let kept = film::solve_by(&case, &[1.0 / more], &method)
        .unwrap()
        .relief_kept(0, 0.0, 0.5 * wavelength)
        .unwrap();
    near(-kept.ln(), 1.0, 3e-4, "with gravity");
}

#[test]
fn small_rings_keep_what_the_linear_law_says() {
    // ds/dΦ = −i k G h² (s − b) − (γ k⁴ h³/3) s, the law of the quick answer, on an upright wall.
    let (h, wavelength, amplitude) = (2e-4, 5e-3, 2e-6);
    let tile = upright(0.15);
    let mut case = Case::new(&tile, vec![layer(h, 1.0, 0.0, 0.15)]);
    case.relief = Some(Relief {
        stokes_correction: true,
        ..relief(amplitude, wavelength, 0.15)
    });
    let solved = film::solve(&case, &[1.5], 1e-4).unwrap();
    let kept = solved.relief_kept(0, 0.07, 0.09).unwrap();
    let quick = glazefall::physics::texture::relief_kept(
        &glazefall::physics::texture::Waves {
            wavelength_m: wavelength,
            depth_m: 2.0 * amplitude,
            across: glazefall::physics::texture::Across::Run,
            recess_share: 0.0,
        },
        &glazefall::physics::texture::Film {
            melt_m: h,
            phi_per_pa: 1.5,
            weight_n_per_m3: case.rho_kg_per_m3 * 9.80665,
            gamma_n_per_m: case.gamma_n_per_m,
            sin_slope: 1.0,
        },
    );
    near(kept, quick, 5e-3, "relief kept");
}

/// A relief as the ring of one wavelength takes it, with the figures' melt.
fn on_the_ring(across: texture::Across, depth_m: f64, rho: f64, sin_slope: f64) -> texture::Kept {
    let waves = texture::Waves {
        wavelength_m: 6e-3,
        depth_m,
        across,
        recess_share: 0.0,
    };
    let film = texture::Film {
        melt_m: 3e-4,
        phi_per_pa: 0.3,
        weight_n_per_m3: rho * 9.80665,
        gamma_n_per_m: 0.32,
        sin_slope,
    };
    texture::solved(&waves, &film).unwrap()
}

/// The deep relief of the figures (0.5 mm under a film of 0.3), one wavelength at a time. The ring has the finite-depth correction, which
/// the figures leave out: at 0.3 mm of a 6 mm wave surface tension levels at 0.84 of its rate, so crest and recess differ by that.
#[test]
fn one_wavelength_fills_as_the_whole_film_does() {
    let tile = upright(0.12);
    let flat_tile = flat(3e-3);
    for upright_wall in [true, false] {
        let kept = if upright_wall {
            on_the_ring(texture::Across::Run, 1e-3, 2400.0, 1.0)
        } else {
            on_the_ring(texture::Across::Level, 1e-3, 0.0, 1.0)
        };
        let (profile, length, at) = if upright_wall {
            (&tile, 0.12, (0.06, 0.066))
        } else {
            (&flat_tile, 3e-3, (0.0, 3e-3))
        };
        let mut case = reference_case(profile, vec![layer(3e-4, 1.0, 0.0, length)]);
        if !upright_wall {
            case.rho_kg_per_m3 = 0.0;
        }
        case.relief = Some(Relief {
            stokes_correction: true,
            ..relief(0.5e-3, 6e-3, length)
        });
        let solved = film::solve(&case, &[0.3], 2e-4).unwrap();
        let (crest, recess) = solved.crest_and_recess_m(0, at.0, at.1).unwrap();
        let whole = solved.relief_kept(0, at.0, at.1).unwrap();
        // 28 cells a wave and steps of 0.5 %: the crest comes out 0.5 % off, with twice the cells and a fifth of the tolerance 0.1 %.
        near(kept.crest_m, crest, 6e-3, "crest");
        near(kept.recess_m, recess, 2e-3, "recess");
        if upright_wall {
            // Over half a wave the whole film's own measure is not of one wave alone.
            near(kept.kept, whole, 2e-3, "kept");
        }
    }
}

/// On a shallow relief the ring is the levelling law.
#[test]
fn one_shallow_wavelength_levels_by_the_law() {
    for across in [texture::Across::Run, texture::Across::Level] {
        for (h, phi, share) in [(2e-4, 1.5, 0.0), (1e-4, 6.0, 0.005), (4e-4, 0.2, 0.0)] {
            let waves = texture::Waves {
                wavelength_m: 5e-3,
                depth_m: 4e-6,
                across,
                recess_share: share,
            };
            let film = texture::Film {
                melt_m: h,
                phi_per_pa: phi,
                weight_n_per_m3: 2232.5 * 9.80665,
                gamma_n_per_m: 0.33,
                sin_slope: 1.0,
            };
            let (solved, law) = (
                texture::solved(&waves, &film).unwrap().kept,
                texture::relief_kept(&waves, &film),
            );
            assert!(
                (solved - law).abs() < 0.01,
                "{across:?} {h}: {solved} {law}"
            );
        }
    }
}
