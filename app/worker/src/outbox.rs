//! Sends messages to the page, and reads the text and the attachment of messages from the page.

use crate::buffer_pool::{BufferPool, FrameImage};
use crate::js_error::reason;
use document::session::TrialId;
use jobs::protocol::{
    ATTACHMENT, Attachment, Envelope, JobError, JobId, ProtocolError, Request, Response, TEXT,
    decode, encode,
};
use js_sys::{Array, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::DedicatedWorkerGlobalScope;

/// The way to the page.
pub struct Outbox {
    scope: DedicatedWorkerGlobalScope,
    /// Buffers for frame images.
    pub pool: BufferPool,
}

/// What a response is about.
#[derive(Clone, Copy)]
pub struct Address {
    /// The request.
    pub id: JobId,
    /// The clip, if it is about one.
    pub clip: Option<TrialId>,
}

impl Address {
    /// Of messages about the worker itself.
    pub const WORKER: Self = Self { id: JobId::NONE, clip: None };
}

impl Outbox {
    /// An outbox of this worker.
    pub fn new(scope: DedicatedWorkerGlobalScope) -> Self {
        Self { scope, pool: BufferPool::default() }
    }

    /// Milliseconds since the worker began.
    pub fn now_ms(&self) -> f64 {
        self.scope.performance().map_or(0.0, |p| p.now())
    }

    /// Sends a response.
    pub fn send(&self, to: Address, body: Response) {
        self.send_with(to, body, None);
    }

    /// Sends a response with a frame image, which then belongs to the page. If that fails, the page learns why.
    pub fn send_with(&self, to: Address, body: Response, image: Option<FrameImage>) {
        if let Err(error) = self.try_send(to, body, image) {
            let failed = Response::Failed(JobError::Protocol(error));
            // Without a way to the page nobody can learn of a second failure.
            let _ = self.try_send(to, failed, None);
        }
    }

    /// Sends the outcome of a request.
    pub fn send_outcome(&self, to: Address, outcome: Result<Response, JobError>) {
        self.send(to, outcome.unwrap_or_else(Response::Failed));
    }

    fn try_send(
        &self,
        to: Address,
        body: Response,
        image: Option<FrameImage>,
    ) -> Result<(), ProtocolError> {
        let (attachment, object) = image.map(|i| (i.attachment, i.object)).unzip();
        post(&self.scope, &Envelope { id: to.id, clip: to.clip, body, attachment }, object)
    }
}

/// Posts a message from a worker of this scope.
///
/// # Errors
/// `NotSent` if the message cannot be written or the browser refuses it.
pub fn post(
    scope: &DedicatedWorkerGlobalScope,
    envelope: &Envelope<Response>,
    object: Option<JsValue>,
) -> Result<(), ProtocolError> {
    let message = Object::new();
    let transfer = Array::new();
    // Setting a property of a plain object never fails.
    let _ = Reflect::set(&message, &TEXT.into(), &encode(envelope)?.into());
    if let Some(object) = object {
        let _ = Reflect::set(&message, &ATTACHMENT.into(), &object);
        if envelope.attachment.is_some_and(Attachment::is_transferred) {
            transfer.push(&object);
        }
    }
    let posted = scope.post_message_with_transfer(&message, &transfer);
    posted.map_err(|e| ProtocolError::NotSent { reason: reason(&e) })
}

/// The request in a message, and its attachment.
///
/// # Errors
/// If the message cannot be read.
pub fn read(message: &JsValue) -> Result<(Envelope<Request>, JsValue), ProtocolError> {
    // Only an object has properties; anything else has no text either.
    let property = |name: &str| Reflect::get(message, &name.into()).unwrap_or(JsValue::UNDEFINED);
    Ok((decode(property(TEXT).as_string().as_deref())?, property(ATTACHMENT)))
}

/// An attachment as the type that the request expects.
///
/// # Errors
/// `NoAttachment` if it is missing or something else.
pub fn attached<T: JsCast>(attachment: JsValue) -> Result<T, ProtocolError> {
    attachment.dyn_into().map_err(|_| ProtocolError::NoAttachment)
}
