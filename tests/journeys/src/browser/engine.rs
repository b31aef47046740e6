//! The three families of browsers: how each is started, and with which capabilities.

use crate::error::Result;
use serde_json::{Map, Value, json};
use std::io::{BufRead, BufReader};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

/// Chosen: a driver that does not listen by then does not start.
const TIMEOUT: Duration = Duration::from_secs(20);
/// The small browser that comes with `WebKitGTK`, by the folder of each kind of machine.
const MINI_BROWSERS: [&str; 2] = [
    "/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser",
    "/usr/lib/aarch64-linux-gnu/webkit2gtk-4.1/MiniBrowser",
];

/// A family of browsers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    /// Chromium; the only one whose developer tools are listened to.
    Chromium,
    /// Firefox.
    Firefox,
    /// `WebKitGTK`, of the family that iPads and iPhones use.
    WebKit,
}

/// Something that only the developer tools of Chromium can do.
#[derive(Clone, Copy, Debug)]
pub struct OnlyChromium(pub &'static str);

impl std::fmt::Display for OnlyChromium {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "only Chromium is asked for {}", self.0)
    }
}

impl std::error::Error for OnlyChromium {}

/// A name that is no engine's.
#[derive(Clone, Debug)]
pub struct UnknownEngine(String);

impl std::fmt::Display for UnknownEngine {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} is no engine: give chromium, firefox or webkit", self.0)
    }
}

impl std::error::Error for UnknownEngine {}

impl std::str::FromStr for Engine {
    type Err = UnknownEngine;

    fn from_str(name: &str) -> std::result::Result<Self, UnknownEngine> {
        match name {
            "chromium" => Ok(Self::Chromium),
            "firefox" => Ok(Self::Firefox),
            "webkit" => Ok(Self::WebKit),
            other => Err(UnknownEngine(other.to_owned())),
        }
    }
}

impl Engine {
    /// How long to wait for what takes Chromium at most this many seconds: the others decode more slowly, and what
    /// they show in the end proves the same.
    #[must_use]
    pub fn timeout(self, seconds: u64) -> Duration {
        Duration::from_secs(if self == Self::Chromium { seconds } else { 4 * seconds })
    }

