//! Tracks markers: decodes the frames that the run wants, in either direction of time.

use crate::buffer_pool::FrameImage;
use crate::camera_job::camera_path;
use crate::clip_job::Job;
use crate::decode::luma::{Luma, Planes};
use crate::luma_stream::LumaStream;
use crate::yield_now::yield_now;
use jobs::protocol::{JobError, Progress, Response, TrackingResult};
use jobs::{Pass, TrackingPlan, TrackingRun};

/// Chosen: a backward pass holds at most this much luma, 52 frames at 720p, 23 at 1080p.
const MOST_HELD_BYTES: u32 = 48 * 1024 * 1024;
/// Time between two progress messages. Chosen: ten a second look continuous.
const REPORT_EVERY_MS: f64 = 100.0;
/// Frames skipped at a time. Chosen: they are decoded in less time than that.
const SKIP_STEP: usize = 12;

/// Why a pass or a piece of one ended.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ended {
    Done,
    Cancelled,
}

struct Tracking<'a> {
    job: &'a Job,
    run: TrackingRun,
    stream: LumaStream,
    reported_ms: f64,
    /// The frame taken last.
    frame: u32,
}

/// Tracks the markers of a plan; if the job is cancelled, the result holds what was done before.
///
/// # Errors
/// If the plan does not fit the clip, or a frame cannot be decoded or tracked.
pub async fn track(job: &Job, plan: TrackingPlan) -> Result<TrackingResult, JobError> {
    let (source, frame_count) = (&job.clip.source, job.clip.frame_count());
    let is_whole_clip = (plan.first, plan.last + 1) == (0, frame_count);
    let frame = plan.first;
    let mut tracking = Tracking {
        job,
        run: TrackingRun::new(plan, source.picture, frame_count)?,
        stream: LumaStream::new(source)?,
        reported_ms: job.outbox.now_ms(),
        frame,
    };
    let ended = tracking.passes().await?;
    let run = tracking.run;
    let follows_camera = is_whole_clip && ended == Ended::Done && run.camera_moved();
    let ((done, _), duplicates) = (run.progress(), run.duplicates());
    let tracks = run.finish();
    let camera = if follows_camera { camera_path(job, &tracks, done).await? } else { None };
    // A camera job that was cancelled leaves the camera still, and the page should know.
    let cancelled = ended == Ended::Cancelled || (follows_camera && job.is_cancelled());
    Ok(TrackingResult { tracks, camera, duplicates, cancelled })
}

impl Tracking<'_> {
    async fn passes(&mut self) -> Result<Ended, JobError> {
        while let Some(pass) = self.run.pass().cloned() {
            let ended = if pass.is_backward() {
                self.backward(&pass).await?
            } else {
                self.forward(&pass).await?
            };
            if ended == Ended::Cancelled {
                return Ok(ended);
            }
        }
        Ok(Ended::Done)
    }

    fn planes(&self) -> Planes {
        if self.run.needs_chroma() { Planes::LumaAndChroma } else { Planes::Luma }
    }

    /// The luma of a frame, and its image if a progress message is due.
    async fn luma_and_image(&mut self, frame: u32) -> Result<(Luma, Option<FrameImage>), JobError> {
        if !self.is_report_due() {
            return Ok((self.stream.luma(frame, self.planes()).await?, None));
        }
        let planes = self.planes();
        let (luma, decoded) = self.stream.luma_and_frame(frame, planes).await?;
        let source = &self.job.clip.source;
        let decoded = source.to_display(decoded).await;
        Ok((luma, Some(self.job.outbox.pool.image(decoded, source.picture).await)))
    }

    fn take(&mut self, luma: &Luma) -> Result<(), JobError> {
        let frame = luma.frame()?;
        self.frame = self.run.wanted().unwrap_or(self.frame);
        self.run.take(frame)
    }

    fn is_report_due(&self) -> bool {
        self.job.outbox.now_ms() - self.reported_ms >= REPORT_EVERY_MS
    }

    /// Reports progress, with the image of the frame taken last if there is one.
    fn report(&mut self, image: Option<FrameImage>) {
        self.reported_ms = self.job.outbox.now_ms();
        let (done, total) = self.run.progress();
        let latest = self.run.latest().clone();
        let progress = Progress { done, total, frame: self.frame, latest };
        self.job.outbox.send_with(self.job.address, Response::Progress(progress), image);
    }

    /// Reports progress if it is due, and returns whether the job was cancelled.
    fn report_or_cancel(&mut self) -> Ended {
        if self.is_report_due() {
            self.report(None);
        }
        if self.job.is_cancelled() { Ended::Cancelled } else { Ended::Done }
    }

    /// Whether the run has ended this pass, perhaps before its last frame.
    fn has_ended(&self, pass: &Pass) -> bool {
        self.run.pass().is_none_or(|p| (p.from, p.is_backward()) != (pass.from, pass.is_backward()))
    }

    async fn forward(&mut self, pass: &Pass) -> Result<Ended, JobError> {
        for frame in pass.from..=pass.to {
            if self.job.is_cancelled() {
                return Ok(Ended::Cancelled);
            }
            // The places travel with the image of their own frame, so that the page asks no other decoder for it.
            let (luma, image) = self.luma_and_image(frame).await?;
            self.take(&luma)?;
            if image.is_some() {
                self.report(image);
            }
            if self.has_ended(pass) {
                break;
            }
        }
        Ok(Ended::Done)
    }

    /// A backward pass, piece by piece: each piece is decoded forward and taken backward.
    async fn backward(&mut self, pass: &Pass) -> Result<Ended, JobError> {
        let picture = &self.job.clip.source.picture;
        let plane_bytes = picture.coded_width_px.saturating_mul(picture.coded_height_px).max(1);
        let mut last = pass.from;
        loop {
            // Chroma takes half as much again.
            let halves = if self.run.needs_chroma() { 3 } else { 2 };
            let most = (MOST_HELD_BYTES / plane_bytes * 2 / halves).max(2);
            let first = self.job.clip.source.index().batch_start(last, most).max(pass.to);
            let Some(piece) = self.piece(first, last).await? else { return Ok(Ended::Cancelled) };
            for luma in piece.iter().rev() {
                self.take(luma)?;
                if self.has_ended(pass) {
                    return Ok(Ended::Done);
                }
                // Nothing above waits for the browser, so that a cancel would not arrive otherwise.
                if self.is_report_due() {
                    yield_now().await;
                }
                if self.report_or_cancel() == Ended::Cancelled {
                    return Ok(Ended::Cancelled);
                }
            }
            if first == pass.to {
                return Ok(Ended::Done);
            }
            last = first - 1;
        }
    }

    /// The luma of the frames from `first` to `last`; none if the job is cancelled.
    async fn piece(&mut self, first: u32, last: u32) -> Result<Option<Vec<Luma>>, JobError> {
        // The frames that must be decoded before are skipped in steps, with reports and cancels between.
        let run_start = self.job.clip.source.index().decode_start_frame(first);
        for before in (run_start..first).step_by(SKIP_STEP) {
            if self.report_or_cancel() == Ended::Cancelled {
                return Ok(None);
            }
            self.stream.skip(before).await?;
        }
        let mut piece = Vec::new();
        for frame in first..=last {
            if self.report_or_cancel() == Ended::Cancelled {
                return Ok(None);
            }
            piece.push(self.stream.luma(frame, self.planes()).await?);
        }
        Ok(Some(piece))
    }
}
