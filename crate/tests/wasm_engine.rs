//! The border's contract, kept in a real browser: what the page may send and what it gets back.
#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use glazefall::learn::{self, Options};
use glazefall::predict;
use glazefall::studio::file;
use glazefall::wasm::{Engine, json};
use js_sys::{Array, JSON, Reflect};
use serde::Serialize;
use wasm_bindgen::JsValue;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_dedicated_worker);

const DEMO: &str = include_str!("../../fixtures/demo/studio.json");
const PLAN: &str = "plan-1";

fn get(of: &JsValue, key: &str) -> JsValue {
    Reflect::get(of, &JsValue::from_str(key)).unwrap()
}

fn number(of: &JsValue, path: &[&str]) -> f64 {
    path.iter()
        .fold(of.clone(), |at, key| get(&at, key))
        .as_f64()
        .unwrap()
}

/// The problem of the first refusal thrown.
fn problem(thrown: JsValue) -> String {
    let first = Array::from(&thrown).get(0);
    for key in ["place", "problem", "remedy"] {
        assert!(get(&first, key).is_string(), "{key}: {thrown:?}");
    }
    get(&first, "problem").as_string().unwrap()
}

fn opened() -> Engine {
    let mut engine = Engine::new();
    engine.open(DEMO).unwrap();
    engine
}

#[wasm_bindgen_test]
fn the_core_says_its_version() {
    assert_eq!(Engine::version(), env!("CARGO_PKG_VERSION"));
}

#[wasm_bindgen_test]
fn an_answer_is_a_plain_object_with_units_in_its_names_and_null_for_nothing() {
    let mut engine = opened();
    let outcome = engine.quick(PLAN).unwrap();
    let run = number(&outcome, &["run_mm", "p50"]);
    assert!(run.is_finite() && run >= 0.0);
    assert!(get(&outcome, "verdict").is_string());
    assert!(get(&outcome, "look").is_null() || get(&outcome, "look").is_object());
    let text = String::from(JSON::stringify(&outcome).unwrap());
    assert!(
        !text.contains("null,null,null"),
        "no NaN, which JSON writes as null: {text}"
    );
    let again = engine.quick(PLAN).unwrap();
    assert_eq!(
        text,
        String::from(JSON::stringify(&again).unwrap()),
        "one seed, one answer"
    );
}

/// A struct of the core as the general library, serde-wasm-bindgen, carries it over, key by key.
fn by_the_library<T: Serialize>(of: &T) -> String {
    let carried = of
        .serialize(&serde_wasm_bindgen::Serializer::json_compatible())
        .unwrap();
    String::from(JSON::stringify(&carried).unwrap())
}

/// Against serde-wasm-bindgen: the same keys in the same order, the same text and numbers to the bit.
#[wasm_bindgen_test]
fn answers_cross_as_the_general_library_would_carry_them() {
    let studio = file::read(DEMO).unwrap();
    let options = Options { draws: 64, seed: 1 };
    let known = learn::learn(&studio, &options);
    let plan = studio.entries.iter().find(|one| one.id == PLAN).unwrap();
    let ours = |text: String| String::from(JSON::stringify(&JSON::parse(&text).unwrap()).unwrap());
    let outcome = predict::predict(&studio, &known, plan, 64, 1).unwrap();
    assert_eq!(ours(json::text(&outcome)), by_the_library(&outcome));
    assert_eq!(
        ours(json::text(&known.summary)),
        by_the_library(&known.summary)
    );
    assert_eq!(
        ours(json::text(&known.odd_entries)),
        by_the_library(&known.odd_entries)
    );
    assert_eq!(
        ours(json::text(&known.calibration)),
        by_the_library(&known.calibration)
    );
}

