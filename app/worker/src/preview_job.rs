//! Trying a following out on one marker.

use super::clip::Clip;
use super::dispatcher::Desk;
use super::luma_stream::Greys;
use super::tracking_job::follow;
use jobs::{Answer, FollowPlan, JobId, TryoutRun};
use std::rc::Rc;

/// Follows the first marker of a plan and looks at it where it moves least and most; no tryout comes of one that was
/// given up.
pub async fn try_out(
    desk: &Rc<Desk>,
    clip: &Clip,
    id: JobId,
    plan: FollowPlan,
) -> Result<Answer, String> {
    let marker = plan.markers.first().map(|m| (m.landmark, m.mode));
    let marker = marker.ok_or_else(|| clip.named("there is nothing to try out: place a marker"))?;
    let Answer::Followed { first, stretches, .. } = follow(desk, clip, id, plan).await? else {
        return Ok(Answer::TriedOut(None));
    };
    let samples = stretches.get(&marker.0).map_or(&[][..], Vec::as_slice);
    let mut run = TryoutRun::new(marker, &clip.picture, (first, samples));
    let mut greys = Greys::of(clip)?;
    while let Some(frame) = run.wanted() {
        if desk.is_cancelled(id) {
            return Ok(Answer::TriedOut(None));
        }
        let grey = greys.grey(frame, true).await?;
        run.take(grey.frame().map_err(|e| clip.named(&e))?);
    }
    let cancelled = desk.is_cancelled(id);
    Ok(Answer::TriedOut((!cancelled).then(|| run.finish())))
}
