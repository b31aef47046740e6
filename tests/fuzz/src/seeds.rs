//! Inputs to begin with: small clips that ffmpeg makes, and session files.

use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

/// One small clip of every kind, or none without ffmpeg.
#[must_use]
pub fn clips() -> &'static [Vec<u8>] {
    static CLIPS: OnceLock<Vec<Vec<u8>>> = OnceLock::new();
    CLIPS.get_or_init(|| {
        let all = [
            clip("a.mp4", "libx264 -bf 2 -g 6"),
            clip("b.mp4", "libx264 -g 6 -movflags frag_keyframe+empty_moov"),
            clip("c.mov", "libx264 -metadata title=a -timecode 01:00:00:00"),
            clip("d.webm", "libvpx -g 6"),
            clip("e.webm", "libvpx-vp9 -cpu-used 8 -g 6"),
            clip("f.mp4", "libx265 -tag:v hvc1 -x265-params log-level=none"),
            clip("g.mp4", "libsvtav1 -preset 12 -s 64x64"),
        ];
        all.into_iter().flatten().collect()
    })
}

fn clip(name: &str, arguments: &str) -> Option<Vec<u8>> {
    // Two runs at the same time must not write to the same file.
    let path = std::env::temp_dir().join(format!("fuzz-{}-{name}", std::process::id()));
    let status = Command::new("ffmpeg")
        .args(["-v", "error", "-y", "-f", "lavfi"])
        .args(["-i", "testsrc2=size=48x32:rate=30:duration=0.5", "-c:v"])
        .args(arguments.split(' '))
        .arg(&path)
        .stderr(std::process::Stdio::null())
        .status();
    let bytes = status
        .ok()
        .filter(std::process::ExitStatus::success)
        .and_then(|_| std::fs::read(&path).ok());
    let _ = std::fs::remove_file(path);
    bytes
}

/// The frozen session files of every format.
#[must_use]
pub fn sessions() -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../app/document/tests/fixtures");
    let mut paths = crate::inputs::files(&folder).unwrap();
    paths.retain(|path| path.extension().is_some_and(|e| e == "json"));
    paths.iter().map(|path| std::fs::read(path).unwrap()).collect()
}
