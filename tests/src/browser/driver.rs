//! Starts chromedriver and a browser with a profile of its own, and ends both.

use super::Result;
use super::devtools::DevTools;
use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::cell::Cell;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
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
    driver: Child,
    profile: PathBuf,
}

/// The folder of the built site; none says that the journeys are not run, and fails where they must be.
#[must_use]
pub fn site_folder() -> Option<PathBuf> {
    let folder = std::env::var_os("STRIDE_SITE")
        .map(PathBuf::from)
        .filter(|f| f.join("index.html").is_file());
    if folder.is_none() {
        println!("not run: STRIDE_SITE names no built site");
        assert!(
            std::env::var_os("CI").is_none(),
            "the journeys must run here: set STRIDE_SITE to the built site"
        );
    }
    folder
}

fn arguments(profile: &Path, size: (u32, u32)) -> Vec<String> {
    let fixed = [
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-dev-shm-usage",
    ];
    let own = [
        format!("--user-data-dir={}", profile.display()),
        format!("--window-size={},{}", size.0, size.1),
    ];
    fixed.iter().map(|a| (*a).to_owned()).chain(own).collect()
}

impl Browser {
    /// Starts one with a window of this size.
    ///
    /// # Errors
    /// When chromedriver or the browser cannot be started.
    pub async fn start(size: (u32, u32)) -> Result<Self> {
        let profile = std::env::temp_dir().join(
            format!("stride-journey-{}-{:?}", std::process::id(), std::time::SystemTime::now())
                .replace([' ', ':', '{', '}', ','], "-"),
        );
        let downloads = profile.join("downloads");
        std::fs::create_dir_all(&downloads)?;
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()?;
        let lines =
            BufReader::new(driver.stdout.take().ok_or("chromedriver says nothing")?).lines();
        let port = lines.map_while(std::result::Result::ok).find_map(|l| {
            let rest = l.split("successfully on port ").nth(1)?;
            rest.trim_end_matches('.').trim().parse::<u16>().ok()
        });
        let port = port.ok_or("chromedriver named no port")?;
        let options = json!({
            "goog:chromeOptions": {
                "args": arguments(&profile, size),
                "prefs": { "download.default_directory": downloads, "download.prompt_for_download": false },
            },
            "goog:loggingPrefs": { "browser": "ALL" },
            "unhandledPromptBehavior": "accept",
        });
        let Value::Object(capabilities) = options else { return Err("no capabilities".into()) };
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(capabilities)
            .connect(&format!("http://127.0.0.1:{port}"))
            .await?;
        let devtools = DevTools::open(&profile)?;
        Ok(Self { client, downloads, devtools, may_complain: Cell::new(false), driver, profile })
    }

    /// Entries of one of the browser's logs since it was last asked.
    ///
    /// # Errors
    /// When the browser is gone.
    pub async fn log(&self, kind: &'static str) -> Result<Vec<Value>> {
        let entries = self.client.issue_cmd(Log(kind)).await?;
        Ok(entries.as_array().cloned().unwrap_or_default())
    }

    /// Tells the browser something by its developer tools, for what no gesture can do: sizes of the screen, a dropped file.
    ///
    /// # Errors
    /// When it refuses.
    pub async fn tell(&self, method: &'static str, params: Value) -> Result<Value> {
        Ok(self.client.issue_cmd(Tell(method, params)).await?)
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

impl Drop for Browser {
    fn drop(&mut self) {
        // One that is gone already needs no ending, and a profile left behind is only rubbish.
        let _ = self.driver.kill();
        let _ = self.driver.wait();
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
