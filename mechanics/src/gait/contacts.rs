//! Contacts: the impact after the heel's forward-most instant.
//!
//! "Force plate comparison" means the data named in `detect`.

use super::event::{EventKind, EventRule, GaitEvent};
use super::series::{Series, frame_sd_s, local_maximum, value};
use crate::signal::Grid;
use crate::space::Side;

/// Chosen: half of a sprinter's shortest stride; only one forward-most instant of the heel falls within it.
const PEAK_REACH_S: f64 = 0.2;
/// Source: force plate comparison: acceleration peaks fail at 30 frames/s and hold at 60.
const LOWEST_RATE_FOR_ACCELERATION_HZ: f64 = 50.0;
/// Source: force plate comparison: the heel is forward-most 27.5 and 25.2 ms before contact.
const FORWARD_MOST_TO_CONTACT_S: f64 = 0.026;
/// Chosen: the impact peak follows the forward-most heel by 30 to 35 ms; the search ends at twice that.
const IMPACT_SEARCH_S: f64 = 0.075;
/// Chosen: a peak that disagrees with the other rule by more than five of its SDs is not the impact.
const GREATEST_DISAGREEMENT_S: f64 = 0.025;
/// Chosen: twice the SD of the heel's forward-most instant in the force plate comparison.
const OUTLIER_S: f64 = 0.010;
/// Chosen: a peak lower than this fraction of the highest in the search window is not an impact. For the runners
/// compared and one who lands on the heel, false peaks reach 0.26, and a heel's impact before the forefoot's can be as low
/// as 0.41.
const LEAST_PEAK_RATIO: f64 = 0.33;
/// Source: force plate comparison: peaks come 5.3 ms late at 150 and 8.4 ms at 60 frames/s; a straight line in the
/// frame's length, here its constant part.
const IMPACT_DELAY_S: f64 = 0.0032;
/// Source: as [`IMPACT_DELAY_S`], the part that grows with the frame's length.
const IMPACT_DELAY_FRAMES: f64 = 0.31;
/// Source: force plate comparison: SD over contacts.
const IMPACT_SD_S: f64 = 0.003;
/// Source: force plate comparison: SD over contacts of both runners.
const FORWARD_MOST_SD_S: f64 = 0.005;

/// Contacts from the forward-most instants of the heel and the impacts after them.
///
/// An impact whose delay differs from the median delay of the trial counts as a false peak, and the contact takes the
/// median delay; without any impact it takes the published one.
pub fn contacts(
    heel_lead_m: &Series,
    accelerations: &[Series; 2],
    side: Side,
    grid: &Grid,
) -> Vec<GaitEvent> {
    let forward_most = forward_most(heel_lead_m, grid);
    let delay_s = |index: &f64| {
        let delay_s = impact_s(*index, accelerations, grid)? - grid.time_s(*index);
        ((delay_s - FORWARD_MOST_TO_CONTACT_S).abs() <= GREATEST_DISAGREEMENT_S).then_some(delay_s)
    };
    let delays: Vec<Option<f64>> = forward_most.iter().map(delay_s).collect();
    let mut known: Vec<f64> = delays.iter().copied().flatten().collect();
    known.sort_by(f64::total_cmp);
    // With fewer than half of the impacts, those found may be chance.
    let median_s =
        known.get(known.len() / 2).filter(|_| 2 * known.len() >= forward_most.len()).copied();
    let contact = |(index, delay): (&f64, &Option<f64>)| {
        let agrees = |s: &f64| median_s.is_some_and(|median| (s - median).abs() <= OUTLIER_S);
        let (delay_s, sd_s, rule) = match delay.filter(agrees) {
            // Both instants scatter independently; their middle scatters less than either.
            Some(delay_s) => (
                f64::midpoint(delay_s, median_s.unwrap_or(delay_s)),
                IMPACT_SD_S,
                EventRule::VerticalAccelerationPeak,
            ),
            None => (
                median_s.unwrap_or(FORWARD_MOST_TO_CONTACT_S),
                FORWARD_MOST_SD_S,
                EventRule::HeelFurthestAhead,
            ),
        };
        GaitEvent {
            side,
            kind: EventKind::Contact,
            time_s: grid.time_s(*index) + delay_s,
            sd_s: sd_s.hypot(frame_sd_s(grid)),
            rule,
        }
    };
    forward_most.iter().zip(&delays).map(contact).collect()
}

/// Indices at which the series is greater than anywhere within [`PEAK_REACH_S`], and above the middle of its range.
fn forward_most(series: &Series, grid: &Grid) -> Vec<f64> {
    let known = || series.iter().copied().flatten();
    let (least, greatest) =
        known().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, g), v| (l.min(v), g.max(v)));
    let middle = (least + greatest) / 2.0;
    let reach = (PEAK_REACH_S * grid.rate_hz).round() as usize;
    let peak_at = |index: usize| -> Option<f64> {
        let here = value(series, index)?;
        let from = index.saturating_sub(reach);
        let mut around = (from..=index + reach).filter_map(|i| value(series, i));
        let peak = local_maximum(series, index)?;
        (here > middle && around.all(|other| other <= here)).then_some(peak)
    };
    (0..series.len()).filter_map(peak_at).collect()
}

/// The earlier of the first clear acceleration peaks of heel and toe, minus its usual delay.
fn impact_s(forward_most: f64, accelerations: &[Series; 2], grid: &Grid) -> Option<f64> {
    if grid.rate_hz < LOWEST_RATE_FOR_ACCELERATION_HZ {
        return None;
    }
    let from = forward_most.round().max(0.0) as usize;
    let to = from + (IMPACT_SEARCH_S * grid.rate_hz).round() as usize;
    let greatest = accelerations
        .iter()
        .flat_map(|series| (from..=to).filter_map(|i| value(series, i)))
        .fold(f64::NEG_INFINITY, f64::max);
    let first_peak = |series: &Series| {
        (from..=to)
            .filter(|i| {
                value(series, *i).is_some_and(|v| v >= LEAST_PEAK_RATIO * greatest && v > 0.0)
            })
            .find_map(|i| local_maximum(series, i))
    };
    let earlier = accelerations.iter().filter_map(first_peak).reduce(f64::min)?;
    Some(grid.time_s(earlier) - IMPACT_DELAY_S - IMPACT_DELAY_FRAMES / grid.rate_hz)
}
