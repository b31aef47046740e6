//! A landmark: its name, its position on the body, and its mark.

use document::results::landmark_name;
use mechanics::body::{Joint, Landmark};

/// Once every landmark has a mark.
pub const ALL_PLACED: &str = "Every landmark has its mark. Press near a mark to move it.";

/// The landmark's name with a capital: `Near knee`.
#[must_use]
pub fn name(landmark: Landmark) -> String {
    let name = landmark_name(landmark);
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// The landmark to place, and its number among all of the set.
#[must_use]
pub fn to_place(landmark: Landmark, number: usize, count: usize) -> String {
    format!("{number} of {count}: {}", name(landmark))
}

/// The name of a landmark in the list for a screen reader, with the state of its mark.
#[must_use]
pub fn in_list(landmark: Landmark, has_mark: bool) -> String {
    if has_mark { format!("{}, marked", name(landmark)) } else { name(landmark) }
}

/// The landmark's position on the body.
#[must_use]
pub fn position(landmark: Landmark) -> String {
    let position = match landmark.joint() {
        Joint::Head => "the opening of the ear",
        Joint::Neck => "the most prominent bone at the base of the neck",
        Joint::Shoulder => "the middle of the upper arm's top, about 5 cm below the shoulder's tip",
        Joint::Elbow => "the bony point on the outside of the elbow",
        Joint::Wrist => "the bony point on the little-finger side of the wrist",
        Joint::Hip => "the bony point at the side of the hip, the greater trochanter",
        Joint::Knee => "the outside of the knee, on the joint's line",
        Joint::Ankle => "the point of the outer ankle bone",
        Joint::Heel => "the back of the heel, on the shoe",
        Joint::Toe => "the outside of the ball of the foot, the base of the little toe",
    };
    format!("It sits on {position}.")
}

/// Under the image patch around a mark: the tracker searches for it. `frame` counts from zero.
#[must_use]
pub fn placed_patch(frame: u32) -> String {
    format!("As placed in frame {}: this is looked for.", frame + 1)
}

/// The picture has no texture at the mark, which the tracker would need.
#[must_use]
pub fn no_texture(landmark: Landmark) -> String {
    format!(
        "The picture has no detail at {landmark}: expect to correct this mark by hand, or film again with a sticker there"
    )
}
