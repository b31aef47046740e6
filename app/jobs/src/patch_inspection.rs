//! What the picture holds where a mark is put: a sticker or skin, and enough of anything to be followed.

use super::differences;
use document::session::MarkerMode;
use mechanics::space::Pixel;
use tracking::image::{GreyFrame, ImagePoint, Order};
use tracking::track::snap_to_sticker;

/// How far about a place it is looked, so that a sticker near the click is seen whole.
pub const GLANCE_REACH_PX: i32 = 32;

/// Chosen: a patch whose grey levels spread less than this holds nothing that could be told from noise.
const EVEN: f64 = 3.0;

/// Half the side of the patch whose contrast is taken: as large as a sticker is followed.
const PATCH_HALF_PX: usize = 6;

/// What was seen at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glance {
    /// How it is best followed.
    pub mode: MarkerMode,
    /// The middle of the sticker that is there, in the pixels of the piece.
    pub middle: Option<Pixel>,
    /// Whether the picture is even there, so that nothing can be held on to.
    pub is_even: bool,
}

/// Looks at a place `at` in a piece of picture of so many pixels to the row, four bytes a pixel: red, green, blue and one more.
///
/// `None` where there is no picture.
#[must_use]
pub fn glance(rgba: &[u8], width: usize, at: Pixel) -> Option<Glance> {
    let grey: Vec<u8> = rgba.chunks_exact(4).map(luma).collect();
    let height = grey.len().checked_div(width)?;
    let colour = differences(rgba, Order::RedFirst, width);
    let frame = GreyFrame::new(width, height, width, &grey).ok()?;
    let frame = frame.with_colour(&colour.blue, &colour.red).ok()?;
    let place = ImagePoint { x_px: at.x_px, y_px: at.y_px };
    let middle = snap_to_sticker(frame, place).map(|m| Pixel { x_px: m.x_px, y_px: m.y_px });
    let mode = if middle.is_some() { MarkerMode::Sticker } else { MarkerMode::Skin };
    // A sticker may stand out by its colour alone.
    let is_even = mode == MarkerMode::Skin && spread(&grey, width, at) < EVEN;
    Some(Glance { mode, middle, is_even })
}

/// Grey as the eye sees it. Source: ITU-R BT.601, section 2.5.1, in parts of 256.
fn luma(rgba: &[u8]) -> u8 {
    let [r, g, b, ..] = rgba else { return 0 };
    let sum = 77 * u32::from(*r) + 150 * u32::from(*g) + 29 * u32::from(*b);
    u8::try_from((sum + 128) / 256).unwrap_or(u8::MAX)
}

/// Standard deviation of the grey levels about a place.
fn spread(grey: &[u8], width: usize, at: Pixel) -> f64 {
    let from = |v: f64| (v.max(0.0) as usize).saturating_sub(PATCH_HALF_PX);
    let side = 2 * PATCH_HALF_PX + 1;
    let rows = grey.chunks_exact(width).skip(from(at.y_px)).take(side);
    let patch: Vec<f64> = rows
        .flat_map(|row| row.iter().skip(from(at.x_px)).take(side))
        .map(|v| f64::from(*v))
        .collect();
    let n = patch.len().max(1) as f64;
    let mean = patch.iter().sum::<f64>() / n;
    (patch.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / n).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 65;
    const MIDDLE: Pixel = Pixel { x_px: 32.0, y_px: 32.0 };

    fn picture(grey: impl Fn(f64, f64) -> u8) -> Vec<u8> {
        (0..SIDE * SIDE)
            .flat_map(|k| {
                let v = grey((k % SIDE) as f64 - 32.0, (k / SIDE) as f64 - 32.0);
                [v, v, v, 255]
            })
            .collect()
    }

    #[test]
    fn a_round_dot_is_a_sticker_and_slow_shading_is_skin() {
        let dot = picture(|x, y| if x.hypot(y) < 5.0 { 230 } else { 70 });
        // As far from its middle as a finger may be.
        let seen = glance(&dot, SIDE, Pixel { x_px: 34.4, y_px: 29.0 }).unwrap();
        assert_eq!((seen.mode, seen.is_even), (MarkerMode::Sticker, false));
        let middle = seen.middle.unwrap();
        let off_px = (middle.x_px - MIDDLE.x_px).hypot(middle.y_px - MIDDLE.y_px);
        assert!(off_px < 0.05, "{middle:?}");
        let shade = picture(|x, y| (120.0 + 1.5 * x + 0.5 * y) as u8);
        let seen = glance(&shade, SIDE, MIDDLE).unwrap();
        assert_eq!(seen, Glance { mode: MarkerMode::Skin, middle: None, is_even: false });
    }

    #[test]
    fn a_yellow_dot_is_a_sticker_on_skin_that_is_as_light() {
        let [skin, yellow] = [[224, 182, 156], [225, 200, 60]];
        assert!(luma(&skin).abs_diff(luma(&yellow)) < 5);
        let dot: Vec<u8> = (0..SIDE * SIDE)
            .flat_map(|k| {
                let (x, y) = ((k % SIDE) as f64 - 32.0, (k / SIDE) as f64 - 32.0);
                let [r, g, b] = if x.hypot(y) < 7.0 { yellow } else { skin };
                [r, g, b, 255]
            })
            .collect();
        assert_eq!(glance(&dot, SIDE, MIDDLE).unwrap().mode, MarkerMode::Sticker);
    }

    #[test]
    fn an_even_patch_is_said_to_be_even_and_no_picture_gives_no_answer() {
        let even = picture(|x, _| if x as i32 % 2 == 0 { 90 } else { 91 });
        assert!(glance(&even, SIDE, MIDDLE).unwrap().is_even);
        assert_eq!(glance(&[], SIDE, MIDDLE), None);
        assert_eq!(glance(&even, 0, MIDDLE), None);
    }

    #[test]
    fn white_is_white_and_green_is_lighter_than_blue() {
        assert_eq!(luma(&[255, 255, 255, 255]), 255);
        assert!(luma(&[0, 200, 0, 255]) > luma(&[0, 0, 200, 255]));
    }
}
