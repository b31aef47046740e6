//! What is not a clip, not a session or not a possible number is answered with a sentence, and nothing is lost.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

use checks::browser::{Browser, Result, free_journey};
use site::serve::Server;
use std::path::{Path, PathBuf};
use std::process::Command;

fn made_by_ffmpeg(folder: &Path, name: &str, arguments: &[&str]) -> Option<PathBuf> {
    let path = folder.join(name);
    let done = Command::new("ffmpeg")
        .args(["-hide_banner", "-loglevel", "error", "-y"])
        .args(arguments)
        .arg(&path)
        .status();
    let made = done.is_ok_and(|s| s.success());
    if !made {
        println!("not run: ffmpeg does not make {name} here");
    }
    made.then_some(path)
}

/// Files that are not usable clips, each with words that its sentence must hold.
fn bad_clips(folder: &Path) -> Vec<(PathBuf, (&'static str, &'static str))> {
    let write = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    };
    let demo =
        std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/../demo-clips/clips/heels_low.mp4"))
            .unwrap();
    let mut all = vec![
        (
            write("words.mp4", b"these are words and no picture at all, whatever the ending says"),
            ("not a video", "choose a clip"),
        ),
        (write("nothing.mp4", b""), ("empty", "copy it again")),
        (write("cut.mp4", &demo[..demo.len() / 2]), ("cut off", "copy it again")),
    ];
    let sound = ["-f", "lavfi", "-i", "sine=frequency=440:duration=1", "-c:a", "aac"];
    all.extend(
        made_by_ffmpeg(folder, "sound.mp4", &sound)
            .map(|p| (p, ("no picture", "choose the video clip"))),
    );
    let hevc = [
        "-f",
        "lavfi",
        "-i",
        "testsrc=size=320x180:rate=30:duration=1",
        "-c:v",
        "libx265",
        "-tag:v",
        "hvc1",
        "-pix_fmt",
        "yuv420p",
    ];
    all.extend(
        made_by_ffmpeg(folder, "phone.mp4", &hevc).map(|p| (p, ("cannot decode HEVC", "H.264"))),
    );
    all
}

/// Waits for the one sentence that the page says, which names the file, the reason and what to do; then closes it.
async fn complaint(browser: &Browser, name: &str, (reason, to_do): (&str, &str)) -> Result<()> {
    browser.until("document.querySelector('.notice.problem') !== null", 20).await?;
    let said = browser
        .script("return [...document.querySelectorAll('.notice.problem p')].map(n => n.innerText).join(' / ');")
        .await?;
    let said = said.as_str().unwrap_or_default();
    println!("{said}");
    for words in [name, reason, to_do] {
        if !said.contains(words) {
            return Err(format!("“{words}” is not in: {said}").into());
        }
    }
    browser.press("Close this notice").await?;
    browser.may_complain(false);
    browser.shows_no_fault().await
}

async fn walk(browser: &Browser, server: &Server, folder: &Path) -> Result<()> {
    browser.open(&server.url()).await?;
    browser
        .give(
            "Open a clip",
            Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../demo-clips/clips/heels_low.mp4")),
        )
        .await?;
    browser
        .until("document.querySelector('[data-testid=stage]')?.dataset.frame === '0'", 30)
        .await?;
    for (path, words) in bad_clips(folder) {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        browser.may_complain(true);
        browser.give("Open another clip", &path).await?;
        complaint(browser, &name, words).await.map_err(|e| format!("{name}: {e}"))?;
        browser
            .until("document.querySelector('[data-testid=stage]')?.dataset.frame === '0'", 5)
            .await?;
    }
    browser.step("Scale").await?;
    browser.fill("Body mass (kg)", "0").await?;
    browser.until("document.body.innerText.includes('0 is not possible here')", 5).await?;
    browser.fill("Speed (m/s)", "-2").await?;
    browser.until("document.body.innerText.includes('-2 is not possible here')", 5).await?;
    browser
        .until("document.querySelector('[data-testid=stage]')?.dataset.frame === '0'", 10)
        .await?;
    browser.may_complain(true);
    browser.touch((300.0, 300.0)).await?;
    complaint(browser, "The two ends", ("in one place", "drag to the other")).await?;
    browser.step("Ledger").await?;
    browser.until("document.body.innerText.includes('Not yet')", 5).await?;
    browser.is_calm().await?;
    browser.press("Stride Ledger, first page").await?;
    for (name, text, words) in [
        (
            "broken.stride.json",
            "{\"format\": 1, \"made_with\": \"Stride Ledger\", \"session\": {",
            ("is broken at line 1", "use another copy"),
        ),
        ("other.json", "[1, 2, 3]", ("is not a session file", "choose one saved")),
        ("empty.stride.json", "", ("is empty", "choose a session file")),
        (
            "newer.stride.json",
            "{\"format\": 99, \"made_with\": \"Stride Ledger 9\", \"session\": {\"what\": 1}}",
            ("newer version", "reload this page"),
        ),
    ] {
        let path = folder.join(name);
        std::fs::write(&path, text)?;
        browser.may_complain(true);
        browser.give("Open a session file", &path).await?;
        complaint(browser, name, words).await?;
    }
    browser.until("document.body.innerText.includes('1 clip')", 10).await?;
    browser.is_calm().await
}

#[test]
fn each_bad_file_or_number_gets_its_sentence_and_the_work_stays() {
    let folder = std::env::temp_dir().join(format!("stride-bad-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    free_journey(async |browser, server| walk(browser, &server, &folder).await);
    std::fs::remove_dir_all(&folder).unwrap();
}
