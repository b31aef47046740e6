//! Hostile input: nothing from outside ends the program, makes it hang or fills the memory.
//!
//! Each target runs in a process of its own, all at once, for `--seconds` (30). Mutated inputs with a new outcome are
//! mutated further. An input that fails is written to a file; once its cause is fixed it goes to `tests/fuzz/fixtures`,
//! whose files run first every time.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

#[path = "../../../../app/document/tests/common/mod.rs"]
mod common;
mod mutate;
mod targets;

use common::Dice;
use lexopt::prelude::*;
use mutate::mutate;
use peak_alloc::PeakAlloc;
use std::collections::BTreeSet;
use std::panic::catch_unwind;
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};
use std::sync::Mutex;
use std::time::{Duration, Instant};
use targets::{TARGETS, Target};

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Bytes a reader may hold beside four times its input.
const SPARE_BYTES: usize = 16 << 20;
/// Chosen: a thousand times what an input takes that is read as it should be.
const HANGS_AFTER: Duration = Duration::from_secs(20);

/// The input that runs now, for the watchdog.
static AT_WORK: Mutex<Option<(Instant, Vec<u8>)>> = Mutex::new(None);

/// What the command line asks for.
struct Options {
    /// How long each target runs.
    seconds: u64,
    /// The target of this process; none in the process that starts the others.
    target: Option<String>,
}

/// Reads the command line; words that are neither option are a filter of cargo's, which leaves the one test here or not.
fn options() -> Result<Options, lexopt::Error> {
    let mut options = Options { seconds: 30, target: None };
    let mut parser = lexopt::Parser::from_env();
    while let Some(argument) = parser.next()? {
        match argument {
            Long("seconds") => options.seconds = parser.value()?.parse()?,
            Long("target") => options.target = Some(parser.value()?.string()?),
            _ => {}
        }
    }
    Ok(options)
}

/// Why an input fails.
#[derive(Debug, thiserror::Error)]
enum Failure {
    #[error("{took_s} s for an input of {bytes} bytes")]
    Slow { took_s: f64, bytes: usize },
    #[error("{held} bytes of memory for an input of {bytes}")]
    Memory { held: usize, bytes: usize },
    #[error("{0}")]
    Panic(String),
}

/// Runs one input: the outcome, or why it fails.
///
/// A slow input is tried twice again, and the shortest time counts, since the machine may have been busy.
fn attempt(target: &Target, input: &[u8]) -> Result<String, Failure> {
    let limit_s = 1.0_f64.max(input.len() as f64 / 1e6);
    let (mut outcome, mut took_s) = attempt_once(target, input)?;
    for _ in 0..2 {
        if took_s > limit_s {
            let again = attempt_once(target, input)?;
            (outcome, took_s) = (again.0, took_s.min(again.1));
        }
    }
    if took_s > limit_s {
        return Err(Failure::Slow { took_s, bytes: input.len() });
    }
    Ok(outcome)
}

/// The outcome and how long it took, in seconds.
fn attempt_once(target: &Target, input: &[u8]) -> Result<(String, f64), Failure> {
    *AT_WORK.lock().unwrap() = Some((Instant::now(), input.to_vec()));
    MEMORY.reset_peak_usage();
    let before = MEMORY.current_usage();
    let began = Instant::now();
    let outcome = catch_unwind(|| (target.run)(input));
    let took = began.elapsed();
    let held = MEMORY.peak_usage().saturating_sub(before);
    *AT_WORK.lock().unwrap() = None;
    let outcome = outcome.map_err(|panic| {
        let words = panic.downcast_ref::<String>().cloned();
        let words = words.or(panic.downcast_ref::<&str>().map(|s| (*s).to_owned()));
        Failure::Panic(words.unwrap_or_default())
    })?;
    if held > 4 * input.len() + SPARE_BYTES {
        return Err(Failure::Memory { held, bytes: input.len() });
    }
    Ok((outcome, took.as_secs_f64()))
}

