//! Generates the demonstration clips: an invented runner on an invented treadmill, with ground truth.
//!
//! `cargo run -p demo-clips` generates `clips/*.mp4`, `clips/*.truth.json` and `clips/example.json`;
//! ffmpeg with libx264 must be installed. `--seed N --rate N --no-stickers --out FOLDER` generates
//! others, `--truth-only` omits the films.
//!
//! `cargo run -p demo-clips -- varied --seed N --rate N --stickers yes|no --camera
//! still|panned|hand-held --course belt|crossing --seconds S --out FOLDER` generates one clip for
//! measuring: body, gait, clothes, hall, light and shutter are drawn from the seed.
//!
//! Runner, hall and clothes are invented. The shapes of the joint angles are chosen within
//! published ranges, which [`motion::Style`] names; lengths and masses are those of
//! [`body::Proportions`] and [`body::SegmentParameters`].
//!
//! How well the motion obeys mechanics, as measured by the tests:
//! - The planted shoe moves with the belt and rolls over its round toe; it slips and sinks by less
//!   than 2 mm (only by rounding, because thigh and shank reach from the hips to it).
//! - In flight the centre of mass falls with 9.81 m/s2 within 0.0001 and moves forward at a constant speed.
//!   Positions in the ground truth are rounded to 0.01 mm, which is 0.2 m/s2 in a second difference
//!   at 120 frames/s.
//! - During contact the vertical force begins and ends at zero and never pulls.
//! - Both legs have the same motion half a stride apart; a stride varies by under 1 %.
//!
//! What it does not obey: angular momentum in flight (the trunk's lean is chosen, not solved), and
//! motion across the plane (the hips of both sides are one point, and so are the shoulders). The
//! foot lands with 0.25 m/s forward and 0.3 m/s downward, which it loses at once.

pub mod body;
mod error;
pub mod film;
pub mod motion;
pub mod noise;
pub mod output;
pub mod picture;

pub use error::Error;
