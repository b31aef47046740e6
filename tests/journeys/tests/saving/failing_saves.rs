//! A save that fails at any step leaves the session saved before, says so within a second, and a file can still be saved.

use super::common::{
    at_work, change, delete_database, journey, only_copy, only_stored, open_recent, saved_as,
    shows_shoes,
};
use document::session::file;
use journeys::browser::{Browser, Result};
use std::time::Instant;

/// Each step of a save, made to fail. `fail()` throws what a full device throws.
const STEPS: [(&str, &str); 7] = [
    ("the transaction", "const was = IDBDatabase.prototype.transaction;
        IDBDatabase.prototype.transaction = function (s, mode, o) { if (mode === 'readwrite') fail(); return was.call(this, s, mode, o); };
        mend = () => { IDBDatabase.prototype.transaction = was; };"),
    ("the reading before", "const was = IDBObjectStore.prototype.get;
        IDBObjectStore.prototype.get = function (key) { if (this.transaction.mode === 'readwrite') fail(); return was.call(this, key); };
        mend = () => { IDBObjectStore.prototype.get = was; };"),
    ("the first record", "onPut((store, put, n) => { if (n === 1) fail(); return put(); });"),
    ("the second record", "onPut((store, put, n) => { if (n === 2) fail(); return put(); });"),
    ("after the first record", "onPut((store, put, n) => { const r = put(); if (n === 1) store.transaction.abort(); return r; });"),
    ("after the second record", "onPut((store, put, n) => { const r = put(); if (n === 2) store.transaction.abort(); return r; });"),
    ("the commit", "onPut((store, put, n) => { const r = put(); if (n === 2) r.addEventListener('success', () => store.transaction.abort()); return r; });"),
];

const HELP: &str = "
    const fail = () => { throw new DOMException('made to fail', 'QuotaExceededError'); };
    let mend;
    const onPut = (replaced) => {
        const was = IDBObjectStore.prototype.put;
        let count = 0;
        IDBObjectStore.prototype.put = function (value, key) {
            count = count === 2 ? 1 : count + 1;
            return replaced(this, () => was.call(this, value, key), count);
        };
        mend = () => { IDBObjectStore.prototype.put = was; };
    };
";

/// Makes a change that cannot be saved and checks what must be true then.
async fn refused(browser: &Browser, before: &str, shoes: &str) -> Result<()> {
    not_saved(browser, shoes).await?;
    let in_database = only_stored(browser).await?;
    if in_database != before {
        return Err(format!("{in_database} is stored instead of {before}").into());
    }
    in_a_file(browser, shoes).await
}

/// Makes a change, and waits until the page says that it is not saved.
pub async fn not_saved(browser: &Browser, shoes: &str) -> Result<()> {
    change(browser, shoes).await?;
    let began = Instant::now();
    browser.until("document.querySelector('.saved').innerText.startsWith('Not saved')", 20).await?;
    println!("said after {:.2} s (wanted 1 s)", began.elapsed().as_secs_f64());
    Ok(())
}

/// Saves to a file and checks its content.
pub async fn in_a_file(browser: &Browser, shoes: &str) -> Result<()> {
    browser.press("Save session file").await?;
    let text = browser.download(".stride.json").await?;
    let session = file::read("saved", &text)?.session;
    let in_file = session.trials.first().map(|t| t.conditions.shoes.clone());
    if in_file.as_deref() != Some(shoes) {
        return Err(format!("the file holds {in_file:?}").into());
    }
    Ok(())
}

fn a_save_that_fails_at_any_step_leaves_the_old_copy_and_says_so() {
    journey(async |browser, server| {
        at_work(browser, server).await?;
        let mut before = "first".to_owned();
        for (index, (step, script)) in STEPS.into_iter().enumerate() {
            browser.script(&format!("{HELP}{script} window.mend = mend;")).await?;
            let lost = format!("lost{index}");
            refused(browser, &before, &lost).await.map_err(|e| format!("{step}: {e}"))?;
            browser.script("window.mend();").await?;
            before = format!("kept{index}");
            change(browser, &before).await?;
            saved_as(browser, &before).await.map_err(|e| format!("after {step}: {e}"))?;
        }
        println!("{} steps of a save made to fail", STEPS.len());
        Ok(())
    });
}

/// The behaviour of a browser on a full device: the transaction ends with this error when it is written.
///
/// The developer tools can override the quota of an origin, but that has no effect on the database here.
const FULL: &str = "onPut((store, put, n) => {
    const r = put();
    if (n === 2) r.addEventListener('success', () => {
        Object.defineProperty(store.transaction, 'error', { value: new DOMException('full', 'QuotaExceededError') });
        store.transaction.abort();
    });
    return r;
});";

