//! The border to the browser: the only place that names wasm-bindgen, js-sys and web-sys.
//!
//! Takes intents from the page's worker; gives what the core answers, or an error in a potter's words.

use wasm_bindgen::prelude::wasm_bindgen;

/// The core, as the page's worker holds it.
#[wasm_bindgen]
#[derive(Debug, Default)]
pub struct Engine {}

#[wasm_bindgen]
impl Engine {
    /// A core that holds no studio yet.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Self {
        Self::default()
    }

    /// The program's version.
    #[must_use]
    pub fn version(&self) -> String {
        env!("CARGO_PKG_VERSION").to_string()
    }
}
