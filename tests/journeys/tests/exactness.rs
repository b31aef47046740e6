//! Every frame that the page shows is the one it names, in every kind of clip, read back from the page's canvas.

use document::session::file;
use journeys::browser::{Browser, Engine, Result, alone, beside_others, site_folder};
use journeys::clips::{ClipFolder, Kind, Proof, ShownFrame, ffprobe, kinds, scrub, visit};
use journeys::options::options;
use journeys::random::seeded;
use rand::RngExt;
use site::serve::Server;
use std::path::Path;
use std::time::Instant;

/// Chosen: of 8-bit tones; twice what the coders of these clips leave.
const MOST_TONES_OFF: f64 = 6.0;

/// The outcome of one clip.
enum Outcome {
    /// The number of frames that were read, all of them right.
    Exact(usize),
    /// The browser does not decode it; the sentence of the page.
    Refused(String),
}

/// Frames to visit: all forward, some back, then some at random.
fn tour(count: usize) -> Vec<usize> {
    let mut all: Vec<usize> = (0..count).collect();
    all.extend((count.saturating_sub(14)..count).rev());
    let mut random = seeded(0x2545_f491);
    all.extend(std::iter::repeat_with(|| random.random_range(0..count)).take(20));
    all
}

fn all_right(kind: &Kind, all: &[ShownFrame]) -> Result<usize> {
    for seen in all {
        let wanted = kind.shown.get(seen.frame).copied();
        if seen.number.as_ref().ok().copied() != wanted {
            let (frame, number) = (seen.frame, &seen.number);
            return Err(format!("frame {frame} should show {wanted:?} and shows {number:?}").into());
        }
        let off = if is_stretched(kind) { seen.stretched_tone_error } else { seen.tone_error };
        if off > MOST_TONES_OFF {
            let frame = seen.frame;
            return Err(format!("frame {frame} has tones that are off by {off:.1}").into());
        }
    }
    Ok(all.len())
}

/// Firefox takes the full range for the limited range in any case, and its colours are clipped at both ends: what it
/// shows then is known, and the journey asserts it.
fn is_stretched(kind: &Kind) -> bool {
    options().engine == Engine::Firefox && kind.name.starts_with("full_range")
}

/// Stamps of the shown frames since the first, by another program.
fn probed_s(clip: &Path) -> Result<Vec<f64>> {
    let packets = ffprobe(clip, &["-show_entries", "packet=pts_time,flags"])?;
    let mut stamps_s = Vec::new();
    for line in packets.lines() {
        let (time, flags) = line.split_once(',').ok_or("ffprobe prints no flags")?;
        // ffprobe marks frames that an edit list removes as discarded.
        if !flags.contains('D') {
            stamps_s.push(time.parse::<f64>()?);
        }
    }
    stamps_s.sort_by(f64::total_cmp);
    let first_s = stamps_s.first().copied().unwrap_or(0.0);
    Ok(stamps_s.into_iter().map(|s| s - first_s).collect())
}

/// Checks the stamps in the saved session against those of the clip.
async fn stamps_agree(browser: &Browser, kind: &Kind, clip: &Path) -> Result<()> {
    browser.press("Save session file").await?;
    let text = browser.download(".stride.json").await?;
    let session = file::read("saved", &text)?.session;
    let ours = session.trials.first().ok_or("no clip in the session")?.clip.info.stamps_s.clone();
    let (wanted, most_apart_s) = match kind.proof {
        // ffprobe prints microseconds; WebM holds milliseconds.
        Proof::Probed if kind.name.ends_with(".webm") => (probed_s(clip)?, 1.01e-3),
        Proof::Probed => (probed_s(clip)?, 2e-6),
        Proof::Even => {
            let rate: f64 = kind.rate.parse()?;
            ((0..kind.frames).map(|n| n as f64 / rate).collect(), 1e-6)
        }
    };
    if ours.len() != wanted.len() {
        return Err(format!("{} stamps instead of {}", ours.len(), wanted.len()).into());
    }
    for (ours_s, wanted_s) in ours.iter().zip(&wanted) {
        if (ours_s - wanted_s).abs() > most_apart_s {
            return Err(format!("a stamp is {ours_s} s instead of {wanted_s} s").into());
        }
    }
    Ok(())
}

