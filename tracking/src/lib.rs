//! Follows user-placed markers through grey pictures: pictures go in, points with their certainty come out.
//!
//! Pure: knows no file format and no browser. Every sum is added in one order and no library function rounds, so that every
//! machine computes the same bits.
//!
//! How a place is decided stands on one page: [`track::cost`]. What it was chosen on, in pixels and frames, stands in
//! `scales.rs`.
//!
//! A marker placed in one frame and followed into the next:
//!
//! ```
//! use tracking::image::{GreyFrame, ImagePoint};
//! use tracking::track::{MarkerStart, Mode, State, Tracker};
//!
//! // A sticker of 6 px radius with a dark middle about a place, on grey.
//! let picture = |x: f64, y: f64| -> Vec<u8> {
//!     let level = |k: usize| match ((k % 160) as f64 - x).hypot((k / 160) as f64 - y) {
//!         r if r < 2.0 => 40,
//!         r if r < 6.0 => 230,
//!         _ => 90,
//!     };
//!     (0..160 * 120).map(level).collect()
//! };
//! let (first, second) = (picture(80.0, 60.0), picture(83.0, 58.0));
//! let frame = |bytes| GreyFrame::new(160, 120, 160, bytes);
//!
//! let start = MarkerStart { at: ImagePoint { x_px: 80.0, y_px: 60.0 }, mode: Mode::Sticker };
//! let mut tracker = Tracker::new(frame(&first)?, &[start], &[])?;
//! let sample = tracker.step(frame(&second)?)?[0];
//!
//! assert!(sample.at.distance_px(ImagePoint { x_px: 83.0, y_px: 58.0 }) < 0.1);
//! assert_eq!(sample.state, State::Seen);
//! // Probability of being more than 6 px off, and what it was computed from.
//! assert!(sample.p_wrong < 0.01);
//! assert!(tracker.features(0).unwrap().decorrelation_ratio < 0.05);
//! # Ok::<(), tracking::Error>(())
//! ```
//!
//! Functions that work on whole pictures are never inlined: inside a caller that is compiled for size their loops would be too,
//! and take four times as long.

pub mod camera;
pub mod error;
pub mod image;
pub mod point;
mod scales;
pub mod track;

pub use error::Error;
