//! How the low-pass cut-off is chosen: residual analysis with a floor and bounds.

use super::{Biquad, Run, low_pass, usual_padding};

/// How the low-pass cut-off is chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cutoff {
    /// By residual analysis, marker by marker.
    Automatic,
    /// The same for every marker.
    Fixed {
        /// Of the whole zero-lag filter, not of one pass.
        cutoff_hz: f64,
    },
}

/// Residuals of one marker against the cut-off, and the noise that the line through their straight part tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Residuals {
    /// Cut-offs tried, increasing.
    pub cutoffs_hz: Vec<f64>,
    /// Root mean square distance between raw and filtered positions at each.
    pub residuals_m: Vec<f64>,
    /// Where the line through the straight, high-frequency part meets 0 Hz.
    pub noise_m: f64,
}

/// Chosen: below 5 Hz a running foot's own movement is lost, above 12 Hz tracking noise outweighs what
/// is left of it. Source of the range: common practice for running video, 6-8 Hz for the trunk, 8-12 Hz for the foot.
const LOWEST_HZ: f64 = 5.0;
const HIGHEST_HZ: f64 = 12.0;

/// Chosen: above a fifth of the frame rate the derivative filters themselves fail.
const HIGHEST_RATE_RATIO: f64 = 0.2;

/// Chosen: a marker on skin or cloth tells the bone's place no better than this, so that finer
/// residuals are not movement worth keeping; it also makes clean and slightly noisy tracks of the same
/// run choose the same cut-off, on which energies depend (6 to 20 Hz: +33 %).
const FLOOR_M: f64 = 0.001;

/// Residuals of the longest run at cut-offs from 2 to 20 Hz (at most 0.4 of the rate).
#[must_use]
pub fn residuals(run: &Run, rate_hz: f64) -> Residuals {
    let cutoffs_hz: Vec<f64> = (2..=20).map(f64::from).filter(|f| *f <= 0.4 * rate_hz).collect();
    let residuals_m: Vec<f64> =
        cutoffs_hz.iter().map(|cutoff_hz| residual_m(run, *cutoff_hz, rate_hz)).collect();
    let straight: Vec<(f64, f64)> = cutoffs_hz
        .iter()
        .copied()
        .zip(residuals_m.iter().copied())
        .filter(|(f, _)| *f >= 10.0)
        .collect();
    let noise_m = intercept(&straight).unwrap_or(0.0).max(0.0);
    Residuals { cutoffs_hz, residuals_m, noise_m }
}

fn residual_m(run: &Run, cutoff_hz: f64, rate_hz: f64) -> f64 {
    let filter = Biquad::zero_lag(cutoff_hz, rate_hz);
    let padding = usual_padding(cutoff_hz, rate_hz);
    let squares = |series: &[f64]| -> f64 {
        let smooth = low_pass(series, &filter, padding);
        series.iter().zip(&smooth).map(|(a, b)| (a - b) * (a - b)).sum()
    };
    ((squares(&run.x_m) + squares(&run.y_m)) / (2 * run.len().max(1)) as f64).sqrt()
}

/// Where the least-squares line through the points meets zero; none with fewer than three.
fn intercept(points: &[(f64, f64)]) -> Option<f64> {
    if points.len() < 3 {
        return None;
    }
    let n = points.len() as f64;
    let (mx, my) = points.iter().fold((0.0, 0.0), |(x, y), p| (x + p.0 / n, y + p.1 / n));
    let (sxy, sxx) = points.iter().fold((0.0, 0.0), |(xy, xx), p| {
        (xy + (p.0 - mx) * (p.1 - my), xx + (p.0 - mx) * (p.0 - mx))
    });
    Some(my - sxy / sxx * mx)
}

/// The cut-off at which the residual is that of the noise and of 1 mm of movement (root sum of squares), within
/// 5 to 12 Hz and at most a fifth of the rate.
///
/// Source: Winter 2009, section 3.4.4.3, with the floor and the bounds chosen here.
#[must_use]
pub fn residual_cutoff_hz(residuals: &Residuals, rate_hz: f64) -> f64 {
    let threshold_m = residuals.noise_m.hypot(FLOOR_M);
    let curve = residuals.cutoffs_hz.iter().zip(&residuals.residuals_m);
    let next = curve.clone().skip(1);
    let crossing = curve.zip(next).find_map(|((f0, r0), (f1, r1))| {
        (*r0 > threshold_m && *r1 <= threshold_m)
            .then(|| f0 + (f1 - f0) * (r0 - threshold_m) / (r0 - r1))
    });
    let never = if residuals.residuals_m.first().is_some_and(|r| *r <= threshold_m) {
        LOWEST_HZ
    } else {
        HIGHEST_HZ
    };
    let highest_hz = HIGHEST_HZ.min(HIGHEST_RATE_RATIO * rate_hz);
    crossing.unwrap_or(never).clamp(LOWEST_HZ.min(highest_hz), highest_hz)
}
