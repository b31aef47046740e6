//! A following: decodes the frames that the run wants, in either direction of time.

use super::clip::Clip;
use super::desk::Desk;
use crate::browser::decoder::Decoder;
use crate::browser::luma::{Luma, luma};
use crate::jobs::{Answer, FollowPlan, FollowRun, JobId};
use js_sys::Uint8Array;
use std::rc::Rc;
use tracking::image::GreyFrame;

/// Chosen: a backward pass holds at most this much of grey pictures, 52 of them at 720p, 23 at 1080p.
const MOST_HELD_BYTES: u32 = 48 * 1024 * 1024;
/// Chosen: more often than ten times a second, less often than the screen is drawn.
const TELL_EVERY_MS: f64 = 60.0;

struct Follow<'a> {
    desk: &'a Rc<Desk>,
    clip: &'a Clip,
    id: JobId,
    run: FollowRun,
    decoder: Decoder,
    buffer: Uint8Array,
    told_ms: f64,
}

/// Follows the markers of a plan; answers what was found, also when it was cancelled.
pub async fn follow(
    desk: &Rc<Desk>,
    clip: &Clip,
    id: JobId,
    plan: FollowPlan,
) -> Result<Answer, String> {
    let first = plan.first;
    let began_ms = desk.now_ms();
    let run = FollowRun::new(plan, clip.picture, clip.frame_count()).map_err(|e| clip.named(&e))?;
    let decoder = clip.decoder()?;
    let mut follow = Follow {
        desk,
        clip,
        id,
        run,
        decoder,
        buffer: Uint8Array::new_with_length(0),
        told_ms: began_ms,
    };
    let mut cancelled = false;
    while let Some(pass) = follow.run.pass().cloned() {
        let finished = if pass.is_backward() {
            follow.backward(pass.to).await?
        } else {
            follow.forward().await?
        };
        if !finished {
            cancelled = true;
            break;
        }
    }
    let took_s = (desk.now_ms() - began_ms) / 1000.0;
    Ok(Answer::Followed { first, stretches: follow.run.finish(), cancelled, took_s })
}

impl Follow<'_> {
    async fn grey(&mut self, frame: u32) -> Result<Luma, String> {
        let picture = self.decoder.frame(frame).await.map_err(|e| self.clip.named(&e))?;
        let grey = luma(&picture, &mut self.buffer).await;
        picture.close();
        grey.map_err(|e| self.clip.named(&e))
    }

    fn take(&mut self, grey: &Luma) -> Result<(), String> {
        let frame = GreyFrame::new(grey.width_px, grey.height_px, grey.width_px, &grey.bytes)
            .map_err(|e| self.clip.named(&e.to_string()))?;
        let number = self.run.wanted().unwrap_or(0);
        self.run.take(frame).map_err(|e| self.clip.named(&e))?;
        let now_ms = self.desk.now_ms();
        if now_ms - self.told_ms >= TELL_EVERY_MS {
            self.told_ms = now_ms;
            let (done, total) = self.run.progress();
            let latest = self.run.latest().clone();
            self.desk.answer(
                self.id,
                &Answer::Progress { done, total, frame: number, latest },
                None,
            );
        }
        Ok(())
    }

    /// The rest of a forward pass; false when it was cancelled.
    async fn forward(&mut self) -> Result<bool, String> {
        let Some(pass) = self.run.pass().cloned() else { return Ok(true) };
        for frame in pass.from..=pass.to {
            if self.desk.is_cancelled(self.id) {
                return Ok(false);
            }
            let grey = self.grey(frame).await?;
            self.take(&grey)?;
        }
        Ok(true)
    }

    /// The rest of a backward pass, piece by piece: each piece is decoded forward and taken backward.
    async fn backward(&mut self, to: u32) -> Result<bool, String> {
        let plane_bytes = self
            .clip
            .picture
            .coded_width_px
            .saturating_mul(self.clip.picture.coded_height_px)
            .max(1);
        let most = (MOST_HELD_BYTES / plane_bytes).max(2);
        let pass = self.run.pass().cloned();
        while self.run.pass() == pass.as_ref() {
            let Some(last) = self.run.wanted() else { break };
            let first = self.clip.index().piece_start(last, most).max(to);
            let mut piece = Vec::with_capacity((last - first + 1) as usize);
            for frame in first..=last {
                if self.desk.is_cancelled(self.id) {
                    return Ok(false);
                }
                piece.push(self.grey(frame).await?);
            }
            while let Some(grey) = piece.pop() {
                self.take(&grey)?;
            }
        }
        Ok(true)
    }
}
