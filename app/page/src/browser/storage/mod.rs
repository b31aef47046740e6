//! Sessions on this device: saved in one transaction each, three generations deep, with checksums, and a copy of the newest
//! beside the database.

mod backup;
mod database;
mod error;
mod local_storage;
pub mod locks;
mod quota;
mod records;
mod tombstones;

pub use error::StorageError;
pub(in crate::browser) use quota::manager;
pub use quota::{ask_to_persist, is_persisted, room};

pub use tombstones::bury;

use crate::browser::{opfs, random_name};
use document::session::Session;
use document::session::file::{self, FORMAT};
use document::session::persistence::{
    Recovered, Revision, SessionEntry, orphans, push, recover, with_backup,
};
use records::Records;

/// The sessions on this device, the one saved last first.
///
/// # Errors
/// When the browser does not let the page keep anything.
pub async fn list() -> Result<Vec<SessionEntry>, StorageError> {
    let mut kept = all().await?;
    kept.sort_by(|a, b| b.saved_s.total_cmp(&a.saved_s));
    Ok(kept)
}

/// What the database knows, and what only a copy beside it is left of.
async fn all() -> Result<Vec<SessionEntry>, StorageError> {
    let in_database = shelf().await;
    let known = in_database.as_ref().map_or(&[][..], Vec::as_slice);
    let rest = backup::beside(known).await;
    match in_database {
        Err(reason) if rest.is_empty() => Err(reason),
        in_database => Ok(in_database.unwrap_or_default().into_iter().chain(rest).collect()),
    }
}

async fn shelf() -> Result<Vec<SessionEntry>, StorageError> {
    Records::to_read().await?.shelf().await
}

/// Saves a session: either wholly, or the one saved before stays as it was. A session that was
/// deleted meanwhile stays deleted.
///
/// # Errors
/// When there is no room, when a newer version has saved this session, or when the browser does
/// not let the page keep anything.
pub async fn save(session: &Session) -> Result<(), StorageError> {
    let id = &session.id;
    if tombstones::is_buried(id) {
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
    // The device's clock may have been put back; what is saved later must not seem older.
    let saved_s = before.map_or(0.0, |e| e.saved_s).max(js_sys::Date::now() / 1000.0);
    let entry = SessionEntry::of(session, text.len() as u64, saved_s);
    let newest = Revision::new(text, saved_s);
    backup::keep(&entry, &newest).await?;
    known?;
    if tombstones::is_buried(id) {
        return backup::forget(id).await;
    }
    let records = Records::to_write().await?;
    if records.entry(id).await?.is_some_and(|e| e.format > FORMAT) {
        return Err(StorageError::Newer);
    }
    let now = push(records.generations(id).await?, newest.clone());
    records.put(&entry, &now).await?;
    records.finish().await?;
    // Last, and only when there was room for the others.
    local_storage::keep(&entry, &newest);
    Ok(())
}

/// What the database has of a session.
async fn in_database(id: &str) -> Result<(Option<SessionEntry>, Vec<Revision>), StorageError> {
    let records = Records::to_read().await?;
    Ok((records.entry(id).await?, records.generations(id).await?))
}

/// What is kept of a session, the newest text first.
async fn kept(id: &str) -> Result<(Option<SessionEntry>, Vec<Revision>), StorageError> {
    let in_database = in_database(id).await;
    let copy = backup::read(id).await;
    let (entry, generations) = match in_database {
        Err(reason) if copy.is_none() => return Err(reason),
        in_database => in_database.unwrap_or_default(),
    };
    let (of_copy, newest) = copy.map(|c| (c.entry, c.newest)).unzip();
    Ok((entry.or(of_copy), with_backup(generations, newest)))
}

/// A session that was saved here. If what was saved last is damaged, it is the one saved before,
/// and the answer says so.
///
/// # Errors
/// When nothing readable is kept under this name, or the browser does not answer.
pub async fn load(id: &str) -> Result<Recovered, StorageError> {
    // What is left over only takes room.
    let _ = backup::tidy(id).await;
    let (entry, generations) = kept(id).await?;
    let name = entry.map(|e| e.name).filter(|n| !n.is_empty());
    Ok(recover(name.as_deref().unwrap_or("the session"), &generations)?)
}

/// A session that comes from a file, as it can be kept here: as it is, or, where something else is
/// kept under its name, under a new name beside it, so that nothing already here is lost.
///
/// # Errors
/// When the browser does not let the page keep anything.
pub async fn beside_what_is_kept(session: Session) -> Result<Session, StorageError> {
    let (_, generations) = kept(&session.id).await?;
    let same = generations.first().is_none_or(|newest| newest.text == file::write(&session));
    if same {
        tombstones::unbury(&session.id);
        return Ok(session);
    }
    let name = format!("{} (from a file)", session.name).trim_start().to_owned();
    Ok(Session { id: random_name(), name, ..session })
}

/// Deletes a session, and copies of clips that no other session has.
///
/// # Errors
/// When the browser does not answer; then everything is as it was.
pub async fn delete(id: &str) -> Result<(), StorageError> {
    bury(id);
    delete_where(|kept| kept.id == id).await
}

/// Deletes every session of a runner, and copies of clips that no other session has.
///
/// # Errors
/// When the browser does not answer; then everything is as it was.
pub async fn delete_runner(label: &str) -> Result<(), StorageError> {
    delete_where(|kept| kept.runner == label).await
}

async fn delete_where(goes: impl Fn(&SessionEntry) -> bool) -> Result<(), StorageError> {
    let (gone, rest): (Vec<_>, Vec<_>) = all().await?.into_iter().partition(goes);
    for kept in &gone {
        bury(&kept.id);
        // First, so that what is gone from the list does not come back from its copy.
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

/// Deletes all that the page has ever kept, but for the page itself.
///
/// # Errors
/// When something could not be deleted; what came before it is gone.
pub async fn delete_everything() -> Result<(), StorageError> {
    backup::forget_all().await?;
    let records = Records::to_write().await?;
    records.clear().await?;
    records.finish().await?;
    opfs::forget_all_clips().await?;
    quota::clear_settings();
    quota::delete_caches().await
}
