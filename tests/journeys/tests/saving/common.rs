//! A session in a browser, and what the device really stores of it.

use journeys::browser::{Browser, Result, Setup, beside_others, run_journey, site_folder};
pub use journeys::clips::example_clip as clip;
use serde_json::{Value, json};
use site::serve::Server;
use std::path::Path;
use std::time::Duration;

/// Runs a journey that breaks things on purpose.
pub fn journey(go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>) {
    if let Some(folder) = site_folder() {
        journey_on(&folder, Setup::BREAKING, go);
    }
}

/// Runs such a journey on the site in this folder, with this browser.
pub fn journey_on(
    folder: &Path,
    setup: Setup,
    go: impl AsyncFnOnce(&Browser, &Server) -> Result<()>,
) {
    let _room = beside_others();
    run_journey(folder, setup, async |browser, server| go(browser, &server).await);
}

pub const SHOWN: &str = "document.querySelector('[data-testid=stage]')?.dataset.frame === '0'";
pub const SAVED: &str = "document.querySelector('.saved')?.innerText === 'Saved on this device'";

/// Opens the clip and waits until everything is saved.
pub async fn at_work(browser: &Browser, server: &Server) -> Result<()> {
    browser.open(&server.url()).await?;
    browser.choose_file("Open a clip", &clip()).await?;
    browser.until(SHOWN, 30).await?;
    change(browser, "first").await?;
    saved_as(browser, "first").await
}

/// One change: other shoes, in a single input event, since clearing the field first would be another change.
pub async fn change(browser: &Browser, shoes: &str) -> Result<()> {
    let entered = browser
        .client
        .execute(
            "const label = [...document.querySelectorAll('label')].find((l) => l.textContent.trim() === 'Shoes');
             const field = label && document.getElementById(label.htmlFor);
             if (!field) return false;
             field.value = arguments[0];
             field.dispatchEvent(new Event('input', { bubbles: true }));
             field.dispatchEvent(new Event('change', { bubbles: true }));
             return true;",
            vec![json!(shoes)],
        )
        .await?;
    if entered.as_bool() == Some(true) { Ok(()) } else { Err("there is no field for shoes".into()) }
}

/// Waits until these shoes are stored on the device.
pub async fn saved_as(browser: &Browser, shoes: &str) -> Result<()> {
    for _ in 0..100 {
        if stored(browser).await?.iter().any(|k| k.shoes == shoes) {
            return browser.until(SAVED, 5).await;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    Err(format!("{shoes} is never saved: {}", browser.text().await?).into())
}

/// A session stored on the device, read without the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Stored {
    /// The shoes of its first trial in the newest text.
    pub shoes: String,
    /// Whether every text matches its checksum.
    pub whole: bool,
    /// Whether it is in the list as well.
    pub listed: bool,
}

const READ: &str = "
    const done = arguments[arguments.length - 1];
    (async () => {
        let isThere = true;
        const database = await new Promise((found, failed) => {
            const asked = indexedDB.open('stride-ledger', 1);
            // Opening must not create a missing database.
            asked.onupgradeneeded = () => { isThere = false; asked.transaction.abort(); };
            asked.onsuccess = () => found(asked.result);
            asked.onerror = () => isThere ? failed(asked.error) : found(null);
        });
        if (!database) return [];
        const all = (store) => new Promise((found) => {
            const inside = database.transaction(store).objectStore(store);
            const keys = inside.getAllKeys(), values = inside.getAll();
            values.onsuccess = () => found(keys.result.map((key, at) => [key, values.result[at]]));
        });
        const texts = await all('texts'), shelf = await all('shelf');
        database.close();
        const answer = [];
        for (const [id, generations] of texts) {
            let whole = generations.length > 0 && generations.length <= 3;
            for (const [, sum, text] of generations) {
                const bytes = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text));
                whole &&= [...new Uint8Array(bytes)].map((b) => b.toString(16).padStart(2, '0')).join('') === sum;
            }
            const session = JSON.parse(generations[0][2]).session;
            answer.push({ whole, shoes: session.trials[0]?.conditions.shoes ?? '', listed: shelf.some(([key]) => key === id) });
        }
        return answer;
    })().then(done, (error) => done(String(error)));
