//! Watches during tracking whether the camera moves.

use tracking::camera::Camera;
use tracking::image::{GreyFrame, ImagePoint};
use tracking::track::{Sample, State};

/// Frames between two checks.
///
/// Chosen: a camera that moves at all has moved within eight frames, or does so within the next eight.
pub(crate) const CHECK_EVERY: u32 = 8;

/// Checks every eighth frame of each pass against the pass's first frame, and every frame until a check succeeds.
#[derive(Default)]
pub(crate) struct CameraWatch {
    camera: Option<Camera>,
    /// The frame in which the pass began.
    first_frame: u32,
    /// Frames since.
    frames: u32,
    moved: bool,
    /// Whether any check of this pass gave a result.
    has_result: bool,
    /// Whether the last check gave none: a limb may hide the background, or the camera has moved too far.
    is_uncertain: bool,
}

impl CameraWatch {
    /// Begins a pass at this frame, with its markers there.
    pub fn begin(&mut self, number: u32, frame: GreyFrame<'_>, samples: &[Sample]) {
        (self.first_frame, self.frames) = (number, 0);
        self.moved |= self.is_uncertain;
        (self.has_result, self.is_uncertain) = (false, false);
        self.camera = (!self.moved).then(|| Camera::new(frame, &places(samples)));
        if self.camera.as_ref().is_some_and(|camera| !camera.can_distinguish()) {
            self.give_up();
        }
    }

    /// Ends the checks of this pass: too little of the background stands out from the noise.
    fn give_up(&mut self) {
        self.camera = None;
        // A run over the whole clip begins at its first frame and would give up there too.
        self.is_uncertain = self.first_frame > 0;
    }

    /// Takes the next frame of the pass.
    pub fn take(&mut self, frame: GreyFrame<'_>, samples: &[Sample]) {
        self.frames += 1;
        let is_due =
            self.frames.is_multiple_of(CHECK_EVERY) || self.is_uncertain || !self.has_result;
        if self.moved || !is_due {
            return;
        }
        if let Some(camera) = &mut self.camera {
            let motion = camera.step(frame, &places(samples));
            self.moved = motion.as_ref().map_or(true, |m| m.moving);
            // Each check compares with the pass's first frame: one that matches proves that the camera had not moved.
            // If noise hides every match, a second run would meet the same noise.
            self.is_uncertain = motion.map_or(true, |m| !m.in_place);
            self.has_result |= !self.is_uncertain;
            if !self.has_result && self.frames >= CHECK_EVERY {
                self.give_up();
            }
        }
    }

    /// Whether the camera moved, or may have moved.
    pub fn moved(&self) -> bool {
        self.moved || self.is_uncertain
    }
}

fn places(samples: &[Sample]) -> Vec<ImagePoint> {
    samples.iter().filter(|s| s.state != State::Lost).map(|s| s.at).collect()
}
