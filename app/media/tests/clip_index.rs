//! The index of real clips against what `ffprobe` tells of them.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

use media::{ClipIndex, fingerprint};
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

/// Encoders, and what they are told for the range that their own header then names.
const RANGES: [(&str, &[&str]); 6] = [
    ("h264.mp4", &["-c:v", "libx264", "-pix_fmt", "yuv420p"]),
    ("h264_baseline.mkv", &["-c:v", "libx264", "-profile:v", "baseline", "-pix_fmt", "yuv420p"]),
    (
        "hevc.mp4",
        &[
            "-c:v",
            "libx265",
            "-tag:v",
            "hvc1",
            "-pix_fmt",
            "yuv420p",
            "-x265-params",
            "log-level=none",
        ],
    ),
    (
        "hevc_10_bits.mkv",
        &[
            "-c:v",
            "libx265",
            "-pix_fmt",
            "yuv420p10le",
            "-x265-params",
            "log-level=none:scaling-list=default:bframes=4",
        ],
    ),
    ("av1.mp4", &["-c:v", "libsvtav1", "-preset", "12", "-pix_fmt", "yuv420p"]),
    ("av1.webm", &["-c:v", "libaom-av1", "-cpu-used", "8", "-usage", "realtime"]),
];

#[test]
fn the_range_of_tones_is_read_in_the_codecs_own_header_where_the_container_is_silent() {
    for (name, encoder) in RANGES {
        for (range, is_full) in [("pc", true), ("tv", false)] {
            let name = format!("{range}_{name}");
            let arguments = [encoder, &["-frames:v", "3", "-color_range", range]].concat();
            let Some(clip) = made(&name, &arguments) else { continue };
            // The container's own word is made one that nobody reads.
            let mut bytes = std::fs::read(&clip).unwrap();
            for word in [b"colr".as_slice(), &[0x55, 0xb0]] {
                let at = bytes.windows(word.len()).position(|w| w == word);
                if let Some(at) = at.filter(|_| word.len() == 4 || !name.ends_with("mp4")) {
                    let nothing: &[u8] = if word.len() == 4 { b"free" } else { &[0x55, 0xcf] };
                    bytes[at..at + word.len()].copy_from_slice(nothing);
                }
            }
            let index = ClipIndex::read(&mut std::io::Cursor::new(&bytes)).unwrap();
            assert_eq!(index.codec.is_full_range, is_full, "{name}");
            std::fs::write(&clip, &bytes).unwrap();
            let told = ffprobe(&clip, &["-show_entries", "stream=color_range"]).unwrap();
            // Limited is what is meant where nothing is told.
            assert_eq!(told.trim() == "pc", is_full, "{name} as ffprobe reads it: {told}");
        }
    }
}

#[test]
fn a_webm_clip_whose_segment_begins_with_a_checksum_is_read_like_one_without() {
    let Some(clip) = made("checked.webm", &["-c:v", "libvpx", "-g", "20"]) else { return };
    let bytes = std::fs::read(&clip).unwrap();
    let segment = bytes.windows(4).position(|w| w == [0x18, 0x53, 0x80, 0x67]).unwrap();
    // ffmpeg writes its length as eight bytes.
    let (length, data) = (segment + 4, segment + 12);
    let size = u64::from_be_bytes(bytes[length..data].try_into().unwrap()) + 6;
    // Its value is looked at by no reader here; RFC 8794, 11.3.1, leaves that free.
    let checksum = [0xbf, 0x84, 1, 2, 3, 4];
    let checked = [&bytes[..length], &size.to_be_bytes(), &checksum, &bytes[data..]].concat();
    let read = |bytes: &[u8]| ClipIndex::read(&mut std::io::Cursor::new(bytes)).unwrap();
    let (before, after) = (read(&bytes), read(&checked));
    assert_eq!(after.codec, before.codec);
    assert_eq!(after.shown(), before.shown());
    let moved = |s: &media::Sample| media::Sample { offset: s.offset + 6, ..*s };
    assert_eq!(after.samples(), before.samples().iter().map(moved).collect::<Vec<_>>());
    let path = clip.with_file_name("checked_first.webm");
    std::fs::write(&path, checked).unwrap();
    check(&path);
}

#[test]
fn frames_that_a_camera_dropped_are_found_in_the_stamps_of_a_real_clip() {
    let select = "select='not(between(n,10,11)+eq(n,40))'";
    for (name, codec) in [("dropped.mp4", "libx264"), ("dropped.webm", "libvpx")] {
        let arguments = ["-c:v", codec, "-vf", select, "-vsync", "passthrough"];
        let Some(clip) = made(name, &arguments) else { continue };
        let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
        let found = document::results::timestamps::stamps(&index.stamps_s());
        assert_eq!(found.missing, [(9, 2), (37, 1)], "{name}");
        assert!(found.doubled.is_empty() && found.slower.is_empty() && !found.is_variable);
    }
}

#[test]
fn the_rate_that_a_phone_says_it_filmed_at_is_proposed_and_changes_no_stamp() {
    let key = "com.android.capture.fps=240.";
    let more = ["-movflags", "use_metadata_tags", "-metadata", key];
    let Some(clip) = made("slow.mp4", &[&H264[..], &more].concat()) else { return };
    let mut bytes = std::fs::read(clip).unwrap();
    let before = ClipIndex::read(&mut std::io::Cursor::new(&bytes)).unwrap();
    assert_eq!(before.filmed_rate_hz, None, "words are not what phones write");
    // ffmpeg writes words (type 1); phones write a number of 32 bits (type 23).
    let at = bytes.windows(4).rposition(|w| w == b"240.").unwrap();
    bytes[at - 8..at - 4].copy_from_slice(&23_u32.to_be_bytes());
    bytes[at..at + 4].copy_from_slice(&240_f32.to_be_bytes());
    let after = ClipIndex::read(&mut std::io::Cursor::new(&bytes)).unwrap();
    assert_eq!(after.filmed_rate_hz, Some(240.0));
    // Phones write `meta` beside the tracks: what holds it becomes free, and it takes that place.
    let held = bytes.windows(4).position(|w| w == b"udta").unwrap();
    let size = u32::from_be_bytes(bytes[held - 4..held].try_into().unwrap());
    bytes[held - 4..held].copy_from_slice(&8_u32.to_be_bytes());
    bytes[held..held + 4].copy_from_slice(b"free");
    assert_eq!(u32::from_be_bytes(bytes[held + 4..held + 8].try_into().unwrap()), size - 8);
    let beside = ClipIndex::read(&mut std::io::Cursor::new(&bytes)).unwrap();
    assert_eq!(beside.filmed_rate_hz, Some(240.0));
    assert_eq!(after.stamps_s(), before.stamps_s());
}
