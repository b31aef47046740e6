//! The shell's loader: the clips of the example, the addresses of the workers, new versions of the page.

use super::BrowserError;
use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::File;

fn loader() -> Option<JsValue> {
    Reflect::get(&js_sys::global(), &"strideLoader".into()).ok().filter(|v| v.is_object())
}

fn function(name: &str) -> Option<(JsValue, Function)> {
    let loader = loader()?;
    let function = Reflect::get(&loader, &name.into()).ok()?.dyn_into().ok()?;
    Some((loader, function))
}

/// A clip of the example.
///
/// # Errors
/// `ExampleClipMissing` if the page came without it and the server is out of reach.
pub async fn example_clip(name: &str) -> Result<File, BrowserError> {
    let missing = || BrowserError::ExampleClipMissing { name: name.to_owned() };
    let (this, get) = function("exampleClip").ok_or_else(missing)?;
    let promise: Promise =
        get.call1(&this, &name.into()).ok().and_then(|p| p.dyn_into().ok()).ok_or_else(missing)?;
    JsFuture::from(promise).await.ok().and_then(|f| f.dyn_into().ok()).ok_or_else(missing)
}

/// The address of the script of the worker that decodes and tracks.
#[must_use]
pub fn worker_url() -> Option<String> {
    address("workerUrl")
}

/// The address of the script of the worker that runs the Monte Carlo.
#[must_use]
pub fn monte_carlo_url() -> Option<String> {
    address("monteCarloUrl")
}

fn address(name: &str) -> Option<String> {
    let (this, url) = function(name)?;
    url.call0(&this).ok()?.as_string()
}

/// Calls back when a new version of the page is ready and waits.
pub fn on_update(callback: impl Fn() + 'static) {
    let callback = Closure::<dyn Fn()>::new(callback);
    if let Some((this, on_update)) = function("onUpdate") {
        // The loader only keeps the callback.
        let _ = on_update.call1(&this, callback.as_ref());
        callback.forget();
    }
}

/// A session file for the panic screen.
pub struct SavedSession {
    /// Its name.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Shows the panic screen, with a session file to save if there is one.
pub fn show_panic(report: &str, session: Option<SavedSession>) {
    if let Some((this, show)) = function("showPanic") {
        let (name, text) = session.map(|s| (s.name, s.text)).unzip();
        // If this fails too, nothing is left to show it.
        let _ = show.call3(&this, &report.into(), &name.into(), &text.into());
    }
}

/// Loads the new version that waits.
pub fn apply_update() {
    if let Some((this, apply)) = function("applyUpdate") {
        // Without a version that waits this does nothing.
        let _ = apply.call0(&this);
    }
}

/// Loads the page again.
pub fn reload() {
    if let Some(window) = web_sys::window() {
        // A page that cannot be loaded again stays as it is.
        let _ = window.location().reload();
    }
}
