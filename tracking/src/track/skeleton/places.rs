//! Places of the markers in one frame.

use crate::image::ImagePoint;

/// By marker, where it is in a frame; `None` if it is not seen.
pub(in crate::track) type Places = [Option<ImagePoint>];

/// The place of a marker, if it is seen.
pub(super) fn place_of(places: &Places, marker: usize) -> Option<ImagePoint> {
    places.get(marker).copied().flatten()
}

/// A place with its variance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::track) struct UncertainPlace {
    pub at: ImagePoint,
    pub spread_px2: f64,
}

impl UncertainPlace {
    /// The mean of two places, each weighed by one over its variance.
    pub fn mean(self, other: Self) -> Self {
        let share = self.spread_px2 / (self.spread_px2 + other.spread_px2);
        let (dx, dy) = other.at.minus(self.at);
        Self { at: self.at.moved(share * dx, share * dy), spread_px2: share * other.spread_px2 }
    }
}
