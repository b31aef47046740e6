//! Bytes of a clip turned into samples to decode. Pure.

mod codec;
mod container;
mod error;
mod fingerprint;
mod mp4;
mod parameter_sets;
mod rotation;
mod timing;
mod track;
mod webm;

pub use codec::Codec;
pub use container::ClipIndex;
pub use error::MediaError;
pub use fingerprint::fingerprint;
pub use rotation::{Orientation, Picture};
pub use timing::{Sample, Shown};
pub use track::{Edit, MOST_SAMPLES, RawSample, RawTrack};
use track::{TOO_MANY, most_samples};
