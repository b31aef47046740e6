//! Clips whose every frame carries its own number, in each kind of file that phones and programs make.

mod boxes;
mod decoder_rate;
mod gray_code;
mod kinds;
mod make;
mod numbered;
mod readback;

pub use boxes::{Matrix, with_filmed_rate};
pub use decoder_rate::decoder_rate_hz;
pub use gray_code::Unreadable;
pub use kinds::{Kind, Proof, Surgery, kinds};
pub use make::{ClipFolder, ffprobe};
pub use numbered::{
    BITS, NumberedClip, Probed, SQUARE_PX, example_clip, example_file, numbered_clips,
};
pub use readback::{ShownFrame, scrub, visit};
