//! The path of the camera: on its tripod, panned, or held in the hand.

use crate::noise::Draws;
use crate::picture::Camera;
use std::f64::consts::TAU;

/// How the camera is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handling {
    /// Still on a tripod.
    Still,
    /// Panned by a person on a tripod, zoomed a little.
    Panned,
    /// In the hand.
    HandHeld,
}

/// One sine of an unsteady hand.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Sway {
    amplitude: f64,
    frequency_hz: f64,
    phase_rad: f64,
}

/// The path of a camera: at every time, a similarity transform of the first picture.
///
/// `p(t) = m + z R(turn) (p(0) - m) + shift`, where `m` is the middle of the picture. A real pan also
/// changes the perspective; this one does not.
#[derive(Clone, Debug, PartialEq)]
pub struct CameraPath {
    first: Camera,
    /// Speed of a pan along the course.
    along_m_s: f64,
    /// To the right and down in pixels, turn, and fraction of zoom.
    sways: [Vec<Sway>; 4],
}

/// Amplitudes and frequencies of the sways of each kind, in the order of [`CameraPath`].
///
/// Chosen: slow, as of a person who follows with a tripod.
const PANNED: [&[(f64, f64)]; 4] =
    [&[(70.0, 0.23), (9.0, 0.9)], &[(5.0, 0.31)], &[(0.003, 0.4)], &[(0.02, 0.27)]];
/// The same for a hand.
///
/// Chosen: slow drifts of a few pixels, and the physiological tremor of 6 to 9 Hz.
const HAND_HELD: [&[(f64, f64)]; 4] = [
    &[(7.0, 0.45), (2.5, 1.3), (0.5, 7.1)],
    &[(5.0, 0.55), (2.0, 1.6), (0.5, 8.3)],
    &[(0.008, 0.5), (0.002, 1.7)],
    &[(0.006, 0.35)],
];

/// A similarity transform of pixels: `p(t) = scale R(turn) p(0) + (x, y)`.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs, reason = "the four numbers are those of the formula")]
pub struct Similarity {
    pub x_px: f64,
    pub y_px: f64,
    pub turn_rad: f64,
    pub scale_ratio: f64,
}

/// The motion of a camera about the middle of its picture.
struct Displacement {
    right_px: f64,
    down_px: f64,
    turn_rad: f64,
    zoom_ratio: f64,
}

impl CameraPath {
    /// A camera that does not move.
    #[must_use]
    pub fn still(first: Camera) -> Self {
        Self { first, along_m_s: 0.0, sways: [const { Vec::new() }; 4] }
    }

    /// A camera handled in some way; a panned one moves along the course at a speed.
    #[must_use]
    pub fn handled(first: Camera, handling: Handling, along_m_s: f64, seed: u64) -> Self {
        let (table, along_m_s) = match handling {
            Handling::Still => return Self::still(first),
            Handling::Panned => (PANNED, along_m_s),
            Handling::HandHeld => (HAND_HELD, 0.0),
        };
        let mut draws = Draws::new(seed ^ 0xCA3E, 9);
        let sways = table.map(|kind| {
            let sway = |&(amplitude, frequency_hz): &(f64, f64)| Sway {
                amplitude: amplitude * draws.uniform(0.6, 1.3),
                frequency_hz: frequency_hz * draws.uniform(0.8, 1.25),
                phase_rad: draws.uniform(0.0, TAU),
            };
            kind.iter().map(sway).collect()
        });
        Self { first, along_m_s, sways }
    }

    /// Whether it does not move.
    #[must_use]
    pub fn is_still(&self) -> bool {
        self.sways.iter().all(Vec::is_empty) && self.along_m_s == 0.0
    }

    /// The camera at a time.
    #[must_use]
    pub fn at(&self, time_s: f64) -> Camera {
        if self.is_still() {
            return self.first;
        }
        let Displacement { right_px, down_px, turn_rad, zoom_ratio: zoom } =
            self.displacement(time_s);
        let (first, middle) = (self.first, Camera::MIDDLE_PX);
        let roll_rad = first.roll_rad + turn_rad;
        let (sine, cosine) = roll_rad.sin_cos();
        let (dx, dy) = (right_px * cosine + down_px * sine, down_px * cosine - right_px * sine);
        Camera {
            px_per_m: zoom * first.px_per_m,
            origin_px: (
                middle.0 + zoom * (first.origin_px.0 - middle.0) + dx,
                middle.1 + zoom * (first.origin_px.1 - middle.1) + dy,
            ),
            roll_rad,
        }
    }

    /// The transform from the first picture to that at a time.
    #[must_use]
    pub fn similarity(&self, time_s: f64) -> Similarity {
        let Displacement { right_px, down_px, turn_rad, zoom_ratio: zoom } =
            self.displacement(time_s);
        let (sine, cosine) = turn_rad.sin_cos();
        let (mx, my) = Camera::MIDDLE_PX;
        let x_px = mx + right_px - zoom * (cosine * mx - sine * my);
        let y_px = my + down_px - zoom * (sine * mx + cosine * my);
        Similarity { x_px, y_px, turn_rad, scale_ratio: zoom }
    }

    /// The motion since the first picture.
    fn displacement(&self, time_s: f64) -> Displacement {
        let sum = |kind: &Vec<Sway>| -> f64 {
            let one = |s: &Sway| {
                s.amplitude
                    * ((TAU * s.frequency_hz * time_s + s.phase_rad).sin() - s.phase_rad.sin())
            };
            kind.iter().map(one).sum()
        };
        let [right, down, turn, zoom] = [0, 1, 2, 3].map(|kind| sum(&self.sways[kind]));
        let along_px = self.along_m_s * time_s * self.first.px_per_m;
        Displacement {
            right_px: right - along_px,
            down_px: down,
            turn_rad: turn,
            zoom_ratio: 1.0 + zoom,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::Point;

    #[test]
    fn the_similarity_maps_the_first_picture_to_that_at_a_time() {
        for handling in [Handling::Still, Handling::Panned, Handling::HandHeld] {
            let first = Camera::rolled(0.01);
            let path = CameraPath::handled(first, handling, 2.5, 3);
            for (time_s, point) in [(0.0, Point::new(0.3, 1.1)), (1.7, Point::new(-2.0, 0.4))] {
                let (x, y) = first.to_px(point);
                let similarity = path.similarity(time_s);
                let (sine, cosine) = similarity.turn_rad.sin_cos();
                let scale = similarity.scale_ratio;
                let moved = (
                    scale * (cosine * x - sine * y) + similarity.x_px,
                    scale * (sine * x + cosine * y) + similarity.y_px,
                );
                let seen = path.at(time_s).to_px(point);
                // Rounding of numbers up to a few thousand.
                assert!((moved.0 - seen.0).hypot(moved.1 - seen.1) < 1e-9, "{handling:?}");
            }
        }
    }

    #[test]
    fn only_a_still_camera_does_not_move() {
        let first = Camera::rolled(0.0);
        let moved = |handling| {
            let path = CameraPath::handled(first, handling, 0.0, 5);
            path.at(1.0) != first
        };
        assert!(!moved(Handling::Still) && moved(Handling::Panned) && moved(Handling::HandHeld));
    }
}