#[wasm_bindgen_test]
fn the_full_answer_comes_in_steps_and_the_chart_cell_by_cell() {
    let mut engine = opened();
    engine.predict_start(PLAN, 64);
    let mut steps = 0;
    loop {
        let part = engine.predict_step().unwrap();
        steps += 1;
        if part.is_object() {
            assert_eq!(number(&part, &["draws"]), 64.0);
            break;
        }
        assert!(steps < 1000);
    }
    engine.chart_start(PLAN, 32).unwrap();
    let mut cells = 0;
    while !engine.chart_done() {
        for cell in Array::from(&engine.chart_step()).iter() {
            let holds = number(&cell, &["p_holds"]);
            assert!((0.0..=1.0).contains(&holds));
            cells += 1;
        }
    }
    assert_eq!(cells, 25);
}

#[wasm_bindgen_test]
fn an_edit_says_what_changed_and_what_takes_it_back() {
    let mut engine = opened();
    let before = engine.document();
    let applied = engine
        .edit(r#"{"kind":"remove","list":"entries","id":"plan-1"}"#)
        .unwrap();
    let changed = Array::from(&get(&applied, "changed"));
    assert_eq!(changed.length(), 1);
    assert!(get(&changed.get(0), "json").is_null());
    let inverse = get(&applied, "inverse").as_string().unwrap();
    engine.edit(&inverse).unwrap();
    let entries = |text: &str| get(&JSON::parse(text).unwrap(), "entries");
    let order = |text: &str| -> Vec<String> {
        Array::from(&entries(text))
            .iter()
            .map(|one| get(&one, "id").as_string().unwrap())
            .collect()
    };
    assert_eq!(order(&before), order(&engine.document()));
}

#[wasm_bindgen_test]
fn what_is_kept_record_by_record_opens_again() {
    let engine = opened();
    let records = engine.records();
    let head = get(&records, "head").as_string().unwrap();
    let triples = Array::new();
    for one in Array::from(&get(&records, "records")).iter() {
        triples.push(&Array::of3(
            &get(&one, "list"),
            &get(&one, "id"),
            &get(&one, "json"),
        ));
    }
    let mut again = Engine::new();
    let opened = again.assemble(&head, &triples);
    assert_eq!(Array::from(&get(&opened, "left_out")).length(), 0);
    assert_eq!(again.document(), engine.document());
}

#[wasm_bindgen_test]
fn wrong_missing_unknown_and_null_are_refused_in_words() {
    let mut engine = opened();
    for text in [
        "",
        "null",
        "{}",
        r#"{"kind":"put"}"#,
        r#"{"kind":"put","list":"entries","record":null}"#,
        r#"{"kind":"remove","list":"entries","id":"nobody"}"#,
        r#"{"kind":"remove","list":"pots","id":"plan-1"}"#,
        r#"{"kind":"dance"}"#,
        r#"{"kind":"name","name":7}"#,
        r#"{"kind":"name","name":"x","extra":1}"#,
    ] {
        assert!(
            !problem(engine.edit(text).unwrap_err()).is_empty(),
            "{text}"
        );
    }
    assert!(!problem(engine.quick("nobody").unwrap_err()).is_empty());
    assert!(!problem(engine.open("{\"format\":\"other\"}").unwrap_err()).is_empty());
    assert!(!problem(engine.fresh("pots", "x").unwrap_err()).is_empty());
    assert!(!problem(engine.read("6 cubits", "length_mm").unwrap_err()).is_empty());
    assert_eq!(
        number(&engine.read("6,5 cm", "length_mm").unwrap(), &["value"]),
        65.0
    );
    assert!(engine.quick(PLAN).is_ok(), "still sound after refusals");
}

#[wasm_bindgen_test]
fn every_picture_has_its_words_and_no_script_or_style() {
    let mut engine = opened();
    for moment in [0, 3, -1] {
        let drawn = engine.pot(PLAN, moment, "rim", 600.0, 480.0).unwrap();
        let svg = get(&drawn, "svg").as_string().unwrap();
        assert!(svg.starts_with("<svg"));
        assert!(!svg.contains("<script") && !svg.contains(" style=") && !svg.contains("<style"));
        assert!(get(&drawn, "words").as_string().unwrap().len() > 20);
    }
}
