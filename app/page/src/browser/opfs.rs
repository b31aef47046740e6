//! Files on this device: copies of clips, made only when a person says so, each under its fingerprint.

use super::storage::StorageError;
use super::storage::manager;
use js_sys::{Array, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, DomException, File, FileSystemDirectoryHandle, FileSystemFileHandle,
    FileSystemGetDirectoryOptions, FileSystemGetFileOptions, FileSystemRemoveOptions,
    FileSystemWritableFileStream,
};

const CLIPS: &str = "clips";

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
    let (folder, name) = (folder(CLIPS).await?, checked(fingerprint)?);
    let outcome = overwrite(&folder, name, clip).await;
    if outcome.is_err() {
        // The empty file that stands for the copy must not be taken for it.
        let _ = JsFuture::from(folder.remove_entry(name)).await;
    }
    outcome
}

/// The kept copy of a clip under the name it had, if there is one.
pub async fn kept_clip(fingerprint: &str, name: &str) -> Option<File> {
    let file = file(&folder(CLIPS).await.ok()?, checked(fingerprint).ok()?).await?;
    let renamed = File::new_with_blob_sequence(&Array::of1(&file), name).ok()?;
    (renamed.size() > 0.0).then_some(renamed)
}

/// Deletes the copy of a clip, if there is one.
///
/// # Errors
/// When the browser cannot delete it, for instance while another page reads it.
pub async fn forget_clip(fingerprint: &str) -> Result<(), StorageError> {
    match folder(CLIPS).await {
        Ok(folder) => remove(&folder, checked(fingerprint)?).await,
        Err(_) => Ok(()),
    }
}

/// Deletes every copy.
///
/// # Errors
/// When the browser cannot delete them.
pub async fn forget_all_clips() -> Result<(), StorageError> {
    remove_folder(CLIPS).await
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

/// A folder of this name, made where there is none.
pub(super) async fn folder(name: &str) -> Result<FileSystemDirectoryHandle, StorageError> {
    let options = FileSystemGetDirectoryOptions::new();
    options.set_create(true);
    wait(root().await?.get_directory_handle_with_options(name, &options)).await
}

/// The names of what is in a folder.
pub(super) async fn names(folder: &FileSystemDirectoryHandle) -> Vec<String> {
    let (all, mut names) = (folder.keys(), Vec::new());
    while let Ok(promise) = all.next() {
        let Ok(step) = JsFuture::from(promise).await else { break };
        let value = Reflect::get(&step, &"value".into()).ok().and_then(|v| v.as_string());
        let Some(name) = value else { break };
        names.push(name);
    }
    names
}

/// The file of this name, if there is one.
pub(super) async fn file(folder: &FileSystemDirectoryHandle, name: &str) -> Option<File> {
    let handle: FileSystemFileHandle = wait(folder.get_file_handle(name)).await.ok()?;
    wait(handle.get_file()).await.ok()
}

/// What stands in a file.
pub(super) async fn text(file: &File) -> Option<String> {
    JsFuture::from(file.text()).await.ok()?.as_string()
}

/// Writes beside the file; the browser puts it in its place when all of it is there.
///
/// # Errors
/// When there is no room, or the browser cannot write files.
pub(super) async fn overwrite(
    folder: &FileSystemDirectoryHandle,
    name: &str,
    content: &Blob,
) -> Result<(), StorageError> {
    written(folder, name, content).await.map_err(|e| {
        // Chromium 156 says so where the disk is full and the file beside cannot be made.
        let no_room = e.dyn_ref::<DomException>().is_some_and(|e| e.name() == "InvalidStateError");
        if no_room { StorageError::Full } else { StorageError::from_js(&e) }
    })
}

async fn written(
    folder: &FileSystemDirectoryHandle,
    name: &str,
    content: &Blob,
) -> Result<(), JsValue> {
    let options = FileSystemGetFileOptions::new();
    options.set_create(true);
    let handle = JsFuture::from(folder.get_file_handle_with_options(name, &options)).await?;
    let handle: FileSystemFileHandle = handle.dyn_into()?;
    let stream: FileSystemWritableFileStream =
        JsFuture::from(handle.create_writable()).await?.dyn_into()?;
    let outcome = match stream.write_with_blob(content) {
        Ok(promise) => JsFuture::from(promise).await,
        Err(thrown) => Err(thrown),
    };
    if let Err(thrown) = outcome {
        let _ = JsFuture::from(stream.abort()).await;
        return Err(thrown);
    }
    JsFuture::from(stream.close()).await.map(|_| ())
}

/// Deletes a file, if it is there.
///
/// # Errors
/// When the browser cannot.
pub(super) async fn remove(
    folder: &FileSystemDirectoryHandle,
    name: &str,
) -> Result<(), StorageError> {
    settled(JsFuture::from(folder.remove_entry(name)).await)
}

/// Deletes a folder with what is in it, if it is there.
///
/// # Errors
/// When the browser cannot.
pub(super) async fn remove_folder(name: &str) -> Result<(), StorageError> {
    let Ok(root) = root().await else {
        return Ok(());
    };
    let options = FileSystemRemoveOptions::new();
    options.set_recursive(true);
    settled(JsFuture::from(root.remove_entry_with_options(name, &options)).await)
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