";

/// All sessions in the database.
pub async fn stored(browser: &Browser) -> Result<Vec<Stored>> {
    read(browser, READ, Vec::new()).await
}

async fn read(browser: &Browser, script: &str, about: Vec<Value>) -> Result<Vec<Stored>> {
    let answer = browser.client.execute_async(script, about).await?;
    let all = answer.as_array().ok_or_else(|| format!("the script answers {answer}"))?;
    let one = |k: &Value| {
        Some(Stored {
            shoes: k.get("shoes")?.as_str()?.to_owned(),
            whole: k.get("whole")?.as_bool()?,
            listed: k.get("listed")?.as_bool()?,
        })
    };
    Ok(all.iter().filter_map(one).collect())
}

/// The shoes of the only session in the database, which must be whole.
pub async fn only_stored(browser: &Browser) -> Result<String> {
    match stored(browser).await?.as_slice() {
        [Stored { shoes, whole: true, listed: true }] => Ok(shoes.clone()),
        other => Err(format!("the database does not hold one whole session: {other:?}").into()),
    }
}

/// Opens the session listed first.
pub async fn open_recent(browser: &Browser) -> Result<()> {
    browser.wait(".recent li button.line", 10).await?.click().await?;
    browser.wait(".trial-choice, .panel .field", 10).await?;
    Ok(())
}

const READ_COPIES: &str = "
    const done = arguments[arguments.length - 1];
    const place = arguments[0];
    (async () => {
        const sum = async (text) => {
            const bytes = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text));
            return [...new Uint8Array(bytes)].map((b) => b.toString(16).padStart(2, '0')).join('');
        };
        const answer = [], found = [];
        if (place === 'store') {
            for (const key of Object.keys(localStorage).filter((k) => k.startsWith('session-'))) found.push([key.slice(8), localStorage.getItem(key)]);
        } else try {
            const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('sessions');
            for await (const [name, handle] of folder.entries()) found.push([name, await (await handle.getFile()).text()]);
        } catch (error) { if (error.name !== 'NotFoundError') throw error; }
        for (const [name, whole_text] of found) {
            const [head, own, entry, ...rest] = whole_text.split('\\n');
            const text = rest.join('\\n');
            const whole = head === await sum(`${own}\\n${entry}\\n`) && own === await sum(text);
            const session = whole ? JSON.parse(text).session : undefined;
            answer.push({ whole, shoes: session?.trials[0]?.conditions.shoes ?? '', listed: session?.id === name });
        }
        return answer;
    })().then(done, (error) => done(String(error)));
";

/// The backup copies beside the database, read without the page: in `files` or in the local `store`; here `listed` is
/// whether a copy has the name of its session.
pub async fn copies(browser: &Browser, place: &str) -> Result<Vec<Stored>> {
    read(browser, READ_COPIES, vec![json!(place)]).await
}

/// The shoes of the only copy in a place, which must be whole.
pub async fn only_copy(browser: &Browser, place: &str) -> Result<String> {
    match copies(browser, place).await?.as_slice() {
        [Stored { shoes, whole: true, listed: true }] => Ok(shoes.clone()),
        other => Err(format!("the copy in the {place} is not one whole session: {other:?}").into()),
    }
}

/// Deletes the database, as the browser does if it takes one for broken.
pub async fn delete_database(browser: &Browser) -> Result<()> {
    let delete = "const asked = indexedDB.deleteDatabase('stride-ledger');
        asked.onsuccess = () => arguments[0](true); asked.onerror = () => arguments[0](false);";
    match browser.client.execute_async(delete, Vec::new()).await?.as_bool() {
        Some(true) => Ok(()),
        _ => Err("the database cannot be deleted".into()),
    }
}

/// Waits until the page shows these shoes of the open session.
pub async fn shows_shoes(browser: &Browser, shoes: &str) -> Result<()> {
    let field =
        "[...document.querySelectorAll('label')].find((l) => l.textContent.trim() === 'Shoes')";
    browser
        .until(&format!("document.getElementById({field}?.htmlFor)?.value === '{shoes}'"), 10)
        .await
}
