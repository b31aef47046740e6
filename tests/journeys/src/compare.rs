//! Results of the page against the same computation on the true positions.

use crate::error::Result;
use crate::truth::Truth;
use document::results::{AnalysisInput, TrialAnalysis, analyse_trial};
use document::session::{Certainty, Session, TrackSample, Trial};
use mechanics::measures::Measure;
use std::rc::Rc;

/// The largest errors that a trial may have.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Internal work, relative.
    pub work_ratio: f64,
    /// Corrections that a person would have had to make.
    pub corrections: usize,
}

/// The analysis of a trial and that of its true positions.
#[derive(Clone, Debug)]
pub struct Analyses {
    /// Of the tracks that the page followed.
    pub found: TrialAnalysis,
    /// Of the true positions.
    pub ideal: TrialAnalysis,
}

/// Analyses a trial, and the same trial with its true positions.
///
/// # Errors
/// When either cannot be computed.
pub fn analyses(session: &Session, trial: &Rc<Trial>, truth: &Truth) -> Result<Analyses> {
    let analysed = |trial: &Trial| {
        analyse_trial(&AnalysisInput::new(trial, &session.runner, &session.options))
            .map_err(|l| format!("{:?}", l.missing))
    };
    let mut ideal = Trial::clone(trial);
    for (landmark, track) in &mut ideal.tracks {
        let places = truth.places.get(landmark).ok_or("a landmark without truth")?;
        Rc::make_mut(track).samples =
            places.iter().map(|p| Some(TrackSample::new(*p, Certainty::Seen, 0.0))).collect();
    }
    Ok(Analyses { found: analysed(trial)?, ideal: analysed(&ideal)? })
}

/// Stretches that a person would have had to correct: a marker more than 6 px off, or lost or coasting in more than
/// three visible frames in a row. A landmark of the set counts too if it has no track, no truth, or a track of another
/// length than its truth.
fn corrections(trial: &Trial, truth: &Truth) -> Vec<String> {
    let mut found = Vec::new();
    for landmark in trial.marker_set.landmarks() {
        let both = trial.tracks.get(landmark).zip(truth.places.get(landmark));
        let Some((track, places)) = both.filter(|(t, p)| t.samples.len() == p.len()) else {
            found.push(format!(
                "{landmark:?} has no track, no truth, or not as many frames as its truth"
            ));
            continue;
        };
        let (mut off, mut lost) = (0, 0);
        for (frame, (sample, place)) in track.samples.iter().zip(places).enumerate() {
            let seen = truth.is_visible(*landmark, frame);
            let carried = sample.is_none_or(|s| s.certainty == Certainty::Coasting);
            let away_px =
                sample.map_or(0.0, |s| (s.at.x_px - place.x_px).hypot(s.at.y_px - place.y_px));
            lost = if carried && seen { lost + 1 } else { 0 };
            off = if seen && !carried && away_px > 6.0 { off + 1 } else { 0 };
            if off == 1 || lost == 4 {
                found.push(format!(
                    "{landmark:?} in frame {frame}: {away_px:.1} px off{}",
                    if carried { ", coasting" } else { "" }
                ));
            }
        }
    }
    found
}

/// Errors of a trial against the same computation on the true positions.
#[derive(Clone, Copy, Debug, Default)]
pub struct TrialErrors {
    /// Corrections that a person would have had to make.
    pub corrections: usize,
    /// Internal work, relative.
    pub work_ratio: f64,
    /// Cadence, relative.
    pub cadence_ratio: f64,
    /// Heel lift.
    pub heel_lift_m: f64,
    /// Peak knee flexion.
    pub knee_flexion_rad: f64,
}

/// Limits of every trial: 0.5 % of the cadence, 8 mm of heel lift, 2 degrees of knee flexion.
const CADENCE_RATIO: f64 = 0.005;
const HEEL_LIFT_M: f64 = 0.008;
const KNEE_FLEXION_RAD: f64 = 0.0349;

impl TrialErrors {
    /// In the order and the units of the measured table.
    #[must_use]
    pub fn summary(&self) -> String {
        format!(
            "{}; {:.2} %; {:.2} %; {:.1} mm; {:.1}°",
            self.corrections,
            100.0 * self.work_ratio,
            100.0 * self.cadence_ratio,
            1000.0 * self.heel_lift_m,
            self.knee_flexion_rad.to_degrees()
        )
    }
}

impl Limits {
    /// In the order and the units of the measured table.
    #[must_use]
    pub fn summary(&self) -> String {
        format!("≤ {}; {:.0} %; 0.5 %; 8 mm; 2°", self.corrections, 100.0 * self.work_ratio)
    }
}

/// Checks a trial against its truth; answers its errors.
///
/// # Errors
/// Everything that is beyond its limit.
pub fn check_trial(
    session: &Session,
    trial: &Rc<Trial>,
    truth: &Truth,
    limits: Limits,
) -> Result<TrialErrors> {
    let Analyses { found, ideal } = analyses(session, trial, truth)?;
    let mean = |a: &TrialAnalysis, m: Measure| {
        a.analysis.measures.get(&m).map(|e| e.mean_si).ok_or(format!("no {m:?}"))
    };
    let absolute = |m| -> Result<f64> { Ok((mean(&found, m)? - mean(&ideal, m)?).abs()) };
    let relative = |m| -> Result<f64> { Ok((mean(&found, m)? / mean(&ideal, m)? - 1.0).abs()) };
    let corrections = corrections(trial, truth);
    let errors = TrialErrors {
        corrections: corrections.len(),
        work_ratio: relative(Measure::InternalWork)?,
        cadence_ratio: relative(Measure::Cadence)?,
        heel_lift_m: absolute(Measure::HeelLift)?,
        knee_flexion_rad: absolute(Measure::PeakKneeFlexion)?,
    };
    let is_within = errors.corrections <= limits.corrections
        && errors.work_ratio <= limits.work_ratio
        && errors.cadence_ratio <= CADENCE_RATIO
        && errors.heel_lift_m <= HEEL_LIFT_M
        && errors.knee_flexion_rad <= KNEE_FLEXION_RAD;
    if is_within {
        Ok(errors)
    } else {
        Err(format!("beyond {}: {errors:?}, {corrections:?}", limits.summary()).into())
    }
}
