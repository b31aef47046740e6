//! Files that a person saves to the device or opens from it.

use super::storage::StorageError;
use document::session::file::{self, Read};
use document::session::{Error, FileFault};
use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, HtmlAnchorElement, Url};

/// Time from the beginning of a download until its content is released. Chosen: a slow device has begun to write by then.
const RELEASE_MS: i32 = 60_000;

/// Saves a text to the device under this name.
///
/// # Errors
/// If the browser does not let the page save files.
pub fn save_text(name: &str, media_type: &str, text: &str) -> Result<(), StorageError> {
    save(name, media_type, &JsValue::from(text)).map_err(|e| StorageError::from_js(&e))
}

/// Saves a session to the device as a session file.
///
/// # Errors
/// If the browser does not let the page save files.
pub fn save_session(session: &document::session::Session) -> Result<(), StorageError> {
    save_text(&file::file_name(session), "application/json", &file::write(session))
}

/// The session in a file that a person chose.
///
/// # Errors
/// If the file is too large or no session file.
pub async fn open_session(chosen: &File) -> Result<Read, Error> {
    let name = chosen.name();
    file::check_size(&name, chosen.size() as u64)?;
    let text = JsFuture::from(chosen.text()).await.ok().and_then(|t| t.as_string());
    let text = text.ok_or_else(|| FileFault::Unreadable.of(&name))?;
    file::read(&name, &text)
}

/// The plain letters of a name, for the beginning of a file name.
#[must_use]
pub fn safe_stem(name: &str) -> String {
    file::safe_stem(name)
}

/// Makes a link to the content and clicks it; the page stays where it is.
fn save(name: &str, media_type: &str, content: &JsValue) -> Result<(), JsValue> {
    let window = web_sys::window().ok_or("no window")?;
    let document = window.document().ok_or("no page")?;
    let options = BlobPropertyBag::new();
    options.set_type(media_type);
    let blob = Blob::new_with_str_sequence_and_options(&Array::of1(content), &options)?;
    let address = Url::create_object_url_with_blob(&blob)?;
    let link: HtmlAnchorElement = document.create_element("a")?.unchecked_into();
    link.set_href(&address);
    link.set_download(name);
    link.click();
    let release = wasm_bindgen::closure::Closure::once_into_js(move || {
        // Releasing twice is no failure.
        let _ = Url::revoke_object_url(&address);
    });
    window.set_timeout_with_callback_and_timeout_and_arguments_0(
        release.unchecked_ref(),
        RELEASE_MS,
    )?;
    Ok(())
}
