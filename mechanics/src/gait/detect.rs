//! Finds contacts and toe-offs from the movement of one leg.
//!
//! Rules and corrections rest on two runners over a force plate at 2.5 m/s, contact taken at 20 N
//! (treadmill data of Fukuchi et al. 2017, PeerJ 5:e3298): another runner or speed may differ by some
//! milliseconds, which the events' standard deviations say.

use super::{EventKind, EventRule, GaitEvent};
use crate::signal::{Biquad, Grid, Run, low_pass, usual_padding};
use crate::space::Side;

/// The unfiltered stretches of the landmarks of one leg.
#[derive(Clone, Copy, Debug)]
pub struct LegRuns<'a> {
    /// Hip.
    pub hip: &'a [Run],
    /// Knee.
    pub knee: &'a [Run],
    /// Ankle.
    pub ankle: &'a [Run],
    /// Heel.
    pub heel: &'a [Run],
    /// Toe.
    pub toe: &'a [Run],
}

/// Chosen: impacts need more than the movement does; 15 Hz as in the comparison with the force plate.
const EVENT_CUTOFF_HZ: f64 = 15.0;
/// Chosen: at low frame rates the cut-off stays well below half the rate.
const EVENT_CUTOFF_RATE_RATIO: f64 = 0.3;
/// Chosen: half of the shortest stride of a sprinter; within it there is one forward-most heel.
const PEAK_REACH_S: f64 = 0.2;
/// Source: force plate comparison above: acceleration peaks fail at 30 frames/s and hold at 60.
const LOWEST_RATE_FOR_ACCELERATION_HZ: f64 = 50.0;
/// Source: force plate comparison above: the heel is furthest ahead 27.5 and 25.2 ms before contact.
const AHEAD_TO_CONTACT_S: f64 = 0.026;
/// Chosen: the impact peak follows the forward-most heel by 30 to 35 ms; the search ends at twice that.
const IMPACT_SEARCH_S: f64 = 0.075;
/// Chosen: an impact that disagrees with the other rule by more than five of its SDs is not the impact.
const GREATEST_DISAGREEMENT_S: f64 = 0.025;
/// Chosen: twice the spread of the heel's forward-most instant in the comparison above.
const OUTLIER_S: f64 = 0.010;
/// Chosen: a bump lower than this part of the search window's greatest is no impact. Of the runners above
/// and one who lands on the heel, false bumps reach 0.26 and a heel's impact before the forefoot's falls to 0.41.
const LEAST_PEAK_RATIO: f64 = 0.33;
/// Source: force plate comparison above: peaks come 5.3 ms late at 150 and 8.4 ms at 60 frames/s;
/// a straight line in the frame's length.
const IMPACT_DELAY_S: f64 = 0.0032;
const IMPACT_DELAY_FRAMES: f64 = 0.31;
/// Source: force plate comparison above: knee extension peaks 1.0 ms late and 5.3 ms early.
const EXTENSION_TO_TOE_OFF_S: f64 = 0.002;
/// Source: force plate comparison above, first runner: the heel rises fastest 19.3 ms before toe-off at 150,
/// 19.9 at 75 and 21.4 at 30 frames/s; a straight line in the frame's length. From one leg alone it would be
/// 16.5 or 22.1 ms at 150.
const HEEL_RISE_TO_TOE_OFF_S: f64 = 0.019;
const HEEL_RISE_TO_TOE_OFF_FRAMES: f64 = 0.08;
/// Chosen: the heel's fastest rise is looked for this long before and after the straightest knee.
const HEEL_RISE_REACH_S: f64 = 0.06;
/// Chosen: twice the SD of the one against the other in the comparison above; a heel that is further off is one of
/// another runner, whose constant is not known, and should not outweigh the knee.
const MOST_APART_S: f64 = 0.012;
/// Source: force plate comparison above: SD over contacts, then between the two runners.
const IMPACT_SD_S: f64 = 0.003;
const AHEAD_SD_S: f64 = 0.005;
const EXTENSION_SD_S: f64 = 0.008;
/// Source: force plate comparison above: SD over the toe-offs of both legs, half-way between knee and heel.
const EXTENSION_AND_RISE_SD_S: f64 = 0.005;

