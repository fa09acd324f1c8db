//! Values on their way to JavaScript.

use serde::Serialize;
use serde_wasm_bindgen::Serializer;
use wasm_bindgen::prelude::*;

/// The value as JavaScript has it: objects, arrays, strings, numbers, booleans, null.
pub fn object<T: Serialize>(value: &T) -> Result<JsValue, JsError> {
    value.serialize(&Serializer::json_compatible()).map_err(JsError::from)
}
