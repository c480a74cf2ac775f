//! The border to the browser: the only place that names wasm-bindgen, js-sys and web-sys.
