//! A disk that is really full: a small one of memory holds the browser's profile, and is filled to the last byte.

use super::common::{
    Kept, at_work, change, copies, kept, only_copy, open_recent, saved_as, shows_shoes,
};
use super::saving::{in_a_file, not_saved};
use checks::browser::{Browser, Engine, Result, beside_others, site_folder};
use serde_json::json;
use site::serve::Server;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};

/// A disk of memory; let go when dropped.
struct SmallDisk(PathBuf);

impl SmallDisk {
    /// None where mounting is not allowed.
    fn mounted() -> Option<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let at = std::env::temp_dir().join(format!("stride-disk-{}-{count}", std::process::id()));
        std::fs::create_dir_all(&at).ok()?;
        let size = ["-t", "tmpfs", "-o", "size=96m", "tmpfs"];
        let done = Command::new("mount").args(size).arg(&at).output().ok()?;
        done.status.success().then_some(Self(at))
    }

    /// Fills it; answers the file that does.
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
        // What stays behind is gone with the machine.
        let _ = Command::new("umount").args(["-l"]).arg(&self.0).status();
        let _ = std::fs::remove_dir(&self.0);
    }
}

/// The browser has promised to keep what is saved.
async fn fill_and_free(browser: &Browser, server: &Server, disk: &SmallDisk) -> Result<()> {
    at_work(browser, server).await?;
    disk.fill()?;
    not_saved(browser, "second").await?;
    in_a_file(browser, "second").await?;
    nothing_is_lost(browser).await?;
    // The page that was not saved is left, and on the full disk the one that was saved is there.
    browser.open(&server.url()).await?;
    open_recent(browser).await?;
    shows_shoes(browser, "first").await?;
    // A browser that is at work makes itself a little room.
    let filling = disk.fill()?;
    not_saved(browser, "second").await?;
    nothing_is_lost(browser).await?;
    std::fs::remove_file(filling)?;
    saved_as(browser, "second").await?;
    change(browser, "third").await?;
    saved_as(browser, "third").await
}

/// The browser has not promised it: as soon as anything cannot be written Chromium 156 clears all that the page keeps.
async fn fill_and_clear(browser: &Browser, server: &Server, disk: &SmallDisk) -> Result<()> {
    at_work(browser, server).await?;
    let filling = disk.fill()?;
    not_saved(browser, "second").await?;
    in_a_file(browser, "second").await?;
    browser.open(&server.url()).await?;
    println!("the database says: {:?}", kept(browser).await.map_err(|e| e.to_string()));
    println!("the files say: {:?}", copies(browser, "files").await.map_err(|e| e.to_string()));
    open_recent(browser).await?;
    shows_shoes(browser, &only_copy(browser, "store").await?).await?;
    std::fs::remove_file(filling)?;
    change(browser, "third").await?;
    saved_as(browser, "third").await
}

/// What was saved last is whole in the copy, and in the database too where the browser has not thrown that away.
async fn nothing_is_lost(browser: &Browser) -> Result<()> {
    let in_database = match kept(browser).await.as_deref() {
        Ok([]) => "the database is empty",
        Ok([Kept { shoes, whole: true, listed: true }]) if shoes == "first" => {
            "the old is in the database"
        }
        Ok(other) => {
            return Err(format!("what is kept is neither old nor nothing: {other:?}").into());
        }
        Err(_) => "the database does not open",
    };
    let copy = only_copy(browser, "files").await?;
    println!("{in_database}, and the copy beside it holds what was saved as “{copy}”");
    if copy == "first" { Ok(()) } else { Err(format!("the copy holds {copy}").into()) }
}

/// Holds each file back just before the browser puts it in its place, until the disk is full.
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
    println!("the database says: {:?}", kept(browser).await.map_err(|e| e.to_string()));
    let copy = only_copy(browser, "files").await?;
    assert!(["first", "second"].contains(&copy.as_str()), "{copy}");
    browser.open(&server.url()).await?;
    open_recent(browser).await?;
    shows_shoes(browser, &copy).await?;
    println!("on the full disk the page opens what was saved as “{copy}”");
    std::fs::remove_file(filling)?;
    change(browser, "third").await?;
    saved_as(browser, "third").await
}

#[test]
fn on_a_disk_that_is_really_full_nothing_is_lost_a_file_can_be_saved_and_saving_goes_on_when_there_is_room()
 {
    on_a_small_disk(Promised::Yes, fill_and_free);
}

#[test]
fn a_browser_that_clears_what_the_page_keeps_on_a_full_disk_leaves_the_session_saved_last() {
    on_a_small_disk(Promised::No, fill_and_clear);
}

#[test]
fn a_disk_that_fills_in_the_midst_of_a_save_leaves_the_old_or_the_new() {
    on_a_small_disk(Promised::Yes, fill_between);
}

/// Whether the browser has promised to keep what is saved.
#[derive(PartialEq)]
enum Promised {
    Yes,
    No,
}

/// What a person's consent to lasting storage leaves in the profile. A permission that the driver grants is told to the page,
/// and the browser clears what is kept all the same.
fn promise(profile: &Path, server: &Server) -> std::io::Result<()> {
    let site = format!("{},*", server.url().trim_end_matches('/'));
    let kept = json!({ "profile": { "content_settings": { "exceptions": { "durable_storage": { site: { "setting": 1 } } } } } });
    std::fs::create_dir_all(profile.join("Default"))?;
    std::fs::write(profile.join("Default/Preferences"), kept.to_string())
}

fn on_a_small_disk(
    promised: Promised,
    go: impl AsyncFnOnce(&Browser, &Server, &SmallDisk) -> Result<()>,
) {
    let Some(folder) = site_folder() else { return };
    if Engine::chosen() != Engine::Chromium {
        println!("not run: only Chromium puts all that it keeps into its profile");
        return;
    }
    let Some(disk) = SmallDisk::mounted() else {
        println!("not run: mounting a small disk is not allowed here");
        return;
    };
    let _room = beside_others();
    // What the page saves as a file goes to another disk.
    let other = Path::new(env!("CARGO_TARGET_TMPDIR")).join("beside-the-full-disk");
    std::fs::create_dir_all(&other).unwrap();
    let profile = disk.0.join("profile");
    std::fs::create_dir_all(&profile).unwrap();
    std::os::unix::fs::symlink(&other, profile.join("downloads")).unwrap();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let server = Server::start(&folder, 0).unwrap();
        if promised == Promised::Yes {
            promise(&profile, &server).unwrap();
        }
        let mut browser = Browser::start_in(profile, (1280, 800)).await.unwrap();
        browser.may_complain(true);
        browser.devtools.close();
        let outcome = go(&browser, &server, &disk).await;
        browser.end().await.unwrap();
        outcome.unwrap_or_else(|e| panic!("{e}"));
    });
}
