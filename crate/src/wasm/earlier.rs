//! What was known before the newest firing was opened: the same log learned from without what was read of that firing.
//!
//! Takes nothing but the studio that is open; gives, once learned, pictures and sentences of what that firing taught.

use wasm_bindgen::prelude::JsValue;

use super::convert::value;
use super::engine::{Engine, OPTIONS};
use super::known;
use super::pictures::picture;
use crate::draw;
use crate::draw::picture::View;
use crate::learn::Learning;
use crate::learn::posterior::Summary;
use crate::studio::document::Studio;

/// How far that is.
#[derive(Default)]
pub struct Earlier {
    learning: Option<(Studio, Learning)>,
    known: Option<Summary>,
}

/// The firing of which something was read, of the latest day; of two on one day, the later in the list.
fn newest(studio: &Studio) -> Option<&str> {
    let mut newest: Option<(&str, &str)> = None;
    for firing in &studio.firings {
        let day = firing.day.as_deref().unwrap_or("");
        let is_read = studio.entries.iter().any(|entry| {
            entry.outcome.is_some() && entry.firing.as_deref() == Some(firing.id.as_str())
        });
        if is_read && newest.is_none_or(|(_, latest)| day >= latest) {
            newest = Some((&firing.id, day));
        }
    }
    newest.map(|(id, _)| id)
}

impl Engine {
    /// Starts to learn without the newest firing; gives that firing's identifier, or `undefined` where nothing of any was read.
    pub fn earlier_start(&mut self) -> Option<String> {
        let id = newest(&self.studio)?.to_string();
        if self.earlier.known.is_none() {
            let mut studio = self.studio.clone();
            studio
                .entries
                .retain(|entry| entry.firing.as_ref() != Some(&id));
            let learning = Learning::start(&studio, &OPTIONS);
            self.earlier.learning = Some((studio, learning));
        }
        Some(id)
    }

    /// Goes on a little; gives the share that is done, 1 when it is learned.
    pub fn earlier_step(&mut self) -> f64 {
        let Some((studio, mut learning)) = self.earlier.learning.take() else {
            return 1.0;
        };
        let progress = learning.step();
        if progress.ready {
            self.earlier.known = Some(learning.finish(&studio).summary);
            return 1.0;
        }
        self.earlier.learning = Some((studio, learning));
        progress.done.clamp(0.0, 0.999)
    }

    /// What the newest firing taught: its glazes before and after it, and the largest changes in sentences; nulls until it is learned.
    pub fn earlier_known(&self, width_px: f64) -> JsValue {
        let both = js_sys::Array::new();
        if let Some(before) = &self.earlier.known {
            let now = &self.posterior.summary;
            let view = View {
                width_px,
                height_px: 320.0,
                prefix: "known-e",
            };
            both.push(&picture(&draw::known::glazes(
                &self.studio,
                now,
                Some(before),
                &view,
            )));
            both.push(&value(&known::changed(&self.studio, before, now)));
        }
        both.into()
    }
}
