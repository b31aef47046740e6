//! Copies of the sessions saved last in the browser's local storage, as many as fit.
//!
//! A browser that runs short of room clears a page's database and files, unless it has promised to keep them. Chromium 156
//! does so as soon as a write fails. It spares local storage, unless it is restarted on a full disk.

use document::session::persistence::{
    BackupCopy, Revision, SessionEntry, read_backup, write_backup,
};
use web_sys::Storage;

/// Beginning of the keys of the copies.
const KEY: &str = "session-";
/// Chosen: local storage holds about five million characters for all settings of a page, and blocks the page while it writes.
const MOST_BYTES: usize = 2_000_000;

fn store() -> Option<Storage> {
    web_sys::window()?.local_storage().ok()?
}

fn key(id: &str) -> String {
    format!("{KEY}{id}")
}

/// Writes the newest text of a session. Without room, the sessions saved longest ago go first. A text that is too long is
/// not written.
pub(super) fn write(kept: &SessionEntry, newest: &Revision) {
    let Some(store) = store() else { return };
    let (key, text) = (key(&kept.id), write_backup(kept, newest));
    let fits = text.len() <= MOST_BYTES;
    while fits && store.set_item(&key, &text).is_err() {
        let others = all().into_iter().filter(|k| k.id != kept.id);
        let Some(oldest) = others.min_by(|a, b| a.saved_s.total_cmp(&b.saved_s)) else { break };
        forget(&oldest.id);
    }
    // This copy must not be older than the others.
    if read(&kept.id).is_none_or(|copy| copy.newest != *newest) {
        forget(&kept.id);
    }
}

/// The copy of a session, if there is an intact one.
pub(super) fn read(id: &str) -> Option<BackupCopy> {
    let text = store()?.get_item(&key(id)).ok()??;
    read_backup(&text).filter(|copy| copy.entry.id == id)
}

/// The entries of all copies.
pub(super) fn all() -> Vec<SessionEntry> {
    let Some(store) = store() else { return Vec::new() };
    let keys = (0..store.length().unwrap_or(0)).filter_map(|at| store.key(at).ok().flatten());
    keys.filter_map(|key| read(key.strip_prefix(KEY)?)).map(|copy| copy.entry).collect()
}

/// Deletes the copy of a session, if there is one.
pub(super) fn forget(id: &str) {
    if let Some(store) = store() {
        // Removing an item never fails.
        let _ = store.remove_item(&key(id));
    }
}
