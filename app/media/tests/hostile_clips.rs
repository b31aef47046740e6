//! Files that are no clips, cut off or damaged: an error, never a panic and never a long wait.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

use media::{ClipIndex, MediaError};
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

fn read(bytes: &[u8]) -> Result<ClipIndex, MediaError> {
    ClipIndex::read(&mut Cursor::new(bytes))
}

fn made(name: &str, arguments: &[&str]) -> Option<Vec<u8>> {
    // Two runs at the same time must not write to the same file.
    let name = format!("{}-{name}", std::process::id());
    let clip: PathBuf = Path::new(env!("CARGO_TARGET_TMPDIR")).join(&name);
    let run = Command::new("ffmpeg")
        .args(["-v", "error", "-y", "-f", "lavfi"])
        .args(arguments)
        .arg(&clip)
        .status();
    if run.is_ok_and(|status| status.success()) {
        let bytes = std::fs::read(&clip).unwrap();
        std::fs::remove_file(clip).unwrap();
        return Some(bytes);
    }
    println!("not run: ffmpeg cannot make {name} here");
    None
}

const PICTURE: [&str; 2] = ["-i", "testsrc2=size=64x48:rate=30:duration=1"];

/// Made once for all tests, which run in parallel.
fn small_clips() -> &'static [Vec<u8>] {
    static CLIPS: OnceLock<Vec<Vec<u8>>> = OnceLock::new();
    CLIPS.get_or_init(|| {
        let with = |more: &[&'static str]| [&PICTURE[..], more].concat();
        let fragments = ["-c:v", "libx264", "-movflags", "frag_keyframe+empty_moov"];
        [
            made("small.mp4", &with(&["-c:v", "libx264", "-bf", "2"])),
            made("small_fragments.mp4", &with(&fragments)),
            made("small.webm", &with(&["-c:v", "libvpx"])),
        ]
        .into_iter()
        .flatten()
        .collect()
    })
}

#[test]
fn a_file_that_is_no_clip_is_refused_with_its_own_error() {
    assert_eq!(read(&[]), Err(MediaError::Empty));
    assert_eq!(read(b"a"), Err(MediaError::NotVideo));
    assert_eq!(read(b"These are minutes of a meeting."), Err(MediaError::NotVideo));
    assert_eq!(read(&[0; 4096]), Err(MediaError::NotVideo));
    assert_eq!(read(b"\0\0\0\x10ftypisom\0\0\0\0"), Err(MediaError::NoIndex));
    for name in ["sound.mp4", "sound.webm"] {
        let codec = if name.ends_with("mp4") { "aac" } else { "libopus" };
        if let Some(bytes) = made(name, &["-i", "sine=duration=1", "-c:a", codec]) {
            assert_eq!(read(&bytes), Err(MediaError::NoPicture), "{name}");
        }
    }
    if let Some(bytes) = made("prores.mov", &[&PICTURE[..], &["-c:v", "prores_ks"]].concat()) {
        assert_eq!(read(&bytes), Err(MediaError::UnknownCodec { codec: "ProRes".into() }));
    }
}

#[test]
fn a_clip_cut_off_anywhere_never_names_frames_beyond_its_end() {
    for bytes in small_clips() {
        let whole = read(bytes).unwrap();
        let step = bytes.len() / 60 + 1;
        for end in (0..bytes.len()).step_by(step) {
            if let Ok(index) = read(&bytes[..end]) {
                // In fragments, or after its last block, a clip is complete up to its end.
                let last = index.samples().iter().map(|s| s.offset + u64::from(s.size_bytes)).max();
                assert!(last.unwrap() <= end as u64);
                assert!(index.samples().len() <= whole.samples().len());
            }
        }
    }
}

#[test]
fn a_thousand_damaged_clips_of_each_kind_are_read_quickly_and_without_panic() {
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    let mut random = move |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % below as u64).unwrap()
    };
    for clip in small_clips() {
        for _ in 0..1000 {
            let mut bytes = clip.clone();
            for _ in 0..=random(4) {
                let at = random(bytes.len());
                match random(3) {
                    0 => bytes[at] ^= 1 << random(8),
                    1 => bytes[at] = 0xff,
                    _ => bytes.iter_mut().skip(at).take(4).for_each(|b| *b = 0xff),
                }
            }
            let began = Instant::now();
            let _ = read(&bytes);
            assert!(began.elapsed() < Duration::from_secs(1));
        }
    }
}
