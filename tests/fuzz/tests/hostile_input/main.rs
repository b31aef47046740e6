//! Hostile input: nothing that comes from outside ends the program, keeps it waiting or makes it hold too much.
//!
//! Each target runs in a process of its own, all at once, for `STRIDE_FUZZ_S` seconds (30 if not set).
//! Mutated inputs whose outcome is new are kept to be mutated further. An input that fails is written
//! down, and belongs into `tests/fixtures/fuzz` when its cause is mended: those run first, every time.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test ends by it")]

#[path = "../../../../app/document/tests/common/mod.rs"]
mod common;
mod mutate;
mod targets;

use common::Dice;
use mutate::mutate;
use peak_alloc::PeakAlloc;
use std::collections::BTreeSet;
use std::panic::catch_unwind;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::time::{Duration, Instant};
use targets::{TARGETS, Target};

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// The target of this process; none in the one that starts the others.
const WHICH: &str = "STRIDE_FUZZ_TARGET";
/// Bytes a reader may hold beside four times its input.
const SPARE_BYTES: usize = 16 << 20;
/// Chosen: a thousand times what an input takes that is read as it should be.
const HANGS_AFTER: Duration = Duration::from_secs(20);

/// What is being tried, for the watchman.
static AT_WORK: Mutex<Option<(Instant, Vec<u8>)>> = Mutex::new(None);

fn seconds() -> u64 {
    std::env::var("STRIDE_FUZZ_S").ok().and_then(|s| s.parse().ok()).unwrap_or(30)
}

/// Tries one input: the outcome, or what is wrong with it.
///
/// One that seems slow is tried again twice, and the shortest time counts: an input that is slow is so each time, one that
/// waited for a busy machine is not.
fn attempt(target: &Target, input: &[u8]) -> Result<String, String> {
    let limit_s = 1.0_f64.max(input.len() as f64 / 1e6);
    let (mut outcome, mut took_s) = attempt_once(target, input)?;
    for _ in 0..2 {
        if took_s > limit_s {
            let again = attempt_once(target, input)?;
            (outcome, took_s) = (again.0, took_s.min(again.1));
        }
    }
    if took_s > limit_s {
        return Err(format!("{took_s} s for an input of {} bytes", input.len()));
    }
    Ok(outcome)
}

/// The outcome and how long it took, in seconds.
fn attempt_once(target: &Target, input: &[u8]) -> Result<(String, f64), String> {
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
        words.or(panic.downcast_ref::<&str>().map(|s| (*s).to_owned())).unwrap_or_default()
    })?;
    if held > 4 * input.len() + SPARE_BYTES {
        return Err(format!("{held} bytes held for an input of {}", input.len()));
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
fn run(target: &'static Target) {
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
    while !seeds.is_empty() && began.elapsed().as_secs() < seconds() && failures.len() < 10 {
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

#[test]
fn hostile_input_never_ends_the_program_nor_keeps_it_waiting_nor_fills_the_memory() {
    if let Ok(which) = std::env::var(WHICH) {
        return run(TARGETS.iter().find(|t| t.name == which).expect("a target of this name"));
    }
    let start = |target: &Target| {
        Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "--nocapture"])
            .arg("hostile_input_never_ends_the_program_nor_keeps_it_waiting_nor_fills_the_memory")
            .env(WHICH, target.name)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let running: Vec<_> = TARGETS.iter().map(|t| (t.name, start(t))).collect();
    let mut failed = Vec::new();
    for (name, child) in running {
        let ended = child.wait_with_output().unwrap();
        let words = String::from_utf8_lossy(&ended.stdout);
        let told: Vec<&str> =
            words.lines().filter(|l| l.starts_with(name) || l.starts_with("not run")).collect();
        told.iter().for_each(|line| println!("{line}"));
        if !ended.status.success() || told.is_empty() {
            failed.push(format!("{name}: {} {}", ended.status, told.join("; ")));
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}
