//! Backup copies of the sessions beside the database: a file for each session, and as many as fit in local storage.
//!
//! They survive a database that is damaged or does not open, as in Chromium 156 on a full disk. The file is written first:
//! the browser checks for room before it writes, and replaces the old file only once the new one is complete. Without room
//! the database is not touched either.

use super::error::StorageError;
use super::{local_storage, opfs};
use document::session::persistence::{
    BackupCopy, Revision, SessionEntry, read_backup, write_backup,
};
use js_sys::Array;
use std::collections::BTreeSet;
use web_sys::Blob;

/// The folder of the copies.
const FOLDER: &str = "sessions";

/// Writes the newest text of a session: all of it, or the old copy stays.
///
/// # Errors
/// `Full` if there is no room. A browser that stores no files has no copies, and that is no error.
pub(super) async fn write(kept: &SessionEntry, newest: &Revision) -> Result<(), StorageError> {
    let Ok(folder) = opfs::folder(FOLDER).await else { return Ok(()) };
    let text = Array::of1(&write_backup(kept, newest).into());
    let Ok(content) = Blob::new_with_str_sequence(&text) else { return Ok(()) };
    match opfs::overwrite(&folder, name(&kept.id)?, &content).await {
        Err(StorageError::Full) => Err(StorageError::Full),
        // The database serves alone.
        _ => Ok(()),
    }
}

/// The newer of the intact copies of a session, in its file and in local storage.
pub(super) async fn read(id: &str) -> Option<BackupCopy> {
    let both = [in_file(id).await, local_storage::read(id)];
    both.into_iter().flatten().reduce(|a, b| if b.entry.saved_s > a.entry.saved_s { b } else { a })
}

async fn in_file(id: &str) -> Option<BackupCopy> {
    let folder = opfs::folder(FOLDER).await.ok()?;
    let file = opfs::file(&folder, name(id).ok()?).await?;
    let text = opfs::text(&file).await?;
    read_backup(&text).filter(|copy| copy.entry.id == id)
}

/// The entries of sessions that have a copy and are not `known`.
pub(super) async fn beside(known: &[SessionEntry]) -> Vec<SessionEntry> {
    let mut ids: BTreeSet<String> = local_storage::all().into_iter().map(|kept| kept.id).collect();
    if let Ok(folder) = opfs::folder(FOLDER).await {
        ids.extend(opfs::names(&folder).await);
    }
    let mut found = Vec::new();
    for id in ids.iter().filter(|id| known.iter().all(|k| k.id != **id)) {
        found.extend(read(id).await.map(|copy| copy.entry));
    }
    found
}

/// Deletes the copies of a session, if there are any.
///
/// # Errors
/// If the browser cannot delete them.
pub(super) async fn forget(id: &str) -> Result<(), StorageError> {
    local_storage::forget(id);
    tidy(id).await?;
    match opfs::folder(FOLDER).await {
        Ok(folder) => opfs::remove(&folder, name(id)?).await,
        Err(_) => Ok(()),
    }
}

/// Deletes the leftovers of a page that was killed while it wrote: Chromium writes into `NAME.crswap` first.
///
/// # Errors
/// If the browser cannot delete them.
pub(super) async fn tidy(id: &str) -> Result<(), StorageError> {
    let Ok(folder) = opfs::folder(FOLDER).await else { return Ok(()) };
    let begins = format!("{}.", name(id)?);
    for rest in opfs::names(&folder).await.into_iter().filter(|n| n.starts_with(&begins)) {
        opfs::remove(&folder, &rest).await?;
    }
    Ok(())
}

/// Deletes every copy.
///
/// # Errors
/// If the browser cannot delete them.
pub(super) async fn forget_all() -> Result<(), StorageError> {
    local_storage::all().iter().for_each(|kept| local_storage::forget(&kept.id));
    opfs::remove_folder(FOLDER).await
}

/// A session id that can be a file name. It is checked because it may come from a session file.
fn name(id: &str) -> Result<&str, StorageError> {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
    let is_valid = (1..=64).contains(&id.len()) && id.chars().all(is_plain);
    is_valid.then_some(id).ok_or(StorageError::InvalidName)
}
