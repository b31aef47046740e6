//! What the browser reports when a call fails.

use wasm_bindgen::{JsCast, JsValue};

/// The message of a thrown value.
pub(super) fn reason(thrown: &JsValue) -> String {
    let error = thrown.dyn_ref::<js_sys::Error>().map(|e| String::from(e.to_string()));
    error.or_else(|| thrown.as_string()).unwrap_or_else(|| "without a reason".into())
}
