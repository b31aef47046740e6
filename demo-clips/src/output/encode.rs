//! Encodes frames: rendered on two threads, piped in order to ffmpeg.

use crate::Error;
use crate::picture::{HEIGHT, WIDTH};
use std::io::{ErrorKind, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;

/// Threads that render frames. Chosen: 2, as many as the smallest machines have.
const THREADS: usize = 2;

/// Encodes a number of frames. The same frames and the same ffmpeg give the same bytes.
///
/// # Errors
/// If ffmpeg does not start, stops reading or reports failure.
pub fn write(
    path: &Path,
    rate_hz: f64,
    frames: usize,
    frame: impl Fn(usize) -> Vec<u8> + Sync,
) -> Result<(), Error> {
    let mut child = start(path, rate_hz)?;
    let written = write_frames(&mut child, frames, &frame);
    drop(child.stdin.take());
    let status = child.wait().map_err(Error::file("waiting for ffmpeg"))?;
    written?;
    if status.success() { Ok(()) } else { Err(Error::Encoder(status)) }
}

fn write_frames(
    child: &mut Child,
    frames: usize,
    frame: &(impl Fn(usize) -> Vec<u8> + Sync),
) -> Result<(), Error> {
    let pipe =
        child.stdin.as_mut().ok_or_else(|| Error::NoEncoder(ErrorKind::BrokenPipe.into()))?;
    thread::scope(|scope| {
        let queues: Vec<Receiver<Vec<u8>>> = (0..THREADS)
            .map(|first| {
                let (sender, receiver) = sync_channel(2);
                scope.spawn(move || {
                    for number in (first..frames).step_by(THREADS) {
                        // The receiver is gone once the pipe is broken.
                        if sender.send(frame(number)).is_err() {
                            break;
                        }
                    }
                });
                receiver
            })
            .collect();
        for (_, queue) in (0..frames).zip(queues.iter().cycle()) {
            let bytes = queue.recv().map_err(|_| Error::Frame)?;
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
    // A fixed number of threads and no date or version in the file keep the bytes the same.
    let encoder = [
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
        .args(encoder)
        .arg(path)
        .stdin(Stdio::piped())
        .spawn()
        .map_err(Error::NoEncoder)
}
