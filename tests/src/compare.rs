//! What the page found against the same computation on the true positions.

use crate::browser::Result;
use crate::truth::Truth;
use document::results::{AnalysisInput, TrialAnalysis, analyse_trial};
use document::session::{Certainty, Session, TrackSample, Trial};
use mechanics::measures::Measure;
use std::fmt::Write;
use std::rc::Rc;

/// How far a trial may be from its truth.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Internal work, relative.
    pub work_ratio: f64,
    /// Corrections that a person would have had to make.
    pub corrections: usize,
}

/// A trial's numbers as the page computed them, and those of its true positions.
///
/// # Errors
/// When either cannot be computed.
pub fn both(
    session: &Session,
    trial: &Rc<Trial>,
    truth: &Truth,
) -> Result<(TrialAnalysis, TrialAnalysis)> {
    let told = |r: document::results::TrialResult| r.map_err(|l| format!("{:?}", l.missing));
    let found = told(analyse_trial(&AnalysisInput::new(trial, &session.runner, &session.options)))?;
    let mut ideal = Trial::clone(trial);
    for (landmark, track) in &mut ideal.tracks {
        let places = truth.places.get(landmark).ok_or("a landmark without truth")?;
        Rc::make_mut(track).samples =
            places.iter().map(|p| Some(TrackSample::new(*p, Certainty::Seen, 0.0))).collect();
    }
    Ok((
        found,
        told(analyse_trial(&AnalysisInput::new(&ideal, &session.runner, &session.options)))?,
    ))
}

/// Stretches that a person would have had to correct: a marker more than 6 px off, or lost or carried on unseen
/// in more than three frames running in which it can be seen. A landmark of the set without a track, without truth or of
/// another length than its truth counts too.
#[must_use]
pub fn corrections(trial: &Trial, truth: &Truth) -> Vec<String> {
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
                    if carried { ", unseen" } else { "" }
                ));
            }
        }
    }
    found
}

/// Holds a trial against its truth; answers a line to print.
///
/// # Errors
/// What is beyond its limit.
pub fn hold(
    name: &str,
    session: &Session,
    trial: &Rc<Trial>,
    truth: &Truth,
    limits: Limits,
) -> Result<String> {
    let (found, ideal) = both(session, trial, truth)?;
    let mean = |a: &TrialAnalysis, m: Measure| {
        a.analysis.measures.get(&m).map(|e| e.mean_si).ok_or(format!("no {m:?}"))
    };
    // Peak knee flexion: 2 degrees.
    let absolute = [(Measure::HeelLift, 0.008), (Measure::PeakKneeFlexion, 0.0349)];
    let relative = [(Measure::InternalWork, limits.work_ratio), (Measure::Cadence, 0.005)];
    let (mut line, mut beyond) = (format!("{name}:"), Vec::new());
    for (measure, limit, by_ratio) in
        absolute.map(|(m, l)| (m, l, false)).into_iter().chain(relative.map(|(m, l)| (m, l, true)))
    {
        let (a, b) = (mean(&found, measure)?, mean(&ideal, measure)?);
        let away = if by_ratio { (a / b - 1.0).abs() } else { (a - b).abs() };
        write!(line, " {measure:?} {a:.4} (true {b:.4}, off {away:.4} of {limit});")?;
        if away > limit {
            beyond.push(format!("{measure:?} is off by {away}, more than {limit}"));
        }
    }
    let corrections = corrections(trial, truth);
    write!(line, " corrections {} of {}", corrections.len(), limits.corrections)?;
    if corrections.len() > limits.corrections {
        beyond.push(format!("{} corrections: {corrections:?}", corrections.len()));
    }
    println!("{line}");
    if beyond.is_empty() { Ok(line) } else { Err(format!("{name}: {}", beyond.join("; ")).into()) }
}
