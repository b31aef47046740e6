//! Trying a following out on a mark of the shoe before the work: whether it is held, and how far a sticker is blurred
//! by its own motion.

use super::rejoin::to_coded;
use super::{FollowMarker, FollowPlan};
use document::session::{Certainty, MarkerMode, TrackSample};
use mechanics::body::Landmark;
use media::Picture;
use serde::{Deserialize, Serialize};
use tracking::image::{GreyFrame, ImagePoint};
use tracking::track::{MotionBlur, MotionExtremes, MovingFrame};

/// Chosen: so long holds a stride of all but the slowest runners, and with it the fastest swing of the foot.
const TRIED_S: f64 = 0.8;

/// What trying out told.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tryout {
    /// The mark it was tried on.
    pub landmark: Landmark,
    /// What it is.
    pub mode: MarkerMode,
    /// Over so many frames.
    pub frames: u32,
    /// In so many of them it was in doubt, not seen or lost.
    pub unsure: u32,
    /// How far it is blurred where it moves fastest; `None` where that cannot be told.
    pub blur: Option<Blur>,
}

/// How far a sticker is blurred.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Blur {
    /// The length over which it is drawn out; of what hardly moves the way from one frame to the next, which it is below.
    pub length_px: f64,
    /// Whether it may be more, as no more can be told.
    pub may_be_more: bool,
}

/// The plan that tries out this marker from its first mark on, over frames at these times; against time where the clip
/// ends too soon. `None` for a marker without a mark in the clip.
#[must_use]
pub fn tryout_plan(marker: FollowMarker, times_s: &[f64]) -> Option<FollowPlan> {
    let (frame, at) = marker.keyframes.first().copied()?;
    let begin_s = times_s.get(frame as usize)?;
    let after = times_s.partition_point(|t| *t <= begin_s + TRIED_S);
    let before = times_s.partition_point(|t| *t < begin_s - TRIED_S);
    let last = u32::try_from(after).ok()?.checked_sub(1)?.max(frame);
    let first = u32::try_from(before).ok()?.min(frame);
    let (first, last) = if last - frame >= frame - first { (frame, last) } else { (first, frame) };
    let only = FollowMarker { keyframes: vec![(frame, at)], ..marker };
    (first < last).then_some(FollowPlan { first, last, markers: vec![only], correction: None })
}

/// Looks at a sticker in the frames where it moves least and then where it moves most: asks for them one after the
/// other.
pub struct TryoutRun {
    tryout: Tryout,
    first: u32,
    places: Vec<Option<ImagePoint>>,
    extremes: Option<MotionExtremes>,
    blur: Option<MotionBlur>,
    /// The furthest way from one frame to the next, where that is too short for its blur to be told.
    way_px: Option<f64>,
    lengths_px: Vec<f64>,
}

impl TryoutRun {
    /// After the marker was followed: one sample a frame from `first` on, `None` where it was lost.
    #[must_use]
    pub fn new(
        (landmark, mode): (Landmark, MarkerMode),
        picture: &Picture,
        (first, samples): (u32, &[Option<TrackSample>]),
    ) -> Self {
        let is_sure = |s: &&TrackSample| matches!(s.certainty, Certainty::Placed | Certainty::Seen);
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let frames = count(samples.len());
        let unsure = frames - count(samples.iter().flatten().filter(is_sure).count());
        let tryout = Tryout { landmark, mode, frames, unsure, blur: None };
        // Blur alone makes a place doubtful; another thing there is told by its look.
        let found = |s: &TrackSample| s.certainty != Certainty::Coasting;
        let place = |s: &Option<TrackSample>| s.filter(found).map(|s| to_coded(picture, s.at));
        let places: Vec<Option<ImagePoint>> = samples.iter().map(place).collect();
        // Of what was found now and then it is not known when it moves fastest.
        let is_known = places.iter().flatten().count() * 2 >= places.len();
        // Each picture once, in the order in which they are decoded.
        let extremes =
            MotionExtremes::of(&places).filter(|_| is_known && mode == MarkerMode::Sticker);
        let fastest_px = extremes.as_ref().and_then(|m| m.fastest.first().map(|f| f.motion_px));
        let way_px = fastest_px.map(|(x, y)| (x * x + y * y).sqrt());
        let way_px = way_px.filter(|way| *way < MotionBlur::LEAST_MOTION_PX);
        let extremes = extremes.map(|mut m| {
            m.fastest.sort_by_key(|f| f.index);
            m
        });
        Self { tryout, first, places, extremes, blur: None, way_px, lengths_px: Vec::new() }
    }

    /// The frame that is wanted next; none when all is done.
    #[must_use]
    pub fn wanted(&self) -> Option<u32> {
        let extremes = self.extremes.as_ref()?;
        let next = match &self.blur {
            None => extremes.stillest.first().copied(),
            Some(_) => extremes.fastest.first().map(|f| f.index),
        };
        next.and_then(|k| self.first.checked_add(u32::try_from(k).ok()?))
    }

    /// Takes the wanted frame.
    pub fn take(&mut self, frame: GreyFrame<'_>) {
        let Some(extremes) = &mut self.extremes else { return };
        let place = |k: usize| self.places.get(k).copied().flatten();
        if let Some(blur) = &self.blur {
            if extremes.fastest.is_empty() {
                return;
            }
            let MovingFrame { index: k, motion_px: motion } = extremes.fastest.remove(0);
            self.lengths_px.extend(place(k).and_then(|at| blur.length_px(frame, at, motion)));
        } else if !extremes.stillest.is_empty() {
            let k = extremes.stillest.remove(0);
            self.blur = place(k).and_then(|at| MotionBlur::of(frame, at));
        }
    }

    /// What was found: the blur is the middle one of those that could be told.
    #[must_use]
    pub fn finish(mut self) -> Tryout {
        self.lengths_px.sort_by(f64::total_cmp);
        let middle = self.lengths_px.get(self.lengths_px.len() / 2).copied().or(self.way_px);
        let most_px = self.blur.map_or(f64::INFINITY, |s| s.most_px());
        let blur = middle.map(|length_px| Blur { length_px, may_be_more: length_px >= most_px });
        Tryout { blur, ..self.tryout }
    }
}
