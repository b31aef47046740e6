//! The sessions on this device: each saved in one transaction, with checksums, two older texts and a backup copy.

mod backup;
mod database;
mod error;
mod local_storage;
pub mod locks;
pub mod opfs;
mod quota;
mod records;
mod tombstones;

pub use error::StorageError;
pub use quota::{Persistence, ask_to_persist, is_persisted, quota};
pub use tombstones::mark_deleted;

use crate::browser::session_id::new_session_id;
use document::session::Session;
use document::session::file::{self, FORMAT};
use document::session::persistence::{
    Recovered, Revision, SessionEntry, orphans, push, recover, with_backup,
};
use records::Records;

/// The sessions on this device, the one saved last first.
///
/// # Errors
/// If the browser stores nothing for the page.
pub async fn list() -> Result<Vec<SessionEntry>, StorageError> {
    let mut kept = all().await?;
    kept.sort_by(|a, b| b.saved_s.total_cmp(&a.saved_s));
    Ok(kept)
}

/// The sessions in the database, and those of which only a backup copy is left.
async fn all() -> Result<Vec<SessionEntry>, StorageError> {
    let in_database = index().await;
    let known = in_database.as_ref().map_or(&[][..], Vec::as_slice);
    let rest = backup::beside(known).await;
    match in_database {
        Err(reason) if rest.is_empty() => Err(reason),
        in_database => Ok(in_database.unwrap_or_default().into_iter().chain(rest).collect()),
    }
}

async fn index() -> Result<Vec<SessionEntry>, StorageError> {
    Records::to_read().await?.index().await
}

/// Saves a session: all of it, or the one saved before stays as it was. A deleted session stays deleted.
///
/// # Errors
/// If there is no room, a newer version has saved this session, or the browser stores nothing for the page.
pub async fn save(session: &Session) -> Result<(), StorageError> {
    let id = &session.id;
    if tombstones::is_deleted(id) {
        return Ok(());
    }
    let text = file::write(session);
    let known = in_database(id).await;
    let before = match &known {
        Ok((Some(entry), _)) => Some(entry.clone()),
        _ => backup::read(id).await.map(|copy| copy.entry),
    };
    if before.as_ref().is_some_and(|e| e.format > FORMAT) {
        return Err(StorageError::Newer);
    }
    // The device's clock may have been set back; a later save must not seem older.
    let saved_s = before.map_or(0.0, |e| e.saved_s).max(js_sys::Date::now() / 1000.0);
    let entry = SessionEntry::of(session, text.len() as u64, saved_s);
    let newest = Revision::new(text, saved_s);
    backup::write(&entry, &newest).await?;
    known?;
    if tombstones::is_deleted(id) {
        return backup::forget(id).await;
    }
    let records = Records::to_write().await?;
    if records.entry(id).await?.is_some_and(|e| e.format > FORMAT) {
        return Err(StorageError::Newer);
    }
    let now = push(records.revisions(id).await?, newest.clone());
    records.put(&entry, &now).await?;
    records.finish().await?;
    // Last, and only if there was room for the others.
    local_storage::write(&entry, &newest);
    Ok(())
}

/// A session in the database.
async fn in_database(id: &str) -> Result<(Option<SessionEntry>, Vec<Revision>), StorageError> {
    let records = Records::to_read().await?;
    Ok((records.entry(id).await?, records.revisions(id).await?))
}

/// A session in the database and in its backup copy, the newest text first.
async fn kept(id: &str) -> Result<(Option<SessionEntry>, Vec<Revision>), StorageError> {
    let in_database = in_database(id).await;
    let copy = backup::read(id).await;
    let (entry, revisions) = match in_database {
        Err(reason) if copy.is_none() => return Err(reason),
        in_database => in_database.unwrap_or_default(),
    };
    let (of_copy, newest) = copy.map(|c| (c.entry, c.newest)).unzip();
    Ok((entry.or(of_copy), with_backup(revisions, newest)))
}

/// A session that was saved here. If the last save is damaged, the one before is loaded, and the result says so.
///
/// # Errors
/// If nothing readable is saved under this id, or the browser does not answer.
pub async fn load(id: &str) -> Result<Recovered, StorageError> {
    // Leftovers only take room.
    let _ = backup::tidy(id).await;
    let (entry, revisions) = kept(id).await?;
    let name = entry.map(|e| e.name).filter(|n| !n.is_empty());
    Ok(recover(name.as_deref().unwrap_or("the session"), &revisions)?)
}

/// A session from a file, ready to be saved here. If another session is saved under its id, it gets a new id and a new
/// name, so that nothing is overwritten.
///
/// # Errors
/// If the browser stores nothing for the page.
pub async fn with_free_id(session: Session) -> Result<Session, StorageError> {
    let (_, revisions) = kept(&session.id).await?;
    let same = revisions.first().is_none_or(|newest| newest.text == file::write(&session));
    if same {
        tombstones::unmark(&session.id);
        return Ok(session);
    }
    let name = format!("{} (from a file)", session.name).trim_start().to_owned();
    Ok(Session { id: new_session_id(), name, ..session })
}

/// Deletes a session, and the copies of clips that no other session uses.
///
/// # Errors
/// If the browser does not answer; then nothing is deleted.
pub async fn delete(id: &str) -> Result<(), StorageError> {
    mark_deleted(id);
    delete_where(|kept| kept.id == id).await
}

/// Deletes every session of a runner, and the copies of clips that no other session uses.
///
/// # Errors
/// If the browser does not answer; then nothing is deleted.
pub async fn delete_runner(label: &str) -> Result<(), StorageError> {
    delete_where(|kept| kept.runner == label).await
}

async fn delete_where(goes: impl Fn(&SessionEntry) -> bool) -> Result<(), StorageError> {
    let (gone, rest): (Vec<_>, Vec<_>) = all().await?.into_iter().partition(goes);
    for kept in &gone {
        mark_deleted(&kept.id);
        // First, so that a deleted session does not come back from its copy.
        backup::forget(&kept.id).await?;
    }
    let records = Records::to_write().await?;
    for kept in &gone {
        records.remove(&kept.id).await?;
    }
    records.finish().await?;
    for fingerprint in orphans(&gone, &rest) {
        opfs::forget_clip(&fingerprint).await?;
    }
    Ok(())
}

/// Deletes everything that the page has stored, except the page itself.
///
/// # Errors
/// If something cannot be deleted; what came before it is gone.
pub async fn delete_everything() -> Result<(), StorageError> {
    backup::forget_all().await?;
    let records = Records::to_write().await?;
    records.clear().await?;
    records.finish().await?;
    opfs::forget_all_clips().await?;
    quota::clear_settings();
    quota::delete_caches().await
}
