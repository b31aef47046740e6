//! All that an analysis reads of a session: its only argument, and the key under which its result is cached.

use crate::session::{
    CameraPath, ClipCalibration, ClipInfo, CutoffChoice, Options, Runner, Track, Trial,
};
use mechanics::body::{Landmark, MarkerSet, Table};
use mechanics::gait::EventEdit;
use std::collections::BTreeMap;
use std::ops::Deref;
use std::rc::Rc;

/// All that an analysis reads of a session; names, cues and shoes are not among it.
///
/// Comparing two is cheap: what is large is shared, and compared by address first.
#[derive(Clone, Debug, PartialEq)]
pub struct AnalysisInput {
    pub(super) clip: PointerFirst<ClipInfo>,
    pub(super) calibration: ClipCalibration,
    pub(super) camera: Option<PointerFirst<CameraPath>>,
    pub(super) marker_set: MarkerSet,
    pub(super) tracks: BTreeMap<Landmark, PointerFirst<Track>>,
    pub(super) event_edits: Vec<EventEdit>,
    pub(super) speed_m_s: Option<f64>,
    pub(super) on_belt: bool,
    pub(super) mass_kg: Option<f64>,
    pub(super) height_m: Option<f64>,
    pub(super) table: Table,
    pub(super) cutoff: CutoffChoice,
}

impl AnalysisInput {
    /// What the analysis of this trial reads.
    #[must_use]
    pub fn new(trial: &Trial, runner: &Runner, options: &Options) -> Self {
        let shared = |(landmark, track): (&Landmark, &Rc<Track>)| (*landmark, track.clone().into());
        Self {
            clip: trial.clip.info.clone().into(),
            calibration: trial.calibration,
            camera: trial.camera.clone().map(PointerFirst::from),
            marker_set: trial.marker_set,
            tracks: trial.tracks.iter().map(shared).collect(),
            event_edits: trial.event_edits.clone(),
            speed_m_s: trial.conditions.speed_m_s,
            on_belt: trial.conditions.on_belt,
            mass_kg: runner.mass_kg,
            height_m: runner.height_m,
            table: runner.table,
            cutoff: options.cutoff,
        }
    }

    /// The landmarks of the marker set that have a track.
    pub(super) fn marked(&self) -> impl Iterator<Item = (Landmark, &Track)> {
        let landmarks = self.marker_set.landmarks().iter();
        landmarks.filter_map(|l| Some((*l, &**self.tracks.get(l)?)))
    }
}

/// A shared value that is compared by address first, which nearly always suffices, and by value after a reload.
#[derive(Clone, Debug)]
pub struct PointerFirst<T>(Rc<T>);

impl<T: PartialEq> PartialEq for PointerFirst<T> {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0) || self.0 == other.0
    }
}

impl<T> From<Rc<T>> for PointerFirst<T> {
    fn from(shared: Rc<T>) -> Self {
        Self(shared)
    }
}

impl<T> Deref for PointerFirst<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}
