//! Frames into a file: rendered on two threads, written in order through a pipe to ffmpeg.

use crate::Error;
use crate::picture::{HEIGHT, WIDTH};
use std::io::Write;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;

/// Chosen: two frames are rendered at a time.
const THREADS: usize = 2;

/// Writes a film of so many frames. The same frames and the same ffmpeg give the same bytes.
///
/// # Errors
/// When ffmpeg cannot be started, stops reading or ends with a fault.
pub fn write(
    path: &Path,
    rate_hz: f64,
    frames: usize,
    frame: impl Fn(usize) -> Vec<u8> + Sync,
) -> Result<(), Error> {
    let mut child = start(path, rate_hz)?;
    let fed = feed(&mut child, frames, &frame);
    drop(child.stdin.take());
    let status = child.wait().map_err(Error::file("waiting for ffmpeg"))?;
    fed?;
    if status.success() { Ok(()) } else { Err(Error::Encoder(status.to_string())) }
}

fn feed(
    child: &mut Child,
    frames: usize,
    frame: &(impl Fn(usize) -> Vec<u8> + Sync),
) -> Result<(), Error> {
    let Some(pipe) = child.stdin.as_mut() else {
        return Err(Error::Encoder("no pipe to write to".into()));
    };
    thread::scope(|scope| {
        let queues: Vec<Receiver<Vec<u8>>> = (0..THREADS)
            .map(|first| {
                let (give, take) = sync_channel(2);
                scope.spawn(move || {
                    for number in (first..frames).step_by(THREADS) {
                        // Nobody takes any more once the pipe is broken.
                        if give.send(frame(number)).is_err() {
                            break;
                        }
                    }
                });
                take
            })
            .collect();
        for (_, queue) in (0..frames).zip(queues.iter().cycle()) {
            let bytes =
                queue.recv().map_err(|_| Error::Encoder("a frame was not rendered".into()))?;
            pipe.write_all(&bytes).map_err(Error::file("writing to ffmpeg"))?;
        }
        Ok(())
    })
}

fn start(path: &Path, rate_hz: f64) -> Result<Child, Error> {
    let (size, rate) = (format!("{WIDTH}x{HEIGHT}"), rate_hz.to_string());
    let input = ["-f", "rawvideo", "-pix_fmt", "rgb24", "-s", &size, "-r", &rate, "-i", "-"];
    let colour = [
        "-vf",
        "scale=out_color_matrix=bt709:out_range=tv",
        "-pix_fmt",
        "yuv420p",
        "-colorspace",
        "bt709",
        "-color_primaries",
        "bt709",
        "-color_trc",
        "bt709",
        "-color_range",
        "tv",
    ];
    // A fixed count of threads and no date or version in the file keep the bytes the same.
    let coder = [
        "-c:v",
        "libx264",
        "-preset",
        "slow",
        "-crf",
        "27",
        "-bf",
        "3",
        "-g",
        "60",
        "-threads",
        "2",
        "-movflags",
        "+faststart",
        "-fflags",
        "+bitexact",
        "-flags:v",
        "+bitexact",
        "-map_metadata",
        "-1",
    ];
    Command::new("ffmpeg")
        .args(["-hide_banner", "-loglevel", "error", "-y"])
        .args(input)
        .args(colour)
        .args(coder)
        .arg(path)
        .stdin(Stdio::piped())
        .spawn()
        .map_err(Error::file("starting ffmpeg"))
}
