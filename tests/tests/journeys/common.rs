//! What several journeys do.

use checks::browser::{Browser, CLIPS, Result};
use document::session::{Session, Trial, file};
use std::path::{Path, PathBuf};
use std::rc::Rc;

/// The clips of the example.
const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo-clips/clips");

/// A file of the example.
pub fn demo(name: &str) -> PathBuf {
    Path::new(DEMO).join(name)
}

/// The clips of known truth beside the project; none says that the journey is not run.
pub fn beside(name: &str) -> Option<PathBuf> {
    let path = Path::new(CLIPS).join(name);
    if !path.is_file() {
        println!("not run: {} is not there", path.display());
        return None;
    }
    Some(path)
}

/// The text of the session file that the page saves.
pub async fn saved_text(browser: &Browser) -> Result<String> {
    browser.press("Save session file").await?;
    browser.saved(".stride.json").await
}

/// The session as the page saves it.
pub async fn saved_session(browser: &Browser) -> Result<Session> {
    Ok(file::read("saved", &saved_text(browser).await?)?.session)
}

/// One trial of a session.
pub fn trial(session: &Session, index: usize) -> Result<Rc<Trial>> {
    Ok(Rc::clone(session.trials.get(index).ok_or("no such trial")?))
}

/// The example, from the first screen to the comparison; answers the taps it took.
pub async fn walk_the_example(browser: &Browser) -> Result<u32> {
    browser.press("Try the example").await?;
    browser.press("Follow the markers in both clips").await?;
    browser.wait(".side-by-side", 60).await?;
    browser.shows_no_fault().await?;
    Ok(2)
}

/// Waits until the service worker is in charge.
pub async fn under_service_worker(browser: &Browser) -> Result<()> {
    let ready = "navigator.serviceWorker.ready.then(() => arguments[0]());";
    browser.client.execute_async(ready, Vec::new()).await?;
    browser.until("navigator.serviceWorker.controller !== null", 20).await
}

/// True once a following has come to its end.
pub const FOLLOWED: &str =
    "document.querySelector('.follow')?.innerText.includes('Follow all again')";
