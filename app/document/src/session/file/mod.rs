//! Session files: `{"format": 1, "made_with": "…", "session": {…}}`, written and, with suspicion, read.

mod error;
mod size_guard;

pub use error::FileError;

use super::{Session, Track, TrackSample, Trial, validation};
use serde::{Deserialize, Serialize};
use size_guard::Census;
use std::rc::Rc;

/// The format that is written.
pub const FORMAT: u64 = 1;
/// What is written of the maker.
pub const MADE_WITH: &str = concat!("Stride Ledger ", env!("CARGO_PKG_VERSION"));
/// The end of the name of a session file.
pub const ENDING: &str = ".stride.json";
/// Bytes of the largest file that is read. Chosen: the largest session that can be made fits.
pub const MAX_BYTES: u64 = 64 * 1024 * 1024;

/// A session file as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Read {
    /// The session.
    pub session: Session,
    /// Why it must not be saved over: a newer version made it. A sentence to show.
    pub read_only: Option<String>,
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
#[expect(clippy::expect_used, reason = "names of members are words and nothing else can fail")]
pub fn write(session: &Session) -> String {
    serde_json::to_string(&Written { format: FORMAT, made_with: MADE_WITH, session })
        .expect("a session has only words as names of members")
}

/// The name under which a session file is best saved: the session's, of plain letters.
#[must_use]
pub fn file_name(session: &Session) -> String {
    format!("{}{ENDING}", safe_stem(&session.name))
}

/// The plain letters of a name, for the beginning of a file's name.
#[must_use]
pub fn safe_stem(name: &str) -> String {
    let plain = |c: char| if c.is_alphanumeric() || c == '-' { c } else { ' ' };
    let words: String = name.chars().take(60).map(plain).collect();
    let stem = words.split_whitespace().collect::<Vec<_>>().join("-");
    if stem.is_empty() { "session".into() } else { stem }
}

/// Whether a file of this size is worth reading, asked before it is read.
///
/// # Errors
/// When it is empty or larger than any session.
pub fn check_size(name: &str, size_bytes: u64) -> Result<(), FileError> {
    match size_bytes {
        0 => Err(FileError::Empty { name: name.to_owned() }),
        n if n > MAX_BYTES => Err(FileError::TooLarge { name: name.to_owned() }),
        _ => Ok(()),
    }
}

/// The session in the text of a file. Nothing in the text is trusted: sizes are counted before
/// anything is held, and numbers, lengths and times are checked.
///
/// # Errors
/// A sentence that names the file, the reason and what to do.
pub fn read(name: &str, text: &str) -> Result<Read, FileError> {
    let text = text.trim_start_matches('\u{feff}');
    check_size(name, if text.trim().is_empty() { 0 } else { text.len() as u64 })?;
    let foreign = || FileError::NotASession { name: name.to_owned() };
    let ours = text.trim_start().starts_with('{') && text.contains("\"made_with\"");
    Census::take(text).map_err(|e| if ours { FileError::broken(name, &e) } else { foreign() })?;
    let head: Head = serde_json::from_str(text).map_err(|_| foreign())?;
    match head.format {
        0 => Err(foreign()),
        FORMAT => Ok(Read { session: body(name, text)?, read_only: None }),
        _ => newer(name, text, &head.made_with),
    }
}

fn body(name: &str, text: &str) -> Result<Session, FileError> {
    let body: Body = serde_json::from_str(text).map_err(|e| FileError::broken(name, &e))?;
    let mut session = body.session;
    validation::session(&session)
        .map_err(|reason| FileError::Unsound { name: name.to_owned(), reason })?;
    session.trials.iter_mut().for_each(show_keyframes);
    Ok(session)
}

/// A newer file is shown if this version can make sense of it, and never written over.
fn newer(name: &str, text: &str, made_with: &str) -> Result<Read, FileError> {
    let made_with: String = made_with.chars().take(60).collect();
    match body(name, text) {
        Ok(session) => Ok(Read {
            session,
            read_only: Some(format!(
                "“{name}” was made by a newer version ({made_with}): it is shown but not changed. \
                 Reload this page while online to get the newer version"
            )),
        }),
        Err(_) => Err(FileError::Newer { name: name.to_owned(), made_with }),
    }
}

/// A marker that a person placed is where they placed it, whatever the samples say.
fn show_keyframes(trial: &mut Rc<Trial>) {
    if trial.tracks.values().all(|t| shows_keyframes(t)) {
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

fn shows_keyframes(track: &Track) -> bool {
    track.keyframes.iter().all(|(f, at)| track.sample(*f) == Some(TrackSample::placed(*at)))
}
