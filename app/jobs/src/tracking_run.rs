//! Runs the passes of a following, one frame at a time, and makes one track a marker of them.

use super::camera_run::Watch;
use super::duplicate_frames::Twice;
use super::rejoin::{Meeting, to_coded};
use super::{FollowPlan, Pass, passes};
use document::session::{Certainty, MarkerMode, TrackSample};
use mechanics::body::{Joint, Landmark};
use mechanics::space::{Pixel, Side};
use media::Picture;
use std::collections::BTreeMap;
use tracking::image::GreyFrame;
use tracking::track::{Limb, MarkerStart, Mode, Part, Sample, State, Tracker, blend};

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

/// What the passes found of one marker, by frame from the plan's first on.
#[derive(Clone)]
struct Found {
    forward: Vec<Option<Sample>>,
    backward: Vec<Option<Sample>>,
}

impl Found {
    /// What was found going one way, and the other way.
    fn this_and_other(&mut self, backward: bool) -> (&[Option<Sample>], &mut [Option<Sample>]) {
        if backward {
            (&self.backward, &mut self.forward)
        } else {
            (&self.forward, &mut self.backward)
        }
    }
}

/// A following under way: asks for frames, takes them, and gives what it found.
pub struct FollowRun {
    plan: FollowPlan,
    picture: Picture,
    passes: Vec<Pass>,
    pass: usize,
    steps: u32,
    tracker: Option<Tracker>,
    found: Vec<Found>,
    /// After a correction.
    meeting: Option<Meeting>,
    watch: Watch,
    twice: Twice,
    done: u32,
    latest: BTreeMap<Landmark, Option<TrackSample>>,
}

impl FollowRun {
    /// A run of this plan over a clip of this picture.
    ///
    /// # Errors
    /// When the plan names frames that the clip does not have, or nothing to follow.
    pub fn new(plan: FollowPlan, picture: Picture, frame_count: u32) -> Result<Self, String> {
        if plan.first > plan.last || plan.last >= frame_count {
            return Err(format!(
                "frames {} to {} cannot be followed in a clip of {frame_count} frames: choose frames of the clip",
                plan.first + 1,
                plan.last + 1
            ));
        }
        let passes = passes(&plan);
        let meeting = plan.correction.as_ref().map(|c| Meeting::new(c, &picture));
        let inside = |(frame, _): &(u32, Pixel)| (plan.first..=plan.last).contains(frame);
        if !plan.markers.iter().any(|m| m.keyframes.iter().any(inside)) {
            return Err(
                "there is nothing to follow: place a marker in this stretch first".to_owned()
            );
        }
        let length = (plan.last - plan.first + 1) as usize;
        let found = vec![
            Found { forward: vec![None; length], backward: vec![None; length] };
            plan.markers.len()
        ];
        Ok(Self {
            plan,
            picture,
            passes,
            pass: 0,
            steps: 0,
            tracker: None,
            found,
            meeting,
            watch: Watch::default(),
            twice: Twice::of(frame_count),
            done: 0,
            latest: BTreeMap::new(),
        })
    }

    /// The pass under way; none when all are done.
    #[must_use]
    pub fn pass(&self) -> Option<&Pass> {
        self.passes.get(self.pass)
    }

    /// The frame that is wanted next; none when all is done.
    #[must_use]
    pub fn wanted(&self) -> Option<u32> {
        let pass = self.pass()?;
        Some(if pass.is_backward() { pass.from - self.steps } else { pass.from + self.steps })
    }

