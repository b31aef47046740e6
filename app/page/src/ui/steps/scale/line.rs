//! The lines of a calibration, and the end of a line that is being moved.

use document::session::{ClipCalibration, Scale, Vertical, VerticalKind};
use mechanics::space::Pixel;

/// Chosen: below this length a drag was a press that slipped.
const MIN_LENGTH_PX: f64 = 5.0;
/// The length of a new scale until it is entered.
const FIRST_LENGTH_M: f64 = 1.0;

/// The kind of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineKind {
    /// A known length.
    Scale,
    /// A line that is plumb or level.
    Vertical(VerticalKind),
}

impl LineKind {
    /// Whether both belong to the same line of the calibration, which has one vertical, plumb or level.
    #[must_use]
    pub fn is_same_line(self, other: Self) -> bool {
        matches!((self, other), (Self::Scale, Self::Scale) | (Self::Vertical(_), Self::Vertical(_)))
    }
}

/// A line of which a finger or the keys hold one end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeldLine {
    /// Its kind.
    pub kind: LineKind,
    /// One end.
    pub from: Pixel,
    /// The other end.
    pub to: Pixel,
    /// Whether the second end is held.
    holds_second: bool,
}

impl HeldLine {
    /// A new line that begins at a press.
    #[must_use]
    pub fn new(kind: LineKind, at: Pixel) -> Self {
        Self { kind, from: at, to: at, holds_second: true }
    }

    /// The line of the calibration that has an end within reach of a press, held by the nearest such end.
    #[must_use]
    pub fn within_reach(calibration: &ClipCalibration, at: Pixel, reach_px: f64) -> Option<Self> {
        let scale = calibration.scale.map(|s| (LineKind::Scale, s.from, s.to));
        let vertical = calibration.vertical.map(|v| (LineKind::Vertical(v.kind), v.from, v.to));
        let distance_px = |line: &Self| distance_px(line.held_end(), at);
        [scale, vertical]
            .into_iter()
            .flatten()
            .flat_map(|(kind, from, to)| {
                [false, true].map(|holds_second| Self { kind, from, to, holds_second })
            })
            .filter(|line| distance_px(line) <= reach_px)
            .min_by(|a, b| distance_px(a).total_cmp(&distance_px(b)))
    }

    /// The end that is held.
    #[must_use]
    pub fn held_end(&self) -> Pixel {
        if self.holds_second { self.to } else { self.from }
    }

    /// The line once the held end is moved.
    #[must_use]
    pub fn moved_to(mut self, at: Pixel) -> Self {
        if self.holds_second {
            self.to = at;
        } else {
            self.from = at;
        }
        self
    }

    /// The calibration with this line as drawn in a frame; none if the line is too short.
    #[must_use]
    pub fn applied_to(&self, before: ClipCalibration, frame: u32) -> Option<ClipCalibration> {
        let Self { kind, from, to, .. } = *self;
        if distance_px(from, to) < MIN_LENGTH_PX {
            return None;
        }
        Some(match kind {
            LineKind::Scale => {
                let length_m = before.scale.map_or(FIRST_LENGTH_M, |s| s.length_m);
                ClipCalibration { scale: Some(Scale { from, to, length_m, frame }), ..before }
            }
            LineKind::Vertical(kind) => {
                ClipCalibration { vertical: Some(Vertical { kind, from, to, frame }), ..before }
            }
        })
    }
}

fn distance_px(a: Pixel, b: Pixel) -> f64 {
    (a.x_px - b.x_px).hypot(a.y_px - b.y_px)
}

#[cfg(test)]
mod tests {
    use super::*;

    const EMPTY: ClipCalibration =
        ClipCalibration { scale: None, vertical: None, direction: None, filmed_rate_hz: None };

    fn pixel(x_px: f64, y_px: f64) -> Pixel {
        Pixel { x_px, y_px }
    }

    fn scale_of(from: Pixel, to: Pixel) -> ClipCalibration {
        let scale = Some(Scale { from, to, length_m: 2.0, frame: 3 });
        ClipCalibration { scale, ..EMPTY }
    }

    #[test]
    fn a_press_near_one_end_holds_that_end() {
        let calibration = scale_of(pixel(10.0, 10.0), pixel(110.0, 10.0));
        let held = HeldLine::within_reach(&calibration, pixel(105.0, 10.0), 20.0).unwrap();
        assert_eq!(held.held_end(), pixel(110.0, 10.0));
        let moved = held.moved_to(pixel(120.0, 10.0));
        assert_eq!((moved.from, moved.to), (pixel(10.0, 10.0), pixel(120.0, 10.0)));
        assert_eq!(HeldLine::within_reach(&calibration, pixel(60.0, 10.0), 20.0), None);
    }

    #[test]
    fn a_scale_that_is_drawn_again_keeps_its_length_in_metres() {
        let before = scale_of(pixel(10.0, 10.0), pixel(110.0, 10.0));
        let line = HeldLine::new(LineKind::Scale, pixel(0.0, 0.0)).moved_to(pixel(50.0, 0.0));
        let scale = line.applied_to(before, 7).and_then(|c| c.scale).unwrap();
        assert_eq!((scale.to, scale.frame), (pixel(50.0, 0.0), 7));
        assert!((scale.length_m - 2.0).abs() < f64::EPSILON);
    }

    #[test]
    fn a_line_below_five_pixels_is_refused() {
        let line = HeldLine::new(LineKind::Scale, pixel(0.0, 0.0));
        assert_eq!(line.moved_to(pixel(4.9, 0.0)).applied_to(EMPTY, 0), None);
        assert!(line.moved_to(pixel(5.0, 0.0)).applied_to(EMPTY, 0).is_some());
    }
}
