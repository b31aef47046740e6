//! Posts messages to the worker and reads those that come from it.

use super::js_error::reason;
use jobs::protocol::{
    ATTACHMENT, Attachment, Envelope, ProtocolError, Request, Response, TEXT, decode, encode,
};
use js_sys::{Array, Object, Reflect};
use wasm_bindgen::JsValue;
use web_sys::Worker;

/// Posts a request, with the object that its envelope announces.
///
/// # Errors
/// `NotSent` if the message cannot be written or the browser refuses it.
pub(super) fn post(
    worker: &Worker,
    envelope: &Envelope<Request>,
    object: Option<&JsValue>,
) -> Result<(), ProtocolError> {
    let message = Object::new();
    let transfer = Array::new();
    // Setting a property of a plain object never fails.
    let _ = Reflect::set(&message, &TEXT.into(), &encode(envelope)?.into());
    if let Some(object) = object {
        let _ = Reflect::set(&message, &ATTACHMENT.into(), object);
        if envelope.attachment.is_some_and(Attachment::is_transferred) {
            transfer.push(object);
        }
    }
    let posted = worker.post_message_with_transfer(&message, &transfer);
    posted.map_err(|e| ProtocolError::NotSent { reason: reason(&e) })
}

/// The response in a message, and its attachment.
///
/// # Errors
/// If the message cannot be read.
pub(super) fn read(message: &JsValue) -> Result<(Envelope<Response>, JsValue), ProtocolError> {
    // Only an object has properties; anything else has no text either.
    let property = |name: &str| Reflect::get(message, &name.into()).unwrap_or(JsValue::UNDEFINED);
    Ok((decode(property(TEXT).as_string().as_deref())?, property(ATTACHMENT)))
}
