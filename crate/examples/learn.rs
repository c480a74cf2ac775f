//! What the log of a studio says: one JSON document in (a file named as argument, or standard input), one out.
//!
//! In: `{"studio": …}` or a studio document itself, and optionally `draws` (512) and `seed` (1); out: what is known of glazes, pairs, hands and firings, the
//! studio's own numbers, calibration and odd entries. A bad document ends with status 2 and the words that the page would show on standard error.

mod door;
#[path = "door/keys.rs"]
mod keys;

use glazefall::learn::{self, Options};
use glazefall::studio::file;
use keys::{members, must, whole};
use serde_json::{Value, json};
use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    door::open(answer)
}

fn answer(text: &str) -> Result<String, String> {
    let mut options = Options::default();
    let mut studio = None;
    if members(text, &[])?
        .iter()
        .any(|(key, _)| key.as_ref() == "format")
    {
        studio = Some(file::read(text).map_err(|refusal| refusal.to_string())?);
    } else {
        for (key, value) in members(text, &["studio", "draws", "seed"])? {
            match key.as_ref() {
                "studio" => {
                    studio = Some(file::read(value.raw()).map_err(|refusal| refusal.to_string())?)
                }
                "draws" => options.draws = whole(value.raw(), "draws", 16, 8192)? as usize,
                _ => options.seed = whole(value.raw(), "seed", 0, u64::MAX >> 11)?,
            }
        }
    }
    let studio = must("studio", studio)?;
    let started = Instant::now();
    let known = learn::learn(&studio, &options);
    let learn_ms = started.elapsed().as_secs_f64() * 1e3;
    let mut out = serde_json::to_value(&known.summary).map_err(|why| why.to_string())?;
    let studio_numbers = out["studio"].take();
    if let (Value::Object(out), Value::Object(numbers)) = (&mut out, studio_numbers) {
        out.remove("studio");
        out.extend(numbers);
        out.insert("calibration".into(), json!(known.calibration));
        out.insert("odd_entries".into(), json!(known.odd_entries));
        out.insert("learn_ms".into(), json!(learn_ms));
    }
    serde_json::to_string_pretty(&out).map_err(|why| why.to_string())
}
