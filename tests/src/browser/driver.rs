//! Starts a driver and a browser with a profile of its own, and ends both.

use super::Result;
use super::devtools::DevTools;
use super::engine::{Engine, OnlyChromium};
use fantoccini::wd::{TimeoutConfiguration, WebDriverCompatibleCommand};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::cell::Cell;
use std::path::PathBuf;
use std::process::Child;
use std::time::Duration;

/// A browser under remote control.
pub struct Browser {
    /// The client that speaks to it.
    pub client: Client,
    /// Where it puts what the page saves.
    pub downloads: PathBuf,
    /// The line to its developer tools, which hears every request of the page and its workers.
    pub devtools: DevTools,
    /// Whether the page may complain now.
    pub(super) may_complain: Cell<bool>,
    /// Which one it is.
    pub engine: Engine,
    _running: Running,
}

/// The driver, the screen where it has one of its own, and the browser's profile; gone when dropped.
struct Running {
    drivers: Vec<Child>,
    profile: PathBuf,
}

/// The folder of the built site; none says that the journeys are not run, and fails where they must be.
#[must_use]
pub fn site_folder() -> Option<PathBuf> {
    let folder = std::env::var_os("STRIDE_SITE")
        .map(|folder| at_the_top().join(folder))
        .filter(|f| f.join("index.html").is_file());
    if let Some(command) = Engine::chosen().lacks() {
        println!("not run: {:?} is not all here; {command}", Engine::chosen());
        return None;
    }
    if folder.is_none() {
        println!("not run: STRIDE_SITE names no built site");
        assert!(
            std::env::var_os("CI").is_none(),
            "the journeys must run here: set STRIDE_SITE to the built site"
        );
    }
    folder
}

/// The top of the project, where a folder begins that is named without a beginning of its own.
#[must_use]
pub fn at_the_top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}

impl Browser {
    /// Starts one with a window of this size.
    ///
    /// # Errors
    /// When the driver or the browser cannot be started.
    pub async fn start(size: (u32, u32)) -> Result<Self> {
        let profile = std::env::temp_dir().join(
            format!("stride-journey-{}-{:?}", std::process::id(), std::time::SystemTime::now())
                .replace([' ', ':', '{', '}', ','], "-"),
        );
        Self::start_in(profile, size).await
    }

    /// The same, with its profile in this folder, which is gone with it.
    ///
    /// # Errors
    /// When the driver or the browser cannot be started.
    pub async fn start_in(profile: PathBuf, size: (u32, u32)) -> Result<Self> {
        let engine = Engine::chosen();
        let downloads = profile.join("downloads");
        std::fs::create_dir_all(&downloads)?;
        let (drivers, port) = engine.start(&profile)?;
        let running = Running { drivers, profile };
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(engine.capabilities(&running.profile, size)?)
            .connect(&format!("http://127.0.0.1:{port}"))
            .await?;
        // A walk through a clip is one script, and each of its steps has a limit of its own.
        let scripts = TimeoutConfiguration::new(Some(Duration::from_secs(180)), None, None);
        client.update_timeouts(scripts).await?;
        let devtools = match engine {
            Engine::Chromium => DevTools::open(&running.profile)?,
            _ => {
                client.set_window_size(size.0, size.1).await?;
                DevTools::none()
            }
        };
        let may_complain = Cell::new(false);
        Ok(Self { client, downloads, devtools, may_complain, engine, _running: running })
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

    /// Tells the browser something by its developer tools, for what no gesture can do: sizes of the screen, a dropped file.
    ///
    /// # Errors
    /// When it refuses.
    pub async fn tell(&self, method: &'static str, params: Value) -> Result<Value> {
        self.is_chromium(method)?;
        Ok(self.client.issue_cmd(Tell(method, params)).await?)
    }

    fn is_chromium(&self, what: &'static str) -> Result<()> {
        if self.engine == Engine::Chromium { Ok(()) } else { Err(OnlyChromium(what).into()) }
    }

    /// Waits for a file that the page saves.
    ///
    /// # Errors
    /// When none arrives within ten seconds.
    pub async fn saved(&self, ending: &str) -> Result<String> {
        for _ in 0..100 {
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
            tokio::time::sleep(Duration::from_millis(100)).await;
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

impl Drop for Running {
    fn drop(&mut self) {
        // One that is gone already needs no ending, and a profile left behind is only rubbish.
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
struct Tell(&'static str, Value);

impl WebDriverCompatibleCommand for Tell {
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
