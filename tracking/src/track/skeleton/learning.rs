//! What the skeleton learns from each frame.

use super::state::Skeleton;
use crate::image::ImagePoint;

impl Skeleton {
    /// Takes where the markers were seen and how little each is relied on: follows slow changes, and remembers.
    pub fn learn(&mut self, seen: Vec<Option<ImagePoint>>, mistrust: Vec<f64>) {
        self.set_mistrust(mistrust);
        self.learn_rigid(&seen);
        self.learn_interpolation(&seen);
        self.learn_lengths(seen);
    }
}
