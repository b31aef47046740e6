//! The page's quota, whether the browser promises to keep what is stored, and deleting everything.

use super::error::StorageError;
use js_sys::{Array, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{StorageEstimate, StorageManager};

/// Beginning of the names of the caches that hold the page itself.
const SHELL_CACHES: &str = "stride-ledger-";

/// Whether the browser promises to keep what is stored if the device runs short of room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Persistence {
    /// It does.
    Promised,
    /// It does not.
    NotPromised,
    /// The browser cannot be asked.
    Unknown,
}

/// The page's quota.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quota {
    /// Bytes that the page uses.
    pub used_bytes: f64,
    /// Bytes that the browser allows.
    pub offered_bytes: f64,
}

/// Asks the browser to keep what is stored. The browser may ask the person.
pub async fn ask_to_persist() -> Persistence {
    promise_of(|s| s.persist().ok()).await
}

/// Whether the browser has promised to keep what is stored. Asks nobody.
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

/// The page's quota; none if the browser does not report it.
pub async fn quota() -> Option<Quota> {
    let promise = manager()?.estimate().ok()?;
    let estimate: StorageEstimate = JsFuture::from(promise).await.ok()?.unchecked_into();
    Some(Quota { used_bytes: estimate.get_usage()?, offered_bytes: estimate.get_quota()? })
}

/// The browser's storage manager; some browsers have none, and none has it on an insecure page.
pub(super) fn manager() -> Option<StorageManager> {
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

/// Deletes settings such as the theme.
pub(super) fn clear_settings() {
    let window = web_sys::window();
    let stores = window.map(|w| [w.local_storage(), w.session_storage()]);
    for store in stores.into_iter().flatten().filter_map(|s| s.ok().flatten()) {
        // Clearing never fails.
        let _ = store.clear();
    }
}
