//! From the coded picture to the upright one and back: quarter turns, mirroring and pixel shape.

use mechanics::space::Pixel;
use serde::{Deserialize, Serialize};

/// How the coded picture becomes upright: mirrored left to right first, then turned clockwise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Orientation {
    /// Quarter turns clockwise, 0 to 3.
    pub quarter_turns: u8,
    /// Whether left and right are swapped before the turn.
    pub mirrored: bool,
}

/// The size of the coded picture and how it becomes upright.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Picture {
    /// Visible columns of the coded picture.
    pub coded_width_px: u32,
    /// Visible rows of the coded picture.
    pub coded_height_px: u32,
    /// Width of the same picture with square pixels, before it is turned.
    pub square_width_px: u32,
    /// Height of the same picture with square pixels, before it is turned.
    pub square_height_px: u32,
    /// How it becomes upright.
    pub orientation: Orientation,
}

impl Orientation {
    /// From a track's matrix, `x' = a x + c y`, `y' = b x + d y`, by the signs of its entries; any matrix
    /// other than quarter turns and mirroring counts as upright.
    ///
    /// Source: ISO/IEC 14496-12:2022, 8.3.2 (`tkhd`) and 6.2.2 (order of the matrix).
    #[must_use]
    pub fn of_matrix(a: i32, b: i32, c: i32, d: i32) -> Self {
        let signs = (a.signum(), b.signum(), c.signum(), d.signum());
        let turned = |quarter_turns, mirrored| Self { quarter_turns, mirrored };
        match signs {
            (0, 1, -1, 0) => turned(1, false),
            (-1, 0, 0, -1) => turned(2, false),
            (0, -1, 1, 0) => turned(3, false),
            (-1, 0, 0, 1) => turned(0, true),
            (0, -1, -1, 0) => turned(1, true),
            (1, 0, 0, -1) => turned(2, true),
            (0, 1, 1, 0) => turned(3, true),
            _ => turned(0, false),
        }
    }

    /// Whether width and height are swapped.
    fn swaps_sides(self) -> bool {
        self.quarter_turns % 2 == 1
    }
}

impl Picture {
    /// Whether a decoder resampled pixels that are oblong in the file to square ones: the aspect ratio of
    /// the decoded picture is then nearer to that of the square picture than to that of the coded one.
    #[must_use]
    pub fn is_made_square(decoded: (u32, u32), coded: (u32, u32), pixel_shape: (u32, u32)) -> bool {
        let aspect = |(width, height): (u32, u32)| f64::from(width) / f64::from(height.max(1));
        let (across, down) = pixel_shape;
        let square = aspect(coded) * f64::from(across.max(1)) / f64::from(down.max(1));
        let distance = |from: f64| (aspect(decoded) / from).ln().abs();
        distance(square) < distance(aspect(coded))
    }

    /// Width and height of the upright picture.
    #[must_use]
    pub fn upright_size_px(&self) -> (u32, u32) {
        if self.orientation.swaps_sides() {
            (self.square_height_px, self.square_width_px)
        } else {
            (self.square_width_px, self.square_height_px)
        }
    }

    /// From a pixel of the coded picture to one of the upright picture.
    #[must_use]
    pub fn upright_from_coded(&self, at: Pixel) -> Pixel {
        let u = (at.x_px + 0.5) / f64::from(self.coded_width_px);
        let v = (at.y_px + 0.5) / f64::from(self.coded_height_px);
        let u = if self.orientation.mirrored { 1.0 - u } else { u };
        let (u, v) = match self.orientation.quarter_turns {
            1 => (1.0 - v, u),
            2 => (1.0 - u, 1.0 - v),
            3 => (v, 1.0 - u),
            _ => (u, v),
        };
        let (width_px, height_px) = self.upright_size_px();
        Pixel { x_px: u * f64::from(width_px) - 0.5, y_px: v * f64::from(height_px) - 0.5 }
    }

