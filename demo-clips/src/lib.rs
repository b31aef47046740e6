//! The generator of the demonstration clips: an invented runner on an invented treadmill, with the truth beside.
//!
//! `cargo run -p demo-clips` makes `clips/*.mp4`, `clips/*.truth.json` and `clips/example.json`
//! again; ffmpeg with libx264 must be installed. `--seed N --rate N --no-stickers --out FOLDER`
//! makes others, `--truth-only` leaves the films out.
//!
//! `cargo run -p demo-clips -- varied --seed N --rate N --stickers yes|no --camera
//! still|panned|hand-held --course belt|crossing --seconds S --out FOLDER` makes one clip for
//! measuring: body, gait, clothes, hall, light and shutter are drawn from the seed.
//!
//! Runner, hall and clothes are invented. The shapes of the joint angles are chosen within
//! published ranges, named at [`motion::Style`]; lengths and masses are those of
//! [`body::Proportions`] and [`body::Share`].
//!
//! How well the motion keeps the laws of mechanics, as the tests measure it:
//! - The planted shoe goes with the belt and rolls over its round toe; it slips and sinks by less
//!   than 2 mm (in fact by rounding only, since thigh and shank reach from the hips to it).
//! - In flight the centre of mass falls with 9.81 m/s2 within 0.0001 and keeps its forward speed.
//!   Positions in the truth are rounded to 0.01 mm, which makes 0.2 m/s2 of one second
//!   difference at 120 frames/s.
//! - On the belt the vertical force begins and ends at nothing and never pulls.
//! - Both legs share one law half a stride apart; a stride varies by under 1 %.
//!
//! What is not kept: angular momentum in flight (the trunk's lean is chosen, not solved), and the
//! movement across the plane (the hips of both sides are one point, and so are the shoulders).
//! The foot arrives on the belt with 0.25 m/s forward and 0.3 m/s downward, which it loses at once.

pub mod body;
mod error;
pub mod film;
pub mod motion;
pub mod noise;
pub mod output;
pub mod picture;

pub use error::Error;
