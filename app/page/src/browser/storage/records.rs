//! One transaction over the database: entries of the list, and texts with their checksums.

use super::database::{self, INDEX, TEXTS};
use super::error::StorageError;
use document::session::persistence::{Revision, SessionEntry};
use idb::{ObjectStore, Query, Transaction, TransactionMode};
use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};

/// A transaction that runs. Dropped without `finish`, it changes nothing: an error must not leave half a save behind.
pub(super) struct Records {
    finished: bool,
    transaction: web_sys::IdbTransaction,
    index: ObjectStore,
    texts: ObjectStore,
}

impl Records {
    pub(super) async fn to_read() -> Result<Self, StorageError> {
        Self::begin(TransactionMode::ReadOnly).await
    }

    pub(super) async fn to_write() -> Result<Self, StorageError> {
        Self::begin(TransactionMode::ReadWrite).await
    }

    async fn begin(mode: TransactionMode) -> Result<Self, StorageError> {
        let transaction = database::begin(mode).await?;
        let stores = Transaction::from(transaction.clone());
        let (index, texts) = (stores.object_store(INDEX)?, stores.object_store(TEXTS)?);
        Ok(Self { finished: false, transaction, index, texts })
    }

    /// Every readable entry of the list.
    pub(super) async fn index(&self) -> Result<Vec<SessionEntry>, StorageError> {
        let all = self.index.get_all(None, None)?.await?;
        Ok(all.iter().filter_map(entry).collect())
    }

    pub(super) async fn entry(&self, id: &str) -> Result<Option<SessionEntry>, StorageError> {
        let found = self.index.get(Query::Key(JsValue::from(id)))?.await?;
        Ok(found.as_ref().and_then(entry))
    }

    /// The texts of a session, the newest first.
    pub(super) async fn revisions(&self, id: &str) -> Result<Vec<Revision>, StorageError> {
        let found = self.texts.get(Query::Key(JsValue::from(id)))?.await?;
        let all = found.and_then(|v| v.dyn_into::<Array>().ok()).unwrap_or_default();
        Ok(all.iter().filter_map(|v| revision(&v)).collect())
    }

    pub(super) async fn put(
        &self,
        kept: &SessionEntry,
        all: &[Revision],
    ) -> Result<(), StorageError> {
        let entry =
            serde_json::to_string(kept).map_err(|e| StorageError::Browser(e.to_string()))?;
        let texts: Array = all.iter().map(columns).collect();
        let key = JsValue::from(&kept.id);
        self.texts.put(&texts, Some(&key))?.await?;
        self.index.put(&JsValue::from(entry), Some(&key))?.await?;
        Ok(())
    }

    pub(super) async fn remove(&self, id: &str) -> Result<(), StorageError> {
        let key = JsValue::from(id);
        self.texts.delete(Query::Key(key.clone()))?.await?;
        self.index.delete(Query::Key(key))?.await?;
        Ok(())
    }

    pub(super) async fn clear(&self) -> Result<(), StorageError> {
        self.texts.clear()?.await?;
        self.index.clear()?.await?;
        Ok(())
    }

    /// Waits until everything is on the disk. If anything fails, nothing is written.
    pub(super) async fn finish(mut self) -> Result<(), StorageError> {
        self.finished = true;
        database::finish(self.transaction.clone()).await
    }
}

impl Drop for Records {
    fn drop(&mut self) {
        if !self.finished {
            // Fails only if it is complete already.
            let _ = self.transaction.abort();
        }
    }
}

fn entry(value: &JsValue) -> Option<SessionEntry> {
    serde_json::from_str(&value.as_string()?).ok()
}

fn revision(value: &JsValue) -> Option<Revision> {
    let columns = value.dyn_ref::<Array>()?;
    Some(Revision {
        saved_s: columns.get(0).as_f64()?,
        sha256: columns.get(1).as_string()?,
        text: columns.get(2).as_string()?,
    })
}

fn columns(revision: &Revision) -> JsValue {
    let Revision { saved_s, sha256, text } = revision;
    Array::of3(&JsValue::from(*saved_s), &JsValue::from(sha256), &JsValue::from(text)).into()
}
