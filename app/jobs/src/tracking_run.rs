//! Runs the passes of a tracking plan one frame at a time and merges them into tracks.

use crate::camera_watch::CameraWatch;
use crate::coordinates::{coded_from_upright, upright_sample};
use crate::duplicate_frames::DuplicateFrames;
use crate::passes::{Pass, passes};
use crate::protocol::JobError;
use crate::rejoin::Rejoin;
use crate::tracking_plan::TrackingPlan;
use crate::tracks::{FoundWays, Tracks, merge_all};
use document::session::{MarkerMode, TrackSample};
use mechanics::body::{Joint, Landmark};
use mechanics::space::{Pixel, Side};
use media::Picture;
use std::collections::BTreeMap;
use tracking::image::GreyFrame;
use tracking::track::{Limb, MarkerStart, Mode, Part, Sample, State, Tracker};

/// The segments whose lengths hardly change.
const LIMBS: [(Joint, Joint, Part); 10] = [
    (Joint::Hip, Joint::Knee, Part::Leg),
    (Joint::Knee, Joint::Ankle, Part::Leg),
    (Joint::Ankle, Joint::Heel, Part::Leg),
    (Joint::Ankle, Joint::Toe, Part::Leg),
    (Joint::Heel, Joint::Toe, Part::Leg),
    (Joint::Shoulder, Joint::Elbow, Part::Arm),
    (Joint::Elbow, Joint::Wrist, Part::Arm),
    (Joint::Shoulder, Joint::Hip, Part::Trunk),
    (Joint::Head, Joint::Shoulder, Part::Trunk),
    (Joint::Neck, Joint::Shoulder, Part::Trunk),
];

/// A tracking run: asks for frames, takes them, and gives the tracks.
pub struct TrackingRun {
    plan: TrackingPlan,
    picture: Picture,
    passes: Vec<Pass>,
    /// The current pass, by index.
    pass: usize,
    /// Frames taken in the current pass.
    steps: u32,
    tracker: Option<Tracker>,
    found: Vec<FoundWays>,
    /// After a correction.
    rejoin: Option<Rejoin>,
    camera_watch: CameraWatch,
    duplicates: DuplicateFrames,
    done: u32,
    latest: BTreeMap<Landmark, Option<TrackSample>>,
}

impl TrackingRun {
    /// A run of this plan over a clip of this picture.
    ///
    /// # Errors
    /// `FramesOutside` if the plan names frames that the clip does not have; `NothingToTrack` without a keyframe.
    pub fn new(plan: TrackingPlan, picture: Picture, frame_count: u32) -> Result<Self, JobError> {
        let TrackingPlan { first, last, .. } = plan;
        if first > last || last >= frame_count {
            return Err(JobError::FramesOutside { first, last, frame_count });
        }
        let is_inside = |(frame, _): &(u32, Pixel)| (first..=last).contains(frame);
        if !plan.markers.iter().any(|m| m.keyframes.iter().any(is_inside)) {
            return Err(JobError::NothingToTrack);
        }
        Ok(Self {
            passes: passes(&plan),
            pass: 0,
            steps: 0,
            tracker: None,
            found: vec![FoundWays::new((last - first + 1) as usize); plan.markers.len()],
            rejoin: plan.correction.as_ref().map(|c| Rejoin::new(c, &picture)),
            camera_watch: CameraWatch::default(),
            duplicates: DuplicateFrames::new(frame_count),
            done: 0,
            latest: BTreeMap::new(),
            plan,
            picture,
        })
    }

    /// The current pass; none after the last.
    #[must_use]
    pub fn pass(&self) -> Option<&Pass> {
        self.passes.get(self.pass)
    }

    /// The frame to take next; none after the last pass.
    #[must_use]
    pub fn wanted(&self) -> Option<u32> {
        let pass = self.pass()?;
        Some(if pass.is_backward() { pass.from - self.steps } else { pass.from + self.steps })
    }

    /// Whether the wanted frame needs its chroma: a sticker begins in it or is tracked in colour.
    #[must_use]
    pub fn needs_chroma(&self) -> bool {
        match (&self.tracker, self.pass()) {
            (Some(tracker), _) => tracker.needs_colour(),
            (None, Some(pass)) => {
                let modes =
                    pass.markers.iter().filter_map(|m| Some(self.plan.markers.get(*m)?.mode));
                modes.into_iter().any(|mode| mode == MarkerMode::Sticker)
            }
            (None, None) => false,
        }
    }

    /// Frames done and frames to do, over all passes.
    #[must_use]
    pub fn progress(&self) -> (u32, u32) {
        (self.done, self.passes.iter().map(Pass::frame_count).sum())
    }

    /// Whether the camera moved, or may have moved.
    #[must_use]
    pub fn camera_moved(&self) -> bool {
        self.camera_watch.moved()
    }

    /// The frames that repeat the frame before, in order; none unless every frame of the clip was taken.
    #[must_use]
    pub fn duplicates(&self) -> Option<Vec<u32>> {
        self.duplicates.found()
    }

    /// The markers in the frame taken last.
    #[must_use]
    pub fn latest(&self) -> &BTreeMap<Landmark, Option<TrackSample>> {
        &self.latest
    }

