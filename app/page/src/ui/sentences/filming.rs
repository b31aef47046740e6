//! How to film so that a clip can be measured.

use document::results::format::{Unit, number};

/// What makes a clip measurable: a heading and its advice. Common practice where no number is given; the numbers follow
/// from the errors of a side view: cos(angle) for a camera that is not square, and blur as speed times shutter.
pub const ADVICE: [(&str, &str); 7] = [
    (
        "Still, on something rigid.",
        "Lens about as high as the hip, five metres away or more, zoomed in by the lens and not by the screen. No panning.",
    ),
    (
        "120 frames a second or more.",
        "At 30, contacts are uncertain by 10 to 40 ms and the feet blur.",
    ),
    ("A short shutter.", "1/500 s or shorter, 1/1000 s in the sun. Lock focus and exposure."),
    (
        "A length in the picture.",
        "A stick of a known length, lying where the near foot runs. At the side of the track it measures the wrong place.",
    ),
    ("Something that hangs.", "A plumb line, or a belt that is level, shows what is upright."),
    (
        "Marks on the joints.",
        "Round stickers with a strong contrast, on skin or tight clothing: hip, knee, ankle, heel, forefoot, shoulder, elbow, wrist.",
    ),
    (
        "Ten strides or more of each way, at one speed.",
        "Settle on the belt for six minutes first. Same shoes, same place, same camera.",
    ),
];

/// What a camera that is not square does to an angle.
///
/// Source: simulated cameras over measured running, five metres away: turned by 0.175 rad, knee flexion
/// changes by 0.040 rad; by 0.349 rad, by 0.106 rad.
#[must_use]
pub fn square_camera() -> String {
    let angle = |rad: f64| Unit::Angle.behind(&number(Unit::Angle.shown(rad), 0));
    format!(
        "A camera turned by {} changes knee flexion by about {}; by {}, by about {}. Lay out a 3-4-5 triangle if you can.",
        angle(0.175),
        angle(0.040),
        angle(0.349),
        angle(0.106)
    )
}
