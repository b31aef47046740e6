//! The messages between page and worker.
//!
//! Every message is an [`Envelope`] around a [`Request`] or a [`Response`]. It travels as text under [`TEXT`]; a file, a
//! frame image or a buffer travels beside it under [`ATTACHMENT`], and the envelope says which of them to expect.

mod envelope;
mod job_error;
mod protocol_error;
mod request;
mod response;

pub use envelope::{Attachment, Envelope, FrameMeta, Message, decode, encode};
pub use job_error::JobError;
pub use protocol_error::ProtocolError;
pub use request::{JobId, Request};
pub use response::{Progress, Response, TrackingResult};

/// Property of a browser message that holds the encoded envelope.
pub const TEXT: &str = "text";
/// Property of a browser message that holds the attachment.
pub const ATTACHMENT: &str = "attachment";
