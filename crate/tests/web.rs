//! The boundary to JavaScript, in a real browser.
#![cfg(target_arch = "wasm32")]
#![allow(missing_docs, reason = "the test macro adds items of its own")]

use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
fn version_is_the_package() {
    assert_eq!(donorack::web::version(), env!("CARGO_PKG_VERSION"));
}