    /// The command that installs what is missing; none when nothing is.
    #[must_use]
    pub fn missing(self) -> Option<&'static str> {
        let wanted: &[(&str, &str)] = match self {
            Self::Chromium => &[],
            Self::Firefox => &[
                ("firefox-esr", "apt-get install firefox-esr"),
                ("geckodriver", "cargo install geckodriver --locked"),
            ],
            Self::WebKit => &[
                (
                    "WebKitWebDriver",
                    "apt-get install webkit2gtk-driver gstreamer1.0-libav gstreamer1.0-plugins-good gstreamer1.0-plugins-bad",
                ),
                ("Xvfb", "apt-get install xvfb"),
            ],
        };
        wanted.iter().find(|(program, _)| !on_path(program)).map(|(_, command)| *command)
    }

    /// Starts its driver, with a virtual screen if it needs one; answers the driver's port.
    pub(super) fn start(self, profile: &Path) -> Result<(Vec<Child>, u16)> {
        match self {
            // Two that look for a free port at the same moment may find the same, and one of them ends.
            Self::Chromium => {
                chromedriver().or_else(|_| chromedriver()).or_else(|_| chromedriver())
            }
            Self::Firefox => {
                let port = free_port()?;
                let mut driver = Command::new("geckodriver");
                driver.args([format!("--port={port}"), "--websocket-port=0".to_owned()]);
                Ok((vec![listening(driver.env("TMPDIR", profile), port)?], port))
            }
            Self::WebKit => {
                let (mut screen, name) = screen()?;
                let port = free_port()?;
                let mut driver = Command::new("WebKitWebDriver");
                driver.arg(format!("--port={port}")).env("DISPLAY", format!(":{name}"));
                // It stores and saves under its user's folders: those are in the profile.
                for name in ["HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"] {
                    driver.env(name, profile);
                }
                let dirs = "XDG_DOWNLOAD_DIR=\"$HOME/downloads\"\n";
                std::fs::write(profile.join("user-dirs.dirs"), dirs)?;
                match listening(&mut driver, port) {
                    Ok(driver) => Ok((vec![driver, screen], port)),
                    Err(e) => {
                        // A process that cannot be killed is gone already.
                        let _ = screen.kill();
                        Err(e)
                    }
                }
            }
        }
    }

    /// The capabilities that are asked of the driver.
    pub(super) fn capabilities(
        self,
        profile: &Path,
        size_px: (u32, u32),
    ) -> Result<Map<String, Value>> {
        let downloads = profile.join("downloads");
        let mut options = match self {
            Self::Chromium => json!({
                "goog:chromeOptions": {
                    "args": arguments(profile, size_px),
                    "prefs": { "download.default_directory": downloads, "download.prompt_for_download": false },
                },
                "goog:loggingPrefs": { "browser": "ALL" },
            }),
            Self::Firefox => json!({
                "moz:firefoxOptions": {
                    "args": ["-headless"],
                    "prefs": {
                        "browser.download.folderList": 2,
                        "browser.download.dir": downloads,
                        "browser.download.alwaysOpenPanel": false,
                        "browser.download.always_ask_before_handling_new_types": false,
                    },
                },
            }),
            Self::WebKit => {
                let there = MINI_BROWSERS.iter().find(|path| Path::new(path).is_file());
                let binary = there.ok_or("there is no MiniBrowser of WebKitGTK")?;
                json!({ "webkitgtk:browserOptions": { "binary": binary, "args": ["--automation"] } })
            }
        };
        let options = options.as_object_mut().ok_or("no capabilities")?;
        options.insert("unhandledPromptBehavior".to_owned(), "accept".into());
        Ok(std::mem::take(options))
    }
}

fn on_path(program: &str) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path).any(|folder| folder.join(program).is_file())
}

fn arguments(profile: &Path, size_px: (u32, u32)) -> Vec<String> {
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
        format!("--window-size={},{}", size_px.0, size_px.1),
    ];
    fixed.iter().map(|a| (*a).to_owned()).chain(own).collect()
}

fn piped(command: &mut Command) -> Result<(Child, BufReader<ChildStdout>)> {
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn()?;
    let out = child.stdout.take().ok_or("a driver has no output")?;
    Ok((child, BufReader::new(out)))
}

fn chromedriver() -> Result<(Vec<Child>, u16)> {
    let (driver, out) = piped(Command::new("chromedriver").arg("--port=0"))?;
    let port = out.lines().map_while(std::result::Result::ok).find_map(|l| {
        let rest = l.split("successfully on port ").nth(1)?;
        rest.trim_end_matches('.').trim().parse::<u16>().ok()
    });
    Ok((vec![driver], port.ok_or("chromedriver named no port")?))
}

/// A virtual screen and its number.
fn screen() -> Result<(Child, u16)> {
    let mut command = Command::new("Xvfb");
    command.args(["-displayfd", "1", "-screen", "0", "1600x1200x24", "-nolisten", "tcp"]);
    let (screen, mut out) = piped(&mut command)?;
    let mut name = String::new();
    out.read_line(&mut name)?;
    Ok((screen, name.trim().parse()?))
}

/// A port that was free a moment ago.
fn free_port() -> Result<u16> {
    Ok(TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?.local_addr()?.port())
}

/// Starts a driver and waits until it listens.
fn listening(command: &mut Command, port: u16) -> Result<Child> {
    let mut child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn()?;
    let began = Instant::now();
    while began.elapsed() < TIMEOUT {
        if TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_ok() {
            return Ok(child);
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    // A process that cannot be killed is gone already.
    let _ = child.kill();
    Err(format!("{:?} does not listen", command.get_program()).into())
}
