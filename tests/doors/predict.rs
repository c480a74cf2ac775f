//! The `predict` door: its keys, its refusals.

use crate::run::{answer, door, top};
use serde_json::Value;

fn example() -> String {
    std::fs::read_to_string(top().join("fixtures/doors/predict.json")).unwrap()
}

fn numbers(value: &Value, keys: &[&str]) {
    for key in keys {
        assert!(value[key].is_number(), "{key} in {value}");
    }
}

#[test]
fn every_key_is_there() {
    let answer = answer("predict", &example());
    let outcomes = answer.as_array().unwrap();
    assert_eq!(outcomes.len(), 2);
    for outcome in outcomes {
        for layer in outcome["layers"].as_array().unwrap() {
            numbers(&layer["raw_um"], &["p05", "p50", "p95"]);
            numbers(&layer["fired_um"], &["p05", "p50", "p95"]);
        }
        numbers(&outcome["fired_total_um"], &["p05", "p50", "p95"]);
        numbers(&outcome["run_mm"], &["p05", "p10", "p50", "p90", "p95"]);
        numbers(
            outcome,
            &[
                "p_moves",
                "p_reaches_foot",
                "p_on_shelf",
                "bare_foot_mm",
                "predict_ms",
            ],
        );
        assert!(outcome["id"].is_string() && outcome["advice"].as_str().unwrap().ends_with('.'));
        assert!(outcome["most_safe_coats"].is_number() && outcome.get("cookie_mm").is_some());
        assert!(outcome.as_object().unwrap().contains_key("look"));
        for unknown in outcome["hangs_on"].as_array().unwrap() {
            assert!(unknown["what"].is_string() && unknown["share"].is_number());
        }
    }
    numbers(&outcomes[0]["relief_kept"], &["p10", "p50", "p90"]);
    assert!(outcomes[0]["p_relief_over_half"].is_number());
    assert!(outcomes[1]["relief_kept"].is_null() && outcomes[1]["p_relief_over_half"].is_null());
}

/// Status 2, nothing on standard output, and words that name the place.
#[test]
fn bad_documents_are_refused_in_words() {
    for (from, to, words) in [
        (
            r#""glaze":"medium""#,
            r#""glaze":"gone""#,
            "plans[0].layers[0].glaze",
        ),
        (
            r#""coats":2"#,
            r#""coats":0"#,
            "plans[0].layers[0].how.coats",
        ),
        (
            r#""usual_sg":1.45"#,
            r#""usual_sg":145"#,
            "glazes[0].usual_sg",
        ),
        (r#""plans":"#, r#""draws":3,"plans":"#, "draws"),
        (r#""plans":"#, r#""plan":[],"plans":"#, "plan:"),
        (r#"{"studio""#, r#"{{"studio""#, "Not JSON"),
    ] {
        let text = example().replacen(from, to, 1);
        assert_ne!(text, example(), "{from}");
        let output = door("predict", &text);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(
            output.stdout.is_empty() && said.contains(words),
            "{words}: {said}"
        );
    }
}
