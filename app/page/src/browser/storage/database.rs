//! The connection to the browser's database: opened once, and again if the browser closes it.

use super::error::StorageError;
use idb::{DatabaseEvent, Factory, ObjectStoreParams, Transaction, TransactionMode};
use js_sys::JsString;
use std::cell::RefCell;
use web_sys::{IdbDatabase, IdbTransactionDurability, IdbTransactionMode, IdbTransactionOptions};

const NAME: &str = "stride-ledger";
/// Raised when stores are added; a page of an older version then asks for a reload.
const VERSION: u32 = 1;
/// The entries of the list, by session id. Saved data has this name.
pub(super) const INDEX: &str = "shelf";
/// The texts, by session id.
pub(super) const TEXTS: &str = "texts";

thread_local! {
    static OPEN: RefCell<Option<IdbDatabase>> = const { RefCell::new(None) };
}

/// A transaction over both stores. One that writes is complete only once it is on the disk.
pub(super) async fn begin(mode: TransactionMode) -> Result<web_sys::IdbTransaction, StorageError> {
    let open = OPEN.with_borrow(Clone::clone);
    // A newer page or the browser may have closed the connection.
    if let Some(transaction) = open.and_then(|database| transaction(&database, mode).ok()) {
        return Ok(transaction);
    }
    let database = connect().await?;
    OPEN.set(Some(database.clone()));
    transaction(&database, mode)
}

fn transaction(
    database: &IdbDatabase,
    mode: TransactionMode,
) -> Result<web_sys::IdbTransaction, StorageError> {
    let options = IdbTransactionOptions::new();
    options.set_durability(IdbTransactionDurability::Strict);
    let mode = match mode {
        TransactionMode::ReadWrite => IdbTransactionMode::Readwrite,
        _ => IdbTransactionMode::Readonly,
    };
    let stores = [INDEX, TEXTS].map(JsString::from);
    database
        .transaction_with_str_sequence_and_mode_and_options(&stores, mode, &options)
        .map_err(|e| StorageError::from_js(&e))
}

async fn connect() -> Result<IdbDatabase, StorageError> {
    let mut request = Factory::new()?.open(NAME, Some(VERSION))?;
    request.on_upgrade_needed(|event| {
        // If a store cannot be made, the first transaction fails.
        if let Ok(database) = event.database() {
            for store in [INDEX, TEXTS] {
                let _ = database.create_object_store(store, ObjectStoreParams::new());
            }
        }
    });
    let mut database = request.await?;
    // A page of a newer version may continue. This one fails when it opens the database again.
    database.on_version_change(|event| {
        if let Ok(database) = event.database() {
            database.close();
        }
    });
    database.forget_callbacks();
    Ok(database.into())
}

/// Waits until a transaction is complete.
pub(super) async fn finish(transaction: web_sys::IdbTransaction) -> Result<(), StorageError> {
    let outcome = Transaction::from(transaction.clone()).await;
    match (outcome, transaction.error()) {
        (Ok(result), _) if result.is_committed() => Ok(()),
        (_, Some(exception)) => Err(StorageError::from_js(&exception)),
        (Err(error), None) => Err(error.into()),
        (Ok(_), None) => Err(StorageError::Browser("the save was aborted".into())),
    }
}
