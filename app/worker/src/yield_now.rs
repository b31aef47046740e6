//! Lets the worker receive what was sent to it in the midst of a long job.

use js_sys::Promise;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::MessageChannel;

/// Waits for a message of its own, which arrives after those that were sent before it.
///
/// A promise alone would not do: those run before any message is received.
pub async fn breathe() {
    let Ok(channel) = MessageChannel::new() else { return };
    let arrived = Promise::new(&mut |resolve, _| channel.port1().set_onmessage(Some(&resolve)));
    if channel.port2().post_message(&JsValue::NULL).is_ok() {
        // It cannot be rejected: nothing calls for that.
        let _ = JsFuture::from(arrived).await;
    }
    channel.port1().close();
}
