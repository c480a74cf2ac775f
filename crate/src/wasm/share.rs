//! Learning shared with a helper: a second worker that draws half of the chains by an engine of its own.
//!
//! Takes and gives the numbers that go from one to the other. A helper opens the studio, starts to learn, and goes on from where the first engine has found that sampling
//! starts. What is learned is the same bit for bit whoever draws.

use js_sys::Float64Array;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::JsValue;

use super::engine::Engine;

/// The pair of chains that a helper draws.
const PAIR: usize = 1;
/// From so many entries on it is worth a helper's start.
const FROM: usize = 200;

fn given(numbers: Option<Vec<f64>>) -> JsValue {
    match numbers {
        Some(numbers) => Float64Array::from(numbers.as_slice()).into(),
        None => JsValue::UNDEFINED,
    }
}

fn taken(numbers: &JsValue) -> Vec<f64> {
    match numbers.dyn_ref::<Float64Array>() {
        Some(numbers) => numbers.to_vec(),
        None => Vec::new(),
    }
}

impl Engine {
    /// Leaves a part of the learning that was just started to a helper; gives the document that it is to open, or `undefined` where the log is too short for that.
    pub fn learn_share(&mut self) -> JsValue {
        match &mut self.learning {
            Some(learning) if self.studio.entries.len() >= FROM => {
                learning.leave(1);
                self.document_without_photos().into()
            }
            _ => JsValue::UNDEFINED,
        }
    }

    /// Where a helper is to go on from; `undefined` until that is known.
    pub fn learn_from(&self) -> JsValue {
        given(self.learning.as_ref().and_then(|l| l.start_numbers()))
    }

    /// A helper's part from there, whole; `undefined` where it cannot be done.
    pub fn learn_pair(&mut self, from: &JsValue) -> JsValue {
        let Some(mut learning) = self.learning.take() else {
            return JsValue::UNDEFINED;
        };
        if !learning.start_at(&taken(from), PAIR) {
            return JsValue::UNDEFINED;
        }
        while !learning.step().waits {}
        given(learning.pair_numbers(PAIR))
    }

    /// Takes what a helper gave. With nothing of the kind its part is done here; should it come later, it still counts.
    pub fn learn_put(&mut self, numbers: &JsValue) {
        if let Some(learning) = &mut self.learning {
            learning.put_pair(PAIR, &taken(numbers));
        }
    }
}
