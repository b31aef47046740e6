//! The colour of a sticker, by which a fist or a patch of skin of the same shape and light is told from it.

use crate::image::{GreyFrame, Pixel};

/// Chosen: of a sticker's radius, its inside: with what colour, of half as many values as grey, spreads over the rim left out.
const INSIDE: f64 = 0.7;
/// Chosen: of a sticker's radius, what is around it.
const AROUND: (f64, f64) = (1.4, 2.2);
/// Chosen: blur and coding leave at least half of a sticker's colour in its middle.
const MOST_MIXED: f32 = 0.5;
/// Chosen: levels of colour that noise, coding and shade change; of 3,640 places like a sticker in one clip 94 of 100 are
/// within four and 98 within five, while a fist is 15 from white.
const FREE: f32 = 4.0;
/// Chosen: correlation that each level beyond is worth. In sixteen clips 7 places were off without, 6 at 0.02, 5 at 0.03,
/// 2 at 0.04 and at 0.05, and 22 at 0.08, where blurred stickers are passed over.
const PER_LEVEL: f32 = 0.04;

/// The colour of a sticker as it was placed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hue {
    /// Blue and red difference.
    own: [f32; 2],
    radius_px: f64,
}

impl Hue {
    /// That of a sticker of such a radius; `None` where the picture has no colour.
    pub fn of(frame: GreyFrame<'_>, at: Pixel, radius_px: f64) -> Option<Self> {
        let own = frame.mean_colour(at, 0.0, INSIDE * radius_px)?;
        Some(Self { own, radius_px })
    }

    /// What the colour of a place lacks to be the sticker's, in correlation: that of its distance from the colours between
    /// the sticker's own and half of what is around the place, as blur mixes them.
    pub fn lack(&self, frame: GreyFrame<'_>, at: Pixel) -> f32 {
        let mean = |from: f64, to: f64| {
            let colour = frame.mean_colour(at, from * self.radius_px, to * self.radius_px)?;
            Some([colour[0] - self.own[0], colour[1] - self.own[1]])
        };
        let (Some(here), Some(around)) = (mean(0.0, INSIDE), mean(AROUND.0, AROUND.1)) else {
            return 0.0;
        };
        let dot = |a: [f32; 2], b: [f32; 2]| a[0] * b[0] + a[1] * b[1];
        let mixed = (dot(here, around) / dot(around, around).max(1.0)).clamp(0.0, MOST_MIXED);
        let left = [here[0] - mixed * around[0], here[1] - mixed * around[1]];
        PER_LEVEL * (dot(left, left).sqrt() - FREE).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 64;
    const MIDDLE: Pixel = Pixel { x_px: 32.0, y_px: 32.0 };
    /// Blue and red difference, about those of white, of dark blue cloth and of skin by ITU-R BT.601.
    const WHITE: [f32; 2] = [128.0, 128.0];
    const CLOTH: [f32; 2] = [136.0, 124.0];
    const SKIN: [f32; 2] = [112.0, 148.0];

    /// What the colour of a disc of radius 8 on cloth lacks to white, told to the nearest of the levels of a byte.
    fn lack(disc: [f32; 2]) -> f32 {
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
        let hue = Hue::of(view(kept(WHITE), grey), MIDDLE, 8.0).unwrap();
        hue.lack(view(kept(disc), grey), MIDDLE)
    }

    #[test]
    fn a_white_sticker_blurred_into_its_cloth_lacks_nothing_and_a_fist_lacks_much() {
        let mixed = |share: f32| [0, 1].map(|k| (1.0 - share) * WHITE[k] + share * CLOTH[k]);
        for share in [0.0, 0.2, 0.5] {
            assert!(lack(mixed(share)) < 1e-6, "{share}: {}", lack(mixed(share)));
        }
        // 25 levels from white.
        assert!(lack(SKIN) > 0.6, "{}", lack(SKIN));
    }

    #[test]
    fn without_colour_nothing_is_lacking() {
        let grey = vec![200; SIDE * SIDE];
        let frame = GreyFrame::new(SIDE, SIDE, SIDE, &grey).unwrap();
        assert!(Hue::of(frame, MIDDLE, 8.0).is_none());
        let hue = Hue { own: WHITE, radius_px: 8.0 };
        assert!(hue.lack(frame, MIDDLE) < 1e-6);
    }
}
