//! Session files: `{"format": 1, "made_with": "…", "session": {…}}`. Reading distrusts every byte.

mod size_guard;

use super::error::{Error, FileFault};
use super::model::Session;
use super::track::{Track, TrackSample};
use super::trial::Trial;
use super::validation;
use serde::{Deserialize, Serialize};
use size_guard::SizeGuard;
use std::rc::Rc;

/// The format that is written.
pub const FORMAT: u64 = 1;
/// The program and version that is written.
const MADE_WITH: &str = concat!("Stride Ledger ", env!("CARGO_PKG_VERSION"));
/// The end of the name of a session file.
const ENDING: &str = ".stride.json";
/// Largest file that is read. Chosen: the largest session that can be made fits.
const MAX_BYTES: u64 = 64 * 1024 * 1024;

/// The content of a session file.
#[derive(Clone, Debug, PartialEq)]
pub struct Read {
    /// The session.
    pub session: Session,
    /// Why it must not be changed or saved over; none if it may be.
    pub read_only: Option<NewerVersion>,
}

/// A newer version wrote the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewerVersion {
    /// File name.
    pub name: String,
    /// The version that wrote it.
    pub made_with: String,
}

#[derive(Serialize)]
struct Written<'a> {
    format: u64,
    made_with: &'a str,
    session: &'a Session,
}

#[derive(Deserialize)]
struct Head {
    format: u64,
    made_with: String,
}

#[derive(Deserialize)]
struct Body {
    session: Session,
}

/// The text of a session file.
#[must_use]
#[expect(clippy::expect_used, reason = "all keys are strings, and nothing else can fail")]
pub fn write(session: &Session) -> String {
    serde_json::to_string(&Written { format: FORMAT, made_with: MADE_WITH, session })
        .expect("a session has only strings as keys")
}

/// A file name for the session: its own name in plain letters.
#[must_use]
pub fn file_name(session: &Session) -> String {
    format!("{}{ENDING}", safe_stem(&session.name))
}

/// The letters and digits of a name, joined by hyphens: the stem of a file name.
#[must_use]
pub fn safe_stem(name: &str) -> String {
    let plain = |c: char| if c.is_alphanumeric() || c == '-' { c } else { ' ' };
    let spaced: String = name.chars().take(60).map(plain).collect();
    let stem = spaced.split_whitespace().collect::<Vec<_>>().join("-");
    if stem.is_empty() { "session".into() } else { stem }
}

/// Whether a file of this size is worth reading.
///
/// # Errors
/// When it is empty or larger than any session.
pub fn check_size(name: &str, size_bytes: u64) -> Result<(), Error> {
    match size_bytes {
        0 => Err(FileFault::Empty.of(name)),
        n if n > MAX_BYTES => Err(FileFault::TooLarge.of(name)),
        _ => Ok(()),
    }
}

/// The session in the text of a file. Nothing in the text is trusted: sizes are counted before anything is stored, and
/// numbers, lengths and times are checked.
///
/// # Errors
/// [`Error::File`] with the name of the file and what is wrong with it.
pub fn read(name: &str, text: &str) -> Result<Read, Error> {
    let text = text.trim_start_matches('\u{feff}');
    check_size(name, if text.trim().is_empty() { 0 } else { text.len() as u64 })?;
    let is_ours = text.trim_start().starts_with('{') && text.contains("\"made_with\"");
    SizeGuard::check(text).map_err(|complaint| {
        let fault = if is_ours { FileFault::broken(&complaint) } else { FileFault::NotASession };
        fault.of(name)
    })?;
    let head: Head = serde_json::from_str(text).map_err(|_| FileFault::NotASession.of(name))?;
    match head.format {
        0 => Err(FileFault::NotASession.of(name)),
        FORMAT => {
            Ok(Read { session: body(text).map_err(|fault| fault.of(name))?, read_only: None })
        }
        _ => newer(name, text, &head.made_with),
    }
}

fn body(text: &str) -> Result<Session, FileFault> {
    let body: Body = serde_json::from_str(text).map_err(|e| FileFault::broken(&e))?;
    let mut session = body.session;
    validation::session(&session).map_err(FileFault::Invalid)?;
    session.trials.iter_mut().for_each(restore_keyframes);
    Ok(session)
}

/// The file of a newer version is shown if this version can read it, and never saved over.
fn newer(name: &str, text: &str, made_with: &str) -> Result<Read, Error> {
    let made_with: String = made_with.chars().take(60).collect();
    match body(text) {
        Ok(session) => {
            let read_only = Some(NewerVersion { name: name.to_owned(), made_with });
            Ok(Read { session, read_only })
        }
        Err(_) => Err(FileFault::Newer { made_with }.of(name)),
    }
}

/// A marker stays where a person placed it, whatever the samples state.
fn restore_keyframes(trial: &mut Rc<Trial>) {
    if trial.tracks.values().all(|t| has_keyframes_in_samples(t)) {
        return;
    }
    for track in Rc::make_mut(trial).tracks.values_mut() {
        let track = Rc::make_mut(track);
        for (frame, at) in &track.keyframes {
            if let Some(slot) = track.samples.get_mut(*frame as usize) {
                *slot = Some(TrackSample::placed(*at));
            }
        }
    }
}

fn has_keyframes_in_samples(track: &Track) -> bool {
    track.keyframes.iter().all(|(f, at)| track.sample(*f) == Some(TrackSample::placed(*at)))
}
