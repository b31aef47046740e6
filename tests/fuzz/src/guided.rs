//! Compiles the targets with coverage counters and lets libFuzzer run them.

use crate::{Target, inputs};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use thiserror::Error;

/// The compiler's own coverage counters, in the form that libFuzzer reads: one per edge, with every comparison traced.
///
/// Source: LLVM, "SanitizerCoverage", sections "Inline 8bit-counters", "PC-Table" and "Tracing data flow".
const COVERAGE: [&str; 6] = [
    "-Cpasses=sancov-module",
    "-Cllvm-args=-sanitizer-coverage-level=4",
    "-Cllvm-args=-sanitizer-coverage-inline-8bit-counters",
    "-Cllvm-args=-sanitizer-coverage-pc-table",
    "-Cllvm-args=-sanitizer-coverage-trace-compares",
    "-Ccodegen-units=1",
];

/// Longest input. Chosen: the largest seeds have some ten kilobytes, and short inputs run more often.
const MAX_INPUT_BYTES: usize = 64 << 10;
/// Seconds after which an input hangs. Chosen: twenty times the limit of a small input, which a busy machine does not reach.
const HANG_S: u32 = 20;
/// Megabytes at which libFuzzer ends the process. Chosen: far above what the limits of one input allow.
const MAX_MEMORY_MB: u32 = 2048;

/// Why a search failed.
#[derive(Debug, Error)]
pub enum SearchError {
    /// No C++ compiler.
    #[error("libFuzzer needs a C++ compiler: install one (apt-get install g++)")]
    NoCompiler,
    /// The compiler of Rust did not name its host.
    #[error("rustc did not name its host: {0}")]
    NoHost(String),
    /// The targets did not compile.
    #[error("the targets do not compile with coverage counters:\n{0}")]
    NotBuilt(String),
    /// A file or program could not be used.
    #[error(transparent)]
    System(#[from] std::io::Error),
    /// An input failed.
    #[error("{target}: an input fails and was written to {folder}:\n{report}", folder = folder.display())]
    Failed {
        /// Name of the target.
        target: &'static str,
        /// Folder of the failing input.
        folder: PathBuf,
        /// The last lines of libFuzzer's report.
        report: String,
    },
}

/// What a search did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Summary {
    /// Inputs tried.
    pub executions: u64,
    /// Edges of the code reached.
    pub edges: u64,
    /// Inputs in the corpus.
    pub corpus: u64,
}

/// The compiled targets.
pub struct Guided {
    program: PathBuf,
}

impl Guided {
    /// Compiles the targets, into a folder beside those of ordinary builds.
    ///
    /// # Errors
    /// When there is no C++ compiler or the targets do not compile.
    pub fn build() -> Result<Self, SearchError> {
        if !has_cpp_compiler() {
            return Err(SearchError::NoCompiler);
        }
        let host = host()?;
        let folder = inputs::build_folder()?.join("build");
        let built = Command::new(env!("CARGO"))
            .args(["build", "--quiet", "--package", "fuzz", "--bin", "guided"])
            .args(["--features", "guided", "--target", &host, "--target-dir"])
            .arg(&folder)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            // Flags for a named target do not reach build scripts and macros, which lack libFuzzer.
            .env("RUSTFLAGS", COVERAGE.join(" "))
            .env_remove("CARGO_ENCODED_RUSTFLAGS")
            .output()?;
        if !built.status.success() {
            return Err(SearchError::NotBuilt(text(&built.stderr)));
        }
        Ok(Self { program: folder.join(host).join("debug/guided") })
    }

