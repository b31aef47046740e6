//! Copies of clips on this device, made only when a person says so, each under its fingerprint.

use super::storage::StorageError;
use super::storage::manager;
use js_sys::{Array, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    DomException, File, FileSystemDirectoryHandle, FileSystemFileHandle,
    FileSystemGetDirectoryOptions, FileSystemGetFileOptions, FileSystemRemoveOptions,
    FileSystemWritableFileStream,
};

const FOLDER: &str = "clips";

/// Whether this browser can keep copies of clips.
pub async fn available() -> bool {
    let writes = || {
        let class = Reflect::get(&js_sys::global(), &"FileSystemFileHandle".into()).ok()?;
        let methods = Reflect::get(&class, &"prototype".into()).ok()?;
        Reflect::has(&methods, &"createWritable".into()).ok()
    };
    writes() == Some(true) && root().await.is_ok()
}

/// Keeps a copy of a clip: all of it, or none.
///
/// # Errors
/// When there is no room, or the browser keeps no files.
pub async fn keep_clip(fingerprint: &str, clip: &File) -> Result<(), StorageError> {
    let options = FileSystemGetFileOptions::new();
    options.set_create(true);
    let folder = folder().await?;
    let name = checked(fingerprint)?;
    let handle = folder.get_file_handle_with_options(name, &options);
    let handle: FileSystemFileHandle = wait(handle).await?;
    let outcome = copy(&handle, clip).await;
    if outcome.is_err() {
        // The empty file that stands for the copy must not be taken for it.
        let _ = JsFuture::from(folder.remove_entry(name)).await;
    }
    outcome
}

/// Writes beside the file; the browser puts it in its place when all of it is there.
async fn copy(handle: &FileSystemFileHandle, clip: &File) -> Result<(), StorageError> {
    let stream: FileSystemWritableFileStream = wait(handle.create_writable()).await?;
    let failed = |e: JsValue| StorageError::from_js(&e);
    let written = match stream.write_with_blob(clip) {
        Ok(promise) => JsFuture::from(promise).await,
        Err(thrown) => Err(thrown),
    };
    if let Err(thrown) = written {
        let _ = JsFuture::from(stream.abort()).await;
        return Err(failed(thrown));
    }
    JsFuture::from(stream.close()).await.map(|_| ()).map_err(failed)
}

/// The kept copy of a clip under the name it had, if there is one.
pub async fn kept_clip(fingerprint: &str, name: &str) -> Option<File> {
    let folder = folder().await.ok()?;
    let handle: FileSystemFileHandle =
        wait(folder.get_file_handle(checked(fingerprint).ok()?)).await.ok()?;
    let file: File = wait(handle.get_file()).await.ok()?;
    let renamed = File::new_with_blob_sequence(&Array::of1(&file), name).ok()?;
    (renamed.size() > 0.0).then_some(renamed)
}

/// Deletes the copy of a clip, if there is one.
///
/// # Errors
/// When the browser cannot delete it, for instance while another page reads it.
pub async fn forget_clip(fingerprint: &str) -> Result<(), StorageError> {
    let Ok(folder) = folder().await else {
        return Ok(());
    };
    settled(JsFuture::from(folder.remove_entry(checked(fingerprint)?)).await)
}

/// Deletes every copy.
///
/// # Errors
/// When the browser cannot delete them.
pub async fn forget_all_clips() -> Result<(), StorageError> {
    let Ok(root) = root().await else {
        return Ok(());
    };
    let options = FileSystemRemoveOptions::new();
    options.set_recursive(true);
    settled(JsFuture::from(root.remove_entry_with_options(FOLDER, &options)).await)
}

/// What is not there needs no deleting.
fn settled(outcome: Result<JsValue, JsValue>) -> Result<(), StorageError> {
    match outcome {
        Ok(_) => Ok(()),
        Err(thrown)
            if thrown.dyn_ref::<DomException>().is_some_and(|e| e.name() == "NotFoundError") =>
        {
            Ok(())
        }
        Err(thrown) => Err(StorageError::from_js(&thrown)),
    }
}

async fn root() -> Result<FileSystemDirectoryHandle, StorageError> {
    let manager = manager().ok_or(StorageError::Unavailable)?;
    let has = Reflect::has(&manager, &"getDirectory".into()).unwrap_or(false);
    if has { wait(manager.get_directory()).await } else { Err(StorageError::Unavailable) }
}

async fn folder() -> Result<FileSystemDirectoryHandle, StorageError> {
    let options = FileSystemGetDirectoryOptions::new();
    options.set_create(true);
    wait(root().await?.get_directory_handle_with_options(FOLDER, &options)).await
}

/// A fingerprint becomes a file name, so it must be one: it may come from a session file.
fn checked(fingerprint: &str) -> Result<&str, StorageError> {
    let hex = !fingerprint.is_empty() && fingerprint.chars().all(|c| c.is_ascii_hexdigit());
    let known = hex && fingerprint.len() <= 64;
    known.then_some(fingerprint).ok_or_else(|| StorageError::Browser("no fingerprint".into()))
}

async fn wait<T: JsCast>(promise: js_sys::Promise) -> Result<T, StorageError> {
    let value = JsFuture::from(promise).await.map_err(|e| StorageError::from_js(&e))?;
    value.dyn_into().map_err(|_| StorageError::Unavailable)
}
