//! The scale checked against the runner's height: the marked leg beside the usual proportion of the body.

use mechanics::Note;
use mechanics::analysis::Trial;
use mechanics::body::Landmark;
use mechanics::space::Point;

/// Length of thigh and shank as a part of body height.
///
/// Source: Drillis and Contini 1966, as in Winter 2009, Fig. 4.1: thigh 0.245, shank 0.246.
const LEG_RATIO: f64 = 0.245 + 0.246;

/// Deviation from that proportion above which the scale is called into question. Chosen: the proportion varies by
/// some 4 % (SD) between people and the marks lie up to a few centimetres from the joints; a deviation of 15 % is
/// rarely the runner, and changes work, which goes with length squared, by 30 %.
const TOLERANCE_RATIO: f64 = 0.15;

/// A note if the near thigh and shank, median over the frames, do not fit the height entered; none without a height.
pub(super) fn scale_note(trial: &Trial) -> Option<Note> {
    let height_m = trial.height_m?;
    let thigh_m = median_distance_m(trial, Landmark::NearHip, Landmark::NearKnee)?;
    let shank_m = median_distance_m(trial, Landmark::NearKnee, Landmark::NearAnkle)?;
    let leg_ratio = (thigh_m + shank_m) / height_m;
    let fits = (leg_ratio / LEG_RATIO - 1.0).abs() <= TOLERANCE_RATIO;
    let key = "scale_and_height".to_owned();
    let sentence = format!(
        "The marked thigh and shank together are {:.0} % of the height entered, where {:.0} % is usual: check the scale \
         and the height",
        100.0 * leg_ratio,
        100.0 * LEG_RATIO
    );
    (!fits && leg_ratio.is_finite()).then_some(Note { key, sentence })
}

/// Median distance of two landmarks over the frames that have both.
fn median_distance_m(trial: &Trial, from: Landmark, to: Landmark) -> Option<f64> {
    let distance_m = |(a, b): (&Option<Point>, &Option<Point>)| {
        let (a, b) = ((*a)?, (*b)?);
        Some((b.x_m - a.x_m).hypot(b.y_m - a.y_m))
    };
    let pairs = trial.points.get(&from)?.iter().zip(trial.points.get(&to)?);
    let mut distances_m: Vec<f64> = pairs.filter_map(distance_m).collect();
    distances_m.sort_by(f64::total_cmp);
    distances_m.get(distances_m.len() / 2).copied()
}
