//! What explains a difference in internal work: transfer rules, cadence and shape, the heel, the measurement itself.

use super::difference::ShownDifference;
use crate::results::analyse::TrialAnalysis;
use crate::results::compare::TrialPair;
use crate::results::format::{Unit, number, signed};
use crate::results::table::TextTable;
use mechanics::comparison::Blend;
use mechanics::measures::Measure;

/// The difference by the two other transfer rules, and whether its sign depends on the rule; none if they are not
/// known.
#[must_use]
pub fn bounds_sentence(pair: &TrialPair) -> Option<String> {
    let of = |m: Measure| {
        let numbers = ShownDifference::of(m, pair.comparison.differences.get(&m)?);
        numbers.difference_shown.is_finite().then_some(numbers)
    };
    let within = of(Measure::InternalWork)?;
    let none = of(Measure::InternalWorkNoTransfer)?;
    let full = of(Measure::InternalWorkFullTransfer)?;
    let text = |n: &ShownDifference| {
        let between = n.between(false);
        let between = if between.is_empty() { between } else { format!(" ({between})") };
        format!("{} J{between}", signed(n.difference_shown, n.decimals))
    };
    let bounds = format!(
        "That is for energy transfer within a limb. Without transfer it would be {}; with full transfer, also from \
         limb to limb, {}.",
        text(&none),
        text(&full)
    );
    // A difference that is not seen has no sign.
    let signs =
        [&within, &none, &full].map(|n| if n.is_seen { n.difference_shown.signum() } else { 0.0 });
    let more = signs.iter().any(|s| *s > 0.0);
    let less = signs.iter().any(|s| *s < 0.0);
    let unseen = signs.contains(&0.0);
    Some(match (more && less, more || less, unseen) {
        (true, ..) => format!(
            "{bounds} Whether the second way costs more or less depends on this rule, which no camera can see: read it as a \
             difference of movement, not of effort."
        ),
        (false, true, true) => {
            format!("{bounds} Not every rule shows a difference: read it with caution.")
        }
        (false, true, false) => format!("{bounds} The sign is the same by every rule."),
        (false, false, _) => bounds,
    })
}

/// From the cost of the first way to that of the second, step by step; none if the difference was not split.
#[must_use]
pub fn split_table(pair: &TrialPair) -> Option<TextTable> {
    let split = pair.comparison.split?;
    let mean = |m: Measure| {
        let of = |t: &TrialAnalysis| Some(t.analysis.measures.get(&m)?.mean_si);
        Some((of(&pair.first)?, of(&pair.second)?))
    };
    let (first_j, second_j) = mean(Measure::InternalWork)?;
    let cadence = mean(Measure::Cadence)?;
    let steps = |hz: f64| Unit::StepsPerMinute.behind(&number(Unit::StepsPerMinute.shown(hz), 1));
    let replayed_j = first_j + split.cadence_j;
    let first = SplitRow {
        step: format!("First way, {}", steps(cadence.0)),
        work_j: first_j,
        added_j: None,
        added_95_j: None,
    };
    let mut rows = vec![
        first,
        SplitRow {
            step: format!("The same movement replayed at {}", steps(cadence.1)),
            work_j: replayed_j,
            added_j: Some(split.cadence_j),
            added_95_j: split.cadence_95_j,
        },
    ];
    if split.speed_j != 0.0 {
        rows.push(SplitRow {
            step: "… and with the reach of the second's speed".to_owned(),
            work_j: replayed_j + split.speed_j,
            added_j: Some(split.speed_j),
            added_95_j: split.speed_95_j,
        });
    }
    rows.push(SplitRow {
        step: "Second way, its own shape of movement".to_owned(),
        work_j: second_j,
        added_j: Some(split.shape_j),
        added_95_j: split.shape_95_j,
    });
    if !rows.iter().all(|row| row.work_j.is_finite()) {
        return None;
    }
    let headings = ["Step", "Internal work of a stride, J", "Adds, J", "95 %"];
    Some(TextTable {
        caption: "From the first way to the second".to_owned(),
        headings: headings.map(str::to_owned).to_vec(),
        rows: rows.into_iter().map(SplitRow::cells).collect(),
    })
}

/// A step from the cost of the first way to that of the second.
struct SplitRow {
    step: String,
    work_j: f64,
    /// What the step adds; none for the first way itself.
    added_j: Option<f64>,
    /// The 95 % interval of that.
    added_95_j: Option<(f64, f64)>,
}

impl SplitRow {
    fn cells(self) -> Vec<String> {
        let dash = || "—".to_owned();
        let interval = |(low, high)| format!("{} to {}", signed(low, 1), signed(high, 1));
        vec![
            self.step,
            number(self.work_j, 1),
            self.added_j.map_or_else(dash, |added_j| signed(added_j, 1)),
            self.added_95_j.map_or_else(dash, interval),
        ]
    }
}

/// The effect of the heel lift alone on the near leg's work; none without steps.
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
        "The near leg's swing of the first way, blended into that of the second at one cadence: the heel goes {} cm {}, the \
         near leg's work changes by {} J a stride, its least inertia about the hip by {} %. This is mechanical work on \
         this runner's own movement, not what a changed habit would cost.",
        number(lift_cm.abs(), 1),
        if lift_cm < 0.0 { "lower" } else { "higher" },
        signed(work_j, 1),
        signed(100.0 * inertia_ratio, 0),
    ))
}

/// Progress of the Monte Carlo repetition of the measurement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MonteCarloState {
    /// Running.
    Running,
    /// Complete.
    Done {
        /// Number of runs.
        runs: u32,
    },
    /// Ended before it was complete.
    Stopped,
}

/// How the measurement's own uncertainty enters the intervals.
#[must_use]
pub fn spread_sentence(state: MonteCarloState) -> String {
    let what = "the errors of the markers, the scale, the upright direction and the events";
    let to_first_order = "to first order, the errors of markers and scale";
    match state {
        MonteCarloState::Running => format!(
            "The intervals contain the spread over strides and, so far {to_first_order}. The measurement is being \
             repeated with {what} drawn again."
        ),
        MonteCarloState::Done { runs } => format!(
            "The intervals contain the spread over strides and that of {runs} repeats of the measurement with {what} \
             drawn again."
        ),
        MonteCarloState::Stopped => format!(
            "The intervals contain the spread over strides and, {to_first_order}. Repeating the measurement with {what} \
             drawn again has stopped: open this page again to retry."
        ),
    }
}
