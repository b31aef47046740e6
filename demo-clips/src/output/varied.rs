//! Clips for measuring: body, gait, clothes, hall, light and shutter are drawn from one seed.

use super::clip::Clip;
use super::options::Options;
use super::variety::Variety;
use crate::body::Proportions;
use crate::film::{CameraPath, Handling, Light};
use crate::motion::{Course, Style};
use crate::noise::Draws;
use crate::picture::{Camera, Scenery, Sticker, Wardrobe};

impl Clip {
    /// One clip for measuring.
    #[must_use]
    pub fn varied(options: &Options, variety: Variety) -> Clip {
        let mut draws = Draws::new(options.seed ^ 0xD4A3, 3);
        let (height_m, lengths) = body(&mut draws);
        let style = gait(&mut draws, options.seed, height_m);
        let (course, first) = view(&mut draws, variety, height_m);
        let pan_m_s =
            if variety.crossing { style.speed_m_s * draws.uniform(0.93, 1.03) } else { 0.0 };
        let drawn_s = shutter_s(&mut draws, options.rate_hz);
        let shutter_s = options.shutter_s.unwrap_or(drawn_s);
        let seed = options.seed.wrapping_mul(0x9E37) ^ 0xA4E1;
        let size_ratio = first.px_per_m / Camera::rolled(0.0).px_per_m;
        Clip {
            name: name(variety, options),
            cue: "As the runner likes".to_owned(),
            lengths,
            height_m,
            style,
            course,
            path: CameraPath::handled(first, variety.handling, pan_m_s, options.seed),
            shutter_s,
            light: Light {
                gain_ratio: draws.uniform(0.62, 1.06),
                across_ratio: draws.uniform(-0.2, 0.2),
                noise_ratio: draws.uniform(0.7, 2.2),
            },
            scenery: Scenery {
                seed,
                treadmill: !variety.crossing,
                wall_ratio: draws.uniform(0.55, 1.15),
                sheets: true,
                corners: variety.handling == Handling::Still && !variety.crossing,
            },
            wardrobe: wardrobe(&mut draws, seed ^ 0x0C, size_ratio),
            seed: options.seed ^ 0x0C,
        }
    }
}

fn name(variety: Variety, options: &Options) -> String {
    let marks = if options.stickers { "stickers" } else { "skin" };
    let handling = match variety.handling {
        Handling::Still => "still",
        Handling::Panned => "panned",
        Handling::HandHeld => "hand_held",
    };
    let course = if variety.crossing { "crossing" } else { "belt" };
    let shutter = options.shutter_s.map_or(String::new(), |s| format!("_shutter{:.1}", 1000.0 * s));
    format!("seed{}_{}_{marks}_{handling}_{course}{shutter}", options.seed, options.rate_hz)
}

/// Height and segment lengths. Chosen: heights of 1.58 to 1.92 m, and proportions of limbs that vary by a few percent.
fn body(draws: &mut Draws) -> (f64, Proportions) {
    let height_m = draws.uniform(1.58, 1.92);
    let mut lengths = Proportions::of_height(height_m);
    // The thigh gains what the shank loses, so that both styles still fit the leg.
    let share = draws.uniform(-0.02, 0.02);
    lengths.thigh_m *= 1.0 + share;
    lengths.shank_m *= 1.0 - share;
    lengths.upper_arm_m *= draws.uniform(0.96, 1.04);
    lengths.forearm_m *= draws.uniform(0.96, 1.04);
    lengths.trunk_m *= draws.uniform(0.97, 1.03);
    (height_m, lengths)
}

/// A style between the two of the demonstration, at another speed and scaled with the body.
fn gait(draws: &mut Draws, seed: u64, height_m: f64) -> Style {
    let (low, folding) = (Style::HEELS_LOW, Style::LEG_FOLDING);
    let share = draws.uniform(0.0, 1.0);
    let mut style = low.towards(&folding, share).varied(seed);
    let size_ratio = height_m / crate::body::HEIGHT_M;
    style.speed_m_s *= size_ratio * draws.uniform(0.94, 1.04);
    style.landing_m *= size_ratio;
    style.variation_fraction *= draws.uniform(0.6, 1.8);
    style
}

/// Course and first camera: on the belt the runner fills the height; crossing, he is further away.
fn view(draws: &mut Draws, variety: Variety, height_m: f64) -> (Course, Camera) {
    let roll_rad = draws.uniform(-0.015, 0.015);
    // Chosen: 0.12 m above the head, for the flight.
    let max_px_per_m = 620.0 / (height_m + 0.12);
    let fixed_view = variety.crossing && variety.handling != Handling::Panned;
    let px_per_m =
        if fixed_view { draws.uniform(196.0, 224.0) } else { draws.uniform(265.0, 330.0) };
    let px_per_m = px_per_m.min(max_px_per_m);
    let down_px = if fixed_view { draws.uniform(540.0, 640.0) } else { 652.0 };
    let origin_px = (652.0, down_px);
    // Chosen: nothing of the body is further behind the hips than 0.75 m.
    let edge_m = -origin_px.0 / px_per_m;
    let start_m = if fixed_view { edge_m + 0.75 + 0.06 } else { -0.3 };
    let course = if variety.crossing { Course::Crossing { start_m } } else { Course::Belt };
    (course, Camera { px_per_m, origin_px, roll_rad })
}

/// Exposure time. Chosen: from 1 ms, which daylight allows, to a third of the frame interval.
fn shutter_s(draws: &mut Draws, rate_hz: f64) -> f64 {
    let longest_s = (0.33 / rate_hz).clamp(0.001_2, 0.008);
    // Uniform in the logarithm.
    0.001 * (longest_s / 0.001).powf(draws.uniform(0.0, 1.0))
}

fn wardrobe(draws: &mut Draws, seed: u64, size_ratio: f64) -> Wardrobe {
    let skins = [[224.0, 182.0, 156.0], Wardrobe::SKIN, [158.0, 112.0, 86.0], [104.0, 72.0, 56.0]];
    let (white, dark) = (Sticker::WHITE, Sticker::DARK);
    let pair = draws.one_of([(white, dark), (dark, white), ([240.0, 214.0, 60.0], dark)]);
    let outer_px = draws.uniform(6.2, 9.0) * size_ratio;
    Wardrobe {
        shirt: [0; 3].map(|_| draws.uniform(40.0, 210.0) as f32),
        skin: draws.one_of(skins),
        weave_ratio: draws.uniform(0.5, 1.3),
        sticker: Sticker {
            outer_px,
            core_px: outer_px * draws.one_of([0.0, 0.42, 0.55]),
            rim: pair.0,
            core: pair.1,
        },
        seed,
    }
}
