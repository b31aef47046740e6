//! Our frame tables against those of a second demuxer, over every kind of clip of the exactness journey.
//!
//! Source: mediabunny 1.61.0, a general library for media files, run in Node.

use journeys::browser::Result;
use journeys::clips::{ClipFolder, Kind, Surgery, kinds};
use media::ClipIndex;
use serde_json::Value;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What it reads in each clip; none if it cannot be run.
fn demuxed(clips: &[PathBuf]) -> Option<Vec<Value>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    if !folder.join("node_modules/mediabunny").is_dir() {
        println!("not run: mediabunny is missing; run npm ci in tests/journeys");
        return None;
    }
    let Ok(run) = Command::new("node").arg(folder.join("demux.mjs")).args(clips).output() else {
        println!("not run: there is no Node");
        return None;
    };
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let text = String::from_utf8(run.stdout).unwrap();
    Some(text.lines().map(|line| serde_json::from_str(line).unwrap()).collect())
}

/// Why the two are known to differ in a kind of clip.
fn known_difference(kind: &Kind) -> Option<&'static str> {
    // ISO/IEC 14496-12:2022, 8.8.1: fragments go on from where the index ends, which may hold frames of its own.
    (kind.name == "fragments_first.mp4")
        .then_some("it takes the frames of the index and no fragment after them")
}

/// A sample, in decoding order.
#[derive(Clone, Copy, Debug)]
struct Sample {
    /// Time since the first frame that is shown.
    time_s: f64,
    size_bytes: u64,
    is_key: bool,
}

fn ours(clip: &Path) -> (Vec<Sample>, ClipIndex) {
    let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
    let first_us = index.sample_of(0).unwrap().1.stamp_us;
    let row = |s: &media::Sample| Sample {
        time_s: (s.stamp_us - first_us) as f64 / 1e6,
        size_bytes: u64::from(s.size_bytes),
        is_key: s.is_key,
    };
    (index.samples().iter().map(row).collect(), index)
}

fn theirs(demuxed: &Value) -> Vec<Sample> {
    let packets = demuxed["packets"].as_array().unwrap_or_else(|| panic!("{demuxed}"));
    let row = |p: &Value| Sample {
        time_s: p[0].as_f64().unwrap(),
        size_bytes: p[1].as_u64().unwrap(),
        is_key: p[2].as_bool().unwrap(),
    };
    packets.iter().map(row).collect()
}

fn compare(kind: &Kind, clip: &Path, demuxed: &Value) -> Result<()> {
    let ((ours, index), theirs) = (ours(clip), theirs(demuxed));
    if ours.len() != theirs.len() {
        return Err(format!("{} frames instead of {}", ours.len(), theirs.len()).into());
    }
    // Our clock begins with the first frame that is shown; theirs with the edit list or the file.
    let at = index.sample_of(0).unwrap().0;
    let first_s = theirs[at].time_s;
    // Our stamps are whole microseconds; WebM holds milliseconds, which we repair.
    let most_apart_s = if kind.name.ends_with(".webm") { 1.01e-3 } else { 2e-6 };
    for (n, (o, t)) in ours.iter().zip(&theirs).enumerate() {
        let apart_s = (o.time_s - (t.time_s - first_s)).abs();
        if apart_s > most_apart_s || (o.size_bytes, o.is_key) != (t.size_bytes, t.is_key) {
            return Err(format!(
                "frame {n} in decoding order is {o:?} instead of {t:?} (first {first_s})"
            )
            .into());
        }
    }
    let size = [u64::from(index.width_px), u64::from(index.height_px)];
    if demuxed["size_px"] != serde_json::json!(size) {
        return Err(format!("{size:?} px instead of {}", demuxed["size_px"]).into());
    }
    let degrees = u64::from(index.orientation.quarter_turns) * 90;
    let is_mirrored = matches!(kind.surgery, Surgery::Matrix(m) if m.a * m.d - m.b * m.c < 0);
    // It reads rotations only.
    if !is_mirrored && demuxed["rotation"].as_u64() != Some(degrees) {
        return Err(format!("rotated by {degrees}° instead of {}°", demuxed["rotation"]).into());
    }
    Ok(())
}

fn a_second_demuxer_reads_the_same_frames_times_sizes_and_keys_in_every_kind_of_clip() {
    let scratch = ClipFolder::new().unwrap();
    let made: Vec<(Kind, PathBuf)> = kinds()
        .into_iter()
        .filter_map(|kind| match scratch.make(&kind) {
            Ok(clip) => Some((kind, clip)),
            Err(words) => {
                println!("not run: ffmpeg cannot make {} here: {words}", kind.name);
                None
            }
        })
        .collect();
    let clips: Vec<PathBuf> = made.iter().map(|(_, clip)| clip.clone()).collect();
    let Some(all) = demuxed(&clips) else { return };
    assert_eq!(all.len(), made.len());
    let mut wrong = Vec::new();
    for ((kind, clip), demuxed) in made.iter().zip(&all) {
        match (compare(kind, clip, demuxed), known_difference(kind)) {
            (Ok(()), None) => {}
            (Err(how), Some(why)) => println!("{}: {how}; known: {why}", kind.name),
            (Err(how), None) => wrong.push(format!("{}: {how}", kind.name)),
            (Ok(()), Some(_)) => wrong.push(format!("{}: the two agree now", kind.name)),
        }
    }
    println!("{} kinds of clip compared", made.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["second_demuxer": a_second_demuxer_reads_the_same_frames_times_sizes_and_keys_in_every_kind_of_clip]
}
