//! A real walker before a camera that pans: opened, stepped through, and what is lost is said.

use crate::common::{FOLLOWED, beside};
use checks::browser::journey;

#[test]
fn the_walker_opens_steps_exactly_and_what_is_lost_is_said() {
    let Some(clip) = beside("walker.mp4") else { return };
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        browser.give("Open a clip", &clip).await?;
        browser.shows_frame(0, 30).await?;
        assert!(browser.words().await?.contains("70 frames"));
        for frame in 1..=5 {
            browser.press("Next frame").await?;
            browser.shows_frame(frame, 10).await?;
        }
        for frame in (0..5).rev() {
            browser.press("Previous frame").await?;
            browser.shows_frame(frame, 10).await?;
        }
        browser.step("Markers").await?;
        browser.shows_frame(0, 10).await?;
        // Placed by eye on the first frame of the walker: shoulder, hip, knee, ankle of the near side.
        for (name, at) in [
            ("Near shoulder", (314.0, 160.0)),
            ("Near hip", (318.0, 262.0)),
            ("Near knee", (312.0, 350.0)),
            ("Near ankle", (304.0, 402.0)),
        ] {
            browser.press(name).await?;
            browser.touch(at).await?;
            browser.press(&format!("{name}, marked")).await?;
            browser.choose("Skin or cloth").await?;
        }
        browser.until("document.querySelectorAll('.landmark.has-mark').length === 4", 10).await?;
        browser.press("Follow the markers").await?;
        browser.until(FOLLOWED, 60).await?;
        browser.shot("walker").await?;
        let said = browser.words().await?;
        assert!(
            said.contains("in doubt"),
            "a camera that pans and legs that cross leave doubt, and it must be said: {said}"
        );
        Ok(())
    });
}
