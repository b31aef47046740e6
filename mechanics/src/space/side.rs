//! Sides of the body as the camera sees them, and running directions in the image.

use serde::{Deserialize, Serialize};

/// A side of the body, as the camera sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The side towards the camera.
    Near,
    /// The side away from the camera.
    Far,
}

/// The direction in which the runner goes in the image.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// Towards the right edge; the near side is then the runner's right.
    Right,
    /// Towards the left edge; the near side is then the runner's left.
    Left,
}
