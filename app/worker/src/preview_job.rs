//! Previews tracking on one marker.

use crate::clip_job::Job;
use crate::decode::luma::Planes;
use crate::luma_stream::LumaStream;
use crate::tracking_job::track;
use jobs::protocol::JobError;
use jobs::{Preview, PreviewRun, TrackingPlan};

/// Tracks the first marker of a plan and measures its blur; none if the job is cancelled.
///
/// # Errors
/// If the plan has no marker, or a frame cannot be decoded or tracked.
pub async fn preview(job: &Job, plan: TrackingPlan) -> Result<Option<Preview>, JobError> {
    let marker = plan.markers.first().cloned().ok_or(JobError::NothingToPreview)?;
    let tracks = track(job, plan).await?.tracks;
    let track = tracks.samples.get(&marker.landmark).map_or(&[][..], Vec::as_slice);
    let source = &job.clip.source;
    let mut run = PreviewRun::new(&marker, &source.picture, tracks.first, track);
    let mut stream = LumaStream::new(source)?;
    while let Some(frame) = run.wanted() {
        if job.is_cancelled() {
            return Ok(None);
        }
        let luma = stream.luma(frame, Planes::LumaAndChroma).await?;
        run.take(luma.frame()?);
    }
    Ok((!job.is_cancelled()).then(|| run.finish()))
}
