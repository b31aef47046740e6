//! A long clip in little time: one second is encoded and repeated.

use journeys::browser::Result;
use journeys::clips::{ClipFolder, Kind, Proof, Surgery};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

/// Frames after which the numbers in the frames begin again; four groups of 60.
pub const NUMBERS: usize = 240;
/// Repeated pieces of 14 MB.
const PIECES: usize = 160;

const ENCODER: &str = "-vf noise=alls=24:allf=t -c:v libx264 -preset superfast -bf 0 -g 60 -keyint_min 60 -sc_threshold 0 -b:v 100M -pix_fmt yuv420p";

fn piece() -> Kind {
    Kind {
        name: "piece.mp4",
        frames: NUMBERS,
        rate: "240",
        size_px: (1920, 1080),
        arguments: ENCODER.split_ascii_whitespace().collect(),
        surgery: Surgery::None,
        shown: (0..NUMBERS).collect(),
        pixel_ratio: 1.0,
        proof: Proof::Even,
    }
}

/// The long clip as a kind.
pub fn kind() -> Kind {
    let frames = NUMBERS * PIECES;
    let shown = (0..frames).map(|f| f % NUMBERS).collect();
    Kind { name: "long.mp4", frames, shown, ..piece() }
}

/// The first group of 60 frames as a clip of its own, and the time in milliseconds that ffmpeg takes here to start and
/// decode it.
///
/// # Errors
/// When ffmpeg cannot.
pub fn group(clip: &Path) -> Result<(PathBuf, f64)> {
    let group = clip.with_file_name("group.mp4");
    let run = |output: &[&str], to: &Path| -> Result<f64> {
        let began = Instant::now();
        let mut ffmpeg = Command::new("ffmpeg");
        ffmpeg.args(["-v", "error", "-y", "-i"]).arg(clip).args(["-frames:v", "60"]);
        let done = ffmpeg.args(output).arg(to).status()?;
        let took_ms = began.elapsed().as_secs_f64() * 1e3;
        if done.success() { Ok(took_ms) } else { Err("ffmpeg does not read the clip".into()) }
    };
    run(&["-c", "copy"], &group)?;
    Ok((group, run(&["-f", "null"], Path::new("-"))?))
}

/// Makes it in this folder.
///
/// # Errors
/// When ffmpeg cannot.
pub fn make(folder: &Path) -> Result<PathBuf> {
    let scratch = ClipFolder::new()?;
    let piece = scratch.make(&piece())?;
    let list = scratch.path().join("list.txt");
    std::fs::write(&list, format!("file '{}'\n", piece.display()).repeat(PIECES))?;
    std::fs::create_dir_all(folder)?;
    let clip = folder.join("long.mp4");
    let joined = Command::new("ffmpeg")
        .args(["-v", "error", "-y", "-f", "concat", "-safe", "0", "-i"])
        .arg(&list)
        .args(["-c", "copy"])
        .arg(&clip)
        .status()?;
    if joined.success() { Ok(clip) } else { Err("ffmpeg does not join the pieces".into()) }
}
