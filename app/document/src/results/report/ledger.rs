//! The lines of the ledger and of the other measures, for one trial or two.

use super::labels::{LIMBS, SIGNS, label};
use crate::results::analyse::TrialAnalysis;
use crate::results::format::ShownValue;
use crate::results::measure::{GROUPS, all, row};
use crate::results::table::TextTable;
use mechanics::body::MarkerSet;
use mechanics::measures::Measure;
use mechanics::space::Side;

/// One line of the ledger.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerLine {
    /// The measure.
    pub measure: Measure,
    /// Its name, with its footnote mark.
    pub label: String,
    /// One entry a trial.
    pub shown: Vec<ShownValue>,
}

/// The ledger of a stride.
#[derive(Clone, Debug, PartialEq)]
pub struct Ledger {
    /// Limb by limb.
    pub lines: Vec<LedgerLine>,
    /// The total, under the double rule.
    pub total: LedgerLine,
    /// The meaning of the marks; empty if there is none.
    pub signs: String,
}

/// The work of a stride of these trials, limb by limb.
#[must_use]
pub fn ledger(trials: &[&TrialAnalysis]) -> Ledger {
    let lines: Vec<LedgerLine> = LIMBS.into_iter().map(|m| line(trials, m)).collect();
    let any_sign = lines.iter().any(|l| l.label.ends_with(['*', '†']));
    let whole = line(trials, Measure::InternalWork);
    let sign = if whole.label.ends_with('†') { " †" } else { "" };
    Ledger {
        lines,
        total: LedgerLine { label: format!("In all{sign}"), ..whole },
        signs: if any_sign { SIGNS.to_owned() } else { String::new() },
    }
}

fn line(trials: &[&TrialAnalysis], measure: Measure) -> LedgerLine {
    LedgerLine { measure, label: label(trials, measure), shown: all_shown(trials, measure) }
}

/// The entries of all trials, with the same decimals; a missing one with its reason.
fn all_shown(trials: &[&TrialAnalysis], measure: Measure) -> Vec<ShownValue> {
    let row = row(measure);
    let estimates: Vec<_> = trials.iter().map(|t| t.analysis.measures.get(&measure)).collect();
    let shown = row.shown_alike(&estimates).into_iter().zip(trials.iter().zip(estimates));
    let with_reason = shown.map(|(shown, (trial, estimate))| match estimate {
        Some(_) => shown,
        None => ShownValue::none(row.unit, reason(trial, measure)),
    });
    with_reason.collect()
}

fn shown(trial: &TrialAnalysis, measure: Measure) -> ShownValue {
    let estimate = trial.analysis.measures.get(&measure);
    match estimate {
        Some(_) => row(measure).shown(estimate),
        None => ShownValue::none(row(measure).unit, reason(trial, measure)),
    }
}

/// Why a measure is missing.
fn reason(trial: &TrialAnalysis, measure: Measure) -> &'static str {
    let entered_speed = trial.trial.speed_m_s.is_some();
    match (measure, trial.trial.marker_set) {
        (Measure::NearArmWork | Measure::FarArmWork, MarkerSet::Legs) => "arms are not marked",
        (Measure::TrunkWork | Measure::CentreOfMassRise, MarkerSet::Legs) => {
            "the head is not marked"
        }
        (Measure::Speed | Measure::StrideLength | Measure::InternalWorkPerDistance, _)
            if !entered_speed =>
        {
            "no speed was entered and none could be measured"
        }
        (Measure::FlightTime, MarkerSet::Legs | MarkerSet::NearSide) => {
            "the other foot is not marked"
        }
        _ => "it could not be computed from these markers and strides",
    }
}

/// The first sentence of the ledger.
#[must_use]
pub fn headline(trial: &TrialAnalysis) -> String {
    let work = shown(trial, Measure::InternalWork);
    if let Some(reason) = &work.reason {
        return format!("The internal work of a stride cannot be given: {reason}.");
    }
    let what = match trial.trial.marker_set {
        MarkerSet::Legs => "A stride of the legs alone costs",
        MarkerSet::NearSide | MarkerSet::BothSides => "A stride costs",
    };
    let strides = if work.n == 1 { "1 stride".into() } else { format!("{} strides", work.n) };
    let also: Vec<String> = [Measure::InternalPowerPerMass, Measure::InternalWorkPerDistance]
        .into_iter()
        .map(|m| shown(trial, m))
        .filter(|s| s.reason.is_none())
        .map(|s| s.unit.behind(&s.value))
        .collect();
    let also = if also.is_empty() { String::new() } else { format!(": {}", also.join(", ")) };
    let spread = if work.sd.is_some() { "mean ± SD of" } else { "from" };
    format!(
        "{what} {} of internal work ({spread} {strides}){also}.",
        work.unit.behind(&work.pair())
    )
}

/// A measure with one entry a trial.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureLine {
    /// The measure.
    pub measure: Measure,
    /// Its name, with its footnote mark.
    pub heading: String,
    /// What it is, and what it is not.
    pub meaning: &'static str,
    /// How it is computed.
    pub method: &'static str,
    /// Source of the definition.
    pub source: &'static str,
    /// One entry a trial.
    pub shown: Vec<ShownValue>,
}

/// Measures that belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureGroup {
    /// What they have in common.
    pub title: &'static str,
    /// The measures that at least one trial has.
    pub lines: Vec<MeasureLine>,
}

/// All measures that at least one of the trials has, by group.
#[must_use]
pub fn measure_groups(trials: &[&TrialAnalysis]) -> Vec<MeasureGroup> {
    let has = |m: &Measure| trials.iter().any(|t| t.analysis.measures.contains_key(m));
    let line = |measure: Measure| {
        let row = row(measure);
        MeasureLine {
            measure,
            heading: label(trials, measure),
            meaning: row.meaning,
            method: row.method,
            source: row.source,
            shown: all_shown(trials, measure),
        }
    };
    let groups = GROUPS.iter().map(|group| MeasureGroup {
        title: group.title,
        lines: group.measures.iter().copied().filter(has).map(line).collect(),
    });
    groups.filter(|group| !group.lines.is_empty()).collect()
}

/// Times and lengths of each leg separately; none if only one leg is marked.
#[must_use]
pub fn legs_table(trial: &TrialAnalysis) -> Option<TextTable> {
    let legs = &trial.analysis.legs;
    let (near, far) = (legs.get(&Side::Near)?, legs.get(&Side::Far)?);
    let line = |measure: Measure| {
        let row = row(measure);
        let pair = [near.get(&measure), far.get(&measure)];
        let cells = row.shown_alike(&pair).into_iter().map(|s| s.pair());
        let heading = row.heading_with_unit();
        pair.iter().any(Option::is_some).then(|| std::iter::once(heading).chain(cells).collect())
    };
    Some(TextTable {
        caption: "Each leg apart (mean ± SD)".to_owned(),
        headings: ["Measure", "Near leg", "Far leg"].map(str::to_owned).to_vec(),
        rows: all().filter_map(line).collect(),
    })
}
