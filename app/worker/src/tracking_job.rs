//! A following: decodes the frames that the run wants, in either direction of time.

use super::buffer_pool::Parcel;
use super::camera_job::CameraLook;
use super::clip::Clip;
use super::dispatcher::Desk;
use super::luma_stream::Greys;
use super::yield_now::breathe;
use crate::decode::luma::Luma;
use jobs::{Answer, CameraRun, FollowPlan, FollowRun, JobId, Pass};
use std::rc::Rc;

/// Chosen: a backward pass holds at most this much of grey pictures, 52 of them at 720p, 23 at 1080p.
const MOST_HELD_BYTES: u32 = 48 * 1024 * 1024;
/// Chosen: ten times a second is seen as going on.
const TELL_EVERY_MS: f64 = 100.0;
/// Chosen: so many frames are decoded in less time than that.
const PASS_BY: usize = 12;

struct Follow<'a> {
    desk: &'a Rc<Desk>,
    clip: &'a Clip,
    id: JobId,
    run: FollowRun,
    greys: Greys<'a>,
    told_ms: f64,
    at: u32,
}

/// Follows the markers of a plan; answers what was found, also when it was cancelled.
pub async fn follow(
    desk: &Rc<Desk>,
    clip: &Clip,
    id: JobId,
    plan: FollowPlan,
) -> Result<Answer, String> {
    let first = plan.first;
    let whole = (plan.first, plan.last + 1) == (0, clip.frame_count());
    let run = FollowRun::new(plan, clip.picture, clip.frame_count()).map_err(|e| clip.named(&e))?;
    let mut follow =
        Follow { desk, clip, id, run, greys: Greys::of(clip)?, told_ms: desk.now_ms(), at: first };
    let mut cancelled = false;
    while let Some(pass) = follow.run.pass().cloned() {
        let finished = if pass.is_backward() {
            follow.backward(&pass).await?
        } else {
            follow.forward(&pass).await?
        };
        if !finished {
            cancelled = true;
            break;
        }
    }
    let look = whole && !cancelled && follow.run.camera_moved();
    let ((done, _), repeated) = (follow.run.progress(), follow.run.repeated());
    let found = follow.run.finish();
    let camera = if look {
        let run = CameraRun::new(clip.picture, &found, clip.frame_count());
        CameraLook { desk, clip, id, done }.along(run).await?
    } else {
        None
    };
    // A look that is given up is told as such: the camera is then taken as still.
    cancelled |= look && desk.is_cancelled(id);
    let (first, stretches) = found;
    Ok(Answer::Followed { first, stretches, camera, repeated, cancelled })
}

impl Follow<'_> {
    /// The grey picture of a frame, and the one to be shown where the page is to be told of it.
    async fn grey(&mut self, frame: u32, shown: bool) -> Result<(Luma, Option<Parcel>), String> {
        let with_colour = self.run.needs_colour();
        if !shown {
            return Ok((self.greys.grey(frame, with_colour).await?, None));
        }
        let (grey, picture) = self.greys.grey_and_picture(frame, with_colour).await?;
        let picture = self.clip.to_show(picture).await;
        Ok((grey, Some(self.desk.lent.pack(picture, self.clip.picture).await)))
    }

    fn take(&mut self, grey: &Luma) -> Result<(), String> {
        let frame = grey.frame().map_err(|e| self.clip.named(&e))?;
        self.at = self.run.wanted().unwrap_or(self.at);
        self.run.take(frame).map_err(|e| self.clip.named(&e))
    }

    fn is_due(&self) -> bool {
        self.desk.now_ms() - self.told_ms >= TELL_EVERY_MS
    }

    /// Tells how far the job is, with the picture of the frame taken last where there is one.
    fn tell(&mut self, picture: Option<Parcel>) {
        self.told_ms = self.desk.now_ms();
        let (done, total) = self.run.progress();
        let latest = self.run.latest().clone();
        let progress = Answer::Progress { done, total, frame: self.at, latest };
        self.desk.answer(self.id, &progress, picture);
    }

    /// Tells how far the job is, if it is time to; false when it was cancelled.
    fn goes_on(&mut self) -> bool {
        if self.is_due() {
            self.tell(None);
        }
        !self.desk.is_cancelled(self.id)
    }

    /// Whether the run has come to the end of this pass, which may be before the pass's last frame.
    fn has_left(&self, pass: &Pass) -> bool {
        self.run.pass().is_none_or(|p| (p.from, p.is_backward()) != (pass.from, pass.is_backward()))
    }

    /// A forward pass; false when it was cancelled.
    async fn forward(&mut self, pass: &Pass) -> Result<bool, String> {
        for frame in pass.from..=pass.to {
            if self.desk.is_cancelled(self.id) {
                return Ok(false);
            }
            // Its own picture goes with the places that were found in it: no other decoder is asked for it.
            let (grey, picture) = self.grey(frame, self.is_due()).await?;
            self.take(&grey)?;
            if let Some(picture) = picture {
                self.tell(Some(picture));
            }
            if self.has_left(pass) {
                break;
            }
        }
        Ok(true)
    }

    /// A backward pass, piece by piece: each piece is decoded forward and taken backward.
    async fn backward(&mut self, pass: &Pass) -> Result<bool, String> {
        let picture = &self.clip.picture;
        let plane_bytes = picture.coded_width_px.saturating_mul(picture.coded_height_px).max(1);
        let mut last = pass.from;
        loop {
            // Colour takes half as much beside the grey.
            let halves = if self.run.needs_colour() { 3 } else { 2 };
            let most = (MOST_HELD_BYTES / plane_bytes * 2 / halves).max(2);
            let first = self.clip.index().batch_start(last, most).max(pass.to);
            let Some(piece) = self.piece(first, last).await? else { return Ok(false) };
            for grey in piece.iter().rev() {
                self.take(grey)?;
                if self.has_left(pass) {
                    return Ok(true);
                }
                // Nothing above waits for the browser, so a cancel would not be heard otherwise.
                if self.is_due() {
                    breathe().await;
                }
                if !self.goes_on() {
                    return Ok(false);
                }
            }
            if first == pass.to {
                return Ok(true);
            }
            last = first - 1;
        }
    }

    /// The grey pictures of a stretch, in order of time; none when the job was cancelled.
    async fn piece(&mut self, first: u32, last: u32) -> Result<Option<Vec<Luma>>, String> {
        // What must be decoded before the stretch is passed in strides, to be heard and told between.
        for before in (self.clip.index().decode_start_frame(first)..first).step_by(PASS_BY) {
            if !self.goes_on() {
                return Ok(None);
            }
            self.greys.pass(before).await?;
        }
        let mut piece = Vec::new();
        for frame in first..=last {
            if !self.goes_on() {
                return Ok(None);
            }
            piece.push(self.grey(frame, false).await?.0);
        }
        Ok(Some(piece))
    }
}
