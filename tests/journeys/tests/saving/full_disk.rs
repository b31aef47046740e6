//! A full disk: a small one in memory holds the browser's profile, and is filled to the last byte.

use super::common::{
    Stored, at_work, change, copies, only_copy, open_recent, saved_as, shows_shoes, stored,
};
use super::failing_saves::{in_a_file, not_saved};
use journeys::browser::{Browser, Engine, Result, beside_others, site_folder};
use journeys::options::options;
use serde_json::json;
use site::serve::Server;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};

/// A disk in memory; unmounted when dropped.
struct SmallDisk(PathBuf);

impl SmallDisk {
    /// None if mounting is not allowed.
    fn mounted() -> Option<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let at = std::env::temp_dir().join(format!("stride-disk-{}-{count}", std::process::id()));
        std::fs::create_dir_all(&at).ok()?;
        let size = ["-t", "tmpfs", "-o", "size=96m", "tmpfs"];
        let done = Command::new("mount").args(size).arg(&at).output().ok()?;
        done.status.success().then_some(Self(at))
    }

    /// Fills it; answers the file that fills it.
    fn fill(&self) -> Result<PathBuf> {
        let path = self.0.join("filling");
        let mut file = std::fs::File::create(&path)?;
        for size in [1 << 20, 1 << 12, 1] {
            while file.write_all(&vec![7; size]).is_ok() {}
        }
        Ok(path)
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        // What is left behind ends with the machine.
        let _ = Command::new("umount").args(["-l"]).arg(&self.0).status();
        let _ = std::fs::remove_dir(&self.0);
    }
}

/// With persistent storage granted.
async fn fill_and_free(browser: &Browser, server: &Server, disk: &SmallDisk) -> Result<()> {
    at_work(browser, server).await?;
    disk.fill()?;
    not_saved(browser, "second").await?;
    in_a_file(browser, "second").await?;
    nothing_is_lost(browser).await?;
    // After leaving the unsaved page, the saved session is there on the full disk.
    browser.open(&server.url()).await?;
    open_recent(browser).await?;
    shows_shoes(browser, "first").await?;
    // A running browser frees a little room.
    let filling = disk.fill()?;
    not_saved(browser, "second").await?;
    nothing_is_lost(browser).await?;
    std::fs::remove_file(filling)?;
    saved_as(browser, "second").await?;
    change(browser, "third").await?;
    saved_as(browser, "third").await
}

/// Without persistent storage: Chromium 156 clears the storage of the page as soon as a write fails.
async fn fill_and_clear(browser: &Browser, server: &Server, disk: &SmallDisk) -> Result<()> {
    at_work(browser, server).await?;
    let filling = disk.fill()?;
    not_saved(browser, "second").await?;
    in_a_file(browser, "second").await?;
    browser.open(&server.url()).await?;
    println!("database: {:?}", stored(browser).await.map_err(|e| e.to_string()));
    println!("files: {:?}", copies(browser, "files").await.map_err(|e| e.to_string()));
    open_recent(browser).await?;
    shows_shoes(browser, &only_copy(browser, "store").await?).await?;
    std::fs::remove_file(filling)?;
    change(browser, "third").await?;
    saved_as(browser, "third").await
}

/// The session saved last is whole in the copy, and in the database too unless the browser deleted that.
async fn nothing_is_lost(browser: &Browser) -> Result<()> {
    let in_database = match stored(browser).await.as_deref() {
        Ok([]) => "the database is empty",
        Ok([Stored { shoes, whole: true, listed: true }]) if shoes == "first" => {
            "the old is in the database"
        }
        Ok(other) => {
            return Err(format!(
                "the database holds neither the old session nor nothing: {other:?}"
            )
            .into());
        }
        Err(_) => "the database does not open",
    };
    let copy = only_copy(browser, "files").await?;
    println!("{in_database}, and the copy holds “{copy}”");
    if copy == "first" { Ok(()) } else { Err(format!("the copy holds {copy}").into()) }
}

/// Delays closing each file until the disk is full.
const HOLD: &str = "
    const close = FileSystemWritableFileStream.prototype.close;
    window.held = 0;
    FileSystemWritableFileStream.prototype.close = async function () {
        window.held += 1;
        await new Promise((go) => { window.go = go; });
        return close.call(this);
    };
