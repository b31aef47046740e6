//! The targets of hostile input, their seeds, and how outcomes are distinguished.

use document::results::{AnalysisInput, ResultCache, TrialResult, csv};
use document::session::file;
use media::{ClipIndex, fingerprint};
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A reader of input from outside.
pub struct Target {
    pub name: &'static str,
    /// Inputs to begin with.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// The ranges in which a seed is changed; none for everywhere.
    pub within: fn(&[u8]) -> Vec<(usize, usize)>,
    pub words: &'static [&'static str],
    /// Reads the input; answers the kind of the outcome.
    pub run: fn(&[u8]) -> String,
}

pub const TARGETS: [Target; 4] = [
    Target { name: "container", seeds: clips, within: |_| Vec::new(), words: &[], run: clip },
    Target { name: "timing", seeds: clips, within: tables, words: &[], run: clip },
    Target { name: "session", seeds: sessions, within: |_| Vec::new(), words: JSON, run: session },
    Target { name: "csv", seeds: sessions, within: |_| Vec::new(), words: CELLS, run: cells },
];

const JSON: &[&str] = &[
    "1e999",
    "-1e308",
    "-0",
    "4294967296",
    "18446744073709551616",
    "null",
    "[]",
    "{}",
    "\"\"",
    "[[[[[[[[",
    "{\"a\":{\"a\":{\"a\":",
    "\\u0000",
    "\\ud800",
    "\u{feff}",
    "\"certainty\":\"zzzz\"",
    "\"format\":2",
    "true",
];

const CELLS: &[&str] = &[
    "=1+1", "+1", "-1", "@x", "\\t=1", "\\r\\n=1", "\\\"", ",", "a,=1", "\\\"=1", ";=1", "|",
    "\\u2028",
];

fn made(name: &str, arguments: &[&str]) -> Option<Vec<u8>> {
    let name = format!("fuzz-{}-{name}", std::process::id());
    let clip: PathBuf = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let run = Command::new("ffmpeg")
        .args([
            "-v",
            "error",
            "-y",
            "-f",
            "lavfi",
            "-i",
            "testsrc2=size=48x32:rate=30:duration=0.5",
        ])
        .args(arguments)
        .arg(&clip)
        .status();
    let bytes = run.is_ok_and(|s| s.success()).then(|| std::fs::read(&clip).unwrap());
    let _ = std::fs::remove_file(clip);
    bytes
}

fn clips() -> Vec<Vec<u8>> {
    let all = [
        made("a.mp4", &["-c:v", "libx264", "-bf", "2", "-g", "6"]),
        made("b.mp4", &["-c:v", "libx264", "-g", "6", "-movflags", "frag_keyframe+empty_moov"]),
        made("c.mov", &["-c:v", "libx264", "-metadata", "title=a", "-timecode", "01:00:00:00"]),
        made("d.webm", &["-c:v", "libvpx", "-g", "6"]),
        made("e.webm", &["-c:v", "libvpx-vp9", "-cpu-used", "8", "-g", "6"]),
        made("f.mp4", &["-c:v", "libx265", "-tag:v", "hvc1", "-x265-params", "log-level=none"]),
        made("g.mp4", &["-c:v", "libsvtav1", "-preset", "12", "-s", "64x64"]),
    ];
    let all: Vec<_> = all.into_iter().flatten().collect();
    if all.is_empty() {
        println!("not run: there is no ffmpeg to make clips with");
    }
    all
}

/// Bodies of the tables that time is made of.
fn tables(clip: &[u8]) -> Vec<(usize, usize)> {
    let names =
        [b"elst", b"stts", b"ctts", b"stsz", b"stsc", b"mdhd", b"mvhd", b"trun", b"tfdt", b"stss"];
    let found = (8..clip.len().saturating_sub(4))
        .filter(|at| names.iter().any(|n| clip[*at..].starts_with(*n)));
    found
        .map(|at| {
            let size = u32::from_be_bytes([clip[at - 4], clip[at - 3], clip[at - 2], clip[at - 1]]);
            // Version and flags are left alone, so that the rest is taken for what it is.
            (at + 8, (at + usize::try_from(size).unwrap()).min(clip.len()))
        })
        .filter(|(from, to)| from < to)
        .collect()
}

