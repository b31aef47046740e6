//! Starts a driver and a browser with a profile of its own, makes it as new between journeys, and ends both.

use super::devtools::DevTools;
use super::engine::{Engine, OnlyChromium};
use crate::error::Result;
use crate::options::options;
use fantoccini::wd::{TimeoutConfiguration, WebDriverCompatibleCommand};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::cell::Cell;
use std::path::PathBuf;
use std::process::Child;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

/// A browser under remote control.
pub struct Browser {
    /// The client that speaks to it.
    pub client: Client,
    /// The folder for files that the page saves.
    pub downloads: PathBuf,
    /// The connection to its developer tools, which logs every request of the page and its workers.
    pub devtools: DevTools,
    /// Whether the page may show a problem now.
    pub(super) may_complain: Cell<bool>,
    /// Which one it is.
    pub engine: Engine,
    processes: Processes,
}

/// The driver, the virtual screen of a browser that needs one, and the browser's profile; gone when dropped.
struct Processes {
    drivers: Vec<Child>,
    profile: PathBuf,
}

/// The folder of the built site; none says that the journeys are not run, and fails where they must be.
#[must_use]
pub fn site_folder() -> Option<PathBuf> {
    let folder = options().site.clone().filter(|f| f.join("index.html").is_file());
    let engine = options().engine;
    if let Some(command) = engine.missing() {
        println!("not run: a part of {engine:?} is missing; {command}");
        return None;
    }
    if folder.is_none() {
        println!("not run: --site names no built site");
        assert!(
            std::env::var_os("CI").is_none(),
            "the journeys must run here: give --site and the folder of the built site"
        );
    }
    folder
}

impl Browser {
    /// Starts one with a window of this size.
    ///
    /// # Errors
    /// When the driver or the browser cannot be started.
    pub async fn start(size_px: (u32, u32)) -> Result<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("stride-journey-{}-{number}", std::process::id());
        Self::start_in(std::env::temp_dir().join(name), size_px).await
    }

    /// The same, with its profile in this folder, which is removed with it.
    ///
    /// # Errors
    /// When the driver or the browser cannot be started.
    pub async fn start_in(profile: PathBuf, size_px: (u32, u32)) -> Result<Self> {
        let engine = options().engine;
        let downloads = profile.join("downloads");
        std::fs::create_dir_all(&downloads)?;
        let (drivers, port) = engine.start(&profile)?;
        let processes = Processes { drivers, profile };
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(engine.capabilities(&processes.profile, size_px)?)
            .connect(&format!("http://127.0.0.1:{port}"))
            .await?;
        // A walk through a clip is one script, and each of its steps has a limit of its own.
        let scripts = TimeoutConfiguration::new(Some(Duration::from_secs(180)), None, None);
        client.update_timeouts(scripts).await?;
        let devtools = match engine {
            Engine::Chromium => DevTools::open(&processes.profile)?,
            _ => {
                client.set_window_size(size_px.0, size_px.1).await?;
                DevTools::none()
            }
        };
        let may_complain = Cell::new(false);
        Ok(Self { client, downloads, devtools, may_complain, engine, processes })
    }

    /// Makes it as new for the next journey: a new tab, nothing stored at this origin, no files, empty logs.
    ///
    /// # Errors
    /// When the browser does not answer.
    pub(super) async fn reset(&self, origin: &str) -> Result<()> {
        let tab = self.client.new_window(true).await?.handle;
        for old in self.client.windows().await?.into_iter().filter(|w| *w != tab) {
            self.client.switch_to_window(old).await?;
            self.client.close_window().await?;
        }
        self.client.switch_to_window(tab).await?;
        let stored = json!({ "origin": origin.trim_end_matches('/'), "storageTypes": "all" });
        self.command("Storage.clearDataForOrigin", stored).await?;
        for file in std::fs::read_dir(&self.downloads)? {
            std::fs::remove_file(file?.path())?;
        }
        self.log("browser").await?;
        self.devtools.forget_requests();
        self.may_complain.set(false);
        Ok(())
    }

    /// Entries of one of the browser's logs since it was last asked.
    ///
    /// # Errors
    /// When the browser is gone.
    pub async fn log(&self, kind: &'static str) -> Result<Vec<Value>> {
        self.is_chromium("its log")?;
        let entries = self.client.issue_cmd(Log(kind)).await?;
        Ok(entries.as_array().cloned().unwrap_or_default())
    }

    /// Sends a command of the developer tools, for what no gesture can do: screen sizes, a dropped file.
    ///
    /// # Errors
    /// When the browser refuses.
    pub async fn command(&self, method: &'static str, params: Value) -> Result<Value> {
        self.is_chromium(method)?;
        Ok(self.client.issue_cmd(Command(method, params)).await?)
    }

    /// The process that everything of this browser runs under.
    #[must_use]
    pub fn driver_pid(&self) -> u32 {
        self.processes.drivers.first().map_or(0, Child::id)
    }

    fn is_chromium(&self, what: &'static str) -> Result<()> {
        if self.engine == Engine::Chromium { Ok(()) } else { Err(OnlyChromium(what).into()) }
    }

    /// Waits for a file that the page saves; answers its text and removes it.
    ///
    /// # Errors
    /// When none arrives within ten seconds.
    pub async fn download(&self, ending: &str) -> Result<String> {
        for _ in 0..200 {
            let files = std::fs::read_dir(&self.downloads)?
                .filter_map(std::result::Result::ok)
                .map(|f| f.path());
            if let Some(path) = files.into_iter().find(|p| p.to_string_lossy().ends_with(ending)) {
                let text = std::fs::read_to_string(&path)?;
                if !text.is_empty() {
                    std::fs::remove_file(&path)?;
                    return Ok(text);
                }
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        Err(format!("no file ending in {ending} was saved").into())
    }

    /// Ends it.
    ///
    /// # Errors
    /// When it does not answer any more.
    pub async fn end(self) -> Result<()> {
        self.client.clone().close().await?;
        Ok(())
    }
}

impl Drop for Processes {
    fn drop(&mut self) {
        // A process that is gone already needs no ending, and a profile left behind does no harm.
        for driver in &mut self.drivers {
            let _ = driver.kill();
            let _ = driver.wait();
        }
        let _ = std::fs::remove_dir_all(&self.profile);
    }
}

#[derive(Debug)]
struct Log(&'static str);

impl WebDriverCompatibleCommand for Log {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> std::result::Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/se/log", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(json!({ "type": self.0 }).to_string()))
    }
}

#[derive(Debug)]
struct Command(&'static str, Value);

impl WebDriverCompatibleCommand for Command {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> std::result::Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/goog/cdp/execute", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(json!({ "cmd": self.0, "params": self.1 }).to_string()))
    }
}
