//! What JavaScript can call. The only module that knows it.

use wasm_bindgen::prelude::wasm_bindgen;

/// The version of the core, as in its Cargo.toml.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
