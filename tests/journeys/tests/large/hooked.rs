//! A copy of the site that counts the bytes its worker reads and the memory of page and worker.

use journeys::browser::{Browser, PageMemory, Result, page_memory};
use serde_json::Value;
use std::path::{Path, PathBuf};

/// Megabytes.
#[derive(Clone, Copy, Debug)]
pub struct Usage {
    /// LoggedRequest of the file so far.
    pub read_mb: f64,
    /// Page and worker as counted by the browser.
    pub counted_mb: f64,
    /// The process of the page.
    pub process: PageMemory,
    pub page_wasm_mb: f64,
    pub worker_wasm_mb: f64,
}

const HOOK: &str = "
{
    const stream = WebAssembly.instantiateStreaming;
    WebAssembly.instantiateStreaming = async (...all) => {
        const made = await stream.apply(WebAssembly, all);
        self.heldMemory = made.instance.exports.memory;
        return made;
    };
    if (self.FileReaderSync) {
        let read = 0;
        const was = FileReaderSync.prototype.readAsArrayBuffer;
        FileReaderSync.prototype.readAsArrayBuffer = function (blob) {
            read += blob.size;
            return was.call(this, blob);
        };
        const line = new BroadcastChannel('held');
        line.onmessage = ({ data }) => {
            if (data === 'ask') line.postMessage({ read, heap: self.heldMemory?.buffer.byteLength ?? 0 });
        };
    }
}
";

/// Copies the site and puts the hook before the scripts that start page and worker.
///
/// # Errors
/// When a file cannot be copied, or a script is missing.
pub fn hooked_site(site: &Path, folder: &Path) -> Result<PathBuf> {
    let copy = folder.join("site");
    copy_all(site, &copy)?;
    let mut hooked = 0;
    for entry in std::fs::read_dir(&copy)? {
        let path = entry?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let starts = name.starts_with("worker-") || name.starts_with("page-");
        if starts && name.ends_with(".js") && !name.contains("bindings") {
            std::fs::write(&path, format!("{HOOK}{}", std::fs::read_to_string(&path)?))?;
            hooked += 1;
        }
    }
    if hooked == 2 { Ok(copy) } else { Err(format!("{hooked} files were hooked, not 2").into()) }
}

fn copy_all(from: &Path, to: &Path) -> Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let (path, target) = (entry.path(), to.join(entry.file_name()));
        if path.is_dir() {
            copy_all(&path, &target)?;
        } else {
            std::fs::copy(&path, &target)?;
        }
    }
    Ok(())
}

const ASK: &str = "
    const done = arguments[0];
    const line = new BroadcastChannel('held');
    line.onmessage = async ({ data }) => {
        if (data === 'ask') return;
        line.close();
        const counted = self.crossOriginIsolated ? (await performance.measureUserAgentSpecificMemory()).bytes : 0;
        done([data.read, data.heap, self.heldMemory?.buffer.byteLength ?? 0, counted]);
    };
    line.postMessage('ask');";

/// Asks the page, its worker and the system.
///
/// # Errors
/// When one of them does not answer.
pub async fn usage(browser: &Browser) -> Result<Usage> {
    let answer = browser.client.execute_async(ASK, Vec::new()).await?;
    let mb = |at: usize| answer.get(at).and_then(Value::as_f64).map_or(f64::NAN, |b| b / 1e6);
    Ok(Usage {
        read_mb: mb(0),
        worker_wasm_mb: mb(1),
        page_wasm_mb: mb(2),
        counted_mb: mb(3),
        process: page_memory(browser)?,
    })
}
