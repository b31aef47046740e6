//! Makes clips with ffmpeg from drawn frames, and asks ffprobe about them.

use super::boxes::{with_64_bits, with_edits, with_matrix};
use super::code::draw;
use super::kinds::{Kind, Surgery};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A folder of its own for made clips; gone when dropped.
pub struct Workshop(PathBuf);

impl Workshop {
    /// An empty one.
    ///
    /// # Errors
    /// When the folder cannot be made.
    pub fn new(name: &str) -> std::io::Result<Self> {
        let folder = std::env::temp_dir().join(format!("stride-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder)?;
        Ok(Self(folder))
    }

    /// The folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.0
    }

    /// The clip of a kind.
    ///
    /// # Errors
    /// When ffmpeg is absent or cannot make it here: its own words.
    pub fn make(&self, kind: &Kind) -> Result<PathBuf, String> {
        let path = self.0.join(kind.name);
        let (width, height) = kind.size_px;
        let mut ffmpeg = Command::new("ffmpeg")
            .args(["-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "gray"])
            .args(["-s", &format!("{width}x{height}"), "-r", kind.rate, "-i", "-"])
            .args(&kind.arguments)
            .arg(&path)
            .stdin(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .map_err(|e| e.to_string())?;
        let mut pipe = ffmpeg.stdin.take().ok_or("ffmpeg takes nothing in")?;
        for frame in 0..kind.frames {
            // One that ends early says why below.
            if pipe.write_all(&draw(frame, width, height)).is_err() {
                break;
            }
        }
        drop(pipe);
        let done = ffmpeg.wait_with_output().map_err(|e| e.to_string())?;
        if !done.status.success() {
            return Err(String::from_utf8_lossy(&done.stderr).into_owned());
        }
        self.operate(&path, kind).map_err(|e| e.to_string())?;
        Ok(path)
    }

    fn operate(&self, path: &Path, kind: &Kind) -> std::io::Result<()> {
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

impl Drop for Workshop {
    fn drop(&mut self) {
        // What stays behind is only rubbish.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// What ffprobe tells of the first picture track, a line an entry, values between commas.
///
/// # Errors
/// When it is absent or fails.
pub fn ffprobe(clip: &Path, arguments: &[&str]) -> Result<String, String> {
    let run = Command::new("ffprobe")
        .args(["-v", "error", "-select_streams", "v:0", "-of", "csv=p=0"])
        .args(arguments)
        .arg(clip)
        .output()
        .map_err(|e| e.to_string())?;
    if !run.status.success() {
        return Err(String::from_utf8_lossy(&run.stderr).into_owned());
    }
    String::from_utf8(run.stdout).map_err(|e| e.to_string())
}
