//! Clips with the number of each frame drawn into it by ffmpeg, and what ffprobe reads in them.

use crate::error::Result;
use crate::options::project_root;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Bits of the number in each frame; one square of 40 px for each, along the upper edge.
pub const BITS: u32 = 10;
/// Side of a square of the number.
pub const SQUARE_PX: u32 = 40;

/// A clip that ffmpeg made.
#[derive(Clone, Debug)]
pub struct NumberedClip {
    /// What is special about it.
    pub name: &'static str,
    /// Its path.
    pub path: PathBuf,
}

/// Kinds of clips: file name, frames per second, and the arguments of the encoder.
const KINDS: [(&str, &str, &[&str]); 4] = [
    ("b-frames.mp4", "120", &["-c:v", "libx264", "-bf", "3", "-g", "60"]),
    (
        "open-groups.mov",
        "60",
        &["-c:v", "libx264", "-bf", "3", "-g", "48", "-x264-params", "open-gop=1:b-pyramid=normal"],
    ),
    (
        "vp9.webm",
        "50",
        &["-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "2M"],
    ),
    (
        "uneven.mp4",
        "60",
        &["-vf", "UNEVEN", "-vsync", "vfr", "-c:v", "libx264", "-bf", "2", "-g", "40"],
    ),
];

/// The filter of ffmpeg that draws the number of each frame into it.
fn numbering() -> String {
    let square = |bit: u32| {
        let (left, every) = (bit * SQUARE_PX, 1 << bit);
        format!(
            "drawbox={left}:0:{SQUARE_PX}:{SQUARE_PX}:white:fill:enable='mod(floor(n/{every}),2)'"
        )
    };
    let ground = format!("drawbox=0:0:{}:{SQUARE_PX}:black:fill", SQUARE_PX * BITS);
    let squares = std::iter::once(ground).chain((0..BITS).map(square));
    squares.collect::<Vec<_>>().join(",")
}

/// Makes the clips in a folder, with a rotated and a trimmed copy of the first; none if ffmpeg cannot.
#[must_use]
pub fn numbered_clips(folder: &Path) -> Option<Vec<NumberedClip>> {
    let number = numbering();
    let mut made = Vec::new();
    for (name, rate, encoder) in KINDS {
        let source = format!("testsrc2=size=640x360:rate={rate}:duration=2");
        let uneven = format!("{number},setpts='PTS+(mod(N,3)-1)*0.2/(TB*{rate})'");
        let filter = if encoder.contains(&"UNEVEN") { uneven } else { number.clone() };
        let encoder = encoder.iter().skip_while(|a| **a == "-vf" || **a == "UNEVEN");
        let path = folder.join(name);
        let done = Command::new("ffmpeg")
            .args([
                "-hide_banner",
                "-loglevel",
                "error",
                "-y",
                "-f",
                "lavfi",
                "-i",
                &source,
                "-vf",
                &filter,
            ])
            .args(encoder)
            .args(["-pix_fmt", "yuv420p"])
            .arg(&path)
            .status();
        if !done.is_ok_and(|s| s.success()) {
            println!("not run: ffmpeg does not make {name} here");
            return None;
        }
        made.push(NumberedClip { name, path });
    }
    let first = made.first()?.path.clone();
    for (name, before, after) in [
        ("rotated.mp4", &[][..], &["-metadata:s:v", "rotate=90"][..]),
        ("trimmed.mp4", &["-ss", "0.7"][..], &[][..]),
    ] {
        let path = folder.join(name);
        let done = Command::new("ffmpeg")
            .args(["-hide_banner", "-loglevel", "error", "-y"])
            .args(before)
            .arg("-i")
            .arg(&first)
            .args(["-c", "copy"])
            .args(after)
            .arg(&path)
            .status();
        if done.is_ok_and(|s| s.success()) {
            made.push(NumberedClip { name, path });
        }
    }
    Some(made)
}

/// What ffprobe reads in a clip.
#[derive(Clone, Debug)]
pub struct Probed {
    /// Size of the coded frame.
    pub size_px: (u64, u64),
    /// In the words of ffprobe.
    pub codec: String,
    /// Quarter turns clockwise to the upright frame.
    pub quarter_turns: i64,
    /// Stamps of the frames that are shown, in order.
    pub stamps_s: Vec<f64>,
}

impl Probed {
    /// Asks ffprobe.
    ///
    /// # Errors
    /// When it is missing or cannot read the clip.
    pub fn of(path: &Path) -> Result<Self> {
        let entries = "stream=width,height,codec_name:stream_side_data=rotation:frame=pts_time,best_effort_timestamp_time";
        let output = Command::new("ffprobe")
            .args([
                "-v",
                "error",
                "-select_streams",
                "v:0",
                "-show_entries",
                entries,
                "-of",
                "json",
            ])
            .arg(path)
            .output()?;
        let all: Value = serde_json::from_slice(&output.stdout)?;
        let stream = all.pointer("/streams/0").ok_or("no stream")?;
        let whole =
            |name: &str| stream.get(name).and_then(Value::as_u64).ok_or(format!("no {name}"));
        let turn =
            stream.pointer("/side_data_list/0/rotation").and_then(Value::as_i64).unwrap_or(0);
        let frames = all.get("frames").and_then(Value::as_array).ok_or("no frames")?;
        let stamp = |f: &Value| f.get("best_effort_timestamp_time")?.as_str()?.parse::<f64>().ok();
        let mut stamps_s: Vec<f64> =
            frames.iter().filter_map(stamp).filter(|s| *s > -1e-6).collect();
        stamps_s.sort_by(f64::total_cmp);
        Ok(Self {
            size_px: (whole("width")?, whole("height")?),
            codec: stream.get("codec_name").and_then(Value::as_str).ok_or("no codec")?.to_owned(),
            quarter_turns: (-turn / 90).rem_euclid(4),
            stamps_s,
        })
    }
}

/// The first clip of the example.
#[must_use]
pub fn example_clip() -> PathBuf {
    example_file("heels_low.mp4")
}

/// A file beside the clips of the example.
#[must_use]
pub fn example_file(name: &str) -> PathBuf {
    project_root().join("demo-clips/clips").join(name)
}
