//! The index of real clips against what `ffprobe` tells of them.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

use app::media::{ClipIndex, fingerprint};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Packets as `ffprobe` sees them: place, size, whether key; and times of showing with edits applied.
struct Told {
    packets: Vec<(u64, u32, bool)>,
    shown_s: Vec<f64>,
}

fn ffprobe(clip: &Path, arguments: &[&str]) -> Option<String> {
    let run = Command::new("ffprobe")
        .args(["-v", "error", "-select_streams", "v:0", "-of", "csv=p=0"])
        .args(arguments)
        .arg(clip)
        .output()
        .ok()?;
    Some(String::from_utf8(run.stdout).unwrap())
}

fn is_matroska(clip: &Path) -> bool {
    clip.extension().is_some_and(|e| e == "webm" || e == "mkv")
}

fn told(clip: &Path) -> Option<Told> {
    let raw = ffprobe(clip, &["-ignore_editlist", "1", "-show_entries", "packet=size,pos,flags"])?;
    // In Matroska it tells where a block begins, whose own head of four bytes comes before the frame.
    let head_bytes = if is_matroska(clip) { 4 } else { 0 };
    let packet = |line: &str| {
        let fields: Vec<&str> = line.split(',').collect();
        let place = fields[1].parse::<u64>().unwrap() + head_bytes;
        (place, fields[0].parse().unwrap(), fields[2].starts_with('K'))
    };
    let edited = ffprobe(clip, &["-show_entries", "packet=pts_time,flags"])?;
    let mut shown_s: Vec<f64> = edited
        .lines()
        .map(|line| line.split(',').collect::<Vec<_>>())
        .filter(|fields| !fields[1].contains('D'))
        .map(|fields| fields[0].parse().unwrap())
        .collect();
    shown_s.sort_by(f64::total_cmp);
    Some(Told { packets: raw.lines().map(packet).collect(), shown_s })
}

fn check(clip: &Path) {
    let Some(told) = told(clip) else {
        println!("not run for {}: there is no ffprobe", clip.display());
        return;
    };
    let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
    let ours: Vec<(u64, u32, bool)> =
        index.samples().iter().map(|s| (s.offset, s.size_bytes, s.is_key)).collect();
    assert_eq!(ours, told.packets, "{}", clip.display());
    let stamps_s = index.stamps_s();
    assert_eq!(stamps_s.len(), told.shown_s.len(), "{}", clip.display());
    for (ours_s, told_s) in stamps_s.iter().zip(&told.shown_s) {
        // ffprobe prints microseconds; the times of WebM are rounded to milliseconds in the file.
        let rounding_s = if is_matroska(clip) { 1.01e-3 } else { 2e-6 };
        assert!((ours_s - (told_s - told.shown_s[0])).abs() < rounding_s, "{}", clip.display());
    }
}

fn clips(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let Ok(entries) = std::fs::read_dir(&folder) else {
        println!("not run: {} is not there", folder.display());
        return Vec::new();
    };
    entries
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "mp4"))
        .collect()
}

/// A clip made for one test; none where there is no ffmpeg.
fn made(name: &str, arguments: &[&str]) -> Option<PathBuf> {
    // Two runs at a time must not write to the same file.
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(std::process::id().to_string());
    std::fs::create_dir_all(&folder).unwrap();
    let clip = folder.join(name);
    let run = Command::new("ffmpeg")
        .args([
            "-v",
            "error",
            "-y",
            "-f",
            "lavfi",
            "-i",
            "testsrc2=size=128x96:rate=60:duration=1.5",
        ])
        .args(arguments)
        .arg(&clip)
        .status();
    match run {
        Ok(status) if status.success() => Some(clip),
        _ => {
            println!("not run: ffmpeg cannot make {name} here");
            None
        }
    }
}

const H264: [&str; 6] = ["-c:v", "libx264", "-bf", "2", "-g", "20"];

#[test]
fn the_index_of_the_measuring_clips_is_what_ffprobe_tells() {
    for clip in clips("../../shared/clips").into_iter().chain(clips("../demo-clips/clips")) {
        check(&clip);
    }
}

#[test]
fn every_kind_of_container_is_read_as_ffprobe_reads_it() {
    let with = |more: &[&'static str]| [H264.as_slice(), more].concat();
    let kinds: [(&str, Vec<&str>); 9] = [
        ("plain.mp4", with(&[])),
        ("fast.mov", with(&["-movflags", "faststart"])),
        ("fragments.mp4", with(&["-movflags", "frag_keyframe+empty_moov+default_base_moof"])),
        ("fragments_old.mp4", with(&["-movflags", "frag_keyframe"])),
        ("open.mp4", with(&["-x264-params", "open-gop=1:b-pyramid=normal:bframes=3"])),
        ("hevc.mp4", vec!["-c:v", "libx265", "-tag:v", "hvc1", "-x265-params", "log-level=none"]),
        ("vp8.webm", vec!["-c:v", "libvpx", "-auto-alt-ref", "1", "-lag-in-frames", "10"]),
        ("vp9.webm", vec!["-c:v", "libvpx-vp9", "-cpu-used", "8"]),
        ("h264.mkv", with(&[])),
    ];
    for (name, arguments) in kinds {
        if let Some(clip) = made(name, &arguments) {
            check(&clip);
        }
    }
}

#[test]
fn frames_cut_away_by_an_edit_list_are_decoded_but_not_shown() {
    let Some(whole) = made("whole.mp4", &H264) else { return };
    let trimmed = whole.with_file_name("trimmed.mp4");
    let made = Command::new("ffmpeg")
        .args(["-v", "error", "-y", "-ss", "0.75", "-i"])
        .arg(&whole)
        .args(["-c", "copy"])
        .arg(&trimmed)
        .status()
        .unwrap();
    assert!(made.success());
    check(&trimmed);
    let index = ClipIndex::read(&mut File::open(&trimmed).unwrap()).unwrap();
    assert!(index.samples().len() > index.shown().len());
    assert_eq!(index.shown()[0].stamp_s, 0.0);
}

#[test]
fn a_frame_is_decoded_from_a_key_frame_that_is_not_shown_after_it() {
    let Some(clip) = made("open_gop.mp4", &[&H264[..], &["-x264-params", "open-gop=1"]].concat())
    else {
        return;
    };
    let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
    for frame in 0..index.frame_count() {
        let (at, sample) = index.sample_of(frame).unwrap();
        let start = index.run_start(at);
        let key = index.samples()[start];
        assert!(start <= at && key.is_key && key.stamp_us <= sample.stamp_us, "frame {frame}");
    }
}

#[test]
fn pieces_going_back_cover_every_frame_once_and_keep_to_their_size() {
    let Some(clip) = made("pieces.mp4", &H264) else { return };
    let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
    for most in [1, 7, 25, 1000] {
        let mut last = index.frame_count() - 1;
        loop {
            let first = index.piece_start(last, most);
            assert!(first <= last && last - first < most);
            if first == 0 {
                break;
            }
            last = first - 1;
        }
    }
}

#[test]
fn the_fingerprint_depends_on_the_size_and_both_ends() {
    let mut bytes = vec![7_u8; 200_000];
    let print = |bytes: &[u8]| fingerprint(&mut std::io::Cursor::new(bytes)).unwrap();
    let before = print(&bytes);
    assert_eq!(before.len(), 64);
    bytes[199_999] = 8;
    assert_ne!(print(&bytes), before);
    bytes[199_999] = 7;
    bytes.push(7);
    assert_ne!(print(&bytes), before);
}
