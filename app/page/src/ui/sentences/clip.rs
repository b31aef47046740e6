//! A clip: its file, what the file says of itself, and what follows for measuring.

use super::{browser, jobs};
use crate::ui::open_error::OpenError;
use document::session::{ClipInfo, Trial};

/// Chosen: below this rate fast joints blur and move far from frame to frame. Source of the range: event errors by frame
/// rate measured on two runners at 2.5 m/s.
const LOW_RATE_HZ: f64 = 50.0;
/// Chosen: from this rate on contacts are good to about 5 ms. Source of the range: as above.
const GOOD_RATE_HZ: f64 = 100.0;

/// While the file is being read, in place of the frame.
pub const OPENING: &str = "The clip is being opened.";

/// On the button that opens one more clip.
pub const OPEN_ANOTHER: &str = "Open another clip";

/// While a file of this name is being read, on the first page.
#[must_use]
pub fn opening(name: &str) -> String {
    format!("Opening {name}")
}

/// In place of the frame of a clip that has to be chosen again.
#[must_use]
pub fn not_open(name: &str) -> String {
    format!(
        "The clip “{name}” is not open. Everything entered is here; to see the picture, choose the file again."
    )
}

/// On the button that opens the clip of this name again.
#[must_use]
pub fn open_again(name: &str) -> String {
    format!("Open {name} again")
}

/// Why a clip, or the example with its clips, was not opened.
#[must_use]
pub fn not_opened(error: &OpenError) -> String {
    match error {
        OpenError::Browser(error) => browser::sentence(error),
        OpenError::Job(failure) => jobs::sentence(failure),
        OpenError::Document(error) => super::document::sentence(error),
        OpenError::AnotherClip { outcome, wanted, found } => {
            super::document::another_clip(*outcome, wanted, found)
        }
    }
}

/// Whether many marks need correction at this rate: fast joints blur and move far from frame to frame.
#[must_use]
pub fn is_low_rate(rate_hz: f64) -> bool {
    rate_hz < LOW_RATE_HZ
}

/// What the file says of itself: name and value of each fact.
#[must_use]
pub fn facts(trial: &Trial) -> [(&'static str, String); 7] {
    let (name, info) = (&trial.clip.name, &trial.clip.info);
    [
        ("File", name.clone()),
        ("Picture", format!("{} × {} px", info.width_px, info.height_px)),
        ("Rate in the stamps", stamped_rate(info)),
        ("Length", length(info)),
        ("Codec", info.codec.clone()),
        ("Rotation", rotation(info).to_owned()),
        ("Camera", camera(trial)),
    ]
}

fn stamped_rate(info: &ClipInfo) -> String {
    info.stamped_rate_hz().map_or_else(|| "—".to_owned(), |rate| format!("{rate:.2} frames/s"))
}

fn length(info: &ClipInfo) -> String {
    let length_s = info.stamps_s.last().copied().unwrap_or(0.0);
    format!("{length_s:.2} s, {} frames", info.frame_count())
}

fn rotation(info: &ClipInfo) -> &'static str {
    match info.rotation_quarter_turns % 4 {
        0 => "none",
        1 => "a quarter turn right",
        2 => "half a turn",
        _ => "a quarter turn left",
    }
}

/// What tracking found out about the camera.
fn camera(trial: &Trial) -> String {
    let followed = trial.tracks.values().any(|t| t.followed.is_some());
    match &trial.camera {
        Some(path) => format!("moves; brought to one frame, ± {:.1} px", path.residual_px),
        None if followed => "taken as still".to_owned(),
        None => "not examined yet".to_owned(),
    }
}

/// What the frame rate means for the numbers.
#[must_use]
pub fn rate_advice(info: &ClipInfo) -> String {
    match (info.stamped_rate_hz(), info.other_rate_hz()) {
        (Some(rate_hz), Some(filmed_hz)) if filmed_hz > rate_hz => format!(
            "The file says that it was filmed at {filmed_hz:.0} frames/s: it plays in slow motion. Confirm the rate in the step Scale."
        ),
        (Some(_), Some(filmed_hz)) => format!(
            "The file says that it was filmed at {filmed_hz:.0} frames/s: it plays faster than it was filmed. Confirm the rate in the step Scale."
        ),
        (None, _) => "The file has too few frames to measure: film at least two strides.".to_owned(),
        (Some(rate_hz), None) if is_low_rate(rate_hz) => {
            "At this rate fast joints blur and contacts are uncertain by 10 to 40 ms: expect to correct many \
             marks by hand. Film at 120 frames/s or more if the phone can."
                .to_owned()
        }
        (Some(rate_hz), None) if rate_hz < GOOD_RATE_HZ => {
            "Good enough for energy and cadence; contacts are uncertain by about 5 to 10 ms. 120 frames/s or more is better.".to_owned()
        }
        (Some(_), None) => {
            "A good rate for measuring. If the phone filmed in slow motion, say so in the step Scale.".to_owned()
        }
    }
}
