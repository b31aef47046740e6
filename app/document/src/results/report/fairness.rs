//! Whether two trials may be compared, and what to do if not.

use mechanics::comparison::{Comparison, Fairness};

/// One condition of a fair comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FairnessLine {
    /// Stable name.
    pub key: String,
    /// Its name on screen.
    pub name: String,
    /// Whether it holds.
    pub holds: bool,
    /// What was found.
    pub found: String,
    /// What to do; empty if it holds.
    pub what_to_do: String,
}

/// All conditions of a fair comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FairnessSummary {
    /// Whether every condition holds.
    pub is_fair: bool,
    /// One line a condition, broken ones first.
    pub lines: Vec<FairnessLine>,
    /// One sentence.
    pub sentence: String,
    /// A few words, to follow another sentence; empty if every condition holds.
    pub short: String,
}

/// Whether the comparison is fair: like with like.
#[must_use]
pub fn fairness_summary(comparison: &Comparison) -> FairnessSummary {
    let mut lines: Vec<FairnessLine> = comparison.fairness.iter().map(line).collect();
    lines.sort_by_key(|l| l.holds);
    let broken: Vec<&FairnessLine> = lines.iter().filter(|l| !l.holds).collect();
    let names =
        |of: &[&FairnessLine]| of.iter().map(|l| l.name.as_str()).collect::<Vec<_>>().join(", ");
    let (sentence, short) = if lines.is_empty() {
        ("Whether the two may be compared was not checked.".to_owned(), String::new())
    } else if broken.is_empty() {
        (format!("Like with like: {}.", names(&lines.iter().collect::<Vec<_>>())), String::new())
    } else {
        let each = broken.iter().map(|l| remedy(l)).collect::<Vec<_>>().join(" ");
        let short = format!("Not like with like: {}.", names(&broken));
        (format!("Not like with like. {each}"), short)
    };
    FairnessSummary { is_fair: broken.is_empty(), sentence, short, lines }
}

fn line(fairness: &Fairness) -> FairnessLine {
    let name = match fairness.key.as_str() {
        "cutoff" => "cut-off".to_owned(),
        "table" => "segment table".to_owned(),
        other => other.replace('_', " "),
    };
    FairnessLine {
        key: fairness.key.clone(),
        name,
        holds: fairness.holds,
        found: fairness.found.clone(),
        what_to_do: fairness.what_to_do.clone(),
    }
}

/// `Speed: 2.50 and 3.00 m/s. Film both at one speed.`
fn remedy(line: &FairnessLine) -> String {
    let found = format!("{}: {}", line.name, line.found);
    let parts = [found.as_str(), line.what_to_do.as_str()];
    parts.into_iter().filter(|p| !p.is_empty()).map(as_sentence).collect::<Vec<_>>().join(" ")
}

/// The text with a capital at the front and a full stop at the end.
pub(super) fn as_sentence(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let stop = if text.ends_with(['.', '!', '?']) || text.is_empty() { "" } else { "." };
    format!("{first}{}{stop}", letters.as_str())
}
