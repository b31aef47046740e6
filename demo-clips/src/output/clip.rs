//! One clip: everything that defines it, and its film.

use super::encode;
use super::options::Options;
use crate::Error;
use crate::body::Proportions;
use crate::film::{Background, CameraPath, Exposure, Light, Panorama};
use crate::motion::{Course, Motion, Style};
use crate::picture::hall::hall;
use crate::picture::{Camera, Scenery, Wardrobe};

/// Everything that defines a clip.
#[derive(Clone, Debug, PartialEq)]
pub struct Clip {
    /// Name of its files, without extension.
    pub name: String,
    /// The instruction to the runner.
    pub cue: String,
    /// The segment lengths.
    pub lengths: Proportions,
    /// The body height.
    pub height_m: f64,
    /// The running style.
    pub style: Style,
    /// The course.
    pub course: Course,
    /// The path of the camera.
    pub path: CameraPath,
    /// Exposure time.
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
    /// The motion of the runner in this clip.
    #[must_use]
    pub fn motion(&self, options: &Options) -> Motion {
        Motion::new(self.style, self.lengths, options.length_s, self.seed)
    }

    /// The background of the clip.
    fn background(&self, options: &Options) -> Background {
        if self.path.is_still() {
            return Background::Still(hall(&self.path.at(0.0), &self.scenery));
        }
        let frames = 0..=options.frames();
        let cameras: Vec<Camera> =
            frames.map(|number| self.path.at(number as f64 / options.rate_hz)).collect();
        Background::Panorama(Panorama::seen_by(&cameras, |point| self.scenery.colour(point)))
    }

    /// Renders and encodes the film.
    ///
    /// # Errors
    /// If the encoder is missing or fails.
    pub(super) fn film(&self, motion: &Motion, options: &Options) -> Result<(), Error> {
        let background = self.background(options);
        let exposure = Exposure {
            motion,
            course: self.course,
            background: &background,
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
