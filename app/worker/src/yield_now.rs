//! Lets the worker receive messages in the middle of a long job.

use js_sys::Promise;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::MessageChannel;

/// Waits for a message to itself, which arrives after those that were sent before it.
///
/// A promise alone is not enough: promises run before any message is received.
pub async fn yield_now() {
    let Ok(channel) = MessageChannel::new() else { return };
    let arrived = Promise::new(&mut |resolve, _| channel.port1().set_onmessage(Some(&resolve)));
    if channel.port2().post_message(&JsValue::NULL).is_ok() {
        // Nothing rejects this promise.
        let _ = JsFuture::from(arrived).await;
    }
    channel.port1().close();
}
