//! Steps of several journeys.

use document::session::{Session, Trial, file};
use journeys::browser::{Browser, Result};
pub use journeys::clips::example_file as demo;
use journeys::options::clips_beside;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::{Mutex, PoisonError};

/// A clip of known truth beside the project; if it is missing, this prints that the journey is not run.
pub fn beside(name: &str) -> Option<PathBuf> {
    let path = clips_beside().join(name);
    if !path.is_file() {
        println!("not run: {} is missing", path.display());
        return None;
    }
    Some(path)
}

/// The text of the session file that the page saves.
pub async fn saved_text(browser: &Browser) -> Result<String> {
    browser.press("Save session file").await?;
    browser.download(".stride.json").await
}

/// The session as the page saves it.
pub async fn saved_session(browser: &Browser) -> Result<Session> {
    Ok(file::read("saved", &saved_text(browser).await?)?.session)
}

/// One trial of a session.
pub fn trial(session: &Session, index: usize) -> Result<Rc<Trial>> {
    Ok(Rc::clone(session.trials.get(index).ok_or("no such trial")?))
}

/// The example, from the first screen to the comparison; answers the number of taps.
pub async fn walk_the_example(browser: &Browser) -> Result<u32> {
    browser.press("Try the example").await?;
    browser.press("Follow the markers in both clips").await?;
    browser.wait(".side-by-side", 60).await?;
    browser.shows_no_fault().await?;
    Ok(2)
}

static EXAMPLE: Mutex<Option<String>> = Mutex::new(None);

/// Opens the compared example where the walk through it is not what is tested: the first journey walks and saves the
/// session, the others open its file.
pub async fn open_the_example(browser: &Browser) -> Result<()> {
    let saved = EXAMPLE.lock().unwrap_or_else(PoisonError::into_inner).clone();
    let Some(text) = saved else {
        walk_the_example(browser).await?;
        let text = saved_text(browser).await?;
        *EXAMPLE.lock().unwrap_or_else(PoisonError::into_inner) = Some(text);
        return Ok(());
    };
    let path = browser.downloads.join("example.json");
    std::fs::write(&path, text)?;
    browser.choose_file("Open a session file", &path).await?;
    browser.step("Side by side").await?;
    browser.wait(".side-by-side", 20).await?;
    std::fs::remove_file(&path)?;
    browser.shows_no_fault().await
}

/// Waits until the service worker controls the page.
pub async fn controlled_by_service_worker(browser: &Browser) -> Result<()> {
    let ready = "navigator.serviceWorker.ready.then(() => arguments[0]());";
    browser.client.execute_async(ready, Vec::new()).await?;
    browser.until("navigator.serviceWorker.controller !== null", 20).await
}

/// True once a tracking run has ended.
pub const TRACKED: &str =
    "document.querySelector('.follow')?.innerText.includes('Follow all again')";
