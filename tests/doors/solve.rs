//! The `solve` door: the exact law, its keys, its refusals.

use crate::run::{answer, door, top};
use glazefall_tests::assert_near;
use serde_json::Value;

/// The README's film: 0.6 mm on a band of 40 mm, Phi 10, upright.
fn example() -> String {
    std::fs::read_to_string(top().join("fixtures/doors/solve.json")).unwrap()
}

fn changed(from: &str, to: &str) -> String {
    let text = example().replacen(from, to, 1);
    assert_ne!(text, example(), "{from}");
    text
}

/// Without surface tension the front stands where Jeffreys and Huppert put it: run 27/4 (h0 ℓ)² k Phi to the third, less ℓ, with k = rho g/3; and twice
/// the thickness, while the band's middle is at full thickness, goes four times as far. By hand: 0.6 mm, 40 mm, rho 2232.5, Phi 10 → 25.71115 mm; 0.1 and 0.2 mm, Phi 20 →
/// 1.459556 and 5.838226 mm. The cell in which the law's front stands is a nanometre wide.
#[test]
fn gravity_alone_is_the_exact_law() {
    for (thickness, phi, run_mm) in [
        ("0.0006", "10", 25.711_15),
        ("0.0001", "20", 1.459_556),
        ("0.0002", "20", 5.838_226),
    ] {
        let text = changed("\"gamma_n_per_m\":0.33", "\"gamma_n_per_m\":0")
            .replacen(
                "\"thickness_m\":0.0006",
                &format!("\"thickness_m\":{thickness}"),
                1,
            )
            .replacen("\"phi_per_pa\":10", &format!("\"phi_per_pa\":{phi}"), 1);
        let found = answer("solve", &text);
        let mm = |key: &str| 1e3 * found[key].as_f64().unwrap();
        assert_near(mm("run_m"), run_mm, 1e-4);
        assert_near(mm("front_s_m"), 60.0 + run_mm, 1e-4);
        assert_near(mm("front_half_s_m"), 60.0 + run_mm, 1e-4);
    }
}

/// Every key of the contract stands there; with surface tension the run is the converged film's, 21.17 mm (see `film_band`; half its precursor's own shift of 0.5 mm).
#[test]
fn every_key_is_there() {
    let text = changed(
        "\"relief\":null",
        r#""relief":{"amplitude_m":1e-4,"wavelength_m":5e-3,"crest_at_s_m":0.03,"from_s_m":0.02,"to_s_m":0.06,"window_from_s_m":0.03,"window_to_s_m":0.04,"stokes_correction":true}"#,
    )
    .replacen(
        "}],\n\"pair_shifts\":[]",
        r#"},{"thickness_m":0.0002,"phi_per_pa":20,"from_s_m":0.02,"to_s_m":0.04}],
"pair_shifts":[{"over":2,"under":1,"decades":0.25}]"#,
        1,
    );
    let found = answer("solve", &text);
    for key in [
        "front_s_m",
        "front_half_s_m",
        "visible_edge_s_m",
        "ridge_m",
        "crest_m",
        "recess_m",
        "relief_kept",
        "centre_m",
        "melt_past_foot_m3",
        "smoothed_m",
        "volume_error",
        "cells",
        "steps",
        "rejected",
        "solve_ms",
    ] {
        assert!(found[key].is_number(), "{key}: {}", found[key]);
    }
    // An upright tile has no rim.
    assert_eq!(found["rim_minimum_m"], Value::Null);
    let places: Vec<f64> = (found["profile"].as_array().unwrap().iter())
        .map(|at| at[0].as_f64().unwrap())
        .collect();
    assert!(
        places
            .windows(2)
            .all(|w| w[1] - w[0] <= 0.5e-3 * (1.0 + 1e-9))
    );
    assert_eq!(found["shares"].as_array().unwrap().len(), 2);
    let plain = answer("solve", &example());
    assert_near(1e3 * plain["run_m"].as_f64().unwrap(), 21.17, 0.1);
    assert_eq!(plain["shares"], Value::Null);
    assert_eq!(plain["relief_kept"], Value::Null);
    // Keys in another order, and those that may be left out left out, are the same film.
    let short = r#"{"layers_wall_first":[{"to_s_m":0.06,"from_s_m":0.02,"phi_per_pa":10,"density_kg_per_m3":2232.5,"thickness_m":6e-4}],
        "profile":{"pieces":[{"angle_deg":-90,"line_m":0.2}],"foot_s_m":0.15}}"#;
    assert_eq!(answer("solve", short)["run_m"], plain["run_m"]);
}

