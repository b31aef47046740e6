//! From the bytes of a clip to samples for the decoder. Pure.
//!
//! [`ClipIndex::read`] reads MP4, MOV, WebM and Matroska: which codec, where each coded frame is, and when it is
//! displayed. The pictures stay unread.
//!
//! ```
//! use media::{ClipIndex, Picture};
//! use std::fs::File;
//!
//! # fn main() -> Result<(), media::MediaError> {
//! # let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-clips/clips");
//! let mut file = File::open(format!("{folder}/leg_folding.mp4"))?;
//! let index = ClipIndex::read(&mut file)?;
//! println!("{} frames of {}", index.frame_count(), index.codec.label());
//!
//! // Timestamps begin with the first displayed frame.
//! let stamps_s = index.stamps_s();
//! assert_eq!(stamps_s.len(), 600);
//! assert_eq!(stamps_s[0], 0.0);
//! assert!((stamps_s[120] - 1.0).abs() < 1e-6);
//!
//! // To see frame 100, decode from the last key frame up to its sample.
//! let (sample, _) = index.sample_of(100).unwrap();
//! assert!(index.samples()[index.decode_start(sample)].is_key);
//! # Ok(())
//! # }
//! ```
//!
//! [`Orientation`] and [`Picture`] map between the coded picture and the upright one, in which the runner stands:
//!
//! ```
//! use mechanics::space::Pixel;
//! use media::{Orientation, Picture};
//!
//! // A phone held upright: the matrix of its clips turns by 90° clockwise.
//! let picture = Picture {
//!     coded_width_px: 1920,
//!     coded_height_px: 1080,
//!     square_width_px: 1920,
//!     square_height_px: 1080,
//!     orientation: Orientation::of_matrix(0, 1, -1, 0),
//! };
//! assert_eq!(picture.upright_size_px(), (1080, 1920));
//! let corner = picture.upright_from_coded(Pixel { x_px: 0.0, y_px: 0.0 });
//! assert!((corner.x_px - 1079.0).abs() < 1e-9 && corner.y_px.abs() < 1e-9);
//! ```

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
pub use error::{Limit, MediaError, Part};
pub use fingerprint::fingerprint;
pub use rotation::{Orientation, Picture};
pub use timing::{DisplayFrame, Sample};
