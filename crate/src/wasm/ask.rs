//! The one door through which the page's worker asks: every question by its name.
//!
//! Takes a name and the values that go with it; gives what the engine's method of that name gives, and throws what it refuses. A
//! door for each would be a third of a kilobyte of wasm for each, and as much script.

use js_sys::Array;
use wasm_bindgen::prelude::*;

use super::convert::unknown;
use super::engine::{Engine, Thrown};

/// What goes with a question. What is missing or of another kind counts as empty or 0, and no answer depends on that.
struct With<'a>(&'a Array);

impl With<'_> {
    #[inline(never)]
    fn text(&self, at: u32) -> String {
        self.0.get(at).as_string().unwrap_or_default()
    }

    #[inline(never)]
    fn number(&self, at: u32) -> f64 {
        self.0.get(at).as_f64().unwrap_or(0.0)
    }

    fn count(&self, at: u32) -> usize {
        self.number(at) as usize
    }

    fn texts(&self, at: u32) -> Vec<String> {
        let list = Array::from(&self.0.get(at));
        let mut texts = Vec::new();
        for at in 0..list.length() {
            texts.push(With(&list).text(at));
        }
        texts
    }
}

#[wasm_bindgen]
impl Engine {
    /// An engine with no studio, for JavaScript.
    #[wasm_bindgen(constructor)]
    pub fn made() -> Self {
        Self::new()
    }

    /// Answers a question.
    pub fn ask(&mut self, name: &str, values: &Array) -> Thrown<JsValue> {
        let with = With(values);
        let (first, second) = (&with.text(0), &with.text(1));
        let number = |at| with.number(at);
        Ok(match name {
            "version" => Self::version().into(),
            "blank" => Self::blank(first, second).into(),
            "open" => self.open(first)?,
            "assemble" => self.assemble(first, &values.get(1)),
            "open_kept" => self.open_kept(first)?,
            "opened" => self.opened(),
            "document" => self.document().into(),
            "document_without_photos" => self.document_without_photos().into(),
            "records" => self.records(),
            "edit" => self.edit(first)?,
            "fresh" => self.fresh(first, second)?,
            "read" => self.read(first, second)?,
            "word_mm" => self.word_mm(first, second)?,
            "unlearned" => self.unlearned().into(),
            "count" => self.count().into(),
            "learn_start" => {
                self.learn_start();
                JsValue::UNDEFINED
            }
            "learn_step" => self.learn_step().into(),
            "learn_share" => self.learn_share(),
            "learn_from" => self.learn_from(),
            "learn_pair" => self.learn_pair(&values.get(0)),
            "learn_put" => {
                self.learn_put(&values.get(0));
                JsValue::UNDEFINED
            }
            "learned" => self.learned(),
            "quick" => self.quick(first)?,
            "predict_start" => {
                self.predict_start(first, with.count(1));
                JsValue::UNDEFINED
            }
            "predict_step" => self.predict_step()?,
            "chart_start" => {
                self.chart_start(first, with.count(1))?;
                JsValue::UNDEFINED
            }
            "chart_step" => self.chart_step(),
            "chart_done" => self.chart_done().into(),
            "pot" => self.pot(first, number(1) as i32, &with.text(2), number(3), number(4))?,
            "lens" => self.lens(first, number(1) as i32, &with.text(2), number(3), number(4))?,
            "firing" => self.firing(first, number(1) as i32, number(2), number(3))?,
            "twenty" => self.twenty(first, number(1), number(2))?,
            "strata" => self.strata(first, number(1), number(2))?,
            "swatches" => self.swatches(number(0), number(1)),
            "moments" => self.moments(first)?,
            "spots" => self.spots(first)?,
            "table_out" => self.table_out(first, values.get(1).is_truthy()).into(),
            "table_in" => self.table_in(first, second)?,
            "merge" => self.merge(first)?,
            "weigh" => self.weigh(
                first,
                second,
                &with.text(2),
                number(3),
                &with.text(4),
                &with.text(5),
                &with.text(6),
                &with.text(7),
                &with.text(8),
            )?,
            "known" => self.known(number(0)),
            "earlier_start" => match self.earlier_start() {
                Some(firing) => firing.into(),
                None => JsValue::UNDEFINED,
            },
            "earlier_step" => self.earlier_step().into(),
            "earlier_known" => self.earlier_known(number(0)),
            "forecast" => self.forecast(first, with.count(1))?,
            "next_tiles" => self.next_tiles(first, with.count(1))?,
            "lesson_start" => self.lesson_start(first, second)?,
            "lesson_look" => self.lesson_look(
                with.count(0),
                with.texts(1),
                number(2),
                number(3),
                number(4),
            )?,
            "trap" => {
                self.trap();
                JsValue::UNDEFINED
            }
            _ => return Err(unknown("question", name, "Reload the page.")),
        })
    }
}
