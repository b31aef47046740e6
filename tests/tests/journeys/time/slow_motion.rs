//! Slow motion is recognised by what the file says, by its stamps and by how the runner falls; it is proposed, and never
//! applied before a person says so.

use crate::common::{demo, saved_session, trial};
use crate::keeping::enter_everything;
use checks::browser::{Browser, Result, journey};
use checks::clips::{Workshop, with_filmed_rate};
use document::session::Session;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A clip made of the first one of the example; none where there is no ffmpeg.
pub fn remade(workshop: &Workshop, name: &str, before: &[&str], after: &[&str]) -> Option<PathBuf> {
    let path = workshop.folder().join(name);
    let mut ffmpeg = Command::new("ffmpeg");
    ffmpeg.args(["-v", "error", "-y"]).args(before).arg("-i").arg(demo("heels_low.mp4"));
    let done = ffmpeg.args(after).arg(&path).status();
    if !done.is_ok_and(|s| s.success()) {
        println!("not run: ffmpeg does not make {name} here");
        return None;
    }
    Some(path)
}

/// The rate that was entered, or taken over, so far.
fn rate_taken_hz(session: &Session) -> Result<Option<f64>> {
    Ok(trial(session, 0)?.calibration.filmed_rate_hz)
}

/// Opens a clip and answers the session as it is then.
async fn opened(browser: &Browser, url: &str, clip: &Path) -> Result<Session> {
    browser.open(url).await?;
    browser.give("Open a clip", clip).await?;
    browser.shows_frame(0, 30).await?;
    saved_session(browser).await
}

#[test]
fn the_rate_that_the_file_tells_is_proposed_and_taken_only_by_a_press() {
    let workshop = Workshop::new("told-rate").unwrap();
    let copy = ["-t", "1", "-c", "copy"];
    let Some(slow) = remade(&workshop, "slow.mp4", &["-itsscale", "4"], &copy) else { return };
    let Some(real) = remade(&workshop, "real.mp4", &[], &copy) else { return };
    for (clip, rate_hz) in [(&slow, 120.0), (&real, 119.0)] {
        let told = with_filmed_rate(&std::fs::read(clip).unwrap(), rate_hz);
        std::fs::write(clip, told).unwrap();
    }
    journey(async |browser, server| {
        let session = opened(browser, &server.url(), &slow).await?;
        browser.says("filmed at 120 frames/s: it plays in slow motion", 5).await?;
        assert_eq!(rate_taken_hz(&session)?, None, "taken without a word");
        let slow_times_s = trial(&session, 0)?.times_s();
        browser.step("Scale").await?;
        browser.says("The file says that it was filmed at 120 frames/s", 5).await?;
        browser.press("Use 120 frames/s").await?;
        browser.step("Clip").await?;
        let session = saved_session(browser).await?;
        assert_eq!(rate_taken_hz(&session)?, Some(120.0));
        for (slow_s, real_s) in slow_times_s.iter().zip(trial(&session, 0)?.times_s()) {
            assert!((slow_s / 4.0 - real_s).abs() < 1e-9, "{slow_s} and {real_s}");
        }
        // Phones write the rate beside every clip: where the stamps say the same there is nothing to propose.
        let session = opened(browser, &server.url(), &real).await?;
        assert_eq!(trial(&session, 0)?.clip.info.filmed_rate_hz, Some(119.0));
        let said = browser.words().await?;
        assert!(!said.contains("slow motion. Confirm") && !said.contains("filmed at"), "{said}");
        browser.step("Scale").await?;
        browser.says("Only for slow motion", 5).await?;
        let said = browser.words().await?;
        assert!(!said.contains("Use 119"), "{said}");
        Ok(())
    });
}

#[test]
fn a_part_in_slow_motion_is_told_by_its_stamps() {
    let workshop = Workshop::new("ramp").unwrap();
    // 80 frames at 120 frames/s, then each four steps apart.
    let ramp = "setpts='(min(N,80)+4*max(N-80,0))/120/TB'";
    let encode = ["-vf", ramp, "-vsync", "passthrough", "-frames:v", "120", "-c:v", "libx264"];
    let Some(clip) = remade(&workshop, "ramp.mp4", &[], &encode) else { return };
    journey(async |browser, server| {
        let session = opened(browser, &server.url(), &clip).await?;
        browser.says("From frame 81 on the frames lie 4 times as far apart", 5).await?;
        assert_eq!(rate_taken_hz(&session)?, None);
        Ok(())
    });
}

/// What the page folds away: the physical checks, among others.
const UNFOLDED: &str = "document.querySelectorAll('details').forEach((d) => { d.open = true; });";

#[test]
fn a_runner_who_falls_too_slowly_is_proposed_the_filmed_rate_and_nothing_is_changed() {
    let workshop = Workshop::new("falls").unwrap();
    let (slower, copy) = (["-itsscale", "1.6666667"], ["-c", "copy"]);
    let Some(clip) = remade(&workshop, "slow.mp4", &slower, &copy) else { return };
    journey(async |browser, server| {
        browser.open(&server.url()).await?;
        let session = enter_everything(browser, &clip).await?;
        browser.step("Ledger").await?;
        browser.wait("table.ledger", 20).await?;
        browser.script(UNFOLDED).await?;
        let proposed = "filmed at 120 frames/s and is stamped at 72: enter the filmed rate";
        browser.says(proposed, 20).await?;
        browser.step("Clip").await?;
        assert_eq!(saved_session(browser).await?.trials, session.trials, "changed without a word");
        assert_eq!(rate_taken_hz(&session)?, None);
        browser.step("Scale").await?;
        browser.fill("Filmed at (frames/s)", "120").await?;
        browser.step("Ledger").await?;
        browser.wait("table.ledger", 20).await?;
        browser.script(UNFOLDED).await?;
        browser.says("Falls as a body must in flight", 10).await?;
        let said = browser.words().await?;
        assert!(!said.contains("enter the filmed rate"), "{said}");
        Ok(())
    });
}
