//! How two trials differ, as sentences and lines; that no difference was seen is a sentence too.

use super::fairness::fairness_summary;
use super::labels::label;
use crate::results::analyse::TrialAnalysis;
use crate::results::compare::TrialPair;
use crate::results::format::{ShownValue, Unit, decimals_for, finite_pair, number, signed};
use crate::results::measure::{all, row};
use mechanics::comparison::{Difference, Split};
use mechanics::measures::Measure;

/// One measure of two trials side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct DifferenceLine {
    /// The measure.
    pub measure: Measure,
    /// Its name.
    pub heading: String,
    /// The unit of all its numbers.
    pub unit: Unit,
    /// The first trial.
    pub first: ShownValue,
    /// The second trial.
    pub second: ShownValue,
    /// Second less first, with its sign, or a dash.
    pub difference: String,
    /// Both ends of its 95 % interval, with their signs.
    pub interval_95: Option<(String, String)>,
    /// Whether the interval excludes zero.
    pub is_seen: bool,
    /// One of `seen`, `not seen`, `seen, but small`, `cannot be said`.
    pub verdict: &'static str,
}

/// Every measure that both trials have, in the order of the table.
#[must_use]
pub fn difference_lines(pair: &TrialPair) -> Vec<DifferenceLine> {
    let known = all().filter_map(|m| Some((m, pair.comparison.differences.get(&m)?)));
    known.map(|(measure, difference)| line(pair, measure, difference)).collect()
}

fn line(pair: &TrialPair, measure: Measure, difference: &Difference) -> DifferenceLine {
    let row = row(measure);
    let numbers = ShownDifference::of(measure, difference);
    let of = |trial: &TrialAnalysis| trial.analysis.measures.get(&measure).cloned();
    let (one, other) = (of(&pair.first), of(&pair.second));
    let mut shown = row.shown_alike(&[one.as_ref(), other.as_ref()]).into_iter();
    let mut next = || shown.next().unwrap_or_else(|| row.shown(None));
    DifferenceLine {
        measure,
        heading: label(&[&pair.first, &pair.second], measure),
        unit: row.unit,
        first: next(),
        second: next(),
        difference: signed(numbers.difference_shown, numbers.decimals),
        interval_95: numbers
            .interval
            .map(|(low, high)| (signed(low, numbers.decimals), signed(high, numbers.decimals))),
        is_seen: numbers.is_seen,
        verdict: match (numbers.interval, numbers.is_seen, numbers.is_small()) {
            (None, ..) => "cannot be said",
            (_, false, _) => "not seen",
            (_, true, true) => "seen, but small",
            (_, true, false) => "seen",
        },
    }
}

/// A difference in its display unit.
pub(super) struct ShownDifference {
    pub(super) difference_shown: f64,
    interval: Option<(f64, f64)>,
    worthwhile: Option<f64>,
    pub(super) is_seen: bool,
    pub(super) decimals: usize,
    unit: Unit,
}

impl ShownDifference {
    pub(super) fn of(measure: Measure, difference: &Difference) -> Self {
        let row = row(measure);
        let interval = finite_pair(difference.interval_95_si)
            .map(|(low, high)| (row.unit.shown(low.min(high)), row.unit.shown(low.max(high))));
        let uncertainty = interval.map(|(low, high)| (high - low) / 4.0);
        let decimals = decimals_for(uncertainty, row.decimals);
        let prints = |v: f64| number(v.abs(), decimals) != number(0.0, decimals);
        // An interval that prints as zero at both ends, such as that of one entered speed, is no difference.
        let is_more = interval.is_some_and(|(low, high)| prints(low) || prints(high));
        Self {
            difference_shown: row.unit.shown(difference.difference_si),
            interval,
            worthwhile: difference
                .smallest_worthwhile_si
                .map(|w| row.unit.shown(w.abs()))
                .filter(|w| w.is_finite()),
            is_seen: difference.seen && is_more && difference.difference_si.is_finite(),
            decimals,
            unit: row.unit,
        }
    }

    fn is_small(&self) -> bool {
        self.worthwhile.is_some_and(|w| self.difference_shown.abs() < w)
    }

    fn text(&self, value: f64) -> String {
        number(value, self.decimals)
    }

    /// A difference of two percentages is one of percentage points.
    fn with_unit(&self, value: f64) -> String {
        match self.unit {
            Unit::Percent => format!("{} percentage points", self.text(value)),
            unit => unit.behind(&self.text(value)),
        }
    }

    /// ` (11 %)`; empty if the first is zero.
    fn per_cent_of(&self, first: f64) -> String {
        let per_cent = 100.0 * (self.difference_shown / first).abs();
        let decimals = if per_cent < 3.0 { 1 } else { 0 };
        match per_cent.is_finite() && per_cent < 1000.0 {
            true => format!(" ({} %)", number(per_cent, decimals)),
            false => String::new(),
        }
    }