    /// From a pixel of the upright picture to one of the coded picture.
    #[must_use]
    pub fn coded_from_upright(&self, at: Pixel) -> Pixel {
        let (width_px, height_px) = self.upright_size_px();
        let u = (at.x_px + 0.5) / f64::from(width_px);
        let v = (at.y_px + 0.5) / f64::from(height_px);
        let (u, v) = match self.orientation.quarter_turns {
            1 => (v, 1.0 - u),
            2 => (1.0 - u, 1.0 - v),
            3 => (1.0 - v, u),
            _ => (u, v),
        };
        let u = if self.orientation.mirrored { 1.0 - u } else { u };
        Pixel {
            x_px: u * f64::from(self.coded_width_px) - 0.5,
            y_px: v * f64::from(self.coded_height_px) - 0.5,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MATRICES: [(i32, i32, i32, i32); 8] = [
        (1, 0, 0, 1),
        (0, 1, -1, 0),
        (-1, 0, 0, -1),
        (0, -1, 1, 0),
        (-1, 0, 0, 1),
        (0, -1, -1, 0),
        (1, 0, 0, -1),
        (0, 1, 1, 0),
    ];

    fn picture(orientation: Orientation) -> Picture {
        Picture {
            coded_width_px: 40,
            coded_height_px: 30,
            square_width_px: 40,
            square_height_px: 30,
            orientation,
        }
    }

    #[test]
    fn every_matrix_maps_a_pixel_as_its_arithmetic_does() {
        for (a, b, c, d) in MATRICES {
            let picture = picture(Orientation::of_matrix(a, b, c, d));
            let (x, y) = (7, 11);
            // The matrix turns about the origin; the result is moved back into the picture.
            let edge = |p: i32, q: i32| (p * 39).min(0) + (q * 29).min(0);
            let expected_x = a * x + c * y - edge(a, c);
            let expected_y = b * x + d * y - edge(b, d);
            let got = picture.upright_from_coded(Pixel { x_px: f64::from(x), y_px: f64::from(y) });
            assert!((got.x_px - f64::from(expected_x)).abs() < 1e-9, "{a} {b} {c} {d}: {got:?}");
            assert!((got.y_px - f64::from(expected_y)).abs() < 1e-9, "{a} {b} {c} {d}: {got:?}");
        }
    }

    #[test]
    fn upright_and_back_is_the_same_pixel_even_with_oblong_pixels() {
        for (a, b, c, d) in MATRICES {
            let orientation = Orientation::of_matrix(a, b, c, d);
            let picture = Picture { square_width_px: 53, ..picture(orientation) };
            let at = Pixel { x_px: 3.25, y_px: 21.5 };
            let back = picture.coded_from_upright(picture.upright_from_coded(at));
            assert!((back.x_px - at.x_px).abs() < 1e-9 && (back.y_px - at.y_px).abs() < 1e-9);
        }
    }

    #[test]
    fn pixels_that_a_decoder_made_square_are_distinguished_from_coded_ones() {
        // Source: Recommendation ITU-T H.264 (08/2021), table E-1, for 720 × 576.
        let coded = (720, 576);
        for (across, down) in [(12, 11), (16, 11), (4, 3), (8, 9)] {
            let of = |decoded| Picture::is_made_square(decoded, coded, (across, down));
            assert!(of((720 * across / down, 576)) && of((720, 576 * down / across)));
            assert!(!of(coded));
        }
        // Cropped by the codec.
        assert!(!Picture::is_made_square((1920, 1080), (1920, 1088), (1, 1)));
    }

    #[test]
    fn a_matrix_other_than_quarter_turns_counts_as_upright() {
        assert_eq!(Orientation::of_matrix(7, 7, -7, 7), Orientation::default());
        assert_eq!(Orientation::of_matrix(0, 0, 0, 0), Orientation::default());
    }
}
