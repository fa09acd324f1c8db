//! Values on their way to JavaScript.

use js_sys::JSON;
use serde::Serialize;
use wasm_bindgen::prelude::*;

/// The value as JavaScript has it: objects, arrays, strings, numbers, booleans, null.
pub fn object<T: Serialize>(value: &T) -> Result<JsValue, JsError> {
    let text = serde_json::to_string(value).map_err(JsError::from)?;
    JSON::parse(&text).map_err(|_| JsError::new("what the core wrote is no JSON"))
}
