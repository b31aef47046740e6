//! The index of real clips beside that of `ffprobe`.

#![allow(clippy::unwrap_used, reason = "tests: a failure is the answer")]

use document::results::timestamps::{Gap, timestamp_faults};
use media::{ClipIndex, Sample, fingerprint};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A clip as `ffprobe` reads it.
struct Probed {
    packets: Vec<Packet>,
    /// Display times with edits applied.
    displayed_s: Vec<f64>,
}

#[derive(Debug, PartialEq)]
struct Packet {
    offset: u64,
    size_bytes: u32,
    is_key: bool,
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

fn probe(clip: &Path) -> Option<Probed> {
    let raw = ffprobe(clip, &["-ignore_editlist", "1", "-show_entries", "packet=size,pos,flags"])?;
    // In Matroska it names the place of the block, whose head of four bytes precedes the frame.
    let head_bytes = if is_matroska(clip) { 4 } else { 0 };
    let packet = |line: &str| {
        let fields: Vec<&str> = line.split(',').collect();
        Packet {
            offset: fields[1].parse::<u64>().unwrap() + head_bytes,
            size_bytes: fields[0].parse().unwrap(),
            is_key: fields[2].starts_with('K'),
        }
    };
    let edited = ffprobe(clip, &["-show_entries", "packet=pts_time,flags"])?;
    let mut displayed_s: Vec<f64> = edited
        .lines()
        .map(|line| line.split(',').collect::<Vec<_>>())
        .filter(|fields| !fields[1].contains('D'))
        .map(|fields| fields[0].parse().unwrap())
        .collect();
    displayed_s.sort_by(f64::total_cmp);
    Some(Probed { packets: raw.lines().map(packet).collect(), displayed_s })
}

fn check(clip: &Path) {
    let Some(probed) = probe(clip) else {
        println!("not run for {}: there is no ffprobe", clip.display());
        return;
    };
    let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
    let packet =
        |s: &Sample| Packet { offset: s.offset, size_bytes: s.size_bytes, is_key: s.is_key };
    let packets: Vec<Packet> = index.samples().iter().map(packet).collect();
    assert_eq!(packets, probed.packets, "{}", clip.display());
    let stamps_s = index.stamps_s();
    assert_eq!(stamps_s.len(), probed.displayed_s.len(), "{}", clip.display());
    for (stamp_s, probed_s) in stamps_s.iter().zip(&probed.displayed_s) {
        // ffprobe prints microseconds; the times of WebM are rounded to milliseconds in the file.
        let rounding_s = if is_matroska(clip) { 1.01e-3 } else { 2e-6 };
        assert!(
            (stamp_s - (probed_s - probed.displayed_s[0])).abs() < rounding_s,
            "{}",
            clip.display()
        );
    }
}

fn clips(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let Ok(entries) = std::fs::read_dir(&folder) else {
        println!("not run: {} is missing", folder.display());
        return Vec::new();
    };
    entries
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "mp4"))
        .collect()
}