    /// Searches for this many seconds, or until an input fails.
    ///
    /// # Errors
    /// When an input fails: it is then in a file.
    pub fn search(&self, target: &'static Target, seconds: u32) -> Result<Summary, SearchError> {
        let folder = inputs::build_folder()?.join("failures").join(target.name);
        std::fs::create_dir_all(&folder)?;
        let mut command = Command::new(&self.program);
        command
            .arg(inputs::corpus_folder(target)?)
            .arg(inputs::seed_folder(target)?)
            .arg(format!("-max_total_time={seconds}"))
            .arg(format!("-max_len={MAX_INPUT_BYTES}"))
            .arg(format!("-timeout={HANG_S}"))
            .arg(format!("-rss_limit_mb={MAX_MEMORY_MB}"))
            .arg(format!("-artifact_prefix={}/", folder.display()))
            .arg("-print_final_stats=1");
        if let Some(words) = inputs::dictionary(target)? {
            command.arg(format!("-dict={}", words.display()));
        }
        command.args(["-ignore_remaining_args=1", target.name]).stdout(Stdio::null());
        let Output { status, stderr, .. } = command.output()?;
        let report = text(&stderr);
        if !status.success() {
            let report = failure(&report);
            return Err(SearchError::Failed { target: target.name, folder, report });
        }
        Ok(summary(&report))
    }
}

fn has_cpp_compiler() -> bool {
    ["c++", "g++", "clang++"].iter().any(|name| {
        let mut command = Command::new(name);
        command.arg("--version").stdout(Stdio::null()).stderr(Stdio::null());
        command.status().is_ok_and(|status| status.success())
    })
}

fn host() -> Result<String, SearchError> {
    let rustc = Path::new(env!("CARGO")).with_file_name("rustc");
    let rustc = if rustc.exists() { rustc } else { PathBuf::from("rustc") };
    let version = text(&Command::new(rustc).arg("-vV").output()?.stdout);
    let host = version.lines().find_map(|line| line.strip_prefix("host: ")).map(str::to_owned);
    host.ok_or(SearchError::NoHost(version))
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// The lines of a report that name the fault.
fn failure(report: &str) -> String {
    const LINES: usize = 4;
    let lines: Vec<&str> = report.lines().collect();
    let named = lines.iter().position(|l| l.contains("panicked at") || l.contains("ERROR:"));
    let from = named.unwrap_or(lines.len().saturating_sub(LINES));
    let file = lines.iter().filter(|l| l.contains("Test unit written"));
    lines.iter().skip(from).take(LINES).chain(file).copied().collect::<Vec<_>>().join("\n")
}

/// Reads the last line of progress: `#1234 DONE cov: 56 ft: 78 corp: 9/10Kb …`.
fn summary(report: &str) -> Summary {
    let is_progress = |line: &&str| {
        line.strip_prefix('#').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    };
    let Some(line) = report.lines().rfind(is_progress) else { return Summary::default() };
    let words: Vec<&str> = line.split_whitespace().collect();
    let after = |name: &str| {
        let at = words.iter().position(|word| *word == name)?;
        words.get(at + 1)?.split('/').next()?.parse().ok()
    };
    Summary {
        executions: words.first().and_then(|w| w.strip_prefix('#')?.parse().ok()).unwrap_or(0),
        edges: after("cov:").unwrap_or(0),
        corpus: after("corp:").unwrap_or(0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_line_of_progress_is_summarised() {
        let report = "INFO: Seed: 1\n#13\tINITED cov: 190 ft: 225 corp: 9/424b exec/s: 0 rss: 27Mb\n\
                      #6797467\tDONE   cov: 760 ft: 1855 corp: 719/31Kb lim: 300 exec/s: 111433 rss: 29Mb\n###### End of recommended dictionary. ######";
        let expected = Summary { executions: 6_797_467, edges: 760, corpus: 719 };
        assert_eq!(summary(report), expected);
        assert_eq!(summary("INFO"), Summary::default());
    }

    #[test]
    fn a_report_is_cut_to_the_fault_and_its_file() {
        let report =
            "#1 INITED\nthread panicked at a.rs:1:\nwhat\n1\n2\n3\nTest unit written to crash-1";
        assert_eq!(
            failure(report),
            "thread panicked at a.rs:1:\nwhat\n1\n2\nTest unit written to crash-1"
        );
    }
}
