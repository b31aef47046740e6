//! Whether two trials may be compared, and what to do where not.

use mechanics::comparison::{Comparison, Fairness};

/// One condition of a fair comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FairLine {
    /// Stable name.
    pub key: String,
    /// Its name in words.
    pub name: String,
    /// Whether it holds.
    pub holds: bool,
    /// What was found.
    pub found: String,
    /// What to do; empty where it holds.
    pub what_to_do: String,
}

/// All of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fair {
    /// Whether every condition holds.
    pub is_fair: bool,
    /// One line a condition, those that do not hold first.
    pub lines: Vec<FairLine>,
    /// In one sentence.
    pub sentence: String,
    /// In a few words, to follow another sentence; empty where all is fair.
    pub short: String,
}

/// Whether the comparison is one of like with like.
#[must_use]
pub fn fair(comparison: &Comparison) -> Fair {
    let mut lines: Vec<FairLine> = comparison.fairness.iter().map(line).collect();
    lines.sort_by_key(|l| l.holds);
    let broken: Vec<&FairLine> = lines.iter().filter(|l| !l.holds).collect();
    let names =
        |of: &[&FairLine]| of.iter().map(|l| l.name.as_str()).collect::<Vec<_>>().join(", ");
    let (sentence, short) = if lines.is_empty() {
        ("Whether the two may be compared was not checked.".to_owned(), String::new())
    } else if broken.is_empty() {
        (format!("Like with like: {}.", names(&lines.iter().collect::<Vec<_>>())), String::new())
    } else {
        let each = broken.iter().map(|l| remedy(l)).collect::<Vec<_>>().join(" ");
        let short = format!("Not like with like: {}.", names(&broken));
        (format!("Not like with like. {each}"), short)
    };
    Fair { is_fair: broken.is_empty(), sentence, short, lines }
}

fn line(fairness: &Fairness) -> FairLine {
    let name = match fairness.key.as_str() {
        "cutoff" => "cut-off".to_owned(),
        "table" => "segment table".to_owned(),
        other => other.replace('_', " "),
    };
    FairLine {
        key: fairness.key.clone(),
        name,
        holds: fairness.holds,
        found: fairness.found.clone(),
        what_to_do: fairness.what_to_do.clone(),
    }
}

/// `Speed: 2.50 and 3.00 m/s. Film both at one speed.`
fn remedy(line: &FairLine) -> String {
    let found = format!("{}: {}", line.name, line.found);
    let words = [found.as_str(), line.what_to_do.as_str()];
    words.into_iter().filter(|w| !w.is_empty()).map(as_sentence).collect::<Vec<_>>().join(" ")
}

/// With a capital at the front and a full stop at the end.
pub(super) fn as_sentence(words: &str) -> String {
    let words = words.trim();
    let mut letters = words.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let stop = if words.ends_with(['.', '!', '?']) || words.is_empty() { "" } else { "." };
    format!("{first}{}{stop}", letters.as_str())
}
