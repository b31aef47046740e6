//! Clips whose every frame carries its own number, in each kind of file that phones and programs make.

mod alone;
mod boxes;
mod code;
mod kinds;
mod make;
mod watch;

pub use alone::decoded_alone_hz;
pub use boxes::with_filmed_rate;
pub use code::{Spot, draw, number, spots, stretched_tones, tones};
pub use kinds::{Kind, Proof, Surgery, kinds};
pub use make::{Workshop, ffprobe};
pub use watch::{Seen, scrub, visit};
