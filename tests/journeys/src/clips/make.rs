//! Makes clips with ffmpeg from drawn frames, and reads them with ffprobe.

use super::boxes::{with_64_bits, with_edits, with_matrix};
use super::gray_code::draw;
use super::kinds::{Kind, Surgery};
use crate::error::Result;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// A temporary folder for clips; gone when dropped.
pub struct ClipFolder(TempDir);

impl ClipFolder {
    /// An empty one.
    ///
    /// # Errors
    /// When the folder cannot be made.
    pub fn new() -> std::io::Result<Self> {
        Ok(Self(TempDir::with_prefix("stride-")?))
    }

    /// Its path.
    #[must_use]
    pub fn path(&self) -> &Path {
        self.0.path()
    }

    /// Makes the clip of a kind.
    ///
    /// # Errors
    /// When ffmpeg is missing or cannot make it here: ffmpeg's own message.
    pub fn make(&self, kind: &Kind) -> Result<PathBuf> {
        let path = self.path().join(kind.name);
        let (width, height) = kind.size_px;
        let mut ffmpeg = Command::new("ffmpeg")
            .args(["-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "gray"])
            .args(["-s", &format!("{width}x{height}"), "-r", kind.rate, "-i", "-"])
            .args(&kind.arguments)
            .arg(&path)
            .stdin(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()?;
        let mut pipe = ffmpeg.stdin.take().ok_or("ffmpeg has no input")?;
        for frame in 0..kind.frames {
            // If ffmpeg ends early, its message is read below.
            if pipe.write_all(&draw(frame, width, height)).is_err() {
                break;
            }
        }
        drop(pipe);
        let done = ffmpeg.wait_with_output()?;
        if !done.status.success() {
            return Err(String::from_utf8_lossy(&done.stderr).into());
        }
        Self::operate(&path, kind)?;
        Ok(path)
    }

    fn operate(path: &Path, kind: &Kind) -> std::io::Result<()> {
        let change = |with: &dyn Fn(&[u8]) -> Vec<u8>| {
            let before = std::fs::read(path)?;
            let after = with(&before);
            assert_ne!(before, after, "{}: nothing was changed", kind.name);
            std::fs::write(path, after)
        };
        match &kind.surgery {
            Surgery::None => Ok(()),
            Surgery::Matrix(matrix) => change(&|file| with_matrix(file, *matrix)),
            Surgery::Edits(edits) => change(&|file| with_edits(file, edits)),
            Surgery::Wide => change(&with_64_bits),
        }
    }
}

/// What ffprobe reads in the first video track: one line per entry, values between commas.
///
/// # Errors
/// When it is missing or fails.
pub fn ffprobe(clip: &Path, arguments: &[&str]) -> Result<String> {
    let run = Command::new("ffprobe")
        .args(["-v", "error", "-select_streams", "v:0", "-of", "csv=p=0"])
        .args(arguments)
        .arg(clip)
        .output()?;
    if !run.status.success() {
        return Err(String::from_utf8_lossy(&run.stderr).into());
    }
    Ok(String::from_utf8(run.stdout)?)
}
