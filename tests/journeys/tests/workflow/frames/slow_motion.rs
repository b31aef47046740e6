//! Slow motion is recognised by the capture rate in the file, by the stamps and by the free fall of the runner; a rate
//! is proposed, and never applied before a person confirms it.

use super::super::autosave::enter_everything;
use super::super::common::{demo, saved_session, trial};
use document::session::Session;
use journeys::browser::{Browser, Result, journey};
use journeys::clips::{ClipFolder, with_filmed_rate};
use std::path::{Path, PathBuf};
use std::process::Command;

/// A clip that ffmpeg makes of the first one of the example; none if it cannot.
pub fn transcoded(
    scratch: &ClipFolder,
    name: &str,
    before: &[&str],
    after: &[&str],
) -> Option<PathBuf> {
    let path = scratch.path().join(name);
    let mut ffmpeg = Command::new("ffmpeg");
    ffmpeg.args(["-v", "error", "-y"]).args(before).arg("-i").arg(demo("heels_low.mp4"));
    let done = ffmpeg.args(after).arg(&path).status();
    if !done.is_ok_and(|s| s.success()) {
        println!("not run: ffmpeg cannot make {name} here");
        return None;
    }
    Some(path)
}

/// The capture rate that was entered or confirmed so far.
fn capture_rate_hz(session: &Session) -> Result<Option<f64>> {
    Ok(trial(session, 0)?.calibration.filmed_rate_hz)
}

/// Opens a clip and answers the session as it is then.
async fn opened(browser: &Browser, url: &str, clip: &Path) -> Result<Session> {
    browser.open(url).await?;
    browser.choose_file("Open a clip", clip).await?;
    browser.shows_frame(0, 30).await?;
    saved_session(browser).await
}

fn the_capture_rate_in_the_file_is_proposed_and_used_only_after_a_press() {
    let scratch = ClipFolder::new().unwrap();
    let copy = ["-t", "1", "-c", "copy"];
    let Some(slow) = transcoded(&scratch, "slow.mp4", &["-itsscale", "4"], &copy) else { return };
    let Some(real) = transcoded(&scratch, "real.mp4", &[], &copy) else { return };
    for (clip, rate_hz) in [(&slow, 120.0), (&real, 119.0)] {
        let file = with_filmed_rate(&std::fs::read(clip).unwrap(), rate_hz);
        std::fs::write(clip, file).unwrap();
    }
    journey(async |browser, server| {
        let session = opened(browser, &server.url(), &slow).await?;
        browser.shows_text("filmed at 120 frames/s: it plays in slow motion", 5).await?;
        assert_eq!(capture_rate_hz(&session)?, None, "applied without consent");
        let slow_times_s = trial(&session, 0)?.times_s();
        browser.step("Scale").await?;
        browser.shows_text("The file says that it was filmed at 120 frames/s", 5).await?;
        browser.press("Use 120 frames/s").await?;
        browser.step("Clip").await?;
        let session = saved_session(browser).await?;
        assert_eq!(capture_rate_hz(&session)?, Some(120.0));
        for (slow_s, real_s) in slow_times_s.iter().zip(trial(&session, 0)?.times_s()) {
            assert!((slow_s / 4.0 - real_s).abs() < 1e-9, "{slow_s} and {real_s}");
        }
        // Phones write the rate into every clip: if the stamps agree there is nothing to propose.
        let session = opened(browser, &server.url(), &real).await?;
        assert_eq!(trial(&session, 0)?.clip.info.filmed_rate_hz, Some(119.0));
        let said = browser.text().await?;
        assert!(!said.contains("slow motion. Confirm") && !said.contains("filmed at"), "{said}");
        browser.step("Scale").await?;
        browser.shows_text("Only for slow motion", 5).await?;
        let said = browser.text().await?;
        assert!(!said.contains("Use 119"), "{said}");
        Ok(())
    });
}

fn a_part_in_slow_motion_is_recognised_by_its_stamps() {
    let scratch = ClipFolder::new().unwrap();
    // 80 frames at 120 frames/s, then each four steps apart.
    let ramp = "setpts='(min(N,80)+4*max(N-80,0))/120/TB'";
    let encode = ["-vf", ramp, "-vsync", "passthrough", "-frames:v", "120", "-c:v", "libx264"];
    let Some(clip) = transcoded(&scratch, "ramp.mp4", &[], &encode) else { return };
    journey(async |browser, server| {
        let session = opened(browser, &server.url(), &clip).await?;
        browser.shows_text("From frame 81 on the frames lie 4 times as far apart", 5).await?;
        assert_eq!(capture_rate_hz(&session)?, None);
        Ok(())
    });
}

/// Opens what the page folds away, such as the physical checks.
const UNFOLD: &str = "document.querySelectorAll('details').forEach((d) => { d.open = true; });";

fn a_capture_rate_is_proposed_if_free_fall_is_too_slow_and_nothing_is_changed() {
    let scratch = ClipFolder::new().unwrap();
    let (slower, copy) = (["-itsscale", "1.6666667"], ["-c", "copy"]);
    let Some(clip) = transcoded(&scratch, "slow.mp4", &slower, &copy) else { return };
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        let session = enter_everything(browser, &clip).await?;
        browser.step("Ledger").await?;
        browser.wait("table.ledger", 20).await?;
        browser.script(UNFOLD).await?;
        let proposed = "filmed at 120 frames/s and is stamped at 72: enter the filmed rate";
        browser.shows_text(proposed, 20).await?;
        browser.step("Clip").await?;
        assert_eq!(saved_session(browser).await?.trials, session.trials, "changed without consent");
        assert_eq!(capture_rate_hz(&session)?, None);
        browser.step("Scale").await?;
        browser.fill("Filmed at (frames/s)", "120").await?;
        browser.step("Ledger").await?;
        browser.wait("table.ledger", 20).await?;
        browser.script(UNFOLD).await?;
        browser.shows_text("Falls as a body must in flight", 10).await?;
        let said = browser.text().await?;
        assert!(!said.contains("enter the filmed rate"), "{said}");
        Ok(())
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["workflow::slow_motion": the_capture_rate_in_the_file_is_proposed_and_used_only_after_a_press, a_part_in_slow_motion_is_recognised_by_its_stamps, a_capture_rate_is_proposed_if_free_fall_is_too_slow_and_nothing_is_changed]
}