type Series = Vec<Option<f64>>;

/// The contacts and toe-offs of one leg, in time order.
#[must_use]
pub fn detect(leg: &LegRuns<'_>, side: Side, grid: &Grid) -> Vec<GaitEvent> {
    let smooth = |runs: &[Run]| smooth(runs, grid);
    let (hip, knee, ankle) = (smooth(leg.hip), smooth(leg.knee), smooth(leg.ankle));
    let (heel, toe) = (smooth(leg.heel), smooth(leg.toe));
    let ahead: Series =
        heel.0.iter().zip(&hip.0).map(|(heel, hip)| Some((*heel)? - (*hip)?)).collect();
    let rises = [vertical_acceleration(&heel.1, grid), vertical_acceleration(&toe.1, grid)];
    let mut events = contacts(&furthest(&ahead, grid), &rises, side, grid);
    let flexion = knee_flexion(&hip, &knee, &ankle);
    let contacts: Vec<f64> = events.iter().map(|e| grid.index(e.time_s)).collect();
    let straightest = toe_offs(&flexion, &contacts, grid);
    events.extend(straightest.into_iter().map(|index| toe_off(index, &heel.1, side, grid)));
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    events
}

/// Half-way between what the straightest knee and what the heel's fastest rise says: both scatter by
/// themselves, and what lies between them less than either. Where they are far apart, the heel moves the
/// knee's instant by no more than it may.
fn toe_off(straightest: f64, heel_y_m: &Series, side: Side, grid: &Grid) -> GaitEvent {
    let of_knee_s = grid.time_s(straightest) + EXTENSION_TO_TOE_OFF_S;
    let of_heel_s = fastest_rise(straightest, heel_y_m, grid).map(|index| {
        grid.time_s(index) + HEEL_RISE_TO_TOE_OFF_S + HEEL_RISE_TO_TOE_OFF_FRAMES / grid.rate_hz
    });
    let apart_s = of_heel_s.map(|s| s - of_knee_s);
    let most_s = MOST_APART_S;
    let time_s = of_knee_s + 0.5 * apart_s.map_or(0.0, |s| s.clamp(-most_s, most_s));
    let agree = apart_s.is_some_and(|s| s.abs() <= most_s);
    let sd_s = if agree { EXTENSION_AND_RISE_SD_S } else { EXTENSION_SD_S };
    GaitEvent {
        side,
        kind: EventKind::ToeOff,
        time_s,
        sd_s: sd_s.hypot(frame_sd_s(grid)),
        rule: EventRule::KneeExtensionPeak,
    }
}

/// Where the heel rises fastest near an instant; none where that is at the end of the search.
fn fastest_rise(near: f64, heel_y_m: &Series, grid: &Grid) -> Option<f64> {
    let reach = HEEL_RISE_REACH_S * grid.rate_hz;
    let rise = |i: usize| Some(value(heel_y_m, i + 1)? - value(heel_y_m, i.checked_sub(1)?)?);
    let within = (near - reach).max(1.0).round() as usize..=(near + reach).round() as usize;
    let (at, fastest) =
        within.filter_map(|i| Some((i, rise(i)?))).max_by(|a, b| a.1.total_cmp(&b.1))?;
    let (before, after) = (rise(at - 1)?, rise(at + 1)?);
    let is_peak = fastest >= before && fastest >= after;
    is_peak.then(|| at as f64 + vertex(before, fastest, after))
}

/// An instant is known to half a frame either way. Source: SD of a uniform width, 1/(rate sqrt 12).
fn frame_sd_s(grid: &Grid) -> f64 {
    1.0 / (grid.rate_hz * 12.0_f64.sqrt())
}

