//! Chromium, driven over WebDriver. `scripts/test` installs it, its driver and axe-core.

use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use serde_json::json;
use thirtyfour::prelude::*;

/// A screen to look at.
#[derive(Debug, Clone, Copy)]
pub struct Screen {
    name: &'static str,
    pub width: u32,
    height: u32,
}

pub const PHONE: Screen = Screen {
    name: "phone",
    width: 390,
    height: 844,
};
pub const DESK: Screen = Screen {
    name: "desk",
    width: 1440,
    height: 900,
};

/// A browser with an empty profile.
pub struct Browser {
    pub driver: WebDriver,
    /// Source of axe-core.
    pub axe: String,
    chromedriver: Child,
    _profile: tempfile::TempDir,
}

impl Browser {
    pub async fn start() -> Self {
        let axe = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../target/audit/node_modules/axe-core/axe.min.js");
        let axe = std::fs::read_to_string(axe);
        assert!(axe.is_ok(), "axe-core is missing: run scripts/test once");
        let mut chromedriver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(chromedriver.stdout.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let port = lines.find_map(|l| {
            let port = l.split("successfully on port ").nth(1)?;
            Some(port.trim_end_matches('.').to_owned())
        });
        // Whatever it says later must find a reader.
        std::thread::spawn(move || lines.count());
        let profile = tempfile::tempdir().unwrap();
        let mut wanted = DesiredCapabilities::chrome();
        for arg in [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            // Draws 3D by software where there is no such hardware.
            "--enable-unsafe-swiftshader",
            "--disable-quic",
            "--disable-dev-shm-usage",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            &format!("--user-data-dir={}", profile.path().display()),
        ] {
            wanted.add_arg(arg).unwrap();
        }
        let at = format!("http://127.0.0.1:{}", port.unwrap());
        Self {
            driver: WebDriver::new(at, wanted).await.unwrap(),
            axe: axe.unwrap(),
            chromedriver,
            _profile: profile,
        }
    }

    /// Takes on the size of a screen, narrower than a window could be.
    pub async fn take(&self, screen: Screen) {
        self.driver
            .cdp()
            .send_raw(
                "Emulation.setDeviceMetricsOverride",
                json!({ "width": screen.width, "height": screen.height,
                        "deviceScaleFactor": 1, "mobile": screen.width < 600 }),
            )
            .await
            .unwrap();
    }

    /// Leaves a picture of the whole page in `target/pages/`.
    pub async fn picture(&self, screen: Screen, path: &str) {
        let name = match path.trim_matches('/').replace('/', "-") {
            n if n.is_empty() => "load".to_owned(),
            n => n,
        };
        self.picture_as(screen, &format!("{}-{name}", screen.name))
            .await;
    }

    /// The same, by a name of its own.
    pub async fn picture_as(&self, screen: Screen, name: &str) {
        let script = "return document.documentElement.scrollHeight";
        let height = self.driver.execute(script, vec![]).await.unwrap();
        let height = height.json().as_u64().unwrap();
        self.take(Screen {
            height: u32::try_from(height).unwrap(),
            ..screen
        })
        .await;
        let png = self.driver.screenshot_as_png().await.unwrap();
        self.take(screen).await;
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("../pages");
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join(format!("{name}.png")), png).unwrap();
    }

    pub async fn end(mut self) {
        self.driver.clone().quit().await.unwrap();
        self.chromedriver.kill().unwrap();
        self.chromedriver.wait().unwrap();
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // After a failed test; `end` has done it otherwise.
        drop(self.chromedriver.kill());
        drop(self.chromedriver.wait());
    }
}
