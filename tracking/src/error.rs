//! What can be wrong with what the tracker is given.

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
}
