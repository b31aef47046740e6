//! The colour of a sticker, which distinguishes it from a fist or a patch of skin of the same shape and lightness.

use crate::image::{GreyFrame, ImagePoint};
use crate::track::cost::colour_deficit;

/// The inside of a sticker, of its radius.
///
/// Chosen: without the rim, over which colour, of half as many values as grey, spreads.
const INSIDE: f64 = 0.7;
/// The surroundings of a sticker, of its radius.
///
/// Chosen: by trial on the worked clips, no record.
const AROUND: (f64, f64) = (1.4, 2.2);
/// The largest share of its surroundings in a sticker's colour.
///
/// Chosen: blur and coding leave at least half of a sticker's colour in its middle.
const MOST_MIXED: f32 = 0.5;
/// Least squared distance of the surroundings' colour as a divisor.
///
/// Chosen: a level, below which there is nothing to mix with.
const LEAST_SQUARE: f32 = 1.0;

/// The colour of a sticker as it was placed.
#[derive(Clone, Copy, Debug)]
pub(super) struct ColourCheck {
    /// Blue and red difference.
    own: [f32; 2],
    radius_px: f64,
}

impl ColourCheck {
    /// That of a sticker of such a radius; `None` if the picture has no colour.
    pub fn of(frame: GreyFrame<'_>, at: ImagePoint, radius_px: f64) -> Option<Self> {
        let own = frame.mean_colour(at, 0.0, INSIDE * radius_px)?;
        Some(Self { own, radius_px })
    }

    /// What the colour of a place costs, in correlation: by its distance from the colours between the sticker's own and half
    /// of what is around the place, as blur mixes them.
    pub fn deficit(&self, frame: GreyFrame<'_>, at: ImagePoint) -> f32 {
        let mean = |from: f64, to: f64| {
            let colour = frame.mean_colour(at, from * self.radius_px, to * self.radius_px)?;
            Some([colour[0] - self.own[0], colour[1] - self.own[1]])
        };
        let (Some(here), Some(around)) = (mean(0.0, INSIDE), mean(AROUND.0, AROUND.1)) else {
            return 0.0;
        };
        let dot = |a: [f32; 2], b: [f32; 2]| a[0] * b[0] + a[1] * b[1];
        let mixed =
            (dot(here, around) / dot(around, around).max(LEAST_SQUARE)).clamp(0.0, MOST_MIXED);
        let left = [here[0] - mixed * around[0], here[1] - mixed * around[1]];
        colour_deficit(dot(left, left).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 64;
    const MIDDLE: ImagePoint = ImagePoint { x_px: 32.0, y_px: 32.0 };
    /// Blue and red difference of white, and about those of dark blue cloth and of skin by ITU-R BT.601.
    const WHITE: [f32; 2] = [128.0, 128.0];
    const CLOTH: [f32; 2] = [136.0, 124.0];
    const SKIN: [f32; 2] = [112.0, 148.0];

    /// The deficit of a disc of radius 8 on cloth against white, with levels rounded to bytes.
    fn deficit(disc: [f32; 2]) -> f32 {
        let half = SIDE / 2;
        let plane = |colour: [f32; 2], part: usize| -> Vec<u8> {
            let inside = |k: usize| {
                let (x, y) = (2.0 * (k % half) as f64, 2.0 * (k / half) as f64 + 0.5);
                (x - MIDDLE.x_px).hypot(y - MIDDLE.y_px) < 8.0
            };
            let value = |k| if inside(k) { colour[part] } else { CLOTH[part] };
            (0..half * half).map(|k| value(k).round() as u8).collect()
        };
        let grey = vec![200; SIDE * SIDE];
        let view = |planes: &'static [Vec<u8>; 2], grey: &'static [u8]| {
            let frame = GreyFrame::new(SIDE, SIDE, SIDE, grey).unwrap();
            frame.with_colour(&planes[0], &planes[1]).unwrap()
        };
        let kept = |colour| &*Box::leak(Box::new([plane(colour, 0), plane(colour, 1)]));
        let grey = &*grey.leak();
        let check = ColourCheck::of(view(kept(WHITE), grey), MIDDLE, 8.0).unwrap();
        check.deficit(view(kept(disc), grey), MIDDLE)
    }

    #[test]
    fn a_white_sticker_blurred_into_its_cloth_costs_nothing_and_a_fist_costs_much() {
        let mixed = |share: f32| [0, 1].map(|k| (1.0 - share) * WHITE[k] + share * CLOTH[k]);
        for share in [0.0, 0.2, 0.5] {
            assert!(deficit(mixed(share)) < 1e-6, "{share}: {}", deficit(mixed(share)));
        }
        // 25 levels from white.
        assert!(deficit(SKIN) > 0.6, "{}", deficit(SKIN));
    }

    #[test]
    fn without_colour_nothing_costs() {
        let grey = vec![200; SIDE * SIDE];
        let frame = GreyFrame::new(SIDE, SIDE, SIDE, &grey).unwrap();
        assert!(ColourCheck::of(frame, MIDDLE, 8.0).is_none());
        let check = ColourCheck { own: WHITE, radius_px: 8.0 };
        assert!(check.deficit(frame, MIDDLE) < 1e-6);
    }
}
