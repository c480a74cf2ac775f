//! The `learn` door: its keys, its refusals.

use crate::run::{answer, door, top};
use serde_json::Value;

fn demo() -> String {
    std::fs::read_to_string(top().join("fixtures/demo/studio.json")).unwrap()
}

fn numbers(value: &Value, keys: &[&str]) {
    for key in keys {
        assert!(value[key].is_number(), "{key} in {value}");
    }
}

#[test]
fn every_key_is_there() {
    let known = answer(
        "learn",
        &format!(r#"{{"studio": {}, "draws": 64}}"#, demo()),
    );
    for glaze in known["glazes"].as_array().unwrap() {
        assert!(glaze["id"].is_string());
        numbers(&glaze["log10_phi"], &["mean", "sd"]);
        numbers(glaze, &["entries"]);
    }
    for hand in known["hands"].as_array().unwrap() {
        numbers(&hand["ln_laydown"], &["mean", "sd"]);
    }
    assert!(
        known["pairs"].is_array() && known["firings"].is_array() && known["odd_entries"].is_array()
    );
    for key in [
        "retention_mm2",
        "mixing",
        "thinning_per_coat",
        "noise_decades",
    ] {
        numbers(&known[key], &["p05", "p50", "p95"]);
    }
    numbers(
        &known["calibration"],
        &["coverage_80", "brier_foot", "entries"],
    );
    numbers(&known, &["effective_draws", "learn_ms"]);
    assert_eq!(known["scale_known"], true, "the demo has weigh-ins");
    assert_eq!(known["calibration"]["entries"], 60);
}

/// Status 2, nothing on standard output, and words that name the place.
#[test]
fn a_bad_document_is_refused_in_words() {
    for (input, words) in [
        ("{}", "studio: \"studio\" is missing. Add it."),
        ("[]", "studio: \"studio\" is missing. Add it."),
        (r#"{"studio": {"format": "x"}}"#, "format"),
        (
            r#"{"studio": {}, "draw": 5}"#,
            "draw: \"draw\" is not something that is kept here.",
        ),
        ("[", "cannot be read from line 1, letter 2, on"),
    ] {
        let output = door("learn", input);
        assert_eq!(output.status.code(), Some(2), "{input}");
        assert!(output.stdout.is_empty());
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains(words), "{input}: {said}");
    }
}