fn a_full_device_keeps_the_old_copy_and_goes_on_once_there_is_room_again() {
    journey(async |browser, server| {
        at_work(browser, server).await?;
        browser.script(&format!("{HELP}{FULL} window.mend = mend;")).await?;
        refused(browser, "first", "second").await?;
        let said = browser.text().await?;
        assert!(
            said.contains("no room left") && said.contains("save the session to a file"),
            "{said}"
        );
        browser.script("window.mend();").await?;
        // By itself: the page tries again within five seconds.
        browser
            .until("document.querySelector('.saved').innerText === 'Saved on this device'", 9)
            .await?;
        saved_as(browser, "second").await
    });
}

/// Each step of writing the backup copy, made to fail as on a full device.
const COPY_STEPS: [(&str, &str); 4] = [
    ("the place of the copy", "replace(FileSystemDirectoryHandle, 'getFileHandle', () => fail());"),
    ("the file beside it", "replace(FileSystemFileHandle, 'createWritable', () => fail());"),
    ("the writing", "replace(FileSystemWritableFileStream, 'write', () => fail());"),
    // As on a device that becomes full at the end, no partial file is left.
    (
        "putting it in its place",
        "replace(FileSystemWritableFileStream, 'close', function () { return this.abort().then(fail); });",
    ),
];

const REPLACE: &str = "
    const fail = () => Promise.reject(new DOMException('made to fail', 'QuotaExceededError'));
    const replace = (kind, name, how) => {
        const was = kind.prototype[name];
        kind.prototype[name] = how;
        window.mend = () => { kind.prototype[name] = was; };
    };
";

fn a_backup_copy_that_fails_at_any_step_leaves_both_unchanged_and_says_so() {
    journey(async |browser, server| {
        at_work(browser, server).await?;
        let mut before = "first".to_owned();
        for (index, (step, script)) in COPY_STEPS.into_iter().enumerate() {
            browser.script(&format!("{REPLACE}{script}")).await?;
            let lost = format!("lost{index}");
            not_saved(browser, &lost).await.map_err(|e| format!("{step}: {e}"))?;
            assert_eq!(only_stored(browser).await?, before, "{step}");
            assert_eq!(only_copy(browser, "files").await?, before, "{step}");
            assert_eq!(only_copy(browser, "store").await?, before, "{step}");
            in_a_file(browser, &lost).await?;
            browser.script("window.mend();").await?;
            before = format!("kept{index}");
            change(browser, &before).await?;
            saved_as(browser, &before).await.map_err(|e| format!("after {step}: {e}"))?;
            assert_eq!(only_copy(browser, "files").await?, before, "{step}");
        }
        Ok(())
    });
}

fn a_save_that_the_database_refuses_is_restored_from_the_copy_even_if_the_database_is_deleted() {
    journey(async |browser, server| {
        at_work(browser, server).await?;
        browser.script(&format!("{HELP}{FULL} window.mend = mend;")).await?;
        refused(browser, "first", "second").await?;
        assert_eq!(only_copy(browser, "files").await?, "second");
        browser.open(&server.url()).await?;
        open_recent(browser).await?;
        shows_shoes(browser, "second").await?;
        change(browser, "third").await?;
        saved_as(browser, "third").await?;
        delete_database(browser).await?;
        browser.open(&server.url()).await?;
        open_recent(browser).await?;
        shows_shoes(browser, "third").await
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["saving::failing_saves": a_save_that_fails_at_any_step_leaves_the_old_copy_and_says_so, a_full_device_keeps_the_old_copy_and_goes_on_once_there_is_room_again, a_backup_copy_that_fails_at_any_step_leaves_both_unchanged_and_says_so, a_save_that_the_database_refuses_is_restored_from_the_copy_even_if_the_database_is_deleted]
}
