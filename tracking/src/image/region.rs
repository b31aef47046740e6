//! The surroundings of one marker at three scales.

use super::colour::{Mix, RowSpan, push_mixed};
use super::frame::GreyFrame;
use super::image_point::ImagePoint;
use super::plane::Plane;
use super::pyramid::{LEVELS, halve, smooth};

/// A place of a picture with the region that is read about it.
#[derive(Clone, Copy, Debug)]
pub struct RegionPoint<'a> {
    /// The region.
    pub region: &'a Region,
    /// The place, in the picture.
    pub at: ImagePoint,
}

/// A square piece of a picture about a place, and its halvings: never the whole picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    left_px: i64,
    top_px: i64,
    levels: Vec<Plane>,
}

impl Region {
    /// Cuts the square of `2 half` pixels about `at`; beyond the picture's edge its last pixels are repeated.
    #[must_use]
    pub fn around(frame: GreyFrame<'_>, at: ImagePoint, half_px: usize) -> Self {
        Self::mixed(frame, at, half_px, Mix::GREY)
    }

    /// The same of a mix of grey and colour; of grey alone if the picture has no colour.
    #[must_use]
    pub fn mixed(frame: GreyFrame<'_>, at: ImagePoint, half_px: usize, mix: Mix) -> Self {
        let (left_px, top_px, plane) = cut(frame, at, half_px, mix);
        Self { left_px, top_px, levels: halvings(plane) }
    }

    /// The same in grey, smoothed with the weights 1 4 6 4 1 over 16 both ways, which leaves 70/256 of the deviation of
    /// noise that is each pixel's own.
    #[must_use]
    pub fn smoothed(frame: GreyFrame<'_>, at: ImagePoint, half_px: usize) -> Self {
        let (left_px, top_px, plane) = cut(frame, at, half_px, Mix::GREY);
        Self { left_px, top_px, levels: halvings(smooth(&plane)) }
    }

    /// One level: 0 is the picture itself; beyond the coarsest it is the coarsest.
    #[must_use]
    pub fn level(&self, level: usize) -> &Plane {
        &self.levels[level.min(self.levels.len() - 1)]
    }

    /// The place in the plane of a level: `(x - left) / 2^level`.
    #[must_use]
    pub fn local(&self, at: ImagePoint, level: usize) -> (f32, f32) {
        let scale = (1_u32 << level) as f32;
        (
            (at.x_px - self.left_px as f64) as f32 / scale,
            (at.y_px - self.top_px as f64) as f32 / scale,
        )
    }

    /// The place in the picture of a place in the finest plane.
    #[must_use]
    pub fn global(&self, x: f32, y: f32) -> ImagePoint {
        ImagePoint {
            x_px: f64::from(x) + self.left_px as f64,
            y_px: f64::from(y) + self.top_px as f64,
        }
    }

    /// A place of the picture together with this region of it.
    #[must_use]
    pub fn point(&self, at: ImagePoint) -> RegionPoint<'_> {
        RegionPoint { region: self, at }
    }
}

/// Left, top and values of the square of `2 half` pixels about a place; beyond the picture's edge its last pixels are
/// repeated.
fn cut(frame: GreyFrame<'_>, at: ImagePoint, half_px: usize, mix: Mix) -> (i64, i64, Plane) {
    let side = 2 * half_px;
    let left_px = whole(at.x_px, frame.width_px()) - half_px as i64;
    let top_px = whole(at.y_px, frame.height_px()) - half_px as i64;
    let last_column = frame.width_px() as i64 - 1;
    let last_row = frame.height_px() as i64 - 1;
    let mut values = Vec::with_capacity(side * side);
    let colour = frame.colour().filter(|_| !mix.is_grey());
    for j in 0..side as i64 {
        let y = (top_px + j).clamp(0, last_row) as usize;
        let row = frame.row(y);
        if let Some(colour) = colour {
            push_mixed(row, colour, RowSpan { left_px, y, width: side }, mix, &mut values);
            continue;
        }
        let inside = usize::try_from(left_px).ok().and_then(|left| row.get(left..left + side));
        match inside {
            Some(pixels) => values.extend(pixels.iter().map(|v| f32::from(*v))),
            None => values.extend((0..side as i64).map(|i| {
                let x = (left_px + i).clamp(0, last_column) as usize;
                row.get(x).map_or(0.0, |v| f32::from(*v))
            })),
        }
    }
    (left_px, top_px, Plane::from_values(side, side, values))
}

/// A plane and its halvings.
fn halvings(plane: Plane) -> Vec<Plane> {
    let mut levels = vec![plane];
    while levels.len() < LEVELS {
        let Some(finest) = levels.last() else { break };
        levels.push(halve(finest));
    }
    levels
}

/// The nearest pixel, within a picture's size of the picture so that no sum overflows.
fn whole(value_px: f64, size_px: usize) -> i64 {
    let size = size_px as f64;
    // Adding a half and rounding down is exact everywhere; NaN becomes 0.
    (value_px + 0.5).clamp(-size, 2.0 * size).floor() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_region_repeats_the_edge_of_the_picture() {
        let bytes: Vec<u8> = (0..20 * 10).map(|i| (i % 20) as u8).collect();
        let frame = GreyFrame::new(20, 10, 20, &bytes).unwrap();
        let region = Region::around(frame, ImagePoint { x_px: 1.0, y_px: 1.0 }, 8);
        assert_eq!(region.level(0).row(0)[0], 0.0);
        assert_eq!(region.level(0).row(0)[12], 5.0);
        assert_eq!(region.local(ImagePoint { x_px: 1.0, y_px: 1.0 }, 0), (8.0, 8.0));
        assert_eq!(region.global(8.0, 8.0), ImagePoint { x_px: 1.0, y_px: 1.0 });
        let far = Region::around(frame, ImagePoint { x_px: f64::NAN, y_px: 1e300 }, 4);
        assert_eq!(far.level(0).width_px(), 8);
    }
}