/// Both coordinates on the whole grid, low-passed stretch by stretch; nothing in the gaps.
fn smooth(runs: &[Run], grid: &Grid) -> (Series, Series) {
    let cutoff_hz = EVENT_CUTOFF_HZ.min(EVENT_CUTOFF_RATE_RATIO * grid.rate_hz);
    let filter = Biquad::zero_lag(cutoff_hz, grid.rate_hz);
    let padding = usual_padding(cutoff_hz, grid.rate_hz);
    let mut series = (vec![None; grid.count], vec![None; grid.count]);
    for run in runs {
        for (channel, raw) in [(&mut series.0, &run.x_m), (&mut series.1, &run.y_m)] {
            let places = channel.iter_mut().skip(run.first);
            for (place, value) in places.zip(low_pass(raw, &filter, padding)) {
                *place = Some(value);
            }
        }
    }
    series
}

/// Second difference, at the sample in the middle.
fn vertical_acceleration(y_m: &Series, grid: &Grid) -> Series {
    let mut out = vec![None; y_m.len()];
    for (place, three) in out.iter_mut().skip(1).zip(y_m.windows(3)) {
        if let [Some(a), Some(b), Some(c)] = three {
            *place = Some((c - 2.0 * b + a) * grid.rate_hz * grid.rate_hz);
        }
    }
    out
}

fn knee_flexion(
    hip: &(Series, Series),
    knee: &(Series, Series),
    ankle: &(Series, Series),
) -> Series {
    let place = |s: &(Series, Series), i: usize| -> Option<(f64, f64)> {
        Some(((*s.0.get(i)?)?, (*s.1.get(i)?)?))
    };
    let flexion = |i: usize| -> Option<f64> {
        let (h, k, a) = (place(hip, i)?, place(knee, i)?, place(ankle, i)?);
        let (thigh, shank) = ((k.0 - h.0, k.1 - h.1), (a.0 - k.0, a.1 - k.1));
        let cross = shank.0 * thigh.1 - shank.1 * thigh.0;
        Some(cross.atan2(shank.0 * thigh.0 + shank.1 * thigh.1))
    };
    (0..hip.0.len()).map(flexion).collect()
}

fn value(series: &Series, index: usize) -> Option<f64> {
    series.get(index).copied().flatten()
}

/// The peak of the parabola through a sample and its neighbours, as an offset from the sample in -0.5..=0.5.
fn vertex(before: f64, here: f64, after: f64) -> f64 {
    let bend = before - 2.0 * here + after;
    if bend.abs() < f64::MIN_POSITIVE {
        0.0
    } else {
        (0.5 * (before - after) / bend).clamp(-0.5, 0.5)
    }
}

/// Fractional index of the local maximum at a sample; none where it is not one.
fn local_maximum(series: &Series, index: usize) -> Option<f64> {
    let before = value(series, index.checked_sub(1)?)?;
    let (here, after) = (value(series, index)?, value(series, index + 1)?);
    (here >= before && here > after).then(|| index as f64 + vertex(before, here, after))
}

/// Where the series is greater than anywhere within [`PEAK_REACH_S`], and above its middle.
fn furthest(series: &Series, grid: &Grid) -> Vec<f64> {
    let known = || series.iter().copied().flatten();
    let (least, greatest) =
        known().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, g), v| (l.min(v), g.max(v)));
    let middle = (least + greatest) / 2.0;
    let reach = (PEAK_REACH_S * grid.rate_hz).round() as usize;
    let is_furthest = |index: usize| -> Option<f64> {
        let here = value(series, index)?;
        let from = index.saturating_sub(reach);
        let mut around = (from..=index + reach).filter_map(|i| value(series, i));
        let peak = local_maximum(series, index)?;
        (here > middle && around.all(|other| other <= here)).then_some(peak)
    };
    (0..series.len()).filter_map(is_furthest).collect()
}

