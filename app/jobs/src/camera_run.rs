//! Whether the camera moved during a following, and if so how, from the picture away from the runner.

use super::rejoin::to_coded;
use document::session::{CameraPath, CameraPose, TrackSample};
use mechanics::body::Landmark;
use mechanics::space::Pixel;
use media::Picture;
use std::collections::BTreeMap;
use tracking::camera::{Camera, Similarity};
use tracking::image::{GreyFrame, ImagePoint};
use tracking::track::{Sample, State};

/// Chosen: a camera that moves at all has moved within eight frames, or does so within the next eight.
const LOOK_EVERY: u32 = 8;

/// Looks at every eighth frame of each pass whether the camera still sees what it saw at the pass's beginning, and at
/// every frame until it is told so.
#[derive(Default)]
pub(super) struct Watch {
    camera: Option<Camera>,
    /// The frame in which the pass began, and the frames taken since.
    begun: u32,
    frames: u32,
    moved: bool,
    /// Whether any look of this pass told anything.
    told: bool,
    /// Whether the look before could not tell: a limb may be in the way, or the camera has gone too far.
    untold: bool,
}

impl Watch {
    /// A pass begins at this frame, with its markers there.
    pub fn begin(&mut self, number: u32, frame: GreyFrame<'_>, samples: &[Sample]) {
        (self.begun, self.frames) = (number, 0);
        self.moved |= self.untold;
        (self.told, self.untold) = (false, false);
        self.camera = (!self.moved).then(|| Camera::new(frame, &places(samples)));
        if self.camera.as_ref().is_some_and(|camera| !camera.can_tell()) {
            self.give_up();
        }
    }

    /// Looks no more in this pass: too little stands above the noise.
    fn give_up(&mut self) {
        self.camera = None;
        // A look at the whole clip begins at its first frame, and could not tell either.
        self.untold = self.begun > 0;
    }

    /// Takes the next frame of the pass.
    pub fn take(&mut self, frame: GreyFrame<'_>, samples: &[Sample]) {
        self.frames += 1;
        let due = self.frames.is_multiple_of(LOOK_EVERY) || self.untold || !self.told;
        if self.moved || !due {
            return;
        }
        if let Some(camera) = &mut self.camera {
            let motion = camera.step(frame, &places(samples));
            self.moved = motion.as_ref().map_or(true, |m| m.moving);
            // Each look is held against the pass's first frame: one that sees it again has not gone away before.
            // Noise that lets no way be told hides none that is worth a second look: that would meet the same noise.
            self.untold = motion.map_or(true, |m| !m.in_place);
            self.told |= !self.untold;
            if !self.told && self.frames >= LOOK_EVERY {
                self.give_up();
            }
        }
    }

    /// Whether it moved, or cannot be told to have stood still.
    pub fn moved(&self) -> bool {
        self.moved || self.untold
    }
}

fn places(samples: &[Sample]) -> Vec<ImagePoint> {
    samples.iter().filter(|s| s.state != State::Lost).map(|s| s.at).collect()
}

/// The camera over a whole clip, frame by frame from the first.
pub struct CameraRun {
    picture: Picture,
    /// Where the runner was found, by frame, in the coded picture.
    runner: Vec<Vec<ImagePoint>>,
    camera: Option<Camera>,
    poses: Vec<CameraPose>,
    moved: bool,
    squares_px2: f64,
    told: u32,
}

impl CameraRun {
    /// For a clip of this picture in which a following found these places.
    #[must_use]
    pub fn new(
        picture: Picture,
        found: &(u32, BTreeMap<Landmark, Vec<Option<TrackSample>>>),
        frame_count: u32,
    ) -> Self {
        let (first, stretches) = found;
        let at = |frame: u32| {
            let in_stretch = frame.checked_sub(*first);
            let sample = |s: &Vec<Option<TrackSample>>| s.get(in_stretch? as usize).copied()?;
            stretches.values().filter_map(sample).map(|s| to_coded(&picture, s.at)).collect()
        };
        let runner = (0..frame_count).map(at).collect();
        Self {
            picture,
            runner,
            camera: None,
            poses: Vec::new(),
            moved: false,
            squares_px2: 0.0,
            told: 0,
        }
    }

    /// The frame that is wanted next; none when all are done, or when the first few show that nothing can be told.
    #[must_use]
    pub fn wanted(&self) -> Option<u32> {
        let next = u32::try_from(self.poses.len()).ok()?;
        (self.poses.len() < self.runner.len() && !self.is_hopeless(next)).then_some(next)
    }

    /// Whether no frame up to this one told anything and none will: too little stands above the noise.
    fn is_hopeless(&self, next: u32) -> bool {
        let plain = self.camera.as_ref().is_some_and(|camera| !camera.can_tell());
        self.told == 0 && (plain || next > LOOK_EVERY)
    }

    /// Takes the wanted frame.
    ///
    /// # Errors
    /// When the frame is of another size than the first.
    pub fn take(&mut self, frame: GreyFrame<'_>) -> Result<(), String> {
        let runner = self.runner.get(self.poses.len()).map_or(&[][..], Vec::as_slice);
        let Some(camera) = &mut self.camera else {
            self.camera = Some(Camera::new(frame, runner));
            self.poses.push(CameraPose::REST);
            return Ok(());
        };
        let motion = camera.step(frame, runner).map_err(|e| e.to_string())?;
        self.moved |= motion.moving;
        if let Some(residual_px) = motion.residual_px {
            self.squares_px2 += residual_px * residual_px;
            self.told += 1;
        }
        self.poses.push(upright(&self.picture, &motion.since_first));
        Ok(())
    }

    /// What it did; none where it stood still.
    #[must_use]
    pub fn finish(self) -> Option<CameraPath> {
        let residual_px = (self.squares_px2 / f64::from(self.told.max(1))).sqrt();
        let residual_px = (residual_px * 1e3).round() / 1e3;
        (self.moved && self.wanted().is_none())
            .then_some(CameraPath { poses: self.poses, residual_px })
    }
}

/// A motion of the coded picture as one of the upright picture.
fn upright(picture: &Picture, motion: &Similarity) -> CameraPose {
    const APART_PX: f64 = 1000.0;
    let moved = |x_px: f64| {
        let there = motion.apply(to_coded(picture, Pixel { x_px, y_px: 0.0 }));
        picture.upright_from_coded(Pixel { x_px: there.x_px, y_px: there.y_px })
    };
    let (p, q) = (moved(0.0), moved(APART_PX));
    let (cosine, sine) = ((q.x_px - p.x_px) / APART_PX, (q.y_px - p.y_px) / APART_PX);
    CameraPose::new(cosine, sine, p.x_px, p.y_px)
}