    /// `95 % between 4.9 and 8.7`; `as_sizes` without signs.
    pub(super) fn between(&self, as_sizes: bool) -> String {
        let Some((low, high)) = self.interval else { return String::new() };
        let (low, high) = match as_sizes {
            true => (low.abs().min(high.abs()), low.abs().max(high.abs())),
            false => {
                let d = self.decimals;
                return format!("95 % between {} and {}", signed(low, d), signed(high, d));
            }
        };
        format!("95 % between {} and {}", self.text(low), self.text(high))
    }

    fn small_phrase(&self) -> String {
        match self.worthwhile.filter(|_| self.is_small()) {
            Some(worthwhile) => format!(
                " That is less than {}, the smallest difference that matters on one day with one camera.",
                self.unit.behind(&number(worthwhile, decimals_for(Some(worthwhile / 10.0), 2)))
            ),
            None => String::new(),
        }
    }
}

/// The sentence below the two ledgers: what the second way costs compared with the first, and why.
#[must_use]
pub fn side_by_side_sentence(pair: &TrialPair) -> String {
    let measure = Measure::InternalWork;
    let Some(difference) = pair.comparison.differences.get(&measure) else {
        return "The cost of a stride cannot be compared: one of the two ways has no internal work.".into();
    };
    let numbers = ShownDifference::of(measure, difference);
    let mut sentence = work_sentence(pair, &numbers);
    if numbers.is_seen
        && let Some(split) = pair.comparison.split
        && let Some(why) = split_phrase(&split, &numbers)
    {
        sentence = format!("{sentence} {why}");
    }
    let fairness = fairness_summary(&pair.comparison);
    if fairness.is_fair { sentence } else { format!("{sentence} {}", fairness.short) }
}

fn work_sentence(pair: &TrialPair, numbers: &ShownDifference) -> String {
    if !numbers.difference_shown.is_finite() {
        return "The cost of a stride cannot be compared: one of the two ways has no internal work.".into();
    }
    if numbers.interval.is_none() {
        return format!(
            "Second less first is {} J a stride; there are too few strides to say how sure that is.",
            signed(numbers.difference_shown, numbers.decimals)
        );
    }
    if !numbers.is_seen {
        return format!(
            "No difference that this measurement can see: second less first is {} J a stride, {}.",
            signed(numbers.difference_shown, numbers.decimals),
            numbers.between(false)
        );
    }
    let first = pair.first.analysis.measures.get(&Measure::InternalWork).map_or(0.0, |e| e.mean_si);
    format!(
        "The second way costs {}{} {} a stride, {}.{}",
        numbers.with_unit(numbers.difference_shown.abs()),
        numbers.per_cent_of(first),
        if numbers.difference_shown < 0.0 { "less" } else { "more" },
        numbers.between(true),
        numbers.small_phrase()
    )
}

/// The origin of the difference in internal work; none if it was not split.
#[must_use]
pub fn split_sentence(pair: &TrialPair) -> Option<String> {
    let difference = pair.comparison.differences.get(&Measure::InternalWork)?;
    split_phrase(&pair.comparison.split?, &ShownDifference::of(Measure::InternalWork, difference))
}

fn split_phrase(split: &Split, numbers: &ShownDifference) -> Option<String> {
    let rounded = |v: f64| {
        let power = 10_f64.powi(i32::try_from(numbers.decimals).unwrap_or(0));
        (v * power).round() / power
    };
    let (cadence, speed) = (rounded(split.cadence_j), rounded(split.speed_j));
    // The printed parts add up to the printed difference: the last one takes the rounding error.
    let shape = rounded(numbers.difference_shown) - cadence - speed;
    if ![cadence, speed, shape].iter().all(|v| v.is_finite()) {
        return None;
    }
    let text = |v: f64| signed(v, numbers.decimals);
    let speed_phrase = match speed == 0.0 {
        true => String::new(),
        false => format!("the other speed for {}, ", text(speed)),
    };
    Some(format!(
        "Cadence accounts for {}, {speed_phrase}the shape of the movement for {}.",
        text(cadence),
        text(shape)
    ))
}

/// The finding for one measure as a sentence; none if not both trials have it.
#[must_use]
pub fn difference_sentence(pair: &TrialPair, measure: Measure) -> Option<String> {
    let numbers = ShownDifference::of(measure, pair.comparison.differences.get(&measure)?);
    let heading = row(measure).heading;
    Some(if !numbers.difference_shown.is_finite() {
        format!("{heading}: cannot be compared.")
    } else if numbers.interval.is_none() {
        format!("{heading}: too few strides to say whether there is a difference.")
    } else if !numbers.is_seen {
        format!(
            "{heading}: no difference that this measurement can see ({}).",
            numbers.between(false)
        )
    } else {
        format!(
            "{heading}: {} {} in the second, {}.{}",
            numbers.with_unit(numbers.difference_shown.abs()),
            if numbers.difference_shown < 0.0 { "less" } else { "more" },
            numbers.between(true),
            numbers.small_phrase()
        )
    })
}
