//! What lies behind a difference in internal work: other transfer rules, cadence and shape, the heel, the measurement.

use super::difference::Numbers;
use crate::results::cache::Pair;
use crate::results::chart::Table;
use crate::results::format::{Unit, number, signed};
use mechanics::comparison::Blend;
use mechanics::measures::Measure;

/// The difference by the two other transfer rules, and whether its sign hangs on the rule; none where they
/// are not known.
#[must_use]
pub fn bounds_sentence(pair: &Pair) -> Option<String> {
    let of = |m: Measure| {
        let numbers = Numbers::of(m, pair.comparison.differences.get(&m)?);
        numbers.difference_shown.is_finite().then_some(numbers)
    };
    let within = of(Measure::InternalWork)?;
    let none = of(Measure::InternalWorkNoTransfer)?;
    let full = of(Measure::InternalWorkFullTransfer)?;
    let text = |n: &Numbers| {
        let between = n.between(false);
        let between = if between.is_empty() { between } else { format!(" ({between})") };
        format!("{} J{between}", signed(n.difference_shown, n.decimals))
    };
    let bounds = format!(
        "That is for energy passed on within a limb. With none passed on it would be {}; with all passed on, also from \
         limb to limb, {}.",
        text(&none),
        text(&full)
    );
    // What is not seen has no sign.
    let signs =
        [&within, &none, &full].map(|n| if n.is_seen { n.difference_shown.signum() } else { 0.0 });
    let more = signs.iter().any(|s| *s > 0.0);
    let less = signs.iter().any(|s| *s < 0.0);
    let unseen = signs.contains(&0.0);
    Some(match (more && less, more || less, unseen) {
        (true, ..) => format!(
            "{bounds} Whether the second way costs more or less hangs on this rule, which no camera can see: take it as a \
             difference of movement, not of effort."
        ),
        (false, true, true) => {
            format!("{bounds} Not every rule shows a difference: take it with that reserve.")
        }
        (false, true, false) => format!("{bounds} The sign is the same by every rule."),
        (false, false, _) => bounds,
    })
}

/// The way from the first to the second cost, step by step; none where it was not split.
#[must_use]
pub fn split_table(pair: &Pair) -> Option<Table> {
    let split = pair.comparison.split?;
    let mean = |m: Measure| {
        let of = |t: &crate::results::Analysed| Some(t.analysis.measures.get(&m)?.mean_si);
        Some((of(&pair.first)?, of(&pair.second)?))
    };
    let (first_j, second_j) = mean(Measure::InternalWork)?;
    let cadence = mean(Measure::Cadence)?;
    let steps = |hz: f64| Unit::StepsPerMinute.behind(&number(Unit::StepsPerMinute.shown(hz), 1));
    let replayed_j = first_j + split.cadence_j;
    let mut rows = vec![
        (format!("First way, {}", steps(cadence.0)), first_j, None),
        (
            format!("The same movement replayed at {}", steps(cadence.1)),
            replayed_j,
            Some((split.cadence_j, split.cadence_95_j)),
        ),
    ];
    if split.speed_j != 0.0 {
        let row = "… and with the reach of the second's speed".to_owned();
        rows.push((row, replayed_j + split.speed_j, Some((split.speed_j, split.speed_95_j))));
    }
    let shape = Some((split.shape_j, split.shape_95_j));
    rows.push(("Second way, its own shape of movement".to_owned(), second_j, shape));
    if !rows.iter().all(|(_, j, _)| j.is_finite()) {
        return None;
    }
    let headings = ["Step", "Internal work of a stride, J", "Adds, J", "95 %"];
    Some(Table {
        caption: "From the first way to the second".to_owned(),
        headings: headings.map(str::to_owned).to_vec(),
        rows: rows.into_iter().map(split_cells).collect(),
    })
}

/// What a step adds, and the 95 % interval of that.
type Adds = (f64, Option<(f64, f64)>);

fn split_cells((what, at_j, adds): (String, f64, Option<Adds>)) -> Vec<String> {
    let none = || "—".to_owned();
    let interval = adds.and_then(|(_, interval)| interval);
    vec![
        what,
        number(at_j, 1),
        adds.map_or_else(none, |(j, _)| signed(j, 1)),
        interval
            .map_or_else(none, |(low, high)| format!("{} to {}", signed(low, 1), signed(high, 1))),
    ]
}

/// What the heel's lift alone does to the near leg's work; none without steps.
#[must_use]
pub fn blend_sentence(steps: &[Blend]) -> Option<String> {
    let (first, last) = (steps.first()?, steps.last()?);
    let lift_cm = Unit::Centimetre.shown(last.heel_lift_m - first.heel_lift_m);
    let work_j = last.near_leg_j - first.near_leg_j;
    let inertia_ratio = last.least_inertia_kg_m2 / first.least_inertia_kg_m2 - 1.0;
    let all_finite = [lift_cm, work_j, inertia_ratio].iter().all(|v| v.is_finite());
    if !all_finite {
        return None;
    }
    Some(format!(
        "The near leg's swing of the first way, led to that of the second at one cadence: the heel goes {} cm {}, the \
         near leg's work changes by {} J a stride, its least inertia about the hip by {} %. This is mechanical work on \
         this runner's own movement, not what a changed habit would cost.",
        number(lift_cm.abs(), 1),
        if lift_cm < 0.0 { "lower" } else { "higher" },
        signed(work_j, 1),
        signed(100.0 * inertia_ratio, 0),
    ))
}

/// How far the repeats of the measurement are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Repeating {
    /// Being done.
    UnderWay,
    /// All of them done.
    Done {
        /// How many there were.
        runs: u32,
    },
    /// They could not be done to the end.
    Stopped,
}

/// How the measurement's own uncertainty came into the intervals.
#[must_use]
pub fn spread_sentence(repeating: Repeating) -> String {
    let what = "the errors of the markers, the scale, the upright direction and the events";
    let to_first_order = "to first order, the errors of markers and scale";
    match repeating {
        Repeating::UnderWay => format!(
            "The intervals hold the spread over strides and, so far {to_first_order}. The measurement is being \
             repeated with {what} drawn anew."
        ),
        Repeating::Done { runs } => format!(
            "The intervals hold the spread over strides and that of {runs} repeats of the measurement with {what} \
             drawn anew."
        ),
        Repeating::Stopped => format!(
            "The intervals hold the spread over strides and, {to_first_order}. Repeating the measurement with {what} \
             drawn anew has stopped: open this page again to have it tried once more."
        ),
    }
}
