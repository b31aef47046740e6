//! Inspects the patch around a new mark: sticker or skin, and whether it has enough contrast to be tracked.

use crate::chroma::chroma;
use document::session::MarkerMode;
use mechanics::space::Pixel;
use tracking::image::{GreyFrame, ImagePoint, Order};
use tracking::track::snap_to_sticker;

/// Pixels inspected on each side of a place. Chosen: a sticker near the click is seen whole.
pub const INSPECTION_REACH_PX: i32 = 32;

/// Chosen: a patch whose grey levels deviate less than this holds nothing but noise.
const LEAST_DEVIATION: f64 = 3.0;

/// Half the side of the patch whose contrast is measured. Chosen: as large as the tracked patch of a sticker.
const PATCH_HALF_PX: usize = 6;

/// What was found at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PatchInspection {
    /// How to track it.
    pub mode: MarkerMode,
    /// The centre of the sticker there, in pixels of the piece; none on skin.
    pub centre: Option<Pixel>,
    /// Whether the patch is even, so that it cannot be tracked.
    pub is_even: bool,
}

/// Inspects the place `at` in a piece of picture, `width_px` pixels to the row, four bytes a pixel: red, green, blue and
/// another. None for an empty piece.
#[must_use]
pub fn inspect_patch(rgba: &[u8], width_px: usize, at: Pixel) -> Option<PatchInspection> {
    let grey: Vec<u8> = rgba.chunks_exact(4).map(luma).collect();
    let height_px = grey.len().checked_div(width_px)?;
    let chroma = chroma(rgba, Order::RedFirst, width_px);
    let frame = GreyFrame::new(width_px, height_px, width_px, &grey).ok()?;
    let frame = frame.with_colour(&chroma.blue, &chroma.red).ok()?;
    let place = ImagePoint { x_px: at.x_px, y_px: at.y_px };
    let centre = snap_to_sticker(frame, place).map(|c| Pixel { x_px: c.x_px, y_px: c.y_px });
    let mode = if centre.is_some() { MarkerMode::Sticker } else { MarkerMode::Skin };
    // A sticker may stand out by its colour alone.
    let is_even = mode == MarkerMode::Skin && deviation(&grey, width_px, at) < LEAST_DEVIATION;
    Some(PatchInspection { mode, centre, is_even })
}

/// Luma of a pixel. Source: ITU-R BT.601, section 2.5.1, in parts of 256.
fn luma(rgba: &[u8]) -> u8 {
    let [r, g, b, ..] = rgba else { return 0 };
    let sum = 77 * u32::from(*r) + 150 * u32::from(*g) + 29 * u32::from(*b);
    u8::try_from((sum + 128) / 256).unwrap_or(u8::MAX)
}

/// Standard deviation of the grey levels around a place.
fn deviation(grey: &[u8], width_px: usize, at: Pixel) -> f64 {
    let from = |v: f64| (v.max(0.0) as usize).saturating_sub(PATCH_HALF_PX);
    let side = 2 * PATCH_HALF_PX + 1;
    let rows = grey.chunks_exact(width_px).skip(from(at.y_px)).take(side);
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
    const CENTRE: Pixel = Pixel { x_px: 32.0, y_px: 32.0 };

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
        // A finger may be this far from the centre.
        let seen = inspect_patch(&dot, SIDE, Pixel { x_px: 34.4, y_px: 29.0 }).unwrap();
        assert_eq!((seen.mode, seen.is_even), (MarkerMode::Sticker, false));
        let centre = seen.centre.unwrap();
        let off_px = (centre.x_px - CENTRE.x_px).hypot(centre.y_px - CENTRE.y_px);
        assert!(off_px < 0.05, "{centre:?}");
        let shade = picture(|x, y| (120.0 + 1.5 * x + 0.5 * y) as u8);
        let seen = inspect_patch(&shade, SIDE, CENTRE).unwrap();
        assert_eq!(seen, PatchInspection { mode: MarkerMode::Skin, centre: None, is_even: false });
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
        assert_eq!(inspect_patch(&dot, SIDE, CENTRE).unwrap().mode, MarkerMode::Sticker);
    }

    #[test]
    fn an_even_patch_is_even_and_an_empty_picture_has_no_inspection() {
        let even = picture(|x, _| if x as i32 % 2 == 0 { 90 } else { 91 });
        assert!(inspect_patch(&even, SIDE, CENTRE).unwrap().is_even);
        assert_eq!(inspect_patch(&[], SIDE, CENTRE), None);
        assert_eq!(inspect_patch(&even, 0, CENTRE), None);
    }

    #[test]
    fn white_is_white_and_green_is_lighter_than_blue() {
        assert_eq!(luma(&[255, 255, 255, 255]), 255);
        assert!(luma(&[0, 200, 0, 255]) > luma(&[0, 0, 200, 255]));
    }
}
