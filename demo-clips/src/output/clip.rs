//! The two clips of the demonstration and how each is made.

use super::{Example, Options, Truth, encode};
use crate::Error;
use crate::body::{HEIGHT_M, Proportions};
use crate::motion::{Motion, Style};
use crate::noise;
use crate::picture::{Camera, Exposure, Wardrobe, hall};
use std::fs;

/// One clip: a way of running, a shirt and a camera.
#[derive(Clone, Debug, PartialEq)]
pub struct Clip {
    /// Name of its files, without ending.
    pub name: &'static str,
    /// What the runner was told to do.
    pub cue: &'static str,
    /// The way of running.
    pub style: Style,
    /// The camera.
    pub camera: Camera,
    /// Clothes and textures.
    pub wardrobe: Wardrobe,
    /// Seed of the variation from stride to stride.
    pub seed: u64,
}

impl Clip {
    /// Both clips for some options.
    #[must_use]
    pub fn both(options: &Options) -> [Clip; 2] {
        let seed = options.seed;
        // Other seeds roll the camera by up to about a degree either way.
        let roll = |rad: f64, channel| match seed {
            0 => rad,
            _ => 0.008 * noise::normal(seed, channel, 5),
        };
        // The two shirts are of like lightness; only the hue differs.
        let wear = |shirt| Wardrobe { shirt, seed: seed.wrapping_mul(0x9E37) ^ 0x51DE };
        [
            Clip {
                name: "heels_low",
                cue: "Heels carried low",
                style: Style::HEELS_LOW.varied(seed),
                camera: Camera::rolled(roll(0.0, 1)),
                wardrobe: wear([64.0, 124.0, 128.0]),
                seed: seed ^ 0x0A,
            },
            Clip {
                name: "leg_folding",
                cue: "Leg folding freely",
                style: Style::LEG_FOLDING.varied(seed),
                // Chosen: a little over half a degree, as a tripod set up by eye.
                camera: Camera::rolled(roll(0.0105, 2)),
                wardrobe: wear([168.0, 102.0, 74.0]),
                seed: seed ^ 0x0B,
            },
        ]
    }

    /// The motion of the runner in this clip.
    #[must_use]
    pub fn motion(&self, options: &Options) -> Motion {
        let lengths = Proportions::of_height(HEIGHT_M);
        Motion::new(self.style, lengths, options.length_s, self.seed)
    }

    fn film(&self, motion: &Motion, options: &Options) -> Result<(), Error> {
        let hall = hall(&self.camera, self.wardrobe.seed);
        let exposure = Exposure {
            motion,
            hall: &hall,
            camera: self.camera,
            wardrobe: self.wardrobe,
            stickers: options.stickers,
        };
        let path = options.out.join(format!("{}.mp4", self.name));
        encode::write(&path, options.rate_hz, options.frames(), |number| {
            exposure.frame(number as f64 / options.rate_hz, number as u64)
        })
    }
}

/// Writes both clips, their truth and what a coach would have entered.
///
/// # Errors
/// When a file cannot be written or the encoder is missing or fails.
pub fn generate(options: &Options) -> Result<Vec<Truth>, Error> {
    fs::create_dir_all(&options.out).map_err(Error::file("making the folder"))?;
    let mut truths = Vec::new();
    for clip in Clip::both(options) {
        let motion = clip.motion(options);
        let truth = Truth::of(&clip, &motion, options);
        let path = options.out.join(format!("{}.truth.json", clip.name));
        fs::write(&path, serde_json::to_string(&truth)? + "\n")
            .map_err(Error::file("writing the truth"))?;
        if !options.truth_only {
            clip.film(&motion, options)?;
        }
        truths.push(truth);
    }
    let example = Example::from(&truths);
    fs::write(options.out.join("example.json"), serde_json::to_string_pretty(&example)? + "\n")
        .map_err(Error::file("writing the example"))?;
    Ok(truths)
}
