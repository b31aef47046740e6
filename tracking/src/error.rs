//! What can be wrong with the tracker's input.

use thiserror::Error;

/// Why a picture or a marker cannot be used: what is wrong, then what to do.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum Error {
    /// The bytes do not make a picture of that size.
    #[error(
        "a picture of {width_px}×{height_px} with rows of {stride_bytes} bytes needs more than {have_bytes} bytes: decode the frame again"
    )]
    Picture {
        /// Width.
        width_px: usize,
        /// Height.
        height_px: usize,
        /// Bytes from one row to the next.
        stride_bytes: usize,
        /// Bytes given.
        have_bytes: usize,
    },
    /// The chroma planes do not fit the picture.
    #[error(
        "the colour of a picture of {width_px}×{height_px} needs {need_bytes} bytes and has {have_bytes}: decode the frame again"
    )]
    Colour {
        /// Width of the picture.
        width_px: usize,
        /// Height of the picture.
        height_px: usize,
        /// Bytes that each of the two planes needs.
        need_bytes: usize,
        /// Bytes given.
        have_bytes: usize,
    },
    /// A marker was placed outside the picture.
    #[error("marker {marker} lies outside the picture: place it again")]
    Outside {
        /// Its index, from zero.
        marker: usize,
    },
    /// A limb names a marker that does not exist.
    #[error("a limb names marker {marker} of {have}: name the limbs after the markers are placed")]
    NoSuchMarker {
        /// Its index, from zero.
        marker: usize,
        /// How many markers exist.
        have: usize,
    },
    /// The frames of a pass are not of one size.
    #[error("the pass began with {first:?} pixels and goes on with {now:?}: begin it again")]
    Size {
        /// Width and height of the first frame.
        first: (usize, usize),
        /// Width and height of this one.
        now: (usize, usize),
    },
}
