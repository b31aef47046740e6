//! The conditions of a fair comparison of two trials, each with the finding and what to do.

use super::analysed_trial::AnalysedTrial;
use crate::body::Table;
use crate::measures::Measure;
use crate::space::Side;

/// One condition of a fair comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Fairness {
    /// Stable name: `speed`, `strides`, `cutoff`, `table`, `frame_rate`, `marker_set`, `mass`, `surface`,
    /// `checks`.
    pub key: String,
    /// Whether it holds.
    pub holds: bool,
    /// The finding in words.
    pub found: String,
    /// What to do if it does not hold; empty if it holds.
    pub what_to_do: String,
}

fn condition(key: &str, holds: bool, found: String, what_to_do: &str) -> Fairness {
    let what_to_do = if holds { String::new() } else { what_to_do.to_owned() };
    Fairness { key: key.to_owned(), holds, found, what_to_do }
}

/// Every condition of a fair comparison.
#[must_use]
pub fn fairness(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Vec<Fairness> {
    vec![
        speed(first, second),
        strides(first, second),
        cutoff(first, second),
        table(first, second),
        frame_rate(first, second),
        marker_set(first, second),
        mass(first, second),
        surface(first, second),
        checks(first, second),
    ]
}

fn speed(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let of = |s: AnalysedTrial<'_>| s.analysis.measures.get(&Measure::Speed).map(|e| e.mean_si);
    let Some((a, b)) = of(first).zip(of(second)) else {
        return condition(
            "speed",
            false,
            "The speed of one is not known.".into(),
            "Enter the speed of both in the step Scale.",
        );
    };
    // Chosen: heel lift and knee flexion rise steeply with speed, so that trials are compared within 2 to 3 % of it.
    let holds = (b / a - 1.0).abs() <= 0.03;
    condition(
        "speed",
        holds,
        format!("{a:.2} and {b:.2} m/s."),
        "Film both at one speed; heel lift, knee flexion and energy rise steeply with it.",
    )
}

fn strides(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let near =
        |s: AnalysedTrial<'_>| s.analysis.strides.iter().filter(|s| s.side == Side::Near).count();
    let (a, b) = (near(first), near(second));
    // Source: Dingenen et al. 2018, Phys Ther Sport 33:40-47: means settle after 6.3 ± 0.3 steps; a stride is two.
    condition(
        "strides",
        a >= 4 && b >= 4,
        format!("{a} and {b} strides of the near leg."),
        "Film at least four strides of the near leg in each, better ten.",
    )
}

fn cutoff(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let (a, b) = (&first.analysis.cutoffs_hz, &second.analysis.cutoffs_hz);
    let furthest = a
        .iter()
        .filter_map(|(l, hz)| Some((*l, hz - b.get(l)?)))
        .max_by(|x, y| x.1.abs().total_cmp(&y.1.abs()));
    match furthest {
        // Chosen: from 6 to 20 Hz internal work rises by a third, so 2 Hz on one marker is about 1 %.
        Some((landmark, apart_hz)) if apart_hz.abs() > 2.0 => {
            let found = format!("The cut-offs of {landmark} are {:.1} Hz apart.", apart_hz.abs());
            condition(
                "cutoff",
                false,
                found,
                "Fix one cut-off for both, under Low-pass filter in the step Ledger.",
            )
        }
        Some((_, apart_hz)) if apart_hz.abs() < f64::EPSILON => {
            let low_hz = a.values().copied().fold(f64::INFINITY, f64::min);
            let high_hz = a.values().copied().fold(0.0, f64::max);
            let found = if high_hz - low_hz < 0.05 {
                format!("{high_hz:.1} Hz in both.")
            } else {
                format!(
                    "The same in both, marker by marker: {low_hz:.1} to {high_hz:.1} Hz. Alone, each trial has its own, so that its \
                     ledger may differ from this one in the last digit."
                )
            };
            condition("cutoff", true, found, "")
        }
        Some((_, apart_hz)) => condition(
            "cutoff",
            true,
            format!("At most {:.1} Hz apart on any marker.", apart_hz.abs()),
            "",
        ),
        None => condition(
            "cutoff",
            false,
            "They have no marker in common.".into(),
            "Mark the same landmarks in both.",
        ),
    }
}

fn table(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let name = |t: Table| match t {
        Table::WinterDempster => "Winter",
        Table::DeLevaFemale => "de Leva, women",
        Table::DeLevaMale => "de Leva, men",
    };
    let (a, b) = (first.trial.table, second.trial.table);
    let found =
        if a == b { name(a).to_owned() + "." } else { format!("{} and {}.", name(a), name(b)) };
    condition("table", a == b, found, "Choose one table for both.")
}

fn frame_rate(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let (a, b) = (first.analysis.rate_hz, second.analysis.rate_hz);
    condition(
        "frame_rate",
        (b / a - 1.0).abs() <= 0.05,
        format!("{a:.0} and {b:.0} frames/s."),
        "Film both at one frame rate: contacts shift with it.",
    )
}

fn marker_set(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let same = first.trial.marker_set == second.trial.marker_set;
    let found = if same { "The same landmarks." } else { "Different landmarks are marked." };
    condition("marker_set", same, found.to_owned(), "Mark the same landmarks in both.")
}

fn mass(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let (a, b) = (first.trial.mass_kg, second.trial.mass_kg);
    condition(
        "mass",
        (a - b).abs() < 0.05,
        format!("{a:.1} and {b:.1} kg."),
        "Enter one mass for both.",
    )
}

fn surface(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let same = first.trial.surface == second.trial.surface;
    let found = if same { "The same ground." } else { "One on a belt, one on the ground." };
    condition(
        "surface",
        same,
        found.to_owned(),
        "Film both on a belt or both on the ground: they are not interchangeable.",
    )
}

fn checks(first: AnalysedTrial<'_>, second: AnalysedTrial<'_>) -> Fairness {
    let failed: usize =
        [first, second].iter().map(|s| s.analysis.checks.iter().filter(|c| !c.holds).count()).sum();
    let found = if failed == 0 {
        "Every physical check holds in both.".into()
    } else {
        format!("{failed} physical checks do not hold.")
    };
    condition("checks", failed == 0, found, "Correct what the step Ledger names.")
}