/// Status 2, nothing on standard output, and words that name the place, what is wrong and what to do.
#[test]
fn bad_documents_are_refused_in_words() {
    let relief = |window: &str| {
        format!(
            r#""relief":{{"amplitude_m":1e-4,"wavelength_m":5e-3,"crest_at_s_m":0.03,"from_s_m":0.02,"to_s_m":0.06,{window}}}"#
        )
    };
    let shift = |over: u32, under: u32| {
        format!(r#""pair_shifts":[{{"over":{over},"under":{under},"decades":0.1}}]"#)
    };
    for (from, to, words) in [
        (
            "0.0006",
            "-0.0006",
            "layers_wall_first[0].thickness_m: -0.0006 is not between 0 and 0.02 m.",
        ),
        ("0.0006", "0.6", "so 0.3 mm is 0.0003."),
        (
            "0.0006",
            "\"0.0006\"",
            "layers_wall_first[0].thickness_m: A number belongs here",
        ),
        ("0.0006", "NaN", "from line 3, letter 37, on"),
        ("0.0006", "1e400", "cannot be read"),
        (
            "\"line_m\":0.2",
            "\"line_m\":1e308",
            "profile.pieces[0].line_m: 1e308 is not between",
        ),
        (
            "\"line_m\":0.2",
            "\"line_m\":null",
            "profile.pieces[0]: This is neither a line nor an arc.",
        ),
        (
            "\"line_m\":0.2",
            "\"line_mm\":200",
            "Did you mean \"line_m\"?",
        ),
        ("\"foot_s_m\":0.15", "\"foot_s_m\":0.25", "the foot's place"),
        (
            "\"to_s_m\":0.06",
            "\"to_s_m\":0.3",
            "layers_wall_first[0].to_s_m: It goes from 0.02 to 0.3 m",
        ),
        (
            "\"from_s_m\":0.02",
            "\"from_s_m\":0.07",
            "layers_wall_first[0].to_s_m: It goes from 0.07 to 0.06 m",
        ),
        ("0.0006", "-0", "no layer has any thickness"),
        (
            "\"relief\":null",
            &relief("\"window_to_s_m\":1e9"),
            "relief.window_to_s_m: 1e9 is not between",
        ),
        (
            "\"relief\":null",
            &relief("\"window_from_s_m\":0.19,\"window_to_s_m\":0.05"),
            "relief.window_to_s_m: It goes from 0.19 to 0.05 m",
        ),
        (
            "\"pair_shifts\":[]",
            &shift(1, 1),
            "pair_shifts[0]: Layer 1 does not lie over layer 1.",
        ),
        (
            "\"pair_shifts\":[]",
            &shift(2, 1),
            "pair_shifts[0]: Layer 2 does not lie over layer 1.",
        ),
        (
            "\"mixing\":0.7",
            "\"mixing\":0.7,\"mixing\":0.7",
            "mixing: \"mixing\" stands here twice.",
        ),
        (
            "\"mixing\":0.7",
            "\"mixing\":true",
            "mixing: A number belongs here",
        ),
        ("{\"profile\"", "[{\"profile\"", "cannot be read"),
    ] {
        let output = door("solve", &changed(from, to));
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{to}: {said}");
        assert!(
            output.stdout.is_empty() && said.contains(words),
            "{to}: {words}: {said}"
        );
    }
}
