//! Where the camera moved during a following: the clip once more, for the background alone.

use super::clip::Clip;
use super::dispatcher::Desk;
use super::luma_stream::Greys;
use document::session::CameraPath;
use jobs::{Answer, CameraRun, JobId};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Chosen: progress is told after so many frames, some ten times a second.
const TELL_EVERY: u32 = 12;

pub struct CameraLook<'a> {
    pub desk: &'a Rc<Desk>,
    pub clip: &'a Clip,
    pub id: JobId,
    /// Frames that the following took before.
    pub done: u32,
}

impl CameraLook<'_> {
    /// What the camera did; none where it stood still, or when the job is given up.
    pub async fn along(&self, mut run: CameraRun) -> Result<Option<Rc<CameraPath>>, String> {
        let mut greys = Greys::of(self.clip)?;
        while let Some(number) = run.wanted() {
            if self.desk.is_cancelled(self.id) {
                return Ok(None);
            }
            if number.is_multiple_of(TELL_EVERY) {
                self.tell(number);
            }
            let grey = greys.grey(number, false).await?;
            run.take(grey.frame().map_err(|e| self.clip.named(&e))?)
                .map_err(|e| self.clip.named(&e))?;
        }
        Ok(run.finish().map(Rc::new))
    }

    fn tell(&self, number: u32) {
        let progress = Answer::Progress {
            done: self.done + number,
            total: self.done + self.clip.frame_count(),
            frame: number,
            latest: BTreeMap::new(),
        };
        self.desk.answer(self.id, &progress, None);
    }
}
