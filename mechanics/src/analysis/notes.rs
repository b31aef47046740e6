//! The caveats of a trial, each as a sentence.

use super::prepare::PreparedTrial;
use super::trial::Trial;
use crate::body::{BodyModel, Table};
use crate::landmark::Landmark;
use crate::measures::Measure;
use crate::note::Note;
use crate::space::Surface;
use std::collections::BTreeMap;

fn note(key: &str, sentence: impl Into<String>) -> Note {
    Note { key: key.to_owned(), sentence: sentence.into() }
}

const MIRRORED: &str = "The far side is not marked: it is taken as the near side half a stride later, which holds only as far as \
     the runner is symmetric.";

const EVENTS_BY_MOVEMENT: &str = "Contacts and toe-offs that nobody placed come from movement, without a force plate. The rules were calibrated on \
     two runners at 2.5 m/s, the heel's part in toe-off on one: another runner may differ by about 5 ms.";

fn mirrored() -> Note {
    note("far_side_mirrored", MIRRORED)
}

/// The reason of a stride that is excluded because a landmark is missing in a part of it.
pub fn landmark_missing(landmark: Landmark) -> Note {
    let sentence =
        format!("The position of {landmark} is not known throughout: follow or correct it there.");
    note("landmark_missing", sentence)
}

/// Caveats of all numbers of a trial, each once.
pub fn notes(trial: &Trial, prepared: &PreparedTrial, model: &BodyModel) -> Vec<Note> {
    let mut all = Vec::new();
    if prepared.mirrored {
        all.push(mirrored());
    }
    if !model.whole_body {
        all.push(note(
            "legs_only",
            "Only the legs are counted, relative to the hips: arms and trunk are not marked.",
        ));
    }
    if trial.table != Table::WinterDempster {
        all.push(note(
            "surface_landmarks",
            "The table is defined between joint centres; marks on the skin stand in for them.",
        ));
    }
    if prepared.grid.rate_hz < 50.0 {
        all.push(note(
            "low_rate",
            format!("At {:.0} frames/s contacts come from the heel's reach alone and are uncertain by 10 ms and more.", prepared.grid.rate_hz),
        ));
    }
    if trial.speed_m_s.is_none() {
        let from = match trial.surface {
            Surface::Belt => "the planted foot",
            Surface::Ground => "the hip's travel",
        };
        all.push(note("speed_measured", format!("No speed was entered: it is taken from {from}.")));
    }
    if !prepared.strides.is_empty() && prepared.strides.len() < 7 {
        all.push(note("few_strides", "Fewer than seven strides: means have not settled yet."));
    }
    let by_key: BTreeMap<String, Note> = all.into_iter().map(|n| (n.key.clone(), n)).collect();
    by_key.into_values().collect()
}

/// Caveats of one measure.
pub fn notes_for(measure: Measure, is_mirrored: bool) -> Vec<Note> {
    use Measure as M;
    let mut all = Vec::new();
    // The work of the near limbs is not one of them: it is relative to the centre of mass or to the mid-hip.
    let near_only = matches!(
        measure,
        M::Cadence
            | M::StrideTime
            | M::ContactTime
            | M::SwingTime
            | M::DutyFactor
            | M::StrideLength
            | M::Speed
            | M::PlantFootSpeed
            | M::HeelLift
            | M::HeelLiftFraction
            | M::PeakKneeFlexion
            | M::ThighRange
            | M::LegInertiaMaximum
            | M::LegInertiaMinimum
            | M::EffectiveLengthMinimum
            | M::ToeClearance
            | M::LandingAheadOfHip
            | M::AnkleSwingPositiveWork
            | M::AnkleSwingNegativeWork
            | M::KneeSwingPositiveWork
            | M::KneeSwingNegativeWork
    );
    if is_mirrored && !near_only {
        all.push(mirrored());
    }
    if matches!(measure, M::ContactTime | M::SwingTime | M::FlightTime | M::DutyFactor) {
        all.push(note("events_by_movement", EVENTS_BY_MOVEMENT));
    }
    if measure == M::ExternalWork {
        all.push(note("estimate", "External work from markers is an estimate: the centre of mass is not measured but computed from segments."));
    }
    all
}
