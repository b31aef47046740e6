//! What is deleted is gone: from the database, from the copies of clips, and from all other storage of the page.

use super::common::{
    Stored, at_work, change, copies, delete_database, journey, open_recent, saved_as, shows_shoes,
    stored,
};
use journeys::browser::{Browser, Result};

const CLIPS: &str = "
    const done = arguments[arguments.length - 1];
    (async () => {
        const root = await navigator.storage.getDirectory();
        const names = [];
        try {
            const folder = await root.getDirectoryHandle('clips');
            for await (const [name, file] of folder.entries()) if ((await file.getFile()).size > 0) names.push(name);
        } catch (error) { if (error.name !== 'NotFoundError') throw error; }
        return names;
    })().then(done, (error) => done(String(error)));
";

async fn clips(browser: &Browser) -> Result<usize> {
    let answer = browser.client.execute_async(CLIPS, Vec::new()).await?;
    Ok(answer.as_array().ok_or_else(|| format!("the script answers {answer}"))?.len())
}

/// A session of this runner, with a copy of its clip on the device.
async fn with_copy(
    browser: &Browser,
    server: &site::serve::Server,
    runner: &str,
    shoes: &str,
) -> Result<()> {
    at_work(browser, server).await?;
    let keep = "document.querySelector('label.answer input[type=checkbox]')";
    browser.until(&format!("{keep} && !{keep}.disabled"), 10).await?;
    if browser.script(&format!("return {keep}.checked;")).await?.as_bool() == Some(false) {
        browser.script(&format!("{keep}.click();")).await?;
    }
    browser.until(&format!("{keep}.checked"), 10).await?;
    change(browser, shoes).await?;
    browser.step("Scale").await?;
    browser.fill("Name or code", runner).await?;
    browser.step("Clip").await?;
    saved_as(browser, shoes).await
}

fn what_is_deleted_is_gone_from_everywhere_and_nothing_else_is() {
    journey(async |browser, server| {
        with_copy(browser, server, "A", "one").await?;
        with_copy(browser, server, "A", "two").await?;
        with_copy(browser, server, "A", "three").await?;
        with_copy(browser, server, "B", "four").await?;
        // In the database; each has its backup copy, and there is no other.
        let shoes = async || -> Result<Vec<String>> {
            let of = |all: Vec<Stored>| {
                let mut all: Vec<String> = all.into_iter().map(|k| k.shoes).collect();
                all.sort();
                all
            };
            let all = of(stored(browser).await?);
            for place in ["files", "store"] {
                assert_eq!(of(copies(browser, place).await?), all, "the database and the {place}");
            }
            Ok(all)
        };
        assert_eq!((shoes().await?.len(), clips(browser).await?), (4, 1));
        browser.script("window.confirm = () => true;").await?;
        browser.press("Stride Ledger, first page").await?;
        browser.until("document.querySelectorAll('.recent li').length === 4", 10).await?;
        browser.script("[...document.querySelectorAll('.recent li')].at(-1).querySelector('button.small').click();").await?;
        browser.until("document.querySelectorAll('.recent li').length === 3", 10).await?;
        // The copy stays, since other sessions use the same clip.
        assert_eq!(
            (shoes().await?, clips(browser).await?),
            (vec!["four".into(), "three".into(), "two".into()], 1)
        );
        browser.press("Delete all of A").await?;
        browser.until("document.querySelectorAll('.recent li').length === 1", 10).await?;
        assert_eq!((shoes().await?, clips(browser).await?), (vec!["four".into()], 1));
        browser
            .script("localStorage.setItem('a', 'b'); window.made = caches.open('other');")
            .await?;
        browser.press("Delete everything kept here").await?;
        browser.until("document.querySelectorAll('.recent li').length === 0", 10).await?;
        assert_eq!((shoes().await?.len(), clips(browser).await?), (0, 0));
        let rest = browser
            .client
            .execute_async(
                "const done = arguments[0]; caches.keys().then((names) => done(localStorage.length + names.filter((n) => n === 'other').length));",
                Vec::new(),
            )
            .await?;
        assert_eq!(rest.as_u64(), Some(0));
        // A reload restores nothing.
        browser.open(&server.url()).await?;
        browser.until("document.body.innerText.includes('Nothing yet')", 10).await
    });
}

fn sessions_of_a_deleted_database_are_restored_from_their_copies_and_deleted_with_them() {
    journey(async |browser, server| {
        at_work(browser, server).await?;
        change(browser, "one").await?;
        saved_as(browser, "one").await?;
        at_work(browser, server).await?;
        change(browser, "two").await?;
        saved_as(browser, "two").await?;
        delete_database(browser).await?;
        browser.open(&server.url()).await?;
        browser.until("document.querySelectorAll('.recent li').length === 2", 10).await?;
        open_recent(browser).await?;
        shows_shoes(browser, "two").await?;
        change(browser, "three").await?;
        saved_as(browser, "three").await?;
        browser.script("window.confirm = () => true;").await?;
        browser.press("Stride Ledger, first page").await?;
        browser.until("document.querySelectorAll('.recent li').length === 2", 10).await?;
        // The other session is in no database any more, and is deleted with its copy.
        browser.script("[...document.querySelectorAll('.recent li')].at(-1).querySelector('button.small').click();").await?;
        browser.until("document.querySelectorAll('.recent li').length === 1", 10).await?;
        let left: Vec<String> =
            copies(browser, "files").await?.into_iter().map(|k| k.shoes).collect();
        assert_eq!(left, ["three"]);
        browser.press("Delete everything kept here").await?;
        browser.until("document.querySelectorAll('.recent li').length === 0", 10).await?;
        for place in ["files", "store"] {
            assert_eq!(copies(browser, place).await?, [], "{place}");
        }
        assert_eq!(stored(browser).await?, []);
        browser.open(&server.url()).await?;
        browser.until("document.body.innerText.includes('Nothing yet')", 10).await
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["saving::deleting": what_is_deleted_is_gone_from_everywhere_and_nothing_else_is, sessions_of_a_deleted_database_are_restored_from_their_copies_and_deleted_with_them]
}
