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
        (
            r#""plans":"#,
            r#""seed":1,"seed":2,"plans":"#,
            "seed: \"seed\" stands here twice.",
        ),
        (
            r#""plans":"#,
            r#""seed":1e3,"plans":"#,
            "seed: 1e3 is not a whole number",
        ),
        (r#"{"studio""#, r#"{{"studio""#, "from line 1, letter 2, on"),
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

/// Plans must be there, as a list; no plans at all are an empty answer.
#[test]
fn plans_are_a_list() {
    let text = example();
    let (studio, _) = text.split_once("\"plans\":").unwrap();
    for (plans, words) in [
        ("\"plans\":7}", "plans: A list in [ ] belongs here"),
        ("\"draws\":16}", "plans: \"plans\" is missing. Add it."),
    ] {
        let output = door("predict", &format!("{studio}{plans}"));
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains(words), "{words}: {said}");
    }
    let none = answer("predict", &format!("{studio}\"plans\":[],\"draws\":16}}"));
    assert_eq!(none.as_array().map(Vec::len), Some(0));
}

/// Longest-of-13 median run in mm on a jar at the priors, through the door, as the model's note gives it for a feel: 3 stiff 0, 3 medium 0, 6 medium 0.8, 3 fluid
/// 15, 4 fluid 30, 3 medium and 3 fluid 20.
///
/// A third and 1 mm, and 2.2 mm below: the note's figures are gravity's, and the film is up to a capillary length behind; they are rounded and leave out that
/// later coats go on thinner (a twentieth for four coats, a tenth for six), and one opinion in ten on a glaze is held to be wrong here.
#[test]
fn the_feel_of_a_jar() {
    let table: [(&[(&str, u32)], f64); 6] = [
        (&[("stiff", 3)], 0.0),
        (&[("medium", 3)], 0.0),
        (&[("medium", 6)], 0.8),
        (&[("fluid", 3)], 15.0),
        (&[("fluid", 4)], 30.0),
        (&[("medium", 3), ("fluid", 3)], 20.0),
    ];
    let mut plans = Vec::new();
    for (at, (layers, _)) in table.iter().enumerate() {
        let layers: Vec<String> = layers
            .iter()
            .map(|(glaze, coats)| {
                format!(
                    r#"{{"glaze":"{glaze}","zone":{{"from_mm":0,"to_mm":150}},"how":{{"method":"brush","coats":{coats}}},"sg":1.45}}"#
                )
            })
            .collect();
        plans.push(format!(
            r#"{{"id":"p{at}","code":"P{at}","name":"","form":"jar","layers":[{}]}}"#,
            layers.join(",")
        ));
    }
    let glaze = |kind: &str| {
        format!(r#"{{"id":"{kind}","name":"{kind}","kind":"{kind}","usual_sg":1.45}}"#)
    };
    let text = format!(
        r#"{{"studio":{{"format":"glazefall-studio","version":1,"id":"s","name":"S","glazes":[{},{},{}],"forms":[
        {{"id":"jar","name":"Jar","shape":{{"family":"mug","height_mm":300,"rim_diameter_mm":100,"foot_diameter_mm":100}}}}]}},"plans":[{}],"draws":512}}"#,
        glaze("stiff"),
        glaze("medium"),
        glaze("fluid"),
        plans.join(",")
    );
    let answer = answer("predict", &text);
    for (found, (layers, mm)) in answer.as_array().unwrap().iter().zip(table) {
        let run = found["run_mm"]["p50"].as_f64().unwrap();
        assert!(
            run <= 1.33 * mm + 1.0 && run >= mm / 1.33 - 1.0 - 2.2,
            "{layers:?}: {run} mm, not {mm}"
        );
    }
}
