//! Two tabs on one session: the second is read-only until it takes the session over.

use super::common::{SAVED, at_work, change, journey, only_stored, open_recent, saved_as};

fn a_second_tab_is_read_only_until_it_takes_the_session_over() {
    journey(async |browser, server| {
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
        assert_eq!(only_stored(browser).await?, "first");
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
        assert_eq!(only_stored(browser).await?, "second tab");
        // And the first takes it back.
        browser.press("Work on it here").await?;
        browser
            .until("!document.body.innerText.includes('Another tab works on this session')", 10)
            .await?;
        browser.until(SAVED, 5).await?;
        change(browser, "back").await?;
        saved_as(browser, "back").await
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["saving::tabs": a_second_tab_is_read_only_until_it_takes_the_session_over]
}
