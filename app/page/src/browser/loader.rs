//! What the page's own loader offers: the example's clips, the worker's address, word of a new version.

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

/// The file of one of the example's clips.
///
/// # Errors
/// When the page came without it and the server is out of reach.
pub async fn example_clip(name: &str) -> Result<File, String> {
    let lost = || {
        format!(
            "the example's clip {name} could not be had: connect once to where this page came from and try again"
        )
    };
    let (this, get) = function("exampleClip").ok_or_else(lost)?;
    let promise: Promise =
        get.call1(&this, &name.into()).ok().and_then(|p| p.dyn_into().ok()).ok_or_else(lost)?;
    JsFuture::from(promise).await.ok().and_then(|f| f.dyn_into().ok()).ok_or_else(lost)
}

/// The address of the script of the worker that decodes and follows.
#[must_use]
pub fn worker_url() -> Option<String> {
    address("workerUrl")
}

/// The address of the script of the worker that repeats measurements.
#[must_use]
pub fn repeats_url() -> Option<String> {
    address("monteCarloUrl")
}

fn address(name: &str) -> Option<String> {
    let (this, url) = function(name)?;
    url.call0(&this).ok()?.as_string()
}

/// Has the callback run when a new version of the page is ready and waits.
pub fn on_update(callback: impl Fn() + 'static) {
    let tell = Closure::<dyn Fn()>::new(callback);
    if let Some((this, on_update)) = function("onUpdate") {
        // The loader only keeps the callback.
        let _ = on_update.call1(&this, tell.as_ref());
        tell.forget();
    }
}

/// Shows the page of a fall, with the name and text of a session file where there is one.
pub fn fell(report: &str, session: Option<(&str, &str)>) {
    if let Some((this, fell)) = function("showPanic") {
        let (name, text) = session.unzip();
        // There is nobody left to tell of a failure.
        let _ = fell.call3(&this, &report.into(), &name.into(), &text.into());
    }
}

/// Loads the new version that waits.
pub fn apply_update() {
    if let Some((this, apply)) = function("applyUpdate") {
        // Without a version that waits this does nothing.
        let _ = apply.call0(&this);
    }
}
