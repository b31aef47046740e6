//! How much room the browser gives the page, whether it promises to keep it, and how it is emptied.

use super::StorageError;
use js_sys::{Array, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{StorageEstimate, StorageManager};

/// Beginning of the names of the caches that hold the page itself.
const SHELL_CACHES: &str = "stride-ledger-";

/// Whether the browser promises not to clear what is kept when the device runs short of room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Persistence {
    /// It does.
    Promised,
    /// It does not.
    NotPromised,
    /// It cannot be asked.
    Unknown,
}

impl Persistence {
    /// What to show.
    #[must_use]
    pub fn sentence(self) -> &'static str {
        match self {
            Self::Promised => "The browser keeps what is saved here until you delete it.",
            Self::NotPromised => {
                "The browser may clear what is saved here when the device runs short of room: save a session file of what you want to keep."
            }
            Self::Unknown => {
                "Whether the browser keeps what is saved here is not known: save a session file of what you want to keep."
            }
        }
    }
}

/// Room on this device.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// What the page takes.
    pub used_bytes: f64,
    /// What the browser would give it.
    pub offered_bytes: f64,
}

/// Asks the browser to promise to keep what is saved; it may ask the person in turn.
pub async fn ask_to_persist() -> Persistence {
    promise_of(|s| s.persist().ok()).await
}

/// Whether the browser has promised to keep what is saved; nobody is asked.
pub async fn is_persisted() -> Persistence {
    promise_of(|s| s.persisted().ok()).await
}

async fn promise_of(ask: impl Fn(&StorageManager) -> Option<Promise>) -> Persistence {
    let Some(promise) = manager().and_then(|s| ask(&s)) else {
        return Persistence::Unknown;
    };
    match JsFuture::from(promise).await.ok().and_then(|v| v.as_bool()) {
        Some(true) => Persistence::Promised,
        Some(false) => Persistence::NotPromised,
        None => Persistence::Unknown,
    }
}

/// How much room there is; none where the browser does not say.
pub async fn room() -> Option<Room> {
    let promise = manager()?.estimate().ok()?;
    let estimate: StorageEstimate = JsFuture::from(promise).await.ok()?.unchecked_into();
    Some(Room { used_bytes: estimate.get_usage()?, offered_bytes: estimate.get_quota()? })
}

/// The browser's store, where it has one: not every browser has, and none on an insecure page.
pub(in crate::browser) fn manager() -> Option<StorageManager> {
    let navigator = Reflect::get(&js_sys::global(), &"navigator".into()).ok()?;
    Reflect::get(&navigator, &"storage".into()).ok()?.dyn_into().ok()
}

/// Deletes every cache but those that hold the page itself.
pub(super) async fn delete_caches() -> Result<(), StorageError> {
    let Some(caches) = web_sys::window().and_then(|w| w.caches().ok()) else {
        return Ok(());
    };
    let failed = |e: JsValue| StorageError::from_js(&e);
    let names = JsFuture::from(caches.keys()).await.map_err(failed)?;
    for name in Array::from(&names).iter().filter_map(|n| n.as_string()) {
        if !name.starts_with(SHELL_CACHES) {
            JsFuture::from(caches.delete(&name)).await.map_err(failed)?;
        }
    }
    Ok(())
}

/// Forgets small settings such as the theme.
pub(super) fn clear_settings() {
    let window = web_sys::window();
    let stores = window.map(|w| [w.local_storage(), w.session_storage()]);
    for store in stores.into_iter().flatten().filter_map(|s| s.ok().flatten()) {
        // Clearing has no failure of its own.
        let _ = store.clear();
    }
}
