//! The light of a hall and the noise of a sensor.

use crate::picture::WIDTH;

/// Brightness of a picture and strength of its noise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// Factor of every value.
    pub gain_ratio: f64,
    /// How much brighter the right edge is than the middle, and how much darker the left edge.
    pub across_ratio: f64,
    /// Noise over that of the committed clips.
    pub noise_ratio: f64,
}

impl Light {
    /// The light of the committed clips. Chosen: uniform.
    pub const UNIFORM: Light = Light { gain_ratio: 1.0, across_ratio: 0.0, noise_ratio: 1.0 };

    /// The factor of each column of the picture: `gain (1 + across (x - middle) / middle)`.
    #[must_use]
    pub fn columns(&self) -> Vec<f32> {
        let middle = 0.5 * (WIDTH as f64 - 1.0);
        let at = |x: usize| self.across_ratio * (x as f64 - middle) / middle;
        (0..WIDTH).map(|x| (self.gain_ratio * (1.0 + at(x))) as f32).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn uniform_light_changes_nothing() {
        assert!(
            Light::UNIFORM.columns().iter().all(|factor| factor.to_bits() == 1.0_f32.to_bits())
        );
    }

    #[test]
    fn light_from_the_right_is_as_much_brighter_there_as_darker_on_the_left() {
        let columns = Light { across_ratio: 0.2, ..Light::UNIFORM }.columns();
        assert!((columns[0] - 0.8).abs() < 1e-6 && (columns[WIDTH - 1] - 1.2).abs() < 1e-6);
    }
}
