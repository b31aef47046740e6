//! Checks a trial before anything is computed from it.

use super::trial::Trial;
use crate::error::Error;
use crate::limits::{CUTOFF, HEIGHT, LEAST_FRAMES, MASS, SPEED};
use crate::signal::Cutoff;

/// Checks everything that has a range of its own.
///
/// # Errors
/// The first value that is not valid.
pub fn validate(trial: &Trial) -> Result<(), Error> {
    entered_numbers(trial)?;
    times(trial)?;
    positions(trial)
}

fn entered_numbers(trial: &Trial) -> Result<(), Error> {
    let mass_kg = trial.mass_kg;
    if !MASS.contains(mass_kg) {
        return Err(Error::Mass { mass_kg });
    }
    if let Some(height_m) = trial.height_m.filter(|h| !HEIGHT.contains(*h)) {
        return Err(Error::Height { height_m });
    }
    if let Some(speed_m_s) = trial.speed_m_s.filter(|v| !SPEED.contains(*v)) {
        return Err(Error::Speed { speed_m_s });
    }
    if let Cutoff::Fixed { cutoff_hz } = trial.cutoff
        && !CUTOFF.contains(cutoff_hz)
    {
        return Err(Error::Cutoff { cutoff_hz });
    }
    for spread_si in [trial.marker_sd_m, trial.scale_sd_ratio, trial.vertical_sd_rad] {
        if !(spread_si.is_finite() && spread_si >= 0.0) {
            return Err(Error::Spread { spread_si });
        }
    }
    Ok(())
}

fn times(trial: &Trial) -> Result<(), Error> {
    let frames = trial.times_s.len();
    if frames < LEAST_FRAMES {
        return Err(Error::TooFewFrames { frames });
    }
    let mut steps = trial.times_s.iter().zip(trial.times_s.iter().skip(1)).map(|(a, b)| b - a);
    match steps.position(|step| !(step.is_finite() && step > 0.0)) {
        Some(before) => Err(Error::Times { frame: before + 1 }),
        None => Ok(()),
    }
}

fn positions(trial: &Trial) -> Result<(), Error> {
    let expected = trial.times_s.len();
    for (landmark, points) in &trial.points {
        let (landmark, got) = (*landmark, points.len());
        if got != expected {
            return Err(Error::Length { landmark, got, expected });
        }
        let invalid = points
            .iter()
            .position(|p| p.is_some_and(|p| !(p.x_m.is_finite() && p.y_m.is_finite())));
        if let Some(frame) = invalid {
            return Err(Error::Position { landmark, frame });
        }
    }
    Ok(())
}
