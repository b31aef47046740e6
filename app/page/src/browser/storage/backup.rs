//! A second copy of each session beside the database, a file each: a database that does not open, as in Chromium 156 on a
//! full disk, or that is damaged, takes nothing with it. And a third in the small store, as far as that reaches.
//!
//! The file is written first. The browser looks for room before it writes a file, and puts the file in its place when all of it is
//! there; where there is no room the database is not touched either.

use super::{StorageError, local_storage};
use crate::browser::opfs;
use document::session::persistence::{
    BackupCopy, Revision, SessionEntry, read_backup, write_backup,
};
use js_sys::Array;
use std::collections::BTreeSet;
use web_sys::Blob;

const FOLDER: &str = "sessions";

/// Keeps the newest text of a session: all of it, or the copy before stays.
///
/// # Errors
/// When there is no room. A browser that keeps no files has no copies, and that is no error.
pub(super) async fn keep(kept: &SessionEntry, newest: &Revision) -> Result<(), StorageError> {
    let Ok(folder) = opfs::folder(FOLDER).await else { return Ok(()) };
    let text = Array::of1(&write_backup(kept, newest).into());
    let Ok(content) = Blob::new_with_str_sequence(&text) else { return Ok(()) };
    match opfs::overwrite(&folder, name(&kept.id)?, &content).await {
        Err(StorageError::Full) => Err(StorageError::Full),
        // The database goes on alone.
        _ => Ok(()),
    }
}

/// The newer of the copies of a session that are whole, here and in the small store.
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

/// Entries of the list of those sessions that have a copy and are not `known`.
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
/// When the browser cannot delete them.
pub(super) async fn forget(id: &str) -> Result<(), StorageError> {
    local_storage::forget(id);
    tidy(id).await?;
    match opfs::folder(FOLDER).await {
        Ok(folder) => opfs::remove(&folder, name(id)?).await,
        Err(_) => Ok(()),
    }
}

/// Deletes what a page that was killed while it wrote left beside the copy: Chromium writes into `NAME.crswap` first.
///
/// # Errors
/// When the browser cannot delete it.
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
/// When the browser cannot delete them.
pub(super) async fn forget_all() -> Result<(), StorageError> {
    local_storage::all().iter().for_each(|kept| local_storage::forget(&kept.id));
    opfs::remove_folder(FOLDER).await
}

/// The name of a session is one of a file as well; it is looked at again, since it may come from a session file.
fn name(id: &str) -> Result<&str, StorageError> {
    let of_a_name = |c: char| c.is_ascii_alphanumeric() || c == '-';
    let known = (1..=64).contains(&id.len()) && id.chars().all(of_a_name);
    known.then_some(id).ok_or_else(|| StorageError::Browser("no name of a session".into()))
}
