//! A file that is no clip or no session, or an impossible number, is answered with a sentence, and nothing is lost.

use journeys::browser::{Browser, Result, unchecked_journey};
use journeys::clips::{ClipFolder, example_clip};
use site::serve::Server;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A file that ffmpeg makes; none if it cannot.
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

/// What the sentence about a bad file must contain.
#[derive(Clone, Copy)]
struct Sentence {
    /// What is wrong.
    reason: &'static str,
    /// What to do.
    to_do: &'static str,
}

/// Files that are no usable clips, each with its sentence.
fn bad_clips(folder: &Path) -> Vec<(PathBuf, Sentence)> {
    let write = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    };
    let demo = std::fs::read(example_clip()).unwrap();
    let mut all = vec![
        (
            write("words.mp4", b"these are words and no picture at all, whatever the ending says"),
            Sentence { reason: "not a video", to_do: "choose a clip" },
        ),
        (write("nothing.mp4", b""), Sentence { reason: "empty", to_do: "copy it again" }),
        (
            write("cut.mp4", &demo[..demo.len() / 2]),
            Sentence { reason: "cut off", to_do: "copy it again" },
        ),
    ];
    let audio = ["-f", "lavfi", "-i", "sine=frequency=440:duration=1", "-c:a", "aac"];
    all.extend(
        made_by_ffmpeg(folder, "audio.mp4", &audio)
            .map(|p| (p, Sentence { reason: "no picture", to_do: "choose the video clip" })),
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
        made_by_ffmpeg(folder, "phone.mp4", &hevc)
            .map(|p| (p, Sentence { reason: "cannot decode HEVC", to_do: "H.264" })),
    );
    all
}

/// Waits for the one sentence of the page, which names the file, the reason and what to do; then closes it.
async fn complaint(browser: &Browser, name: &str, sentence: Sentence) -> Result<()> {
    browser.until("document.querySelector('.notice.problem') !== null", 20).await?;
    let said = browser
        .script("return [...document.querySelectorAll('.notice.problem p')].map(n => n.innerText).join(' / ');")
        .await?;
    let said = said.as_str().unwrap_or_default();
    println!("{said}");
    for words in [name, sentence.reason, sentence.to_do] {
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
    browser.choose_file("Open a clip", &example_clip()).await?;
    browser
        .until("document.querySelector('[data-testid=stage]')?.dataset.frame === '0'", 30)
        .await?;
    for (path, sentence) in bad_clips(folder) {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        browser.may_complain(true);
        browser.choose_file("Open another clip", &path).await?;
        complaint(browser, &name, sentence).await.map_err(|e| format!("{name}: {e}"))?;
        browser
            .until("document.querySelector('[data-testid=stage]')?.dataset.frame === '0'", 5)
            .await?;
    }
    impossible_numbers(browser).await?;
    browser.press("Stride Ledger, first page").await?;
    for (name, text, sentence) in [
        (
            "broken.stride.json",
            "{\"format\": 1, \"made_with\": \"Stride Ledger\", \"session\": {",
            Sentence { reason: "is broken at line 1", to_do: "use another copy" },
        ),
        (
            "other.json",
            "[1, 2, 3]",
            Sentence { reason: "is not a session file", to_do: "choose one saved" },
        ),
        ("empty.stride.json", "", Sentence { reason: "is empty", to_do: "choose a session file" }),
        (
            "newer.stride.json",
            "{\"format\": 99, \"made_with\": \"Stride Ledger 9\", \"session\": {\"what\": 1}}",
            Sentence { reason: "newer version", to_do: "reload this page" },
        ),
    ] {
        let path = folder.join(name);
        std::fs::write(&path, text)?;
        browser.may_complain(true);
        browser.choose_file("Open a session file", &path).await?;
        complaint(browser, name, sentence).await?;
    }
    browser.until("document.body.innerText.includes('1 clip')", 10).await?;
    browser.has_no_errors().await
}

/// Numbers that cannot be, and a scale without a length.
async fn impossible_numbers(browser: &Browser) -> Result<()> {
    browser.step("Scale").await?;
    browser.fill("Body mass (kg)", "0").await?;
    browser.until("document.body.innerText.includes('0 is not possible here')", 5).await?;
    browser.fill("Speed (m/s)", "-2").await?;
    browser.until("document.body.innerText.includes('-2 is not possible here')", 5).await?;
    browser
        .until("document.querySelector('[data-testid=stage]')?.dataset.frame === '0'", 10)
        .await?;
    browser.may_complain(true);
    browser.tap((300.0, 300.0)).await?;
    complaint(
        browser,
        "The two ends",
        Sentence { reason: "in one place", to_do: "drag to the other" },
    )
    .await?;
    browser.step("Ledger").await?;
    browser.until("document.body.innerText.includes('Not yet')", 5).await?;
    browser.has_no_errors().await
}

fn each_bad_file_or_number_gets_its_sentence_and_nothing_is_lost() {
    let folder = ClipFolder::new().unwrap();
    unchecked_journey(async |browser, server| walk(browser, &server, folder.path()).await);
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["bad_input": each_bad_file_or_number_gets_its_sentence_and_nothing_is_lost]
}
