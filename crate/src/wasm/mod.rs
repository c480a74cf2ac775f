//! The border to the browser: the only room that names wasm-bindgen, js-sys and web-sys.
//!
//! Takes intents as JSON text from the page's worker; gives plain structs of its own, made of what the other rooms know,
//! and refusals in a potter's words. A panic poisons the instance: there is none here.

#[cfg(target_arch = "wasm32")]
mod ask;
#[cfg(target_arch = "wasm32")]
mod convert;
#[cfg(target_arch = "wasm32")]
mod earlier;
#[cfg(target_arch = "wasm32")]
mod engine;
pub mod json;
pub mod known;
#[cfg(target_arch = "wasm32")]
mod pictures;
#[cfg(target_arch = "wasm32")]
mod places;
pub mod shapes;
#[cfg(target_arch = "wasm32")]
mod share;
pub mod weighed;

#[cfg(target_arch = "wasm32")]
pub use engine::Engine;
