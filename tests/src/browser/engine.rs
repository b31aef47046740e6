//! The three families of browsers: how each is started and what its driver is told.

use super::Result;
use serde_json::{Map, Value, json};
use std::io::{BufRead, BufReader};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

/// Chosen: a driver that does not listen by then does not start.
const PATIENCE: Duration = Duration::from_secs(20);
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

/// What only the developer tools of Chromium can do.
#[derive(Clone, Copy, Debug)]
pub struct OnlyChromium(pub &'static str);

impl std::fmt::Display for OnlyChromium {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "only Chromium is asked for {}", self.0)
    }
}

impl std::error::Error for OnlyChromium {}

impl Engine {
    /// The one that `STRIDE_ENGINE` names; Chromium where it names none.
    ///
    /// # Panics
    /// When it names something else.
    #[must_use]
    #[allow(clippy::panic, reason = "a test ends by it")]
    pub fn chosen() -> Self {
        match std::env::var("STRIDE_ENGINE").as_deref() {
            Err(_) | Ok("" | "chromium") => Self::Chromium,
            Ok("firefox") => Self::Firefox,
            Ok("webkit") => Self::WebKit,
            Ok(other) => panic!("STRIDE_ENGINE is {other}: chromium, firefox or webkit is meant"),
        }
    }

    /// How long is waited for what takes Chromium at most so many seconds: the others decode more slowly, and what is shown
    /// in the end proves the same.
    #[must_use]
    pub fn patience(self, seconds: u64) -> Duration {
        Duration::from_secs(if self == Self::Chromium { seconds } else { 4 * seconds })
    }

    /// The command that installs what is not there yet; none when all is there.
    #[must_use]
    pub fn lacks(self) -> Option<&'static str> {
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

    /// Starts its driver, with a screen beside it where it needs one; answers where the driver listens.
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
                // What it keeps and saves goes where its user's things go: into the profile.
                for name in ["HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"] {
                    driver.env(name, profile);
                }
                let dirs = "XDG_DOWNLOAD_DIR=\"$HOME/downloads\"\n";
                std::fs::write(profile.join("user-dirs.dirs"), dirs)?;
                match listening(&mut driver, port) {
                    Ok(driver) => Ok((vec![driver, screen], port)),
                    Err(e) => {
                        // One that is gone already needs no ending.
                        let _ = screen.kill();
                        Err(e)
                    }
                }
            }
        }
    }

    /// What the driver is asked for.
    pub(super) fn capabilities(
        self,
        profile: &Path,
        size: (u32, u32),
    ) -> Result<Map<String, Value>> {
        let downloads = profile.join("downloads");
        let mut options = match self {
            Self::Chromium => json!({
                "goog:chromeOptions": {
                    "args": arguments(profile, size),
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

fn spoken(command: &mut Command) -> Result<(Child, BufReader<ChildStdout>)> {
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn()?;
    let out = child.stdout.take().ok_or("a driver says nothing")?;
    Ok((child, BufReader::new(out)))
}

fn chromedriver() -> Result<(Vec<Child>, u16)> {
    let (driver, out) = spoken(Command::new("chromedriver").arg("--port=0"))?;
    let port = out.lines().map_while(std::result::Result::ok).find_map(|l| {
        let rest = l.split("successfully on port ").nth(1)?;
        rest.trim_end_matches('.').trim().parse::<u16>().ok()
    });
    Ok((vec![driver], port.ok_or("chromedriver named no port")?))
}

/// A screen that nobody sees, and its number.
fn screen() -> Result<(Child, u16)> {
    let mut command = Command::new("Xvfb");
    command.args(["-displayfd", "1", "-screen", "0", "1600x1200x24", "-nolisten", "tcp"]);
    let (screen, mut out) = spoken(&mut command)?;
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
    while began.elapsed() < PATIENCE {
        if TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_ok() {
            return Ok(child);
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    // One that cannot be ended is gone already.
    let _ = child.kill();
    Err(format!("{:?} does not listen", command.get_program()).into())
}
