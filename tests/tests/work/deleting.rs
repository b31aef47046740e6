//! What is deleted is gone: from the database, from the copies of clips, and from what the page keeps besides.

use super::common::{at_work, change, journey, kept, saved_as};
use checks::browser::{Browser, Result};

const COPIES: &str = "
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

async fn copies(browser: &Browser) -> Result<usize> {
    let answer = browser.client.execute_async(COPIES, Vec::new()).await?;
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
        let shoes = async || -> Result<Vec<String>> {
            let mut all: Vec<String> = kept(browser).await?.into_iter().map(|k| k.shoes).collect();
            all.sort();
            Ok(all)
        };
        assert_eq!((shoes().await?.len(), copies(browser).await?), (4, 1));
        browser.script("window.confirm = () => true;").await?;
        browser.press("Stride Ledger, first page").await?;
        browser.until("document.querySelectorAll('.recent li').length === 4", 10).await?;
        browser.script("[...document.querySelectorAll('.recent li')].at(-1).querySelector('button.small').click();").await?;
        browser.until("document.querySelectorAll('.recent li').length === 3", 10).await?;
        // The copy stays, since other sessions have the same clip.
        assert_eq!(
            (shoes().await?, copies(browser).await?),
            (vec!["four".into(), "three".into(), "two".into()], 1)
        );
        browser.press("Delete all of A").await?;
        browser.until("document.querySelectorAll('.recent li').length === 1", 10).await?;
        assert_eq!((shoes().await?, copies(browser).await?), (vec!["four".into()], 1));
        browser
            .script("localStorage.setItem('a', 'b'); window.made = caches.open('other');")
            .await?;
        browser.press("Delete everything kept here").await?;
        browser.until("document.querySelectorAll('.recent li').length === 0", 10).await?;
        assert_eq!((shoes().await?.len(), copies(browser).await?), (0, 0));
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