/// A clip made for one test; none without ffmpeg.
fn made(name: &str, arguments: &[&str]) -> Option<PathBuf> {
    // Two runs at the same time must not write to the same file.
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
fn the_index_of_the_demo_clips_equals_that_of_ffprobe() {
    for clip in clips("../../shared/clips").into_iter().chain(clips("../demo-clips/clips")) {
        check(&clip);
    }
}

#[test]
fn the_index_of_every_container_equals_that_of_ffprobe() {
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
fn frames_cut_by_an_edit_list_are_decoded_but_not_displayed() {
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
    assert!(index.samples().len() > index.frames().len());
    assert_eq!(index.frames()[0].stamp_s, 0.0);
}

#[test]
fn decoding_begins_with_a_key_frame_that_is_not_displayed_later() {
    let Some(clip) = made("open_gop.mp4", &[&H264[..], &["-x264-params", "open-gop=1"]].concat())
    else {
        return;
    };
    let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
    for frame in 0..index.frame_count() {
        let (at, sample) = index.sample_of(frame).unwrap();
        let start = index.decode_start(at);
        let key = index.samples()[start];
        assert!(start <= at && key.is_key && key.stamp_us <= sample.stamp_us, "frame {frame}");
    }
}

#[test]
fn batches_in_reverse_cover_every_frame_once_and_keep_their_size() {
    let Some(clip) = made("batches.mp4", &H264) else { return };
    let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
    for max_frames in [1, 7, 25, 1000] {
        let mut last = index.frame_count() - 1;
        loop {
            let first = index.batch_start(last, max_frames);
            assert!(first <= last && last - first < max_frames);
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
    let of = |bytes: &[u8]| fingerprint(&mut std::io::Cursor::new(bytes)).unwrap();
    let before = of(&bytes);
    assert_eq!(before.len(), 64);
    bytes[199_999] = 8;
    assert_ne!(of(&bytes), before);
    bytes[199_999] = 7;
    bytes.push(7);
    assert_ne!(of(&bytes), before);
}

/// Clips whose headers vary in codec, cropping, scaling lists, bit depth, chroma and decoder model.
const ENCODED: [Encoded; 14] = [
    Encoded { file: "h264.mp4", arguments: "libx264 -pix_fmt yuv420p" },
    Encoded {
        file: "h264_baseline.mkv",
        arguments: "libx264 -profile:v baseline -pix_fmt yuv420p",
    },
    Encoded { file: "h264_cropped.mp4", arguments: "libx264 -pix_fmt yuv420p -s 130x98" },
    Encoded { file: "h264_444.mp4", arguments: "libx264 -pix_fmt yuv444p -x264-params cqm=jvt" },
    Encoded {
        file: "h264_10_bits.mp4",
        arguments: "libx264 -pix_fmt yuv420p10le -x264-params nal-hrd=vbr:vbv-maxrate=500:vbv-bufsize=500",
    },
    Encoded { file: "h264_interlaced.mp4", arguments: "libx264 -pix_fmt yuv420p -flags +ildct" },
    Encoded { file: "hevc.mp4", arguments: "libx265 -pix_fmt yuv420p -x265-params log-level=none" },
    Encoded {
        file: "hevc_cropped.mp4",
        arguments: "libx265 -pix_fmt yuv420p -s 130x98 -x265-params log-level=none",
    },
    Encoded {
        file: "hevc_444.mp4",
        arguments: "libx265 -pix_fmt yuv444p -x265-params log-level=none:hrd=1:vbv-maxrate=500:vbv-bufsize=500:temporal-layers=1",
    },
    Encoded {
        file: "hevc_10_bits.mkv",
        arguments: "libx265 -pix_fmt yuv420p10le -x265-params log-level=none:scaling-list=default:bframes=4",
    },
    Encoded { file: "av1.mp4", arguments: "libsvtav1 -preset 12 -pix_fmt yuv420p" },
    Encoded { file: "av1.webm", arguments: "libaom-av1 -cpu-used 8 -usage realtime" },
    Encoded {
        file: "av1_444.mp4",
        arguments: "libaom-av1 -cpu-used 8 -usage realtime -pix_fmt yuv444p",
    },
    Encoded {
        file: "av1_cropped.mp4",
        arguments: "libaom-av1 -cpu-used 8 -usage realtime -s 130x98",
    },
];

/// A clip and the encoder with its arguments.
struct Encoded {
    file: &'static str,
    arguments: &'static str,
}

/// The clip with the container's own range replaced by something that no reader looks for.
fn without_container_range(clip: &Path) -> Vec<u8> {
    let mut bytes = std::fs::read(clip).unwrap();
    let (from, to): (&[u8], &[u8]) =
        if is_matroska(clip) { (&[0x55, 0xb0], &[0x55, 0xcf]) } else { (b"colr", b"free") };
    if let Some(at) = bytes.windows(from.len()).position(|w| w == from) {
        bytes[at..at + to.len()].copy_from_slice(to);
    }
    bytes
}

#[test]
fn the_range_of_tones_is_read_in_the_codecs_header_if_the_container_does_not_name_it() {
    for Encoded { file, arguments } in ENCODED {
        for (range, is_full) in [("pc", true), ("tv", false)] {
            let name = format!("{range}_{file}");
            let mut all = vec!["-c:v"];
            all.extend(arguments.split(' '));
            all.extend(["-frames:v", "3", "-color_range", range]);
            let Some(clip) = made(&name, &all) else { continue };
            let bytes = without_container_range(&clip);
            let index = ClipIndex::read(&mut std::io::Cursor::new(&bytes)).unwrap();
            assert_eq!(index.codec.is_full_range, is_full, "{name}");
            std::fs::write(&clip, &bytes).unwrap();
            let probed = ffprobe(&clip, &["-show_entries", "stream=color_range"]).unwrap();
            // A header that does not name the range means the limited one.
            assert_eq!(probed.trim() == "pc", is_full, "{name} as ffprobe reads it: {probed}");
        }
    }
}

#[test]
fn a_checksum_at_the_beginning_of_a_webm_segment_changes_nothing() {
    let Some(clip) = made("checked.webm", &["-c:v", "libvpx", "-g", "20"]) else { return };
    let bytes = std::fs::read(&clip).unwrap();
    let segment = bytes.windows(4).position(|w| w == [0x18, 0x53, 0x80, 0x67]).unwrap();
    // ffmpeg writes its length as eight bytes.
    let (length, data) = (segment + 4, segment + 12);
    let size = u64::from_be_bytes(bytes[length..data].try_into().unwrap()) + 6;
    // No reader here verifies its value; RFC 8794, 11.3.1, leaves that free.
    let checksum = [0xbf, 0x84, 1, 2, 3, 4];
    let checked = [&bytes[..length], &size.to_be_bytes(), &checksum, &bytes[data..]].concat();
    let read = |bytes: &[u8]| ClipIndex::read(&mut std::io::Cursor::new(bytes)).unwrap();
    let (before, after) = (read(&bytes), read(&checked));
    assert_eq!(after.codec, before.codec);
    assert_eq!(after.frames(), before.frames());
    let moved = |s: &Sample| Sample { offset: s.offset + 6, ..*s };
    assert_eq!(after.samples(), before.samples().iter().map(moved).collect::<Vec<_>>());
    let path = clip.with_file_name("checked_first.webm");
    std::fs::write(&path, checked).unwrap();
    check(&path);
}

#[test]
fn dropped_frames_are_found_in_the_timestamps_of_a_real_clip() {
    let select = "select='not(between(n,10,11)+eq(n,40))'";
    for (name, codec) in [("dropped.mp4", "libx264"), ("dropped.webm", "libvpx")] {
        let arguments = ["-c:v", codec, "-vf", select, "-vsync", "passthrough"];
        let Some(clip) = made(name, &arguments) else { continue };
        let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
        let found = timestamp_faults(&index.stamps_s());
        let gaps = [Gap { after_frame: 9, missing: 2 }, Gap { after_frame: 37, missing: 1 }];
        assert_eq!(found.missing, gaps, "{name}");
        assert!(found.duplicates.is_empty() && found.slower.is_empty() && !found.is_variable);
    }
}

#[test]
fn the_capture_rate_of_a_phone_is_read_and_changes_no_timestamp() {
    let key = "com.android.capture.fps=240.";
    let more = ["-movflags", "use_metadata_tags", "-metadata", key];
    let Some(clip) = made("slow.mp4", &[&H264[..], &more].concat()) else { return };
    let mut bytes = std::fs::read(clip).unwrap();
    let before = ClipIndex::read(&mut std::io::Cursor::new(&bytes)).unwrap();
    assert_eq!(before.capture_rate_hz, None, "phones do not write text");
    // ffmpeg writes text (type 1); phones write a 32-bit float (type 23).
    let at = bytes.windows(4).rposition(|w| w == b"240.").unwrap();
    bytes[at - 8..at - 4].copy_from_slice(&23_u32.to_be_bytes());
    bytes[at..at + 4].copy_from_slice(&240_f32.to_be_bytes());
    let after = ClipIndex::read(&mut std::io::Cursor::new(&bytes)).unwrap();
    assert_eq!(after.capture_rate_hz, Some(240.0));
    // Phones write `meta` beside the tracks: `udta`, which holds it here, becomes an empty `free` before it.
    let held = bytes.windows(4).position(|w| w == b"udta").unwrap();
    let size = u32::from_be_bytes(bytes[held - 4..held].try_into().unwrap());
    bytes[held - 4..held].copy_from_slice(&8_u32.to_be_bytes());
    bytes[held..held + 4].copy_from_slice(b"free");
    assert_eq!(u32::from_be_bytes(bytes[held + 4..held + 8].try_into().unwrap()), size - 8);
    let beside = ClipIndex::read(&mut std::io::Cursor::new(&bytes)).unwrap();
    assert_eq!(beside.capture_rate_hz, Some(240.0));
    assert_eq!(after.stamps_s(), before.stamps_s());
}
