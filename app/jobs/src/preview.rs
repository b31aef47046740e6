//! Previews tracking on one mark of the shoe: whether the tracker holds it, and how far motion blurs a sticker there.

use crate::coordinates::coded_from_upright;
use crate::tracking_plan::{TrackedMarker, TrackingPlan};
use document::session::{Certainty, MarkerMode, TrackSample};
use mechanics::body::Landmark;
use media::Picture;
use serde::{Deserialize, Serialize};
use tracking::image::{GreyFrame, ImagePoint};
use tracking::track::{MotionBlur, MotionExtremes, MovingFrame};

/// Chosen: this long holds a stride of all but the slowest runners, and with it the fastest swing of the foot.
const PREVIEW_S: f64 = 0.8;

/// What a preview found.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Preview {
    /// The landmark of the mark.
    pub landmark: Landmark,
    /// Sticker or skin.
    pub mode: MarkerMode,
    /// Frames tracked.
    pub frames: u32,
    /// Frames in which the mark was doubtful, unseen or lost.
    pub unsure: u32,
    /// The blur in the fastest frames; none if it cannot be measured.
    pub blur: Option<Blur>,
}

/// The motion blur of a sticker.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Blur {
    /// Its length. A sticker that hardly moves has at most its motion from one frame to the next, and that is given.
    pub length_px: f64,
    /// Whether it is as long as can be measured, and may be longer.
    pub may_be_more: bool,
}

/// The plan of a preview of this marker over frames at these times: from its first mark on, or backward if the clip ends
/// too soon. None for a marker without a mark in the clip.
#[must_use]
pub fn preview_plan(marker: TrackedMarker, times_s: &[f64]) -> Option<TrackingPlan> {
    let (frame, at) = marker.keyframes.first().copied()?;
    let begin_s = times_s.get(frame as usize)?;
    let after = times_s.partition_point(|t| *t <= begin_s + PREVIEW_S);
    let before = times_s.partition_point(|t| *t < begin_s - PREVIEW_S);
    let last = u32::try_from(after).ok()?.checked_sub(1)?.max(frame);
    let first = u32::try_from(before).ok()?.min(frame);
    let (first, last) = if last - frame >= frame - first { (frame, last) } else { (first, frame) };
    let only = TrackedMarker { keyframes: vec![(frame, at)], ..marker };
    (first < last).then_some(TrackingPlan { first, last, markers: vec![only], correction: None })
}

/// Measures the blur of a tracked sticker: asks for the frames in which it moves least, then for those in which it moves
/// most.
pub struct PreviewRun {
    preview: Preview,
    first: u32,
    places: Vec<Option<ImagePoint>>,
    extremes: Option<MotionExtremes>,
    blur_model: Option<MotionBlur>,
    /// The greatest motion from one frame to the next, if it is too small for its blur to be measured.
    slow_motion_px: Option<f64>,
    lengths_px: Vec<f64>,
}

impl PreviewRun {
    /// For a marker of this landmark and mode with this track: one sample a frame from `first` on, none where lost.
    #[must_use]
    pub fn new(
        marker: &TrackedMarker,
        picture: &Picture,
        first: u32,
        track: &[Option<TrackSample>],
    ) -> Self {
        let TrackedMarker { landmark, mode, .. } = *marker;
        let is_sure = |s: &&TrackSample| matches!(s.certainty, Certainty::Placed | Certainty::Seen);
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let frames = count(track.len());
        let unsure = frames - count(track.iter().flatten().filter(is_sure).count());
        let preview = Preview { landmark, mode, frames, unsure, blur: None };
        // A doubtful place may only be blurred; the blur model rejects anything else there.
        let is_seen = |s: &TrackSample| s.certainty != Certainty::Coasting;
        let place =
            |s: &Option<TrackSample>| s.filter(is_seen).map(|s| coded_from_upright(picture, s.at));
        let places: Vec<Option<ImagePoint>> = track.iter().map(place).collect();
        // The fastest frames of a marker that was seen in too few frames are not known.
        let is_known = places.iter().flatten().count() * 2 >= places.len();
        let extremes =
            MotionExtremes::of(&places).filter(|_| is_known && mode == MarkerMode::Sticker);
        let fastest_px = extremes.as_ref().and_then(|m| m.fastest.first().map(|f| f.motion_px));
        let slow_motion_px = fastest_px.map(|(x, y)| (x * x + y * y).sqrt());
        let slow_motion_px = slow_motion_px.filter(|way| *way < MotionBlur::LEAST_MOTION_PX);
        // In the order in which they are decoded.
        let extremes = extremes.map(|mut m| {
            m.fastest.sort_by_key(|f| f.index);
            m
        });
        let lengths_px = Vec::new();
        Self { preview, first, places, extremes, blur_model: None, slow_motion_px, lengths_px }
    }

    /// The frame to take next; none after the last.
    #[must_use]
    pub fn wanted(&self) -> Option<u32> {
        let extremes = self.extremes.as_ref()?;
        let next = match &self.blur_model {
            None => extremes.stillest.first().copied(),
            Some(_) => extremes.fastest.first().map(|f| f.index),
        };
        next.and_then(|k| self.first.checked_add(u32::try_from(k).ok()?))
    }

    /// Takes the wanted frame.
    pub fn take(&mut self, frame: GreyFrame<'_>) {
        let Some(extremes) = &mut self.extremes else { return };
        let place = |k: usize| self.places.get(k).copied().flatten();
        if let Some(model) = &self.blur_model {
            if extremes.fastest.is_empty() {
                return;
            }
            let MovingFrame { index, motion_px } = extremes.fastest.remove(0);
            let length_px = place(index).and_then(|at| model.length_px(frame, at, motion_px));
            self.lengths_px.extend(length_px);
        } else if !extremes.stillest.is_empty() {
            let index = extremes.stillest.remove(0);
            self.blur_model = place(index).and_then(|at| MotionBlur::of(frame, at));
        }
    }

    /// The result, with the median of the measured blurs.
    #[must_use]
    pub fn finish(mut self) -> Preview {
        self.lengths_px.sort_by(f64::total_cmp);
        let median_px = self.lengths_px.get(self.lengths_px.len() / 2).copied();
        let length_px = median_px.or(self.slow_motion_px);
        let most_px = self.blur_model.map_or(f64::INFINITY, |s| s.most_px());
        let blur = length_px.map(|length_px| Blur { length_px, may_be_more: length_px >= most_px });
        Preview { blur, ..self.preview }
    }
}