    /// Takes the wanted frame.
    ///
    /// # Errors
    /// `MarkOutside` if a mark lies outside the picture; `Tracker` if the frame has another size than the first.
    pub fn take(&mut self, frame: GreyFrame<'_>) -> Result<(), JobError> {
        let (Some(pass), Some(number)) = (self.passes.get(self.pass).cloned(), self.wanted())
        else {
            return Ok(());
        };
        let samples = match &mut self.tracker {
            Some(tracker) => tracker.step(frame).map_err(|e| self.error(&pass, &e))?,
            None => {
                let starts = self.starts(&pass, number);
                let tracker = Tracker::new(frame, &starts, &self.limbs(&pass))
                    .map_err(|e| self.error(&pass, &e))?;
                self.tracker = Some(tracker);
                let placed = |at| Sample { at, state: State::Placed, p_wrong: 0.0 };
                starts.iter().map(|s| placed(s.at)).collect()
            }
        };
        self.duplicates.take(number, frame);
        match self.steps {
            0 => self.camera_watch.begin(number, frame, &samples),
            _ => self.camera_watch.take(frame, &samples),
        }
        self.record(&pass, number, &samples);
        self.done += 1;
        self.steps += 1;
        self.end_if_rejoined(&pass, number, &samples);
        if self.steps >= self.passes.get(self.pass).map_or(0, Pass::frame_count) {
            self.pass += 1;
            self.steps = 0;
            self.tracker = None;
            self.rejoin.iter_mut().for_each(Rejoin::begin);
        }
        Ok(())
    }

    /// What an error of the tracker says about the plan.
    fn error(&self, pass: &Pass, error: &tracking::Error) -> JobError {
        let landmark = match error {
            tracking::Error::Outside { marker } => pass
                .markers
                .get(*marker)
                .and_then(|m| self.plan.markers.get(*m))
                .map(|m| m.landmark),
            _ => None,
        };
        match landmark {
            Some(landmark) => JobError::MarkOutside { landmark },
            None => JobError::Tracker { reason: error.to_string() },
        }
    }

    /// After a correction, a pass that leads away from the new mark ends where it rejoins the old track, and the pass
    /// that would come back towards the mark is dropped.
    fn end_if_rejoined(&mut self, pass: &Pass, frame: u32, samples: &[Sample]) {
        let leads_away = self.plan.correction.as_ref().is_some_and(|c| c.frame == pass.from);
        let (Some(rejoin), [sample], true) = (&mut self.rejoin, samples, leads_away) else {
            return;
        };
        if !rejoin.has_rejoined((frame - self.plan.first) as usize, sample) {
            return;
        }
        if let Some(shortened) = self.passes.get_mut(self.pass) {
            shortened.to = frame;
        }
        self.passes.retain(|p| (p.from, p.to) != (pass.to, pass.from));
        if let Some(found) = self.found.first_mut() {
            // The old track stands for the dropped pass, so that the new track fades into it.
            let span = (pass.from.min(frame) - self.plan.first) as usize
                ..=(pass.from.max(frame) - self.plan.first) as usize;
            let (from, to) = found.this_and_other(pass.is_backward());
            let (Some(from), Some(to)) = (from.get(span.clone()), to.get_mut(span.clone())) else {
                return;
            };
            let from: Vec<Sample> = from.iter().flatten().copied().collect();
            for (slot, old) in to.iter_mut().zip(rejoin.old_beside(*span.start(), &from)) {
                *slot = Some(old);
            }
        }
    }

    fn starts(&self, pass: &Pass, frame: u32) -> Vec<MarkerStart> {
        let start = |index: &usize| {
            let marker = self.plan.markers.get(*index)?;
            let (_, at) = marker.keyframes.iter().find(|(f, _)| *f == frame)?;
            let mode = match marker.mode {
                MarkerMode::Sticker => Mode::Sticker,
                MarkerMode::Skin => Mode::Skin,
            };
            Some(MarkerStart { at: coded_from_upright(&self.picture, *at), mode })
        };
        pass.markers.iter().filter_map(start).collect()
    }

    fn limbs(&self, pass: &Pass) -> Vec<Limb> {
        let markers = pass.markers.iter().filter_map(|i| self.plan.markers.get(*i));
        let landmarks: Vec<Landmark> = markers.map(|m| m.landmark).collect();
        let mut limbs = Vec::new();
        for (from, a) in landmarks.iter().enumerate() {
            for (to, b) in landmarks.iter().enumerate() {
                let same_side = a.side().is_none() || b.side().is_none() || a.side() == b.side();
                let joints = (a.joint(), b.joint());
                let part = LIMBS.iter().find(|(j, k, _)| (*j, *k) == joints).map(|(.., part)| part);
                if let (true, Some(part)) = (same_side, part) {
                    let is_far = [a.side(), b.side()].contains(&Some(Side::Far));
                    limbs.push(Limb::of(from, to, *part, is_far));
                }
            }
        }
        limbs
    }

    fn record(&mut self, pass: &Pass, frame: u32, samples: &[Sample]) {
        let at = (frame - self.plan.first) as usize;
        self.latest.clear();
        for (index, sample) in pass.markers.iter().zip(samples) {
            let Some(found) = self.found.get_mut(*index) else { continue };
            if let Some(slot) = found.way_mut(pass.is_backward()).get_mut(at) {
                *slot = Some(*sample);
            }
            if let Some(marker) = self.plan.markers.get(*index) {
                self.latest.insert(marker.landmark, upright_sample(&self.picture, sample));
            }
        }
    }

    /// The tracks, as far as the passes went.
    #[must_use]
    pub fn finish(self) -> Tracks {
        merge_all(&self.plan, &self.picture, &self.passes, &self.found)
    }
}
