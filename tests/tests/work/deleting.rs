//! What is deleted is gone: from the database, from the copies of clips, and from what the page keeps besides.

use super::common::{
    Kept, at_work, change, copies, journey, kept, open_recent, saved_as, shows_shoes,
    throw_database_away,
};
use checks::browser::{Browser, Result};

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
    Ok(answer.as_array().ok_or_else(|| format!("the device says {answer}"))?.len())
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

#[test]
fn what_is_deleted_is_gone_from_everywhere_and_nothing_else_is() {
    journey("deleting", async |browser, server, _| {
        with_copy(browser, server, "A", "one").await?;
        with_copy(browser, server, "A", "two").await?;
        with_copy(browser, server, "A", "three").await?;
        with_copy(browser, server, "B", "four").await?;
        // Of the database; each has its second copy, and there is no other.
        let shoes = async || -> Result<Vec<String>> {
            let of = |all: Vec<Kept>| {
                let mut all: Vec<String> = all.into_iter().map(|k| k.shoes).collect();
                all.sort();
                all
            };
            let all = of(kept(browser).await?);
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
        // The copy stays, since other sessions have the same clip.
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
        // And a reload brings nothing back.
        browser.open(&server.url()).await?;
        browser.until("document.body.innerText.includes('Nothing yet')", 10).await
    });
}

#[test]
fn sessions_whose_database_is_thrown_away_are_there_from_their_copies_and_are_deleted_with_them() {
    journey("copies", async |browser, server, _| {
        at_work(browser, server).await?;
        change(browser, "one").await?;
        saved_as(browser, "one").await?;
        at_work(browser, server).await?;
        change(browser, "two").await?;
        saved_as(browser, "two").await?;
        throw_database_away(browser).await?;
        browser.open(&server.url()).await?;
        browser.until("document.querySelectorAll('.recent li').length === 2", 10).await?;
        open_recent(browser).await?;
        shows_shoes(browser, "two").await?;
        change(browser, "three").await?;
        saved_as(browser, "three").await?;
        browser.script("window.confirm = () => true;").await?;
        browser.press("Stride Ledger, first page").await?;
        browser.until("document.querySelectorAll('.recent li').length === 2", 10).await?;
        // The other is in no database any more, and goes with its copy.
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
        assert_eq!(kept(browser).await?, []);
        browser.open(&server.url()).await?;
        browser.until("document.body.innerText.includes('Nothing yet')", 10).await
    });
}
