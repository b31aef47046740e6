//! How much memory the process of a page takes, as the system counts.

use super::Browser;
use crate::error::Result;

/// Memory of the process of a page, in megabytes.
#[derive(Clone, Copy, Debug, Default)]
pub struct PageMemory {
    /// What the process has for itself.
    pub private_mb: f64,
    /// What it shares with the rest of the browser. In Chromium this includes frames that it drew as `VideoFrame`
    /// or `ImageBitmap`, of which it keeps up to 512 MB until memory is short.
    pub shared_mb: f64,
}

/// The memory of the largest process that shows pages in this browser.
///
/// # Errors
/// When there is no such process.
///
/// Source: proc(5), `/proc/[pid]/stat` (field 4) and `/proc/[pid]/smaps`.
pub fn page_memory(browser: &Browser) -> Result<PageMemory> {
    let driver = browser.driver_pid();
    let mut largest = PageMemory::default();
    for entry in std::fs::read_dir("/proc")?.flatten() {
        let Ok(pid) = entry.file_name().to_string_lossy().parse::<u32>() else { continue };
        let command = std::fs::read(entry.path().join("cmdline")).unwrap_or_default();
        let is_renderer = String::from_utf8_lossy(&command).contains("--type=renderer");
        if !is_renderer || !is_under(pid, driver) {
            continue;
        }
        let maps = std::fs::read_to_string(entry.path().join("smaps")).unwrap_or_default();
        let found = private_and_shared(&maps);
        if found.private_mb > largest.private_mb {
            largest = found;
        }
    }
    if largest.private_mb > 0.0 {
        Ok(largest)
    } else {
        Err("the process of the page was not found".into())
    }
}

/// Written pages of private mappings and of mappings through shared memory.
fn private_and_shared(maps: &str) -> PageMemory {
    let (mut found, mut is_shared) = (PageMemory::default(), false);
    for line in maps.lines() {
        let mut words = line.split_ascii_whitespace();
        match words.next() {
            Some(name) if name.starts_with("Private_") => {
                let kilobytes = words.next().and_then(|w| w.parse::<f64>().ok()).unwrap_or(0.0);
                let sum = if is_shared { &mut found.shared_mb } else { &mut found.private_mb };
                *sum += kilobytes * 1024.0 / 1e6;
            }
            Some(name) if !name.ends_with(':') => is_shared = line.contains("shared-memory-region"),
            _ => {}
        }
    }
    found
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
