//! The measures of one trial or of two, one row a measure.

use super::Writer;
use crate::results::analyse::Analysed;
use crate::results::cache::Pair;
use crate::results::measure::{all, row};
use crate::results::report::definition;
use mechanics::Note;
use mechanics::measures::{Estimate, Measure};

/// Decimals of every number, whatever its unit: more than any uncertainty here allows, so that nothing is lost.
const DECIMALS: usize = 6;

/// The measures of one trial.
#[must_use]
pub fn measures(trial: &Analysed) -> String {
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
        writer.words(h);
    });
    writer.end_row();
    for measure in all() {
        let Some(estimate) = trial.analysis.measures.get(&measure) else { continue };
        names(&mut writer, measure);
        numbers(&mut writer, measure, Some(estimate));
        writer.words(&note_words(estimate.notes.iter()));
        writer.words(&definition(trial)).end_row();
    }
    writer.text
}

/// The measures of two trials, and second less first.
#[must_use]
pub fn measures_of_two(pair: &Pair) -> String {
    let mut writer = Writer::default();
    ["identifier", "heading", "unit"].iter().for_each(|h| {
        writer.words(h);
    });
    for trial in ["first", "second"] {
        for what in ["mean", "sd", "n", "low95", "high95"] {
            writer.words(&format!("{trial}_{what}"));
        }
    }
    let rest =
        ["difference", "difference_low95", "difference_high95", "seen", "smallest_worthwhile"];
    rest.iter().chain(&["notes", "first_definition", "second_definition"]).for_each(|h| {
        writer.words(h);
    });
    writer.end_row();
    for measure in all() {
        row_of_two(&mut writer, pair, measure);
    }
    writer.text
}

fn row_of_two(writer: &mut Writer, pair: &Pair, measure: Measure) {
    let first = pair.first.analysis.measures.get(&measure);
    let second = pair.second.analysis.measures.get(&measure);
    if first.is_none() && second.is_none() {
        return;
    }
    names(writer, measure);
    numbers(writer, measure, first);
    numbers(writer, measure, second);
    let unit = row(measure).unit;
    let shown = |si: f64| unit.shown(si);
    let difference = pair.comparison.differences.get(&measure);
    let interval = difference.and_then(|d| d.interval_95_si);
    writer.number(difference.map(|d| shown(d.difference_si)), DECIMALS);
    writer.number(interval.map(|i| shown(i.0)), DECIMALS);
    writer.number(interval.map(|i| shown(i.1)), DECIMALS);
    writer.words(difference.map_or("", |d| if d.seen { "yes" } else { "no" }));
    writer.number(difference.and_then(|d| d.smallest_worthwhile_si).map(shown), DECIMALS);
    let notes = first.into_iter().chain(second).flat_map(|e| &e.notes);
    writer.words(&note_words(notes));
    writer.words(&definition(&pair.first)).words(&definition(&pair.second)).end_row();
}

fn names(writer: &mut Writer, measure: Measure) {
    let row = row(measure);
    writer.words(row.identifier).words(row.heading).words(row.unit.in_files());
}

fn numbers(writer: &mut Writer, measure: Measure, estimate: Option<&Estimate>) {
    let shown = |si: f64| row(measure).unit.shown(si);
    let interval = estimate.and_then(|e| e.interval_95_si);
    writer.number(estimate.map(|e| shown(e.mean_si)), DECIMALS);
    writer.number(estimate.and_then(|e| e.sd_si).map(shown), DECIMALS);
    writer.cell(&estimate.map_or(String::new(), |e| e.n.to_string()));
    writer.number(interval.map(|i| shown(i.0)), DECIMALS);
    writer.number(interval.map(|i| shown(i.1)), DECIMALS);
}

/// Each sentence once.
fn note_words<'a>(notes: impl Iterator<Item = &'a Note>) -> String {
    let mut sentences: Vec<&str> = Vec::new();
    for note in notes {
        if !sentences.contains(&note.sentence.as_str()) {
            sentences.push(&note.sentence);
        }
    }
    sentences.join("; ")
}
