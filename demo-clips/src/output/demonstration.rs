//! The two clips of the demonstration.

use super::clip::Clip;
use super::options::Options;
use crate::body::{HEIGHT_M, Proportions};
use crate::film::{CameraPath, Light, SHUTTER_S};
use crate::motion::{Course, Style};
use crate::noise;
use crate::picture::{Camera, Colour, Scenery, Sticker, Wardrobe};

/// What differs between the two clips.
struct Variant {
    name: &'static str,
    cue: &'static str,
    style: Style,
    roll_rad: f64,
    shirt: Colour,
    seed: u64,
}

impl Clip {
    /// Both clips of the demonstration.
    #[must_use]
    pub fn both(options: &Options) -> [Clip; 2] {
        let seed = options.seed;
        // Other seeds than 0 roll the camera by up to about a degree either way.
        let roll = |rad: f64, channel| match seed {
            0 => rad,
            _ => 0.008 * noise::normal(seed, channel, 5),
        };
        [
            Variant {
                name: "heels_low",
                cue: "Heels carried low",
                style: Style::HEELS_LOW,
                roll_rad: roll(0.0, 1),
                shirt: [64.0, 124.0, 128.0],
                seed: 0x0A,
            },
            Variant {
                name: "leg_folding",
                cue: "Leg folding freely",
                style: Style::LEG_FOLDING,
                // Chosen: a little over half a degree, as of a tripod set up by eye.
                roll_rad: roll(0.0105, 2),
                // The shirts differ in hue only; their lightness is nearly the same.
                shirt: [168.0, 102.0, 74.0],
                seed: 0x0B,
            },
        ]
        .map(|variant| variant.clip(seed))
    }
}

impl Variant {
    fn clip(self, seed: u64) -> Clip {
        let textures = seed.wrapping_mul(0x9E37) ^ 0x51DE;
        Clip {
            name: self.name.to_owned(),
            cue: self.cue.to_owned(),
            lengths: Proportions::of_height(HEIGHT_M),
            height_m: HEIGHT_M,
            style: self.style.varied(seed),
            course: Course::Belt,
            path: CameraPath::still(Camera::rolled(self.roll_rad)),
            shutter_s: SHUTTER_S,
            light: Light::UNIFORM,
            scenery: Scenery::plain(textures),
            wardrobe: Wardrobe {
                shirt: self.shirt,
                skin: Wardrobe::SKIN,
                weave_ratio: 1.0,
                sticker: Sticker::RING,
                seed: textures,
            },
            seed: seed ^ self.seed,
        }
    }
}
