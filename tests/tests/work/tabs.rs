//! Two tabs on one session: the second only shows it, until it is told to take over.

use super::common::{SAVED, at_work, change, journey, only_kept, open_recent, saved_as};

#[test]
fn the_second_tab_only_shows_the_session_until_it_is_told_to_take_over() {
    journey("tabs", async |browser, server, _| {
        at_work(browser, server).await?;
        let first = browser.client.window().await?;
        let second = browser.client.new_window(true).await?.handle;
        browser.client.switch_to_window(second.clone()).await?;
        browser.open(&server.url()).await?;
        open_recent(browser).await?;
        browser
            .until("document.body.innerText.includes('Another tab works on this session')", 10)
            .await?;
        change(browser, "refused").await?;
        tokio::time::sleep(std::time::Duration::from_millis(800)).await;
        assert_eq!(only_kept(browser).await?, "first");
        browser.press("Work on it here").await?;
        browser
            .until("!document.body.innerText.includes('Another tab works on this session')", 10)
            .await?;
        change(browser, "second tab").await?;
        saved_as(browser, "second tab").await?;
        browser.client.switch_to_window(first).await?;
        browser
            .until(
                "document.body.innerText.includes('Another tab has taken this session over')",
                10,
            )
            .await?;
        change(browser, "refused").await?;
        tokio::time::sleep(std::time::Duration::from_millis(800)).await;
        assert_eq!(only_kept(browser).await?, "second tab");
        // And back again.
        browser.press("Work on it here").await?;
        browser
            .until("!document.body.innerText.includes('Another tab works on this session')", 10)
            .await?;
        browser.until(SAVED, 5).await?;
        change(browser, "back").await?;
        saved_as(browser, "back").await
    });
}