fn write_down(target: &str, input: &[u8]) -> String {
    let sum = input
        .iter()
        .fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(*b)).wrapping_mul(0x100_0000_01b3));
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{target}-{sum:016x}"));
    std::fs::write(&path, input).unwrap();
    path.display().to_string()
}

fn watch(target: &'static str) {
    std::thread::spawn(move || {
        loop {
            std::thread::sleep(Duration::from_millis(500));
            let at_work = AT_WORK.lock().unwrap();
            if let Some((began, input)) = &*at_work
                && began.elapsed() > HANGS_AFTER
            {
                println!("{target}: hangs, input written to {}", write_down(target, input));
                std::process::exit(1);
            }
        }
    });
}

/// Inputs that failed once.
fn fixtures(target: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures");
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let of_target = |e: &std::fs::DirEntry| e.file_name().to_string_lossy().starts_with(target);
    let files = entries.flatten().filter(of_target);
    files.map(|e| std::fs::read(e.path()).unwrap()).collect()
}

/// Runs one target in this process until its time is over.
fn run(target: &'static Target, seconds: u64) -> ! {
    watch(target.name);
    std::panic::set_hook(Box::new(|_| {}));
    let (mut seeds, mut seen, mut failures) = ((target.seeds)(), BTreeSet::new(), Vec::new());
    let kept = fixtures(target.name);
    let known = kept.len();
    for input in kept.iter().chain(&seeds) {
        match attempt(target, input) {
            Ok(outcome) => drop(seen.insert(outcome)),
            Err(what) => failures.push(format!("a fixture or seed: {what}")),
        }
    }
    seeds.extend(kept);
    let began = Instant::now();
    let mut dice = Dice::new(began.elapsed().as_nanos() as u64 ^ u64::from(std::process::id()));
    let mut tried = 0_u64;
    let mut places: Vec<_> = seeds.iter().map(|seed| (target.within)(seed)).collect();
    while !seeds.is_empty() && began.elapsed().as_secs() < seconds && failures.len() < 10 {
        let chosen = dice.below(seeds.len());
        let (seed, within) = (&seeds[chosen], &places[chosen]);
        let other = &seeds[dice.below(seeds.len())];
        let input = mutate(seed, other, within, target.words, &mut dice);
        tried += 1;
        match attempt(target, &input) {
            Ok(outcome) => {
                if seen.insert(outcome) && seeds.len() < 2000 {
                    places.push((target.within)(&input));
                    seeds.push(input);
                }
            }
            Err(what) => failures.push(format!("{what}: {}", write_down(target.name, &input))),
        }
    }
    println!("{}: {tried} inputs, {} outcomes, {known} fixtures", target.name, seen.len());
    failures.iter().for_each(|f| println!("{}: {f}", target.name));
    std::process::exit(i32::from(!failures.is_empty()));
}

fn main() -> ExitCode {
    let options = match options() {
        Ok(options) => options,
        Err(error) => {
            eprintln!("fuzz: {error}");
            return ExitCode::FAILURE;
        }
    };
    if let Some(name) = options.target {
        run(
            TARGETS.iter().find(|t| t.name == name).expect("a target of this name"),
            options.seconds,
        );
    }
    let start = |target: &Target| {
        Command::new(std::env::current_exe().unwrap())
            .args(["--target", target.name, "--seconds", &options.seconds.to_string()])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let running: Vec<_> = TARGETS.iter().map(|t| (t.name, start(t))).collect();
    let mut failed = 0;
    for (name, child) in running {
        let ended = child.wait_with_output().unwrap();
        let output = String::from_utf8_lossy(&ended.stdout);
        let lines: Vec<&str> =
            output.lines().filter(|l| l.starts_with(name) || l.starts_with("not run")).collect();
        lines.iter().for_each(|line| println!("{line}"));
        if !ended.status.success() || lines.is_empty() {
            println!("{name} FAILED: {}", ended.status);
            failed += 1;
        }
    }
    let word = if failed == 0 { "ok" } else { "FAILED" };
    println!("test result: {word}. {} passed; {failed} failed", TARGETS.len() - failed);
    ExitCode::from(u8::from(failed > 0))
}
