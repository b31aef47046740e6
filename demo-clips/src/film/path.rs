//! Where the camera looks at each time: on its tripod, swung along, or held in the hand.

use crate::noise;
use crate::picture::Camera;
use std::f64::consts::TAU;

/// How the camera is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handling {
    /// On a tripod, untouched.
    Still,
    /// On a tripod, swung by a person, zoomed a little.
    Panned,
    /// In the hand.
    HandHeld,
}

/// One part of an unsteady hand: how far, how often, and where in its swing it begins.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Sway {
    far: f64,
    often_hz: f64,
    begin_rad: f64,
}

/// The path of a camera: a similarity of the first picture at every time.
///
/// `p(t) = m + z R(turn) (p(0) - m) + shift` with `m` the middle of the picture. A real pan also
/// changes the perspective; that is not drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct CameraPath {
    first: Camera,
    /// Speed at which it follows along the course.
    along_m_s: f64,
    /// Right, down, turn and zoom.
    sways: [Vec<Sway>; 4],
}

/// Chosen: swings of each kind as (far, often): pixels to the right and down, turn, share of zoom.
/// A swing by hand on a tripod is slow; a hand adds a tremor of 6 to 9 Hz, which people have.
const PANNED: [&[(f64, f64)]; 4] =
    [&[(70.0, 0.23), (9.0, 0.9)], &[(5.0, 0.31)], &[(0.003, 0.4)], &[(0.02, 0.27)]];
const HAND_HELD: [&[(f64, f64)]; 4] = [
    &[(7.0, 0.45), (2.5, 1.3), (0.5, 7.1)],
    &[(5.0, 0.55), (2.0, 1.6), (0.5, 8.3)],
    &[(0.008, 0.5), (0.002, 1.7)],
    &[(0.006, 0.35)],
];

impl CameraPath {
    /// A camera that looks where it looks.
    #[must_use]
    pub fn still(first: Camera) -> Self {
        Self { first, along_m_s: 0.0, sways: [const { Vec::new() }; 4] }
    }

    /// A camera held so; a panned one follows along the course with this speed.
    #[must_use]
    pub fn handled(first: Camera, handling: Handling, along_m_s: f64, seed: u64) -> Self {
        let (table, along_m_s) = match handling {
            Handling::Still => return Self::still(first),
            Handling::Panned => (PANNED, along_m_s),
            Handling::HandHeld => (HAND_HELD, 0.0),
        };
        let mut draw = 0;
        let mut even = |low: f64, high: f64| {
            draw += 1;
            low + (high - low) * noise::uniform(seed ^ 0xCA3E, draw, 9)
        };
        let sways = table.map(|kind| {
            let sway = |&(far, often_hz): &(f64, f64)| Sway {
                far: far * even(0.6, 1.3),
                often_hz: often_hz * even(0.8, 1.25),
                begin_rad: even(0.0, TAU),
            };
            kind.iter().map(sway).collect()
        });
        Self { first, along_m_s, sways }
    }

    /// Whether it never moves.
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
        let (shift_px, turn_rad, zoom) = self.swing(time_s);
        let (first, middle) = (self.first, Camera::MIDDLE_PX);
        let roll_rad = first.roll_rad + turn_rad;
        let (sine, cosine) = roll_rad.sin_cos();
        let (dx, dy) =
            (shift_px.0 * cosine + shift_px.1 * sine, shift_px.1 * cosine - shift_px.0 * sine);
        Camera {
            px_per_m: zoom * first.px_per_m,
            origin_px: (
                middle.0 + zoom * (first.origin_px.0 - middle.0) + dx,
                middle.1 + zoom * (first.origin_px.1 - middle.1) + dy,
            ),
            roll_rad,
        }
    }

    /// What the picture at a time is of the first one: `p(t) = scale R(turn) p(0) + (x, y)`, as
    /// `[x_px, y_px, turn_rad, scale_ratio]`.
    #[must_use]
    pub fn similarity(&self, time_s: f64) -> [f64; 4] {
        let (shift_px, turn_rad, zoom) = self.swing(time_s);
        let (sine, cosine) = turn_rad.sin_cos();
        let (mx, my) = Camera::MIDDLE_PX;
        let x_px = mx + shift_px.0 - zoom * (cosine * mx - sine * my);
        let y_px = my + shift_px.1 - zoom * (sine * mx + cosine * my);
        [x_px, y_px, turn_rad, zoom]
    }

    /// Shift, turn and zoom since the beginning.
    fn swing(&self, time_s: f64) -> ((f64, f64), f64, f64) {
        let sum = |kind: &Vec<Sway>| -> f64 {
            let one = |s: &Sway| {
                s.far * ((TAU * s.often_hz * time_s + s.begin_rad).sin() - s.begin_rad.sin())
            };
            kind.iter().map(one).sum()
        };
        let [right, down, turn, zoom] = [0, 1, 2, 3].map(|kind| sum(&self.sways[kind]));
        let along_px = self.along_m_s * time_s * self.first.px_per_m;
        ((right - along_px, down), turn, 1.0 + zoom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::Point;

    #[test]
    fn the_similarity_takes_the_first_picture_to_that_of_the_camera_at_a_time() {
        for handling in [Handling::Still, Handling::Panned, Handling::HandHeld] {
            let first = Camera::rolled(0.01);
            let path = CameraPath::handled(first, handling, 2.5, 3);
            for (time_s, place) in [(0.0, Point::new(0.3, 1.1)), (1.7, Point::new(-2.0, 0.4))] {
                let (x, y) = first.to_px(place);
                let [dx, dy, turn, scale] = path.similarity(time_s);
                let (sine, cosine) = turn.sin_cos();
                let moved =
                    (scale * (cosine * x - sine * y) + dx, scale * (sine * x + cosine * y) + dy);
                let seen = path.at(time_s).to_px(place);
                // Rounding of numbers up to a few thousand.
                assert!((moved.0 - seen.0).hypot(moved.1 - seen.1) < 1e-9, "{handling:?}");
            }
        }
    }

    #[test]
    fn a_still_camera_stays_and_the_others_move() {
        let first = Camera::rolled(0.0);
        let moved = |handling| {
            let path = CameraPath::handled(first, handling, 0.0, 5);
            path.at(1.0) != first
        };
        assert!(!moved(Handling::Still) && moved(Handling::Panned) && moved(Handling::HandHeld));
    }
}
