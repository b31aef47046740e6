//! What is entered is kept: over a reload, over another clip given by mistake, and with the server stopped.

use crate::common::{demo, under_service_worker, walk_the_example};
use checks::browser::{Deaf, free_journey, journey};

#[test]
fn a_reload_brings_everything_back_and_asks_for_the_clip_by_name() {
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.give("Open a clip", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await?;
        browser.fill("Name of this way of running", "Carried low").await?;
        tokio::time::sleep(std::time::Duration::from_secs(1)).await;
        browser.open(&server.url()).await?;
        browser.until("document.querySelector('.recent li button.line') !== null", 10).await?;
        browser.wait(".recent li button.line", 5).await?.click().await?;
        browser.says("“heels_low.mp4” is not open", 10).await?;
        let name =
            browser.script("return document.querySelector('.panel .field input').value;").await?;
        assert_eq!(name.as_str(), Some("Carried low"));
        browser.may_complain(true);
        browser.give("Open heels_low.mp4 again", &demo("leg_folding.mp4")).await?;
        browser
            .until(
                "document.querySelector('.notice.problem')?.innerText.includes('leg_folding.mp4')",
                20,
            )
            .await?;
        browser.press("Close this notice").await?;
        browser.may_complain(false);
        browser.give("Open heels_low.mp4 again", &demo("heels_low.mp4")).await?;
        browser.shows_frame(0, 30).await
    });
}

#[test]
fn with_the_server_stopped_the_page_loads_again_and_does_the_example() {
    free_journey(async |browser, server| {
        let url = server.url();
        let port = server.port();
        browser.open(&url).await?;
        under_service_worker(browser).await?;
        server.stop();
        let deaf = Deaf::at(port)?;
        browser.open(&url).await?;
        walk_the_example(browser).await?;
        assert_eq!(deaf.heard(), Vec::<String>::new());
        browser.is_calm().await
    });
}
