//! Copies of the sessions saved last in the browser's small store of words, as many as fit there.
//!
//! A browser that runs short of room clears all that a page keeps, database and files alike, unless it has promised not to.
//! Chromium 156 does so as soon as anything cannot be written. This store it leaves alone, though not when it is started anew
//! on a full disk.

use document::session::persistence::{
    BackupCopy, Revision, SessionEntry, read_backup, write_backup,
};
use web_sys::Storage;

const KEY: &str = "session-";
/// Chosen: the store takes some five million letters, for a page's every setting, and holds the page up while it is written.
const MOST_BYTES: usize = 2_000_000;

fn store() -> Option<Storage> {
    web_sys::window()?.local_storage().ok()?
}

fn key(id: &str) -> String {
    format!("{KEY}{id}")
}

/// Keeps the newest text of a session, in place of those saved longest ago where there is no room; one that is too long is
/// not kept.
pub(super) fn keep(kept: &SessionEntry, newest: &Revision) {
    let Some(store) = store() else { return };
    let (key, text) = (key(&kept.id), write_backup(kept, newest));
    let fits = text.len() <= MOST_BYTES;
    while fits && store.set_item(&key, &text).is_err() {
        let others = all().into_iter().filter(|k| k.id != kept.id);
        let Some(oldest) = others.min_by(|a, b| a.saved_s.total_cmp(&b.saved_s)) else { break };
        forget(&oldest.id);
    }
    // What stands there must not be older than what is kept elsewhere.
    if read(&kept.id).is_none_or(|copy| copy.newest != *newest) {
        forget(&kept.id);
    }
}

/// The copy of a session, if there is one and it is whole.
pub(super) fn read(id: &str) -> Option<BackupCopy> {
    let text = store()?.get_item(&key(id)).ok()??;
    read_backup(&text).filter(|copy| copy.entry.id == id)
}

/// Entries of the list of all that is there.
pub(super) fn all() -> Vec<SessionEntry> {
    let Some(store) = store() else { return Vec::new() };
    let keys = (0..store.length().unwrap_or(0)).filter_map(|at| store.key(at).ok().flatten());
    keys.filter_map(|key| read(key.strip_prefix(KEY)?)).map(|copy| copy.entry).collect()
}

/// Deletes the copy of a session, if there is one.
pub(super) fn forget(id: &str) {
    if let Some(store) = store() {
        // Taking away has no failure of its own.
        let _ = store.remove_item(&key(id));
    }
}
