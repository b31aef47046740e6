//! How much memory the process of a page takes, as the system counts.

use super::Result;

/// Megabytes that the largest process that shows pages, and that this test started, has for itself; and that it shares
/// with the rest of the browser: in Chromium also pictures that it drew, of which it keeps up to 512 MB until memory is
/// short, where they are drawn as `VideoFrame` or as `ImageBitmap`.
///
/// # Errors
/// When there is no such process.
///
/// Source: proc(5), `/proc/[pid]/stat` (field 4) and `/proc/[pid]/smaps`.
pub fn page_process_mb() -> Result<(f64, f64)> {
    let own = std::process::id();
    let mut largest = (0.0_f64, 0.0);
    for entry in std::fs::read_dir("/proc")?.flatten() {
        let Ok(pid) = entry.file_name().to_string_lossy().parse::<u32>() else { continue };
        let command = std::fs::read(entry.path().join("cmdline")).unwrap_or_default();
        if !String::from_utf8_lossy(&command).contains("--type=renderer") || !is_under(pid, own) {
            continue;
        }
        let maps = std::fs::read_to_string(entry.path().join("smaps")).unwrap_or_default();
        let found = private_and_shared(&maps);
        if found.0 > largest.0 {
            largest = found;
        }
    }
    if largest.0 > 0.0 { Ok(largest) } else { Err("the process of the page is not found".into()) }
}

/// Megabytes of mappings of its own and of those through shared memory, whatever has been written to.
fn private_and_shared(maps: &str) -> (f64, f64) {
    let (mut own, mut shared, mut is_shared) = (0.0, 0.0, false);
    for line in maps.lines() {
        let mut words = line.split_ascii_whitespace();
        match words.next() {
            Some(name) if name.starts_with("Private_") => {
                let kilobytes = words.next().and_then(|w| w.parse::<f64>().ok()).unwrap_or(0.0);
                *(if is_shared { &mut shared } else { &mut own }) += kilobytes * 1024.0 / 1e6;
            }
            Some(name) if !name.ends_with(':') => is_shared = line.contains("shared-memory-region"),
            _ => {}
        }
    }
    (own, shared)
}

fn is_under(mut pid: u32, above: u32) -> bool {
    while pid > 1 {
        if pid == above {
            return true;
        }
        let stat = std::fs::read_to_string(format!("/proc/{pid}/stat")).unwrap_or_default();
        let parent = stat.rsplit(") ").next().and_then(|s| s.split_ascii_whitespace().nth(1));
        pid = parent.and_then(|p| p.parse().ok()).unwrap_or(0);
    }
    false
}
