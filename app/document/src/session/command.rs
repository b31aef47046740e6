//! The one way to change a session: a command, one per gesture.

use super::calibration::ClipCalibration;
use super::camera::CameraPath;
use super::clip::ClipRef;
use super::model::{Options, Runner};
use super::track::{MarkerMode, TrackSample};
use super::trial::{Conditions, TrialId};
use mechanics::body::{Landmark, MarkerSet};
use mechanics::gait::EventEdit;
use mechanics::space::Pixel;
use std::collections::BTreeMap;
use std::rc::Rc;

/// A change to the session.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Names the session.
    NameSession(String),
    /// Replaces the runner.
    SetRunner(Runner),
    /// Replaces the options of the computation.
    SetOptions(Options),
    /// Replaces the notes.
    SetNotes(String),
    /// Begins a trial with a clip that was opened.
    AddTrial {
        /// A free identifier.
        id: TrialId,
        /// Name of the trial.
        name: String,
        /// The clip.
        clip: ClipRef,
    },
    /// Removes a trial.
    RemoveTrial(TrialId),
    /// Changes one trial.
    ForTrial(TrialId, TrialCommand),
}

/// A change to one trial.
#[derive(Clone, Debug, PartialEq)]
pub enum TrialCommand {
    /// Names the trial.
    Rename(String),
    /// Records the new name of the clip's file.
    KnowClipAs(String),
    /// Replaces scale, vertical, direction and capture rate.
    Calibrate(ClipCalibration),
    /// Replaces speed, surface, cue and shoes.
    SetConditions(Conditions),
    /// Chooses the landmarks to be marked.
    ChooseMarkers(MarkerSet),
    /// Places a landmark in a frame.
    PlaceMark {
        /// The landmark.
        landmark: Landmark,
        /// The frame.
        frame: u32,
        /// The position.
        at: Pixel,
        /// Mode of a landmark that has no track yet; ignored otherwise.
        mode: MarkerMode,
    },
    /// Removes the keyframe of a landmark in a frame.
    ForgetMark {
        /// The landmark.
        landmark: Landmark,
        /// The frame.
        frame: u32,
    },
    /// Removes a landmark's track.
    ForgetLandmark(Landmark),
    /// Sets whether a landmark is a sticker, or skin or clothing.
    SetMode(Landmark, MarkerMode),
    /// Stores the result of a tracking run that ended or was cancelled.
    KeepFollowed {
        /// First frame of the stretch.
        first: u32,
        /// The stretch of each landmark, one sample a frame from `first` on.
        stretches: BTreeMap<Landmark, Vec<Option<TrackSample>>>,
        /// Camera motion, if the run looked for it and found any; otherwise the stored one stays.
        camera: Option<Rc<CameraPath>>,
        /// Frames that repeat the image of the frame before, if the run examined every frame; otherwise the stored
        /// ones stay.
        repeated: Option<Vec<u32>>,
    },
    /// Exchanges near and far leg in a stretch in which they were mistaken for each other.
    SwapLegs {
        /// First frame of the stretch.
        first: u32,
        /// Last frame of the stretch.
        last: u32,
    },
    /// Adds one edit of the events.
    EditEvent(EventEdit),
    /// Restores the events as detected.
    ForgetEventEdits,
}
