//! Sessions on this device: saved in one transaction each, three generations deep, with checksums.

mod buried;
mod database;
mod error;
pub mod locks;
mod records;
mod room;

pub use error::StorageError;
pub(in crate::browser) use room::manager;
pub use room::{Persistence, Room, ask_to_persist, is_persisted, room};

pub use buried::bury;

use crate::browser::{opfs, random_name};
use crate::session::Session;
use crate::session::file::{self, FORMAT};
use crate::session::keep::{Generation, Kept, Recovered, orphans, push, recover};
use records::Records;

/// The sessions on this device, the one saved last first.
///
/// # Errors
/// When the browser does not let the page keep anything.
pub async fn list() -> Result<Vec<Kept>, StorageError> {
    let records = Records::to_read().await?;
    let mut kept = records.shelf().await?;
    kept.sort_by(|a, b| b.saved_s.total_cmp(&a.saved_s));
    Ok(kept)
}

/// Saves a session: either wholly, or the one saved before stays as it was. A session that was
/// deleted meanwhile stays deleted.
///
/// # Errors
/// When there is no room, when a newer version has saved this session, or when the browser does
/// not let the page keep anything.
pub async fn save(session: &Session) -> Result<(), StorageError> {
    if buried::is_buried(&session.id) {
        return Ok(());
    }
    let text = file::write(session);
    let saved_s = js_sys::Date::now() / 1000.0;
    let entry = Kept::of(session, text.len() as u64, saved_s);
    let records = Records::to_write().await?;
    if records.entry(&session.id).await?.is_some_and(|e| e.format > FORMAT) {
        return Err(StorageError::Newer);
    }
    let before = records.generations(&session.id).await?;
    let now = push(before, Generation::new(text, saved_s));
    records.put(&entry, &now).await?;
    records.finish().await
}

/// A session that was saved here. If what was saved last is damaged, it is the one saved before,
/// and the answer says so.
///
/// # Errors
/// When nothing readable is kept under this name, or the browser does not answer.
pub async fn load(id: &str) -> Result<Recovered, StorageError> {
    let records = Records::to_read().await?;
    let entry = records.entry(id).await?;
    let name = entry.map(|e| e.name).filter(|n| !n.is_empty());
    let generations = records.generations(id).await?;
    Ok(recover(name.as_deref().unwrap_or("the session"), &generations)?)
}

/// A session that comes from a file, as it can be kept here: as it is, or, where something else is
/// kept under its name, under a new name beside it, so that nothing already here is lost.
///
/// # Errors
/// When the browser does not let the page keep anything.
pub async fn beside_what_is_kept(session: Session) -> Result<Session, StorageError> {
    let kept = Records::to_read().await?.generations(&session.id).await?;
    let same = kept.first().is_none_or(|newest| newest.text == file::write(&session));
    if same {
        buried::unbury(&session.id);
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

async fn delete_where(goes: impl Fn(&Kept) -> bool) -> Result<(), StorageError> {
    let records = Records::to_write().await?;
    let (gone, rest): (Vec<_>, Vec<_>) = records.shelf().await?.into_iter().partition(goes);
    for kept in &gone {
        bury(&kept.id);
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
    let records = Records::to_write().await?;
    records.clear().await?;
    records.finish().await?;
    opfs::forget_all_clips().await?;
    room::clear_settings();
    room::delete_caches().await
}
