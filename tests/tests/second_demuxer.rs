//! Our tables of frames against those of a second demuxer, over every kind of clip of the exactness test.
//!
//! Source: mediabunny 1.61.0, a general library for media files, run in Node.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

use checks::clips::{Kind, Surgery, Workshop, kinds};
use media::ClipIndex;
use serde_json::Value;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::Command;

/// What it tells of each clip; none where it cannot be run.
fn told(clips: &[PathBuf]) -> Option<Vec<Value>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    if !folder.join("node_modules/mediabunny").is_dir() {
        println!("not run: mediabunny is not there; cd tests && npm ci");
        return None;
    }
    let Ok(run) = Command::new("node").arg(folder.join("second/demux.mjs")).args(clips).output()
    else {
        println!("not run: there is no Node");
        return None;
    };
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let text = String::from_utf8(run.stdout).unwrap();
    Some(text.lines().map(|line| serde_json::from_str(line).unwrap()).collect())
}

/// Where the two are known to differ, and why.
fn differs(kind: &Kind) -> Option<&'static str> {
    // ISO/IEC 14496-12:2022, 8.8.1: fragments go on from where the index ends, which may hold frames of its own.
    (kind.name == "fragments_first.mp4")
        .then_some("it takes the frames of the index and no fragment after them")
}

/// Time since the first frame to be shown, size and whether a key, in the order of decoding.
type Row = (f64, u64, bool);

fn ours(clip: &Path) -> (Vec<Row>, ClipIndex) {
    let index = ClipIndex::read(&mut File::open(clip).unwrap()).unwrap();
    let first_us = index.sample_of(0).unwrap().1.stamp_us;
    let row = |s: &media::Sample| {
        ((s.stamp_us - first_us) as f64 / 1e6, u64::from(s.size_bytes), s.is_key)
    };
    (index.samples().iter().map(row).collect(), index)
}

fn theirs(told: &Value) -> Vec<Row> {
    let packets = told["packets"].as_array().unwrap_or_else(|| panic!("{told}"));
    let row = |p: &Value| (p[0].as_f64().unwrap(), p[1].as_u64().unwrap(), p[2].as_bool().unwrap());
    packets.iter().map(row).collect()
}

fn compare(kind: &Kind, clip: &Path, told: &Value) -> Result<(), String> {
    let ((ours, index), theirs) = (ours(clip), theirs(told));
    if ours.len() != theirs.len() {
        return Err(format!("{} frames instead of {}", ours.len(), theirs.len()));
    }
    // Our clock begins with the first frame that is shown; theirs where the edit list or the file says.
    let at = index.sample_of(0).unwrap().0;
    let first_s = theirs[at].0;
    // Ours are whole microseconds; WebM holds milliseconds, which we repair.
    let most_apart_s = if kind.name.ends_with(".webm") { 1.01e-3 } else { 2e-6 };
    for (n, (o, t)) in ours.iter().zip(&theirs).enumerate() {
        let apart_s = (o.0 - (t.0 - first_s)).abs();
        if apart_s > most_apart_s || (o.1, o.2) != (t.1, t.2) {
            return Err(format!(
                "frame {n} in the order of decoding is {o:?} instead of {t:?} (first {first_s})"
            ));
        }
    }
    let size = [u64::from(index.width_px), u64::from(index.height_px)];
    if told["size_px"] != serde_json::json!(size) {
        return Err(format!("{size:?} px instead of {}", told["size_px"]));
    }
    let degrees = u64::from(index.orientation.quarter_turns) * 90;
    let is_mirrored = matches!(kind.surgery, Surgery::Matrix((a, b, c, d)) if a * d - b * c < 0);
    // It tells turns only.
    if !is_mirrored && told["rotation"].as_u64() != Some(degrees) {
        return Err(format!("turned by {degrees}° instead of {}°", told["rotation"]));
    }
    Ok(())
}

#[test]
fn a_second_demuxer_reads_the_same_frames_times_sizes_and_keys_in_every_kind_of_clip() {
    let workshop = Workshop::new("demuxers").unwrap();
    let made: Vec<(Kind, PathBuf)> = kinds()
        .into_iter()
        .filter_map(|kind| match workshop.make(&kind) {
            Ok(clip) => Some((kind, clip)),
            Err(words) => {
                println!("not run: ffmpeg does not make {} here: {words}", kind.name);
                None
            }
        })
        .collect();
    let clips: Vec<PathBuf> = made.iter().map(|(_, clip)| clip.clone()).collect();
    let Some(told) = told(&clips) else { return };
    assert_eq!(told.len(), made.len());
    let mut wrong = Vec::new();
    for ((kind, clip), told) in made.iter().zip(&told) {
        match (compare(kind, clip, told), differs(kind)) {
            (Ok(()), None) => {}
            (Err(how), Some(why)) => println!("{}: {how}; known: {why}", kind.name),
            (Err(how), None) => wrong.push(format!("{}: {how}", kind.name)),
            (Ok(()), Some(_)) => wrong.push(format!("{}: the two agree now", kind.name)),
        }
    }
    println!("{} kinds of clip compared", made.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
