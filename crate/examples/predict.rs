//! Plans against a studio: one JSON document in (a file named as argument, or standard input), one out.
//!
//! In: `{"studio": …, "plans": [entries without an outcome, each with an id], "draws": 512, "seed": 1}`; out: a list of outcomes, one per plan, in
//! their order. A bad document ends with status 2 and the words that the page would show on standard error.

mod door;
#[path = "door/keys.rs"]
mod keys;

use glazefall::learn::{self, Options};
use glazefall::predict;
use glazefall::studio::check;
use glazefall::studio::document::{Entry, Studio};
use glazefall::studio::error::{Cause, Refusal, cut};
use glazefall::studio::file;
use glazefall::studio::json::{Kind, Value};
use keys::{members, must, whole};
use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    door::open(answer)
}

fn answer(text: &str) -> Result<String, String> {
    let (mut studio, mut plans, mut draws, mut seed) = (None, None, 512, 1);
    for (key, value) in members(text, &["studio", "plans", "draws", "seed"])? {
        match key.as_ref() {
            "studio" => {
                studio = Some(file::read(value.raw()).map_err(|refusal| refusal.to_string())?)
            }
            "plans" => plans = Some(items("plans", value, 10_000)?),
            "draws" => draws = whole(value.raw(), "draws", 16, 8192)? as usize,
            _ => seed = whole(value.raw(), "seed", 0, u64::MAX >> 11)?,
        }
    }
    let studio = must("studio", studio)?;
    let plans = must("plans", plans)?;
    let plans = checked(&studio, &plans)?;
    // What the log of this studio has taught so far counts for every plan.
    let known = learn::learn(&studio, &Options { draws, seed });
    let mut outcomes = Vec::with_capacity(plans.len());
    for (at, plan) in plans.iter().enumerate() {
        let started = Instant::now();
        let mut outcome = predict::predict(&studio, &known, plan, draws, seed)
            .map_err(|refusal| format!("plans[{at}].{refusal}"))?;
        outcome.predict_ms = started.elapsed().as_secs_f64() * 1e3;
        outcomes.push(outcome);
    }
    serde_json::to_string_pretty(&outcomes).map_err(|why| why.to_string())
}

/// The plans, checked as entries of the studio.
fn checked(studio: &Studio, plans: &[Value<'_>]) -> Result<Vec<Entry>, String> {
    let mut with_plans = studio.clone();
    with_plans.entries.clear();
    for (at, plan) in plans.iter().enumerate() {
        let entry =
            file::read_record(plan.raw()).map_err(|refusal| format!("plans[{at}].{refusal}"))?;
        with_plans.entries.push(entry);
    }
    check::check(&with_plans).map_err(|refusals| {
        let words: Vec<String> = refusals
            .iter()
            .map(|r| r.to_string().replacen("entries[", "plans[", 1))
            .collect();
        words.join("\n")
    })?;
    Ok(with_plans.entries)
}

/// The items of a list of at most `most`.
fn items<'a>(key: &str, value: Value<'a>, most: usize) -> Result<Vec<Value<'a>>, String> {
    let items = value.items(most);
    let cause = if value.kind() != Kind::List {
        Cause::WrongKind {
            expected: "A list in [ ]",
            found: cut(value.raw()),
        }
    } else if items.len() > most {
        Cause::TooMany {
            count: items.len(),
            limit: most,
        }
    } else {
        return Ok(items);
    };
    Err(Refusal::new(key, cause).to_string())
}
