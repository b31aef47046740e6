//! Clips for measuring: body, gait, clothes, hall, light and shutter all drawn from one seed.

use super::{Clip, Options};
use crate::body::Proportions;
use crate::film::{CameraPath, Handling, Light};
use crate::motion::{Course, Style};
use crate::noise;
use crate::picture::{Camera, Scenery, Sticker, Wardrobe};

/// What is chosen of such a clip; all else is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Variety {
    /// How the camera is held.
    pub handling: Handling,
    /// Whether the runner runs through the hall and not on the belt.
    pub crossing: bool,
}

impl Variety {
    /// Chosen: how long such a clip is unless told. A runner who crosses a picture that stands is in it for so long.
    #[must_use]
    pub fn length_s(&self) -> f64 {
        if self.crossing && self.handling != Handling::Panned { 1.5 } else { 3.0 }
    }

    fn name(&self, options: &Options) -> String {
        let marks = if options.stickers { "stickers" } else { "skin" };
        let handling = match self.handling {
            Handling::Still => "still",
            Handling::Panned => "panned",
            Handling::HandHeld => "hand_held",
        };
        let course = if self.crossing { "crossing" } else { "belt" };
        let shutter =
            options.shutter_s.map_or(String::new(), |s| format!("_shutter{:.1}", 1000.0 * s));
        format!("seed{}_{}_{marks}_{handling}_{course}{shutter}", options.seed, options.rate_hz)
    }
}

/// Numbers drawn one after the other from a seed.
struct Draw {
    seed: u64,
    count: i64,
}

impl Draw {
    fn even(&mut self, low: f64, high: f64) -> f64 {
        self.count += 1;
        low + (high - low) * noise::uniform(self.seed ^ 0xD4A3, self.count, 3)
    }

    fn one_of<T: Copy, const N: usize>(&mut self, choices: [T; N]) -> T {
        choices[(self.even(0.0, N as f64) as usize).min(N - 1)]
    }
}

impl Clip {
    /// One clip for measuring.
    #[must_use]
    pub fn varied(options: &Options, variety: Variety) -> Clip {
        let mut draw = Draw { seed: options.seed, count: 0 };
        let (height_m, lengths) = body(&mut draw);
        let style = gait(&mut draw, options.seed, height_m);
        let (course, first) = view(&mut draw, variety, height_m);
        let along_m_s =
            if variety.crossing { style.speed_m_s * draw.even(0.93, 1.03) } else { 0.0 };
        let drawn_s = shutter_s(&mut draw, options.rate_hz);
        let shutter_s = options.shutter_s.unwrap_or(drawn_s);
        let seed = options.seed.wrapping_mul(0x9E37) ^ 0xA4E1;
        let stretch_ratio = first.px_per_m / Camera::rolled(0.0).px_per_m;
        Clip {
            name: variety.name(options),
            cue: "As the runner likes".to_owned(),
            lengths,
            height_m,
            style,
            course,
            path: CameraPath::handled(first, variety.handling, along_m_s, options.seed),
            shutter_s,
            light: Light {
                gain_ratio: draw.even(0.62, 1.06),
                across_ratio: draw.even(-0.2, 0.2),
                noise_ratio: draw.even(0.7, 2.2),
            },
            scenery: Scenery {
                seed,
                treadmill: !variety.crossing,
                wall_ratio: draw.even(0.55, 1.15),
                sheets: true,
                corners: variety.handling == Handling::Still && !variety.crossing,
            },
            wardrobe: wardrobe(&mut draw, seed ^ 0x0C, stretch_ratio),
            seed: options.seed ^ 0x0C,
        }
    }
}

/// Chosen: heights of 1.58 to 1.92 m; no two bodies have the same share of thigh, shank and arm.
fn body(draw: &mut Draw) -> (f64, Proportions) {
    let height_m = draw.even(1.58, 1.92);
    let mut lengths = Proportions::of_height(height_m);
    // What the thigh gains the shank loses, so that the two ways of running still fit the leg.
    let share = draw.even(-0.02, 0.02);
    lengths.thigh_m *= 1.0 + share;
    lengths.shank_m *= 1.0 - share;
    lengths.upper_arm_m *= draw.even(0.96, 1.04);
    lengths.forearm_m *= draw.even(0.96, 1.04);
    lengths.trunk_m *= draw.even(0.97, 1.03);
    (height_m, lengths)
}

/// A way between the two of the demonstration, at another speed and stretched with the body.
fn gait(draw: &mut Draw, seed: u64, height_m: f64) -> Style {
    let (low, folding) = (Style::HEELS_LOW, Style::LEG_FOLDING);
    let share = draw.even(0.0, 1.0);
    let mut style = low.towards(&folding, share).varied(seed);
    let size_ratio = height_m / crate::body::HEIGHT_M;
    style.speed_m_s *= size_ratio * draw.even(0.94, 1.04);
    style.landing_m *= size_ratio;
    style.variation_fraction *= draw.even(0.6, 1.8);
    style
}

/// Course and first camera: on the belt the runner fills the height, crossing he is seen from further away.
fn view(draw: &mut Draw, variety: Variety, height_m: f64) -> (Course, Camera) {
    let roll_rad = draw.even(-0.015, 0.015);
    // Chosen: room for the flight above the head.
    let most_px_per_m = 620.0 / (height_m + 0.12);
    let standing = variety.crossing && variety.handling != Handling::Panned;
    let px_per_m = if standing { draw.even(196.0, 224.0) } else { draw.even(265.0, 330.0) };
    let px_per_m = px_per_m.min(most_px_per_m);
    let down_px = if standing { draw.even(540.0, 640.0) } else { 652.0 };
    let origin_px = (652.0, down_px);
    // Chosen: nothing of the body is further than 0.75 m behind the hips.
    let edge_m = -origin_px.0 / px_per_m;
    let start_m = if standing { edge_m + 0.75 + 0.06 } else { -0.3 };
    let course = if variety.crossing { Course::Crossing { start_m } } else { Course::Belt };
    (course, Camera { px_per_m, origin_px, roll_rad })
}

/// Chosen: from a thousandth, which daylight allows, to a third of the time a frame has.
fn shutter_s(draw: &mut Draw, rate_hz: f64) -> f64 {
    let longest_s = (0.33 / rate_hz).clamp(0.001_2, 0.008);
    // Even in the logarithm.
    0.001 * (longest_s / 0.001).powf(draw.even(0.0, 1.0))
}

fn wardrobe(draw: &mut Draw, seed: u64, stretch_ratio: f64) -> Wardrobe {
    let skins = [[224.0, 182.0, 156.0], Wardrobe::SKIN, [158.0, 112.0, 86.0], [104.0, 72.0, 56.0]];
    let (white, dark) = (Sticker::WHITE, Sticker::DARK);
    let pair = draw.one_of([(white, dark), (dark, white), ([240.0, 214.0, 60.0], dark)]);
    let outer_px = draw.even(6.2, 9.0) * stretch_ratio;
    Wardrobe {
        shirt: [0; 3].map(|_| draw.even(40.0, 210.0) as f32),
        skin: draw.one_of(skins),
        weave_ratio: draw.even(0.5, 1.3),
        sticker: Sticker {
            outer_px,
            core_px: outer_px * draw.one_of([0.0, 0.42, 0.55]),
            rim: pair.0,
            core: pair.1,
        },
        seed,
    }
}
