//! The measures of one trial or of two, one row a measure.

use super::writer::Writer;
use crate::results::analyse::TrialAnalysis;
use crate::results::compare::TrialPair;
use crate::results::measure::{all, row};
use crate::results::report::phrases::definition;
use mechanics::Note;
use mechanics::measures::{Estimate, Measure};

/// Decimals of every number, whatever its unit. Chosen: more than any uncertainty here allows, so that nothing is
/// lost.
const DECIMALS: usize = 6;

/// The measures of one trial.
#[must_use]
pub fn measures(trial: &TrialAnalysis) -> String {
    let mut writer = Writer::default();
    let headings = [
        "identifier",
        "heading",
        "unit",
        "mean",
        "sd",
        "n",
        "low95",
        "high95",
        "notes",
        "definition",
    ];
    headings.iter().for_each(|h| {
        writer.text(h);
    });
    writer.end_row();
    for measure in all() {
        let Some(estimate) = trial.analysis.measures.get(&measure) else { continue };
        write_names(&mut writer, measure);
        write_estimate(&mut writer, measure, Some(estimate));
        writer.text(&join_notes(estimate.notes.iter()));
        writer.text(&definition(trial)).end_row();
    }
    writer.text
}

/// The measures of two trials, and second less first.
#[must_use]
pub fn measures_of_two(pair: &TrialPair) -> String {
    let mut writer = Writer::default();
    ["identifier", "heading", "unit"].iter().for_each(|h| {
        writer.text(h);
    });
    for trial in ["first", "second"] {
        for what in ["mean", "sd", "n", "low95", "high95"] {
            writer.text(&format!("{trial}_{what}"));
        }
    }
    let rest =
        ["difference", "difference_low95", "difference_high95", "seen", "smallest_worthwhile"];
    rest.iter().chain(&["notes", "first_definition", "second_definition"]).for_each(|h| {
        writer.text(h);
    });
    writer.end_row();
    for measure in all() {
        row_of_two(&mut writer, pair, measure);
    }
    writer.text
}

fn row_of_two(writer: &mut Writer, pair: &TrialPair, measure: Measure) {
    let first = pair.first.analysis.measures.get(&measure);
    let second = pair.second.analysis.measures.get(&measure);
    if first.is_none() && second.is_none() {
        return;
    }
    write_names(writer, measure);
    write_estimate(writer, measure, first);
    write_estimate(writer, measure, second);
    let unit = row(measure).unit;
    let shown = |si: f64| unit.shown(si);
    let difference = pair.comparison.differences.get(&measure);
    let interval = difference.and_then(|d| d.interval_95_si);
    writer.number(difference.map(|d| shown(d.difference_si)), DECIMALS);
    writer.number(interval.map(|i| shown(i.0)), DECIMALS);
    writer.number(interval.map(|i| shown(i.1)), DECIMALS);
    writer.text(difference.map_or("", |d| if d.seen { "yes" } else { "no" }));
    writer.number(difference.and_then(|d| d.smallest_worthwhile_si).map(shown), DECIMALS);
    let notes = first.into_iter().chain(second).flat_map(|e| &e.notes);
    writer.text(&join_notes(notes));
    writer.text(&definition(&pair.first)).text(&definition(&pair.second)).end_row();
}

fn write_names(writer: &mut Writer, measure: Measure) {
    let row = row(measure);
    writer.text(row.identifier).text(row.heading).text(row.unit.in_files());
}

fn write_estimate(writer: &mut Writer, measure: Measure, estimate: Option<&Estimate>) {
    let shown = |si: f64| row(measure).unit.shown(si);
    let interval = estimate.and_then(|e| e.interval_95_si);
    writer.number(estimate.map(|e| shown(e.mean_si)), DECIMALS);
    writer.number(estimate.and_then(|e| e.sd_si).map(shown), DECIMALS);
    writer.cell(&estimate.map_or(String::new(), |e| e.n.to_string()));
    writer.number(interval.map(|i| shown(i.0)), DECIMALS);
    writer.number(interval.map(|i| shown(i.1)), DECIMALS);
}

/// The sentences of the notes, each once.
fn join_notes<'a>(notes: impl Iterator<Item = &'a Note>) -> String {
    let mut sentences: Vec<&str> = Vec::new();
    for note in notes {
        if !sentences.contains(&note.sentence.as_str()) {
            sentences.push(&note.sentence);
        }
    }
    sentences.join("; ")
}
