//! Files that a person saves to, or opens from, the device.

use super::storage::StorageError;
use document::session::file::{self, Read};
use document::session::{Error, FileFault};
use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, HtmlAnchorElement, Url};

/// From the beginning of a download to letting go of what it is made of. Chosen: a slow device has
/// then long begun to write.
const LET_GO_MS: i32 = 60_000;

/// Saves a text to the device under this name.
///
/// # Errors
/// When the browser does not let the page save files.
pub fn save_text(name: &str, media_type: &str, text: &str) -> Result<(), StorageError> {
    save(name, media_type, &JsValue::from(text)).map_err(|e| StorageError::from_js(&e))
}

/// Saves a session to the device as a session file.
///
/// # Errors
/// When the browser does not let the page save files.
pub fn save_session(session: &document::session::Session) -> Result<(), StorageError> {
    save_text(&file::file_name(session), "application/json", &file::write(session))
}

/// The session in a file that a person chose.
///
/// # Errors
/// The name of the file and what is wrong with it.
pub async fn open_session(chosen: &File) -> Result<Read, Error> {
    let name = chosen.name();
    file::check_size(&name, chosen.size() as u64)?;
    let text = JsFuture::from(chosen.text()).await.ok().and_then(|t| t.as_string());
    let text = text.ok_or_else(|| FileFault::Unreadable.of(&name))?;
    file::read(&name, &text)
}

/// The plain letters of a name, for the beginning of a file's name.
#[must_use]
pub fn safe_stem(name: &str) -> String {
    file::safe_stem(name)
}

/// A link to the content is made and followed; the page stays where it is.
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
    let let_go = wasm_bindgen::closure::Closure::once_into_js(move || {
        // Letting go twice or of nothing is no failure.
        let _ = Url::revoke_object_url(&address);
    });
    window
        .set_timeout_with_callback_and_timeout_and_arguments_0(let_go.unchecked_ref(), LET_GO_MS)?;
    Ok(())
}
