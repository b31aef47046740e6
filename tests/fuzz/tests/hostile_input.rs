//! Nothing that comes from outside ends the program, keeps it waiting or makes it hold too much memory.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failure is the answer")]

use fuzz::guided::{Guided, SearchError};
use fuzz::limits::check;
use fuzz::targets::TARGETS;
use fuzz::{Target, inputs};
use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::{Mutex, mpsc};
use std::time::Duration;

/// Chosen: with the known inputs, ten seconds for each target.
const SECONDS: u32 = 8;
/// Searches at the same time. Chosen: the processors of the smallest machine in use.
const AT_ONCE: usize = 2;
/// Chosen: twenty times the limit of a small input, which a busy machine does not reach.
const HANGS_AFTER: Duration = Duration::from_secs(20);

/// One test after the other in one process: the memory of all threads counts.
#[test]
fn hostile_input_never_ends_the_program_nor_keeps_it_waiting_nor_fills_the_memory() {
    for target in &TARGETS {
        replay(target);
    }
    let guided = match Guided::build() {
        Ok(guided) => guided,
        Err(error @ SearchError::NoCompiler) => return println!("guided search not run: {error}"),
        Err(error) => panic!("{error}"),
    };
    let waiting: Mutex<VecDeque<&'static Target>> = Mutex::new(TARGETS.iter().collect());
    let failures = Mutex::new(Vec::new());
    let next = || waiting.lock().unwrap().pop_front();
    std::thread::scope(|scope| {
        for _ in 0..AT_ONCE {
            scope.spawn(|| {
                while let Some(target) = next() {
                    match guided.search(target, SECONDS) {
                        Ok(summary) => println!("{}: {summary:?}", target.name),
                        Err(error) => failures.lock().unwrap().push(error.to_string()),
                    }
                }
            });
        }
    });
    let failures = failures.into_inner().unwrap();
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Every input that is known: fixtures, seeds, and the corpus of earlier searches.
fn replay(target: &'static Target) {
    let mut paths = inputs::fixtures(target).unwrap();
    let fixtures = paths.len();
    paths.extend(inputs::corpus(target).unwrap());
    paths.extend(inputs::files(&inputs::seed_folder(target).unwrap()).unwrap());
    println!("{}: {fixtures} fixtures, {} other inputs", target.name, paths.len() - fixtures);
    for path in paths {
        check_in_time(target, path);
    }
}

fn check_in_time(target: &'static Target, path: PathBuf) {
    let input = std::fs::read(&path).unwrap();
    let (sender, receiver) = mpsc::channel();
    std::thread::spawn(move || sender.send(check(target, &input)));
    match receiver.recv_timeout(HANGS_AFTER) {
        Ok(Ok(())) => {}
        Ok(Err(excess)) => panic!("{}: {excess}", path.display()),
        Err(mpsc::RecvTimeoutError::Timeout) => panic!("{}: hangs", path.display()),
        Err(mpsc::RecvTimeoutError::Disconnected) => panic!("{}: panics", path.display()),
    }
}
