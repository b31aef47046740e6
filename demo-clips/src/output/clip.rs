//! A clip and how it is made; the two clips of the demonstration.

use super::{Example, Options, Truth, encode};
use crate::Error;
use crate::body::{HEIGHT_M, Proportions};
use crate::film::{Backdrop, CameraPath, Exposure, Light, Panorama, SHUTTER_S};
use crate::motion::{Course, Motion, Style};
use crate::noise;
use crate::picture::hall::hall;
use crate::picture::{Camera, Scenery, Sticker, Wardrobe};
use std::fs;

/// One clip: a way of running, a shirt and a camera.
#[derive(Clone, Debug, PartialEq)]
pub struct Clip {
    /// Name of its files, without ending.
    pub name: String,
    /// What the runner was told to do.
    pub cue: String,
    /// The body.
    pub lengths: Proportions,
    /// Height of the body.
    pub height_m: f64,
    /// The way of running.
    pub style: Style,
    /// Where it is run.
    pub course: Course,
    /// The camera.
    pub path: CameraPath,
    /// How long the shutter is open.
    pub shutter_s: f64,
    /// Light and sensor.
    pub light: Light,
    /// The hall.
    pub scenery: Scenery,
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
        let textures = seed.wrapping_mul(0x9E37) ^ 0x51DE;
        let clip = |name: &str, cue: &str, style: Style, roll_rad, shirt, own| Clip {
            name: name.to_owned(),
            cue: cue.to_owned(),
            lengths: Proportions::of_height(HEIGHT_M),
            height_m: HEIGHT_M,
            style: style.varied(seed),
            course: Course::Belt,
            path: CameraPath::still(Camera::rolled(roll_rad)),
            shutter_s: SHUTTER_S,
            light: Light::EVEN,
            scenery: Scenery::plain(textures),
            wardrobe: Wardrobe {
                shirt,
                skin: Wardrobe::SKIN,
                weave_ratio: 1.0,
                sticker: Sticker::RING,
                seed: textures,
            },
            seed: seed ^ own,
        };
        let low = "Heels carried low";
        let folding = "Leg folding freely";
        // Chosen: a little over half a degree of roll, as a tripod set up by eye.
        let rolls = [roll(0.0, 1), roll(0.0105, 2)];
        let shirts = [[64.0, 124.0, 128.0], [168.0, 102.0, 74.0]];
        [
            clip("heels_low", low, Style::HEELS_LOW, rolls[0], shirts[0], 0x0A),
            clip("leg_folding", folding, Style::LEG_FOLDING, rolls[1], shirts[1], 0x0B),
        ]
    }

    /// The motion of the runner in this clip.
    #[must_use]
    pub fn motion(&self, options: &Options) -> Motion {
        Motion::new(self.style, self.lengths, options.length_s, self.seed)
    }

    /// What stands behind the runner.
    fn backdrop(&self, options: &Options) -> Backdrop {
        if self.path.is_still() {
            return Backdrop::Still(hall(&self.path.at(0.0), &self.scenery));
        }
        let frames = 0..=options.frames();
        let cameras: Vec<Camera> =
            frames.map(|number| self.path.at(number as f64 / options.rate_hz)).collect();
        Backdrop::Wide(Panorama::seen_by(&cameras, |place| self.scenery.colour(place)))
    }

    fn film(&self, motion: &Motion, options: &Options) -> Result<(), Error> {
        let backdrop = self.backdrop(options);
        let exposure = Exposure {
            motion,
            course: self.course,
            backdrop: &backdrop,
            path: &self.path,
            wardrobe: self.wardrobe,
            stickers: options.stickers,
            shutter_s: self.shutter_s,
            light: self.light,
        };
        let path = options.out.join(format!("{}.mp4", self.name));
        encode::write(&path, options.rate_hz, options.frames(), |number| {
            exposure.frame(number as f64 / options.rate_hz, number as u64)
        })
    }
}

/// Writes the clips and their truth; for the two of the demonstration also what a coach would have entered.
///
/// # Errors
/// When a file cannot be written or the encoder is missing or fails.
pub fn generate(options: &Options) -> Result<Vec<Truth>, Error> {
    fs::create_dir_all(&options.out).map_err(Error::file("making the folder"))?;
    let clips = match options.varied {
        Some(variety) => vec![Clip::varied(options, variety)],
        None => Clip::both(options).to_vec(),
    };
    let mut truths = Vec::new();
    for clip in clips {
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
    if options.varied.is_some() {
        return Ok(truths);
    }
    let example = Example::from(&truths);
    fs::write(options.out.join("example.json"), serde_json::to_string_pretty(&example)? + "\n")
        .map_err(Error::file("writing the example"))?;
    Ok(truths)
}