/// Contacts from the heels' forward-most instants and the impacts after them.
///
/// An impact that is not as long after its instant as the trial's others (their median) is taken for a
/// bump, and the contact put at the usual distance; without any impact, at the published one.
fn contacts(ahead: &[f64], rises: &[Series; 2], side: Side, grid: &Grid) -> Vec<GaitEvent> {
    let after_s = |index: &f64| {
        let after_s = impact_s(*index, rises, grid)? - grid.time_s(*index);
        ((after_s - AHEAD_TO_CONTACT_S).abs() <= GREATEST_DISAGREEMENT_S).then_some(after_s)
    };
    let impacts: Vec<Option<f64>> = ahead.iter().map(after_s).collect();
    let mut known: Vec<f64> = impacts.iter().copied().flatten().collect();
    known.sort_by(f64::total_cmp);
    // Fewer than half: what was found may be chance.
    let usual_s = known.get(known.len() / 2).filter(|_| 2 * known.len() >= ahead.len()).copied();
    let contact = |(index, impact): (&f64, &Option<f64>)| {
        let agrees = |s: &f64| usual_s.is_some_and(|usual| (s - usual).abs() <= OUTLIER_S);
        let (after_s, sd_s, rule) = match impact.filter(agrees) {
            // Both instants scatter by themselves; half-way between them scatters less than either.
            Some(after_s) => (
                f64::midpoint(after_s, usual_s.unwrap_or(after_s)),
                IMPACT_SD_S,
                EventRule::VerticalAccelerationPeak,
            ),
            None => {
                (usual_s.unwrap_or(AHEAD_TO_CONTACT_S), AHEAD_SD_S, EventRule::HeelFurthestAhead)
            }
        };
        let time_s = grid.time_s(*index) + after_s;
        GaitEvent {
            side,
            kind: EventKind::Contact,
            time_s,
            sd_s: sd_s.hypot(frame_sd_s(grid)),
            rule,
        }
    };
    ahead.iter().zip(&impacts).map(contact).collect()
}

/// The earlier of the first marked peaks of heel and toe acceleration, less its usual delay.
fn impact_s(ahead_index: f64, rises: &[Series; 2], grid: &Grid) -> Option<f64> {
    if grid.rate_hz < LOWEST_RATE_FOR_ACCELERATION_HZ {
        return None;
    }
    let from = ahead_index.round().max(0.0) as usize;
    let to = from + (IMPACT_SEARCH_S * grid.rate_hz).round() as usize;
    let greatest = rises
        .iter()
        .flat_map(|rise| (from..=to).filter_map(|i| value(rise, i)))
        .fold(f64::NEG_INFINITY, f64::max);
    let first = |rise: &Series| {
        (from..=to)
            .filter(|i| {
                value(rise, *i).is_some_and(|v| v >= LEAST_PEAK_RATIO * greatest && v > 0.0)
            })
            .find_map(|i| local_maximum(rise, i))
    };
    let earlier = rises.iter().filter_map(first).reduce(f64::min)?;
    Some(grid.time_s(earlier) - IMPACT_DELAY_S - IMPACT_DELAY_FRAMES / grid.rate_hz)
}

/// Chosen: a stride that is not finished by another contact is taken to last this long.
const USUAL_STRIDE_S: f64 = 0.72;

/// After each contact: the straightest knee before the swing's greatest flexion.
fn toe_offs(flexion: &Series, contacts: &[f64], grid: &Grid) -> Vec<f64> {
    let steps: Vec<f64> =
        contacts.iter().zip(contacts.iter().skip(1)).map(|(a, b)| b - a).collect();
    let usual = steps.iter().copied().reduce(f64::min).unwrap_or(USUAL_STRIDE_S * grid.rate_hz);
    let straightest = |(index, start): (usize, &f64)| -> Option<f64> {
        let step = steps.get(index).copied().unwrap_or(usual).min(1.3 * usual);
        let within = |from: f64, to: f64| {
            (start + from * step).round() as usize..=(start + to * step) as usize
        };
        let (bent_at, bent) = within(0.35, 0.95)
            .filter_map(|i| Some((i, value(flexion, i)?)))
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        let swing = bent_at as f64 - start;
        let (at, straight) = ((start + 0.3 * swing) as usize..bent_at)
            .filter_map(|i| Some((i, value(flexion, i)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        let (before, after) = (value(flexion, at.checked_sub(1)?)?, value(flexion, at + 1)?);
        let clear = straight <= before && straight <= after && bent - straight > 0.2;
        clear.then(|| at as f64 + vertex(before, straight, after))
    };
    contacts.iter().enumerate().filter_map(straightest).collect()
}