async fn prove(browser: &Browser, server: &Server, kind: &Kind, clip: &Path) -> Result<Outcome> {
    browser.open(&server.url()).await?;
    browser.choose_file("Open a clip", clip).await?;
    let answered = "document.querySelector('[data-testid=stage]')?.dataset.frame === '0' || document.querySelector('.notice.problem')";
    browser.until(answered, 20).await?;
    let refusal = browser
        .script("return document.querySelector('.notice.problem')?.innerText ?? null;")
        .await?;
    if let Some(sentence) = refusal.as_str() {
        return Ok(Outcome::Refused(sentence.to_owned()));
    }
    let size = browser
        .script("const s = document.querySelector('[data-testid=stage]'); return s.dataset.width / s.dataset.height;")
        .await?;
    let upright = kind.shape();
    if size.as_f64().is_none_or(|s| (s / upright - 1.0).abs() > 0.01) {
        return Err(format!("the frame's shape is {size} instead of {upright:.3}").into());
    }
    let count = kind.shown.len();
    let walked = all_right(kind, &visit(&browser.client, kind, &tour(count)).await?)?;
    let forward_and_back: Vec<usize> =
        (0..count).step_by(3).chain((0..count).rev().step_by(5)).collect();
    let pulled = all_right(kind, &scrub(&browser.client, kind, &forward_and_back).await?)?;
    stamps_agree(browser, kind, clip).await?;
    Ok(Outcome::Exact(walked + pulled))
}

/// Kinds that an engine as built by Debian does not decode; refusing any other is a failure.
fn is_refused_here(kind: &Kind) -> bool {
    let name = kind.name;
    match options().engine {
        Engine::Chromium => name.starts_with("hevc"),
        Engine::Firefox => name.starts_with("hevc") || name == "h264_10_bits.mp4",
        Engine::WebKit => name == "vp9_10_bits.webm",
    }
}

/// A refusal must name the clip, the codec and what to do.
fn may_be_refused(kind: &Kind, sentence: &str) -> Result<()> {
    let codec = match kind.name {
        name if name.starts_with("hevc") => "cannot decode HEVC",
        name if name.starts_with("h264") => "cannot decode H.264",
        _ => "cannot decode VP9",
    };
    let way_out = ["most compatible", "8 bits"].iter().any(|way| sentence.contains(way));
    let elsewhere = sentence.contains("another browser") || sentence.contains("a browser that can");
    let says = sentence.contains(kind.name) && sentence.contains(codec) && way_out && elsewhere;
    if is_refused_here(kind) && says { Ok(()) } else { Err(format!("refused: {sentence}").into()) }
}

fn every_shown_frame_is_the_named_one_in_every_second_kind_of_clip() {
    prove_every_second(0);
}

fn every_shown_frame_is_the_named_one_in_the_other_kinds_of_clip() {
    prove_every_second(1);
}

