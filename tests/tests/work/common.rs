//! A session at work in a browser of its own, and what is truly kept of it on the device.

use checks::browser::{Browser, Result, beside_others, site_folder};
use serde_json::{Value, json};
use site::serve::Server;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Runs a journey on a site of its own.
pub fn journey(name: &str, go: impl AsyncFnOnce(&Browser, &Server, &Path) -> Result<()>) {
    if let Some(folder) = site_folder() {
        journey_on(&folder, name, go);
    }
}

/// Runs a journey on this site.
pub fn journey_on(
    folder: &Path,
    name: &str,
    go: impl AsyncFnOnce(&Browser, &Server, &Path) -> Result<()>,
) {
    let _room = beside_others();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let server = Server::start(folder, 0).unwrap();
        let mut browser = Browser::start((1280, 800)).await.unwrap();
        // Here things are broken on purpose, and the page is right to complain.
        browser.may_complain(true);
        browser.devtools.close();
        let outcome = go(&browser, &server, folder).await;
        if outcome.is_err() {
            let _ = browser.shot(&format!("failed-{name}")).await;
        }
        browser.end().await.unwrap();
        outcome.unwrap_or_else(|e| panic!("{e}"));
    });
}

pub fn clip() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-clips/clips/heels_low.mp4")
}

pub const SHOWN: &str = "document.querySelector('[data-testid=stage]')?.dataset.frame === '0'";
pub const SAVED: &str = "document.querySelector('.saved')?.innerText === 'Saved on this device'";

/// Opens the clip and waits until all is saved.
pub async fn at_work(browser: &Browser, server: &Server) -> Result<()> {
    browser.open(&server.url()).await?;
    browser.give("Open a clip", &clip()).await?;
    browser.until(SHOWN, 30).await?;
    change(browser, "first").await?;
    saved_as(browser, "first").await
}

/// One change: other shoes, entered at once, since clearing a field first would be a change of its own.
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

/// Waits until these shoes are on the device.
pub async fn saved_as(browser: &Browser, shoes: &str) -> Result<()> {
    for _ in 0..100 {
        if kept(browser).await?.iter().any(|k| k.shoes == shoes) {
            return browser.until(SAVED, 5).await;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    Err(format!("{shoes} is never saved: {}", browser.words().await?).into())
}

/// A session on the device, read past the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// The shoes of its first trial in the newest text.
    pub shoes: String,
    /// Whether every text has its own checksum.
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
            // One that is not there is not made by looking.
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

/// All that is in the database.
pub async fn kept(browser: &Browser) -> Result<Vec<Kept>> {
    read(browser, READ, Vec::new()).await
}

async fn read(browser: &Browser, script: &str, about: Vec<Value>) -> Result<Vec<Kept>> {
    let answer = browser.client.execute_async(script, about).await?;
    let all = answer.as_array().ok_or_else(|| format!("the device says {answer}"))?;
    let one = |k: &Value| {
        Some(Kept {
            shoes: k.get("shoes")?.as_str()?.to_owned(),
            whole: k.get("whole")?.as_bool()?,
            listed: k.get("listed")?.as_bool()?,
        })
    };
    Ok(all.iter().filter_map(one).collect())
}

/// The one session that is kept, whole.
pub async fn only_kept(browser: &Browser) -> Result<String> {
    match kept(browser).await?.as_slice() {
        [Kept { shoes, whole: true, listed: true }] => Ok(shoes.clone()),
        other => Err(format!("what is kept is not one whole session: {other:?}").into()),
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

/// The copies on the device beside the database, read past the page, in `files` or in the `store` of words; here `listed`
/// is whether a copy stands under its own name.
pub async fn copies(browser: &Browser, place: &str) -> Result<Vec<Kept>> {
    read(browser, READ_COPIES, vec![json!(place)]).await
}

/// The one copy that is kept in a place, whole.
pub async fn only_copy(browser: &Browser, place: &str) -> Result<String> {
    match copies(browser, place).await?.as_slice() {
        [Kept { shoes, whole: true, listed: true }] => Ok(shoes.clone()),
        other => Err(format!("the copy in the {place} is not one whole session: {other:?}").into()),
    }
}

/// What the browser does to a database that it takes for broken.
pub async fn throw_database_away(browser: &Browser) -> Result<()> {
    let thrown = "const asked = indexedDB.deleteDatabase('stride-ledger');
        asked.onsuccess = () => arguments[0](true); asked.onerror = () => arguments[0](false);";
    match browser.client.execute_async(thrown, Vec::new()).await?.as_bool() {
        Some(true) => Ok(()),
        _ => Err("the database cannot be thrown away".into()),
    }
}

/// The shoes that the page shows of the session it opened.
pub async fn shows_shoes(browser: &Browser, shoes: &str) -> Result<()> {
    let field =
        "[...document.querySelectorAll('label')].find((l) => l.textContent.trim() === 'Shoes')";
    browser
        .until(&format!("document.getElementById({field}?.htmlFor)?.value === '{shoes}'"), 10)
        .await
}
