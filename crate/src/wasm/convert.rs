//! From the core's answers to JavaScript's values, and from refusals to what JavaScript throws.
//!
//! Takes serialisable structs; gives plain objects (`null` for what is absent, no maps).

use serde::Serialize;
use wasm_bindgen::JsValue;

use super::json;
use crate::studio::error::{Message, Refusal};

/// A struct as a plain object, by way of its JSON: the browser reads that faster than it takes one key after the other,
/// and in less code. What cannot be one is `undefined`, which the page takes for a trap.
pub fn value<T: Serialize + ?Sized>(of: &T) -> JsValue {
    parsed(&json::text(of))
}

#[inline(never)]
fn parsed(text: &str) -> JsValue {
    js_sys::JSON::parse(text).unwrap_or(JsValue::UNDEFINED)
}

/// What is thrown: a list of refusals, each with place, problem and remedy.
#[inline(never)]
pub fn refused(refusal: Refusal) -> JsValue {
    thrown(refusal.message())
}

/// The same for a refusal made at the border itself.
#[inline(never)]
pub fn said(problem: String, remedy: &str) -> JsValue {
    thrown(Message {
        place: String::new(),
        problem,
        remedy: remedy.to_string(),
    })
}

/// The same where something is asked for by a name that nothing has.
#[inline(never)]
pub fn unknown(what: &str, name: &str, remedy: &str) -> JsValue {
    said(format!("There is no {what} “{name}”."), remedy)
}

#[inline(never)]
fn thrown(message: Message) -> JsValue {
    value(&[message])
}