    /// Whether the wanted frame is needed with its colour: a sticker is placed in it or followed in colour.
    #[must_use]
    pub fn needs_colour(&self) -> bool {
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

    /// Whether the camera moved, or cannot be told to have stood still.
    #[must_use]
    pub fn camera_moved(&self) -> bool {
        self.watch.moved()
    }

    /// The frames whose picture is that of the one before, in order; none where not every frame was taken.
    #[must_use]
    pub fn repeated(&self) -> Option<Vec<u32>> {
        self.twice.found()
    }

    /// Where the markers are in the frame taken last.
    #[must_use]
    pub fn latest(&self) -> &BTreeMap<Landmark, Option<TrackSample>> {
        &self.latest
    }

    /// Takes the wanted frame.
    ///
    /// # Errors
    /// When the frame does not fit the clip or a marker lies outside of it.
    pub fn take(&mut self, frame: GreyFrame<'_>) -> Result<(), String> {
        let (Some(pass), Some(number)) = (self.passes.get(self.pass).cloned(), self.wanted())
        else {
            return Ok(());
        };
        let samples = match &mut self.tracker {
            Some(tracker) => tracker.step(frame).map_err(|e| e.to_string())?,
            None => {
                let starts = self.starts(&pass, number);
                let tracker =
                    Tracker::new(frame, &starts, &self.limbs(&pass)).map_err(|e| e.to_string())?;
                self.tracker = Some(tracker);
                starts
                    .iter()
                    .map(|s| Sample { at: s.at, state: State::Placed, p_wrong: 0.0 })
                    .collect()
            }
        };
        self.twice.take(number, frame);
        match self.steps {
            0 => self.watch.begin(number, frame, &samples),
            _ => self.watch.take(frame, &samples),
        }
        self.keep(&pass, number, &samples);
        self.done += 1;
        self.steps += 1;
        self.end_where_met(&pass, number, &samples);
        if self.steps >= self.passes.get(self.pass).map_or(0, Pass::frame_count) {
            self.pass += 1;
            self.steps = 0;
            self.tracker = None;
            self.meeting.iter_mut().for_each(Meeting::begin);
        }
        Ok(())
    }

    /// After a correction, a pass that leads away from the new mark ends where it meets what was known, and the one
    /// that would come towards it is not needed.
    fn end_where_met(&mut self, pass: &Pass, frame: u32, samples: &[Sample]) {
        let away = self.plan.correction.as_ref().is_some_and(|c| c.frame == pass.from);
        let (Some(meeting), [sample], true) = (&mut self.meeting, samples, away) else { return };
        if !meeting.met((frame - self.plan.first) as usize, sample) {
            return;
        }
        if let Some(shorter) = self.passes.get_mut(self.pass) {
            shorter.to = frame;
        }
        self.passes.retain(|p| (p.from, p.to) != (pass.to, pass.from));
        if let Some(found) = self.found.first_mut() {
            // What was known stands for a pass towards the new mark: the one fades into the other.
            let span = (pass.from.min(frame) - self.plan.first) as usize
                ..=(pass.from.max(frame) - self.plan.first) as usize;
            let (from, to) = found.this_and_other(pass.is_backward());
            let (Some(from), Some(to)) = (from.get(span.clone()), to.get_mut(span.clone())) else {
                return;
            };
            let from: Vec<Sample> = from.iter().flatten().copied().collect();
            for (slot, known) in to.iter_mut().zip(meeting.known_beside(*span.start(), &from)) {
                *slot = Some(known);
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
            Some(MarkerStart { at: to_coded(&self.picture, *at), mode })
        };
        pass.markers.iter().filter_map(start).collect()
    }

    fn limbs(&self, pass: &Pass) -> Vec<Limb> {
        let landmarks: Vec<Landmark> = pass
            .markers
            .iter()
            .filter_map(|i| self.plan.markers.get(*i))
            .map(|m| m.landmark)
            .collect();
        let mut limbs = Vec::new();
        for (from, a) in landmarks.iter().enumerate() {
            for (to, b) in landmarks.iter().enumerate() {
                let same_side = a.side().is_none() || b.side().is_none() || a.side() == b.side();
                let joints = (a.joint(), b.joint());
                let part = LIMBS.iter().find(|(j, k, _)| (*j, *k) == joints).map(|(.., part)| part);
                if let (true, Some(part)) = (same_side, part) {
                    let far = [a.side(), b.side()].contains(&Some(Side::Far));
                    limbs.push(Limb::of(from, to, *part, far));
                }
            }
        }
        limbs
    }

    fn keep(&mut self, pass: &Pass, frame: u32, samples: &[Sample]) {
        let at = (frame - self.plan.first) as usize;
        self.latest.clear();
        for (index, sample) in pass.markers.iter().zip(samples) {
            let Some(found) = self.found.get_mut(*index) else { continue };
            let way = if pass.is_backward() { &mut found.backward } else { &mut found.forward };
            if let Some(slot) = way.get_mut(at) {
                *slot = Some(*sample);
            }
            if let Some(marker) = self.plan.markers.get(*index) {
                self.latest.insert(marker.landmark, upright(&self.picture, sample));
            }
        }
    }

    /// What was found: the first frame that was reached for any marker, and from there on one sample a
    /// frame for each, as far as it was reached. Frames beyond are left as they were before.
    #[must_use]
    pub fn finish(self) -> (u32, BTreeMap<Landmark, Vec<Option<TrackSample>>>) {
        let reached: Vec<(usize, Vec<Option<Sample>>)> = (self.found.iter().enumerate())
            .map(|(index, found)| (index, merge(found, &self.passes, index, self.plan.first)))
            .filter(|(_, samples)| samples.iter().any(Option::is_some))
            .collect();
        let begin = |(_, s): &(usize, Vec<Option<Sample>>)| s.iter().position(Option::is_some);
        let skip = reached.iter().filter_map(begin).min().unwrap_or(0);
        let stretch = |(index, samples): &(usize, Vec<Option<Sample>>)| {
            let end = samples.iter().rposition(Option::is_some)? + 1;
            let known = samples.get(skip..end)?.iter();
            let known = known.map(|s| s.as_ref().and_then(|s| upright(&self.picture, s)));
            Some((self.plan.markers.get(*index)?.landmark, known.collect()))
        };
        let first = self.plan.first + u32::try_from(skip).unwrap_or(0);
        (first, reached.iter().filter_map(stretch).collect())
    }
}

/// One track of both ways: where a stretch was gone over both ways to its end, the two are blended.
fn merge(found: &Found, passes: &[Pass], marker: usize, first: u32) -> Vec<Option<Sample>> {
    let mut merged: Vec<Option<Sample>> =
        found.forward.iter().zip(&found.backward).map(|(f, b)| f.or(*b)).collect();
    for pass in passes.iter().filter(|p| p.markers.contains(&marker)) {
        let ends = [pass.from, pass.to].map(|f| (f - first) as usize);
        let (a, b) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let whole = |way: &[Option<Sample>]| {
            way.get(a..=b).and_then(|w| w.iter().copied().collect::<Option<Vec<_>>>())
        };
        if let (Some(forward), Some(backward)) = (whole(&found.forward), whole(&found.backward)) {
            for (slot, sample) in merged.iter_mut().skip(a).zip(blend(&forward, &backward)) {
                *slot = Some(sample);
            }
        }
    }
    merged
}

/// A sample as the session keeps it, in the upright picture; a lost one is none.
fn upright(picture: &Picture, sample: &Sample) -> Option<TrackSample> {
    let certainty = match sample.state {
        State::Placed => Certainty::Placed,
        State::Seen => Certainty::Seen,
        State::Doubtful => Certainty::Doubtful,
        State::Coasting => Certainty::Coasting,
        State::Lost => return None,
    };
    let at = picture.upright_from_coded(Pixel { x_px: sample.at.x_px, y_px: sample.at.y_px });
    let known = at.x_px.is_finite() && at.y_px.is_finite() && sample.p_wrong.is_finite();
    known.then(|| TrackSample::new(at, certainty, sample.p_wrong))
}
