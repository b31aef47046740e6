//! Sessions on this device: their list, their deletion, and other tabs that have them open.

use document::session::persistence::SessionEntry;

/// In place of the state of saving while the session is read-only.
pub const READ_ONLY: &str = "Read-only";
/// Another tab took the session over.
pub const TAKEN_OVER: &str = "Another tab has taken this session over: it is read-only here.";
/// Above the button that takes it over.
pub const OPEN_ELSEWHERE: &str = "Another tab works on this session; it is read-only here.";
/// The other tab does not answer.
pub const NOT_RELEASED: &str =
    "The other tab does not release it: close that tab, then open it again here.";
/// Before everything is deleted.
pub const DELETE_EVERYTHING: &str =
    "Delete every session and every clip copy kept here? Files you saved elsewhere stay.";

/// A session that another tab has open.
#[must_use]
pub fn open_elsewhere(name: &str) -> String {
    format!(
        "“{name}” is open in another tab: it is read-only here. To work on it here, take it over"
    )
}

/// The title of a session in the list.
#[must_use]
pub fn title(entry: &SessionEntry) -> String {
    match (entry.name.as_str(), entry.runner.as_str()) {
        ("", "") => "Without a name".to_owned(),
        ("", runner) => runner.to_owned(),
        (name, "") => name.to_owned(),
        (name, runner) => format!("{name}, {runner}"),
    }
}

/// The clips of a session and the date of its last save.
#[must_use]
pub fn details(entry: &SessionEntry, saved: &str) -> String {
    match entry.trials {
        1 => format!("1 clip, {saved}"),
        count => format!("{count} clips, {saved}"),
    }
}

/// On the button that opens a session of this title, for a screen reader.
#[must_use]
pub fn open(title: &str) -> String {
    format!("Open {title}")
}

/// Before a session is deleted.
#[must_use]
pub fn delete(title: &str) -> String {
    format!("Delete “{title}” from this device?")
}

/// On the button that deletes every session of a runner.
#[must_use]
pub fn delete_all_of(runner: &str) -> String {
    format!("Delete all of {runner}")
}

/// Before every session of a runner is deleted.
#[must_use]
pub fn delete_runner(runner: &str) -> String {
    format!("Delete every session of “{runner}” from this device?")
}

/// The space that the browser offers.
#[must_use]
pub fn space(used_bytes: f64, offered_bytes: f64) -> String {
    format!(
        "{:.1} MB used of the {:.0} MB this browser offers.",
        used_bytes / 1e6,
        offered_bytes / 1e6
    )
}
