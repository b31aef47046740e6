//! A disk that is really full: a small one of memory holds the browser's profile, and is filled to the last byte.

use super::common::{Kept, at_work, change, kept, saved_as};
use super::saving::{in_a_file, not_saved};
use checks::browser::{Browser, Engine, Result, beside_others, site_folder};
use serde_json::json;
use site::serve::Server;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A disk of memory; let go when dropped.
struct SmallDisk(PathBuf);

impl SmallDisk {
    /// None where mounting is not allowed.
    fn mounted() -> Option<Self> {
        let at = std::env::temp_dir().join(format!("stride-disk-{}", std::process::id()));
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

async fn fill_and_free(browser: &Browser, server: &Server, disk: &SmallDisk) -> Result<()> {
    // Without it the browser may clear what pages keep as soon as room is short.
    let lasting =
        json!({ "permissions": ["durableStorage"], "origin": server.url().trim_end_matches('/') });
    browser.tell("Browser.grantPermissions", lasting).await?;
    at_work(browser, server).await?;
    let filling = disk.fill()?;
    not_saved(browser, "second").await?;
    in_a_file(browser, "second").await?;
    // Chromium 156 throws its database away when a write meets the end of the disk, whatever was promised.
    match kept(browser).await?.as_slice() {
        [] => println!(
            "the browser has thrown away what it kept; the session is in the page and in the file"
        ),
        [Kept { shoes, whole: true, listed: true }] if shoes == "first" => {
            println!("the old copy is kept")
        }
        other => return Err(format!("what is kept is neither old nor nothing: {other:?}").into()),
    }
    std::fs::remove_file(filling)?;
    saved_as(browser, "second").await?;
    change(browser, "third").await?;
    saved_as(browser, "third").await
}

#[test]
fn a_disk_that_is_really_full_is_told_at_once_a_file_can_be_saved_and_saving_goes_on_when_there_is_room()
 {
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
        let mut browser = Browser::start_in(profile, (1280, 800)).await.unwrap();
        browser.may_complain(true);
        browser.devtools.close();
        let outcome = fill_and_free(&browser, &server, &disk).await;
        browser.end().await.unwrap();
        outcome.unwrap_or_else(|e| panic!("{e}"));
    });
}