fn prove_every_second(from: usize) {
    let Some(folder) = site_folder() else { return };
    let scratch = ClipFolder::new().unwrap();
    let _room = beside_others();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let only = options().kind.as_ref();
    let (mut pictures, mut wrong) = (0, Vec::new());
    runtime.block_on(async {
        let server = Server::start(&folder, 0).unwrap();
        let mut browser = Browser::start((1280, 800)).await.unwrap();
        println!("{}", browser.script("return navigator.userAgent;").await.unwrap());
        let wanted = |k: &&Kind| only.is_none_or(|o| k.name.contains(o.as_str()));
        for kind in kinds().iter().skip(from).step_by(2).filter(wanted) {
            // WebKitGTK 2.50 hangs after some fifteen clips, whichever they are.
            if browser.engine == Engine::WebKit {
                browser.end().await.unwrap();
                browser = Browser::start((1280, 800)).await.unwrap();
            }
            let began = Instant::now();
            let clip = match scratch.make(kind) {
                Ok(clip) => clip,
                Err(words) => {
                    wrong.push(format!("{}: ffmpeg cannot make it: {words}", kind.name));
                    continue;
                }
            };
            let made_s = began.elapsed().as_secs_f64();
            let outcome = prove(&browser, &server, kind, &clip).await;
            let said = match outcome {
                Ok(Outcome::Exact(count)) => {
                    pictures += count;
                    let but =
                        if is_stretched(kind) { " except tones, which are stretched" } else { "" };
                    format!("{count} frames, all right{but}")
                }
                Ok(Outcome::Refused(sentence)) => {
                    if let Err(e) = may_be_refused(kind, &sentence) {
                        wrong.push(format!("{}: {e}", kind.name));
                    }
                    sentence
                }
                Err(e) => {
                    wrong.push(format!("{}: {e}", kind.name));
                    format!("WRONG {e}")
                }
            };
            let took_s = began.elapsed().as_secs_f64();
            println!("{}: {said} (made in {made_s:.1} s, all in {took_s:.1} s)", kind.name);
        }
        browser.end().await.unwrap();
    });
    println!("{pictures} frames read back");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(only.is_some() || pictures > 1_750, "{pictures}");
}

/// Chosen: one less than were open when `WebKitGTK` 2.50 showed a wrong frame; it hangs after fifteen.
const CLIPS_A_BROWSER: usize = 13;

/// Drags to and fro through clip after clip, until as many frames were read back as `--pulls` asks for.
fn a_slider_dragged_for_long_never_shows_another_frame_than_the_named_one() {
    let Some((wanted, folder)) = options().pulls.zip(site_folder()) else {
        println!("not run: --pulls gives no number of frames to read back");
        return;
    };
    let scratch = ClipFolder::new().unwrap();
    let _room = alone();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let (mut read_back, mut clips, mut wrong) = (0, 0, Vec::new());
    runtime.block_on(async {
        let server = Server::start(&folder, 0).unwrap();
        while read_back < wanted {
            let browser = Browser::start((1280, 800)).await.unwrap();
            for kind in kinds().iter().filter(|k| !is_refused_here(k)).cycle().skip(clips) {
                let clip = scratch.make(kind).unwrap();
                let seen = dragged(&browser, &server, &Pull { kind, clip: &clip, seed: clips })
                    .await
                    .unwrap();
                read_back += seen.len();
                clips += 1;
                wrong.extend(seen.iter().filter_map(|one| {
                    let wanted = kind.shown.get(one.frame).copied();
                    let is_right = one.number.as_ref().ok().copied() == wanted;
                    (!is_right)
                        .then(|| format!("{}: frame {}: {:?}", kind.name, one.frame, one.number))
                }));
                if clips % CLIPS_A_BROWSER == 0 || read_back >= wanted {
                    break;
                }
            }
            println!("{clips} clips, {read_back} frames read back, {} wrong", wrong.len());
            browser.end().await.unwrap();
        }
    });
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// One clip to drag through.
struct Pull<'a> {
    kind: &'a Kind,
    clip: &'a Path,
    /// The first frame.
    seed: usize,
}

async fn dragged(browser: &Browser, server: &Server, pull: &Pull<'_>) -> Result<Vec<ShownFrame>> {
    let Pull { kind, clip, seed } = *pull;
    browser.open(&server.url()).await?;
    browser.choose_file("Open a clip", clip).await?;
    browser
        .until("document.querySelector('[data-testid=stage]')?.dataset.frame === '0'", 20)
        .await?;
    let (count, mut seen) = (kind.shown.len(), Vec::new());
    for step in [3, 5, 7, 11] {
        let all = (0..count).map(|at| (at * step + seed) % count).collect::<Vec<_>>();
        seen.extend(scrub(&browser.client, kind, &all).await?);
    }
    Ok(seen)
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    [journeys::trials!["exactness": every_shown_frame_is_the_named_one_in_every_second_kind_of_clip, every_shown_frame_is_the_named_one_in_the_other_kinds_of_clip], journeys::timed_trials!["exactness": a_slider_dragged_for_long_never_shows_another_frame_than_the_named_one]].into_iter().flatten().collect()
}
