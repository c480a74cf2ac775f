//! The border's contract, kept in a real browser: what the page may send and what it gets back.
#![cfg(target_arch = "wasm32")]

use glazefall::wasm::Engine;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_dedicated_worker);

#[wasm_bindgen_test]
fn the_core_says_its_version() {
    assert_eq!(Engine::new().version(), env!("CARGO_PKG_VERSION"));
}