";

/// The disk is filled by another program between the two writes of one save.
async fn fill_between(browser: &Browser, server: &Server, disk: &SmallDisk) -> Result<()> {
    at_work(browser, server).await?;
    browser.script(HOLD).await?;
    change(browser, "second").await?;
    browser.until("window.held === 1", 10).await?;
    let filling = disk.fill()?;
    browser.script("window.go();").await?;
    browser.until("document.querySelector('.saved').innerText.startsWith('Not saved')", 20).await?;
    println!("database: {:?}", stored(browser).await.map_err(|e| e.to_string()));
    let copy = only_copy(browser, "files").await?;
    assert!(["first", "second"].contains(&copy.as_str()), "{copy}");
    browser.open(&server.url()).await?;
    open_recent(browser).await?;
    shows_shoes(browser, &copy).await?;
    println!("on the full disk the page opens “{copy}”");
    std::fs::remove_file(filling)?;
    change(browser, "third").await?;
    saved_as(browser, "third").await
}

fn on_a_full_disk_nothing_is_lost_a_file_can_be_saved_and_saving_goes_on_once_there_is_room() {
    on_a_small_disk(Storage::Persistent, fill_and_free);
}

fn a_browser_that_clears_its_storage_on_a_full_disk_leaves_the_session_saved_last() {
    on_a_small_disk(Storage::BestEffort, fill_and_clear);
}

fn a_disk_that_fills_up_during_a_save_leaves_the_old_or_the_new_session() {
    on_a_small_disk(Storage::Persistent, fill_between);
}

/// Whether the browser has granted persistent storage.
#[derive(PartialEq)]
enum Storage {
    Persistent,
    BestEffort,
}

/// Writes into the profile what a person's consent to persistent storage writes. A permission granted by the driver is
/// visible to the page, but the browser clears the storage all the same.
fn grant_persistence(profile: &Path, server: &Server) -> std::io::Result<()> {
    let site = format!("{},*", server.url().trim_end_matches('/'));
    let granted = json!({ "profile": { "content_settings": { "exceptions": { "durable_storage": { site: { "setting": 1 } } } } } });
    std::fs::create_dir_all(profile.join("Default"))?;
    std::fs::write(profile.join("Default/Preferences"), granted.to_string())
}

fn on_a_small_disk(
    storage: Storage,
    go: impl AsyncFnOnce(&Browser, &Server, &SmallDisk) -> Result<()>,
) {
    let Some(folder) = site_folder() else { return };
    if options().engine != Engine::Chromium {
        println!("not run: only Chromium stores everything in its profile");
        return;
    }
    let Some(disk) = SmallDisk::mounted() else {
        println!("not run: mounting a small disk is not allowed here");
        return;
    };
    let _room = beside_others();
    // Downloads go to another disk.
    let other = Path::new(env!("CARGO_TARGET_TMPDIR")).join("beside-the-full-disk");
    std::fs::create_dir_all(&other).unwrap();
    let profile = disk.0.join("profile");
    std::fs::create_dir_all(&profile).unwrap();
    std::os::unix::fs::symlink(&other, profile.join("downloads")).unwrap();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let server = Server::start(&folder, 0).unwrap();
        if storage == Storage::Persistent {
            grant_persistence(&profile, &server).unwrap();
        }
        let mut browser = Browser::start_in(profile, (1280, 800)).await.unwrap();
        browser.may_complain(true);
        browser.devtools.close();
        let outcome = go(&browser, &server, &disk).await;
        browser.end().await.unwrap();
        outcome.unwrap_or_else(|e| panic!("{e}"));
    });
}

/// The journeys of this file.
pub fn all() -> Vec<libtest_mimic::Trial> {
    journeys::trials!["saving::full_disk": on_a_full_disk_nothing_is_lost_a_file_can_be_saved_and_saving_goes_on_once_there_is_room, a_browser_that_clears_its_storage_on_a_full_disk_leaves_the_session_saved_last, a_disk_that_fills_up_during_a_save_leaves_the_old_or_the_new_session]
}