fn kind_of(error: &dyn std::fmt::Debug) -> String {
    format!("{error:?}").chars().filter(|c| !c.is_ascii_digit()).take(120).collect()
}

fn clip(bytes: &[u8]) -> String {
    let index = match ClipIndex::read(&mut Cursor::new(bytes)) {
        Ok(index) => index,
        Err(error) => return kind_of(&error),
    };
    let count = index.frame_count();
    let stamps_s = index.stamps_s();
    assert!(stamps_s.iter().all(|s| s.is_finite()), "a stamp is no number");
    for frame in [0, 1, count / 2, count - 1, count, u32::MAX] {
        if let Some((at, sample)) = index.sample_of(frame) {
            let start = index.run_start(at);
            assert!(start <= at, "frame {frame} begins after itself");
            assert!(sample.offset + u64::from(sample.size_bytes) <= bytes.len() as u64);
            assert!(index.run_frame(frame) <= frame && index.piece_start(frame, 20) <= frame);
        }
    }
    let mut stamps_us: Vec<i64> = index.samples().iter().map(|s| s.stamp_us).collect();
    stamps_us.sort_unstable();
    assert!(stamps_us.is_sorted_by(|a, b| a < b), "two samples share a stamp");
    let _ = fingerprint(&mut Cursor::new(bytes));
    format!("{} {}", index.samples().len().ilog2(), count.ilog2())
}

fn sessions() -> Vec<Vec<u8>> {
    let fixtures = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../app/document/tests/fixtures");
    let texts = std::fs::read_dir(fixtures).unwrap().map(|e| e.unwrap().path());
    texts
        .filter(|p| p.extension().is_some_and(|e| e == "json"))
        .map(|p| std::fs::read(p).unwrap())
        .collect()
}

/// The kind of an error that refuses an input.
struct Refusal(String);

fn read(bytes: &[u8]) -> Result<file::Read, Refusal> {
    let text = std::str::from_utf8(bytes).map_err(|_| Refusal("not text".to_owned()))?;
    file::read("a.stride.json", text).map_err(|e| Refusal(kind_of(&e)))
}

fn session(bytes: &[u8]) -> String {
    let read = match read(bytes) {
        Ok(read) => read,
        Err(Refusal(kind)) => return kind,
    };
    let again = file::read("b", &file::write(&read.session)).unwrap();
    assert_eq!(again.session, read.session, "what is written is not what was read");
    format!("read {} {}", read.session.trials.len(), read.read_only.is_some())
}

/// Every file that a session can be saved as; no cell is one that a spreadsheet runs.
fn cells(bytes: &[u8]) -> String {
    let session = match read(bytes) {
        Ok(read) => read.session,
        Err(Refusal(kind)) => return kind,
    };
    let mut cache = ResultCache::new();
    let mut files = Vec::new();
    for trial in &session.trials {
        files.extend(csv::positions(trial));
        if let TrialResult::Ok(analysed) =
            &*cache.trial(AnalysisInput::new(trial, &session.runner, &session.options))
        {
            files.push(csv::measures(analysed));
        }
    }
    files.extend(cache.pair(&session).map(|pair| csv::measures_of_two(&pair)));
    files.iter().for_each(|file| harmless(file));
    format!("{} files", files.len())
}

/// Fails for a cell that a spreadsheet would run; numbers with a sign are none.
fn harmless(file: &str) {
    // A row of another width is an error of the reader.
    let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(file.as_bytes());
    for row in reader.records() {
        for cell in &row.unwrap() {
            let runs = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
            assert!(!runs || cell.parse::<f64>().is_ok(), "a spreadsheet runs {cell:?}");
        }
    }
}
