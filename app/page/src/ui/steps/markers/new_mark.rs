//! A mark that a person places.

use jobs::Glance;
use mechanics::body::Landmark;
use mechanics::space::Pixel;

/// A mark to place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NewMark {
    /// Its landmark.
    pub landmark: Landmark,
    /// Its frame.
    pub frame: u32,
    /// Its position.
    pub at: Pixel,
    /// The inspected patch around it, if it was placed by pointer.
    pub glance: Option<Glance>,
}
