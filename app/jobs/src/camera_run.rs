//! The path of the camera over a clip, from the background around the runner.

use crate::camera_watch::CHECK_EVERY;
use crate::coordinates::{coded_from_upright, upright_from_coded};
use crate::protocol::JobError;
use crate::tracks::Tracks;
use document::session::{CameraPath, CameraPose, TrackSample};
use mechanics::space::Pixel;
use media::Picture;
use tracking::camera::{Camera, Similarity};
use tracking::image::{GreyFrame, ImagePoint};

/// Follows the camera over a whole clip: asks for one frame after the other, from the first.
pub struct CameraRun {
    picture: Picture,
    /// The places of the runner's markers, by frame, in the coded picture.
    runner: Vec<Vec<ImagePoint>>,
    camera: Option<Camera>,
    poses: Vec<CameraPose>,
    moved: bool,
    squares_px2: f64,
    /// Frames that gave a residual.
    measured: u32,
}

impl CameraRun {
    /// A run over a clip of this picture in which tracking found these tracks.
    #[must_use]
    pub fn new(picture: Picture, tracks: &Tracks, frame_count: u32) -> Self {
        let at = |frame: u32| {
            let in_track = frame.checked_sub(tracks.first);
            let sample = |s: &Vec<Option<TrackSample>>| s.get(in_track? as usize).copied()?;
            let samples = tracks.samples.values().filter_map(sample);
            samples.map(|s| coded_from_upright(&picture, s.at)).collect()
        };
        let runner = (0..frame_count).map(at).collect();
        Self {
            picture,
            runner,
            camera: None,
            poses: Vec::new(),
            moved: false,
            squares_px2: 0.0,
            measured: 0,
        }
    }

    /// The frame to take next; none after the last, or once the first frames show too little background.
    #[must_use]
    pub fn wanted(&self) -> Option<u32> {
        let next = u32::try_from(self.poses.len()).ok()?;
        (self.poses.len() < self.runner.len() && !self.is_hopeless(next)).then_some(next)
    }

    /// Whether no frame up to this one was measured and none will be: too little stands out from the noise.
    fn is_hopeless(&self, next: u32) -> bool {
        let is_plain = self.camera.as_ref().is_some_and(|camera| !camera.can_distinguish());
        self.measured == 0 && (is_plain || next > CHECK_EVERY)
    }

    /// Takes the wanted frame.
    ///
    /// # Errors
    /// `Tracker` if the frame has another size than the first.
    pub fn take(&mut self, frame: GreyFrame<'_>) -> Result<(), JobError> {
        let runner = self.runner.get(self.poses.len()).map_or(&[][..], Vec::as_slice);
        let Some(camera) = &mut self.camera else {
            self.camera = Some(Camera::new(frame, runner));
            self.poses.push(CameraPose::REST);
            return Ok(());
        };
        let motion =
            camera.step(frame, runner).map_err(|e| JobError::Tracker { reason: e.to_string() })?;
        self.moved |= motion.moving;
        if let Some(residual_px) = motion.residual_px {
            self.squares_px2 += residual_px * residual_px;
            self.measured += 1;
        }
        self.poses.push(upright_pose(&self.picture, &motion.since_first));
        Ok(())
    }

    /// The path of the camera; none if it did not move or the run did not end.
    #[must_use]
    pub fn finish(self) -> Option<CameraPath> {
        let residual_px = (self.squares_px2 / f64::from(self.measured.max(1))).sqrt();
        let residual_px = (residual_px * 1e3).round() / 1e3;
        (self.moved && self.wanted().is_none())
            .then_some(CameraPath { poses: self.poses, residual_px })
    }
}

/// A motion of the coded picture as a motion of the upright picture.
fn upright_pose(picture: &Picture, motion: &Similarity) -> CameraPose {
    /// Exact: any distance gives the same pose.
    const APART_PX: f64 = 1000.0;
    let moved = |x_px: f64| {
        let coded = coded_from_upright(picture, Pixel { x_px, y_px: 0.0 });
        upright_from_coded(picture, motion.apply(coded))
    };
    let (p, q) = (moved(0.0), moved(APART_PX));
    let (cosine, sine) = ((q.x_px - p.x_px) / APART_PX, (q.y_px - p.y_px) / APART_PX);
    CameraPose::new(cosine, sine, p.x_px, p.y_px)
}
