//! Follows the camera over the whole clip, after tracking found that it moved.

use crate::clip_job::Job;
use crate::decode::luma::Planes;
use crate::luma_stream::LumaStream;
use document::session::CameraPath;
use jobs::protocol::{JobError, Progress, Response};
use jobs::{CameraRun, Tracks};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Frames between two progress messages. Chosen: about ten messages a second.
const REPORT_EVERY: u32 = 12;

/// The path of the camera; none if it stood still, or if the job is cancelled. `done` frames were taken before.
///
/// # Errors
/// If a frame cannot be decoded.
pub async fn camera_path(
    job: &Job,
    tracks: &Tracks,
    done: u32,
) -> Result<Option<Rc<CameraPath>>, JobError> {
    let (source, frame_count) = (&job.clip.source, job.clip.frame_count());
    let mut run = CameraRun::new(source.picture, tracks, frame_count);
    let mut stream = LumaStream::new(source)?;
    while let Some(frame) = run.wanted() {
        if job.is_cancelled() {
            return Ok(None);
        }
        if frame.is_multiple_of(REPORT_EVERY) {
            let (done, total) = (done + frame, done + frame_count);
            let progress = Progress { done, total, frame, latest: BTreeMap::new() };
            job.send(Response::Progress(progress));
        }
        let luma = stream.luma(frame, Planes::Luma).await?;
        run.take(luma.frame()?)?;
    }
    Ok(run.finish().map(Rc::new))
}
