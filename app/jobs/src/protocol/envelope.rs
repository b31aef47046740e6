//! The envelope around every message, and its text form.

use super::protocol_error::ProtocolError;
use super::request::{JobId, Request};
use super::response::Response;
use document::session::TrialId;
use media::Picture;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

/// One message and what the receiver needs to handle it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Envelope<B> {
    /// The request.
    pub id: JobId,
    /// The clip that the message is about; none for messages about the worker itself.
    pub clip: Option<TrialId>,
    /// The message.
    pub body: B,
    /// What travels beside the text.
    pub attachment: Option<Attachment>,
}

/// A browser object that travels beside the text.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Attachment {
    /// A `File`. Copied: the page keeps its own.
    File,
    /// An `ArrayBuffer` of red, green, blue and alpha, one byte each. Transferred.
    Pixels(FrameMeta),
    /// A `VideoFrame`, if the browser does not convert it to pixels. Transferred.
    VideoFrame(FrameMeta),
    /// The `ArrayBuffer` of an earlier `Pixels`, on its way back. Transferred.
    Buffer,
}

impl Attachment {
    /// Whether the sender gives the object up.
    #[must_use]
    pub fn is_transferred(self) -> bool {
        self != Self::File
    }
}

/// Metadata of a frame image.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FrameMeta {
    /// How to display it.
    pub picture: Picture,
    /// Columns of the attachment.
    pub width_px: u32,
    /// Rows of the attachment.
    pub height_px: u32,
}

/// A type that travels as a message of its own.
pub trait Message: Serialize + DeserializeOwned {}

impl Message for Envelope<Request> {}
impl Message for Envelope<Response> {}

/// The text of a message.
///
/// # Errors
/// `NotSent` if the message cannot be written as JSON.
pub fn encode<M: Message>(message: &M) -> Result<String, ProtocolError> {
    serde_json::to_string(message).map_err(|e| ProtocolError::NotSent { reason: e.to_string() })
}

/// The message that a text holds.
///
/// # Errors
/// `NoText` without a text; `Unreadable` if the text is no message of this type.
pub fn decode<M: Message>(text: Option<&str>) -> Result<M, ProtocolError> {
    let text = text.ok_or(ProtocolError::NoText)?;
    serde_json::from_str(text).map_err(|e| ProtocolError::Unreadable { reason: e.to_string() })
}
