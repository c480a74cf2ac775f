//! Layers in the melt against values worked out for two layers, and against one film.

use glazefall::physics::melt::*;
use glazefall_tests::{assert_near, assert_ratio};

/// Layers 0.4 and 0.6 mm from the wall, Phi 0.001 and 0.01 1/Pa → 0.002944 as separate films; two equal layers weigh 7/8 (wall) and 1/8 (top). Exact rationals.
#[test]
fn separate_layers() {
    assert_near(
        separate_phi(&[0.4e-3, 0.6e-3], &[0.001, 0.01]),
        0.002_944,
        1e-12,
    );
    assert_near(separate_phi(&[1.0, 1.0], &[1.0, 0.0]), 7.0 / 8.0, 1e-12);
    assert_near(separate_phi(&[1.0, 1.0], &[0.0, 1.0]), 1.0 / 8.0, 1e-12);
    assert_near(
        separate_log10_phi(&[0.4e-3, 0.6e-3], &[-3.0, -2.0]),
        0.002_944_f64.log10(),
        1e-12,
    );
}

/// Grunberg & Nissan 1949: at equal shares 4 x_i x_j is 1, so the pair shift comes in whole.
#[test]
fn mixed_layers() {
    let d = |lower, upper| {
        assert_eq!((lower, upper), (0, 1));
        0.25
    };
    assert_near(
        mixed_log10_phi(&[1e-4, 1e-4], &[-0.7, 1.5], &d),
        0.4 + 0.25,
        1e-12,
    );
    assert_near(
        mixed_log10_phi(&[3e-4, 1e-4], &[-0.7, 1.5], &d),
        -0.15 + 0.75 * 0.25,
        1e-12,
    );
    // Three layers: each pair once.
    let three = mixed_log10_phi(&[1.0, 1.0, 2.0], &[0.0; 3], &|lower, upper| {
        (10 * lower + upper) as f64
    });
    assert_near(
        three,
        4.0 * (1.0 / 16.0 * 1.0 + 2.0 / 16.0 * 2.0 + 2.0 / 16.0 * 12.0),
        1e-12,
    );
}

/// Between the two, straight in the log; one layer is itself; equal layers are one film whichever way they are counted.
#[test]
fn between() {
    let (h, m) = ([0.4e-3, 0.6e-3], [-3.0, -2.0]);
    let d = |_, _| 0.3;
    let ends = [separate_log10_phi(&h, &m), mixed_log10_phi(&h, &m, &d)];
    for mixing in [0.0, 0.3, 1.0] {
        assert_near(
            stack_log10_phi(&h, &m, &d, mixing),
            ends[0] + mixing * (ends[1] - ends[0]),
            1e-12,
        );
    }
    assert_near(stack_log10_phi(&[5e-4], &[0.7], &d, 0.7), 0.7, 0.0);
    assert_near(
        stack_log10_phi(&[1e-4; 6], &[0.7; 6], &|_, _| 0.0, 0.7),
        0.7,
        1e-12,
    );
}

/// 0.4 and 0.6 mm from the wall, eta 1000 and 100 Pa s, rho 2400, vertical; worked to nine digits. And 0.5/0.5 mm of eta 100 is one film of 1 mm.
#[test]
fn fluxes() {
    let layer = |mm: f64, eta: f64| FluxLayer {
        melt_m: 1e-3 * mm,
        fluidity: 1.0 / eta,
        rho_kg_per_m3: 2400.0,
    };
    let got = layer_fluxes(&[layer(0.4, 1000.0), layer(0.6, 100.0)], 1.0);
    assert_ratio(got[0].q, 1.631_826_56e-9, 1e-8);
    assert_ratio(got[1].q, 2.146_479_552e-8, 1e-9);
    assert_ratio(got[1].u_top, 4.989_623_52e-5, 1e-9);
    let halves = layer_fluxes(&[layer(0.5, 100.0), layer(0.5, 100.0)], 1.0);
    let whole = layer_fluxes(&[layer(1.0, 100.0)], 1.0);
    assert_ratio(halves[0].q, 2.451_662_5e-8, 1e-9);
    assert_ratio(halves[1].q, 5.393_657_5e-8, 1e-9);
    assert_ratio(halves[0].q + halves[1].q, whole[0].q, 1e-12);
    assert_ratio(halves[1].u_top, whole[0].u_top, 1e-12);
}

/// The fluxes of a stack together are what its fluidity as separate layers says: q = rho g sinθ Phi_sep H³/3. Two ways to one number.
#[test]
fn fluxes_and_separate_fluidity_agree() {
    let (h, phi) = ([0.2e-3, 0.35e-3, 0.15e-3], [0.3, 4.0, 0.9]);
    let layers: Vec<_> = h
        .iter()
        .zip(phi)
        .map(|(&melt_m, fluidity)| FluxLayer {
            melt_m,
            fluidity,
            rho_kg_per_m3: 2232.5,
        })
        .collect();
    let together: f64 = layer_fluxes(&layers, 0.8).iter().map(|l| l.q).sum();
    let total: f64 = h.iter().sum();
    assert_ratio(
        together,
        2232.5 * 9.80665 * 0.8 * separate_phi(&h, &phi) * total.powi(3) / 3.0,
        1e-12,
    );
}

/// Layers decades apart do not overflow.
#[test]
fn far_apart() {
    assert_near(
        separate_log10_phi(&[1e-4, 1e-4], &[-400.0, 400.0]),
        400.0 + 0.125_f64.log10(),
        1e-9,
    );
    assert_near(separate_log10_phi(&[1e-4, 0.0], &[0.5, 400.0]), 0.5, 1e-12);
}
