//! A kiln heard while it fires: from a file, over every kill of the server, from a broker and a controller; set up on its page.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod broker;
mod controller;
mod demo;
mod files;
mod kills;
mod log;
mod pages;
#[path = "../served/mod.rs"]
mod served;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use glost_model::book::{Person, Role};
use glost_model::readings::Sample;
use glost_store::Store;
use glost_studio::desk::Desk;
use glost_studio::desk::seed::{DEMO_PASSWORD, KNOWN};
use glost_studio::hear::Logs;
use glost_studio::rehearse::{Planted, Stage};
use glost_studio::{demo_texts, open_texts};
use jiff::Timestamp;
use served::{FORM, Served};

/// The invented studio in a book of its own, with a folder of logs.
struct Place {
    _folder: tempfile::TempDir,
    store: String,
    photos: PathBuf,
    logs: PathBuf,
    desk: Desk,
}

#[expect(clippy::disallowed_methods, reason = "the server has the clock too")]
fn now() -> Timestamp {
    Timestamp::now()
}

impl Place {
    async fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("studio.db").display().to_string();
        let photos = folder.path().join("photos");
        let logs = folder.path().join("logs");
        std::fs::create_dir(&logs).unwrap();
        let desk = Desk::new(Store::open(&store).await.unwrap(), photos.clone());
        let (studio, _) = open_texts(&demo_texts()).unwrap();
        desk.bring_in(&studio, &KNOWN, now()).await.unwrap();
        Self {
            _folder: folder,
            store,
            photos,
            logs,
            desk,
        }
    }

    fn serve(&self) -> Served {
        Served::start(
            &self.store,
            &self.photos,
            &["--logs", self.logs.to_str().unwrap()],
        )
    }

    async fn technician(&self) -> Person {
        let all = self.desk.who_fires().await.unwrap();
        all.into_iter()
            .find(|p| p.role == Role::Technician)
            .unwrap()
    }

    async fn stage(&self, pace: f64, planted: Vec<Planted>) -> Stage {
        Stage {
            desk: self.desk.clone(),
            clock: now,
            logs: Logs::open(&self.logs).unwrap(),
            person: self.technician().await,
            seed: glost_studio::rehearse::SEED,
            planted,
            pace,
        }
    }

    /// Everything that is kept of the firing.
    async fn kept(&self) -> Vec<Sample> {
        let (mut all, mut after) = (Vec::new(), None);
        loop {
            let more = self.desk.samples_after("0001", after).await.unwrap();
            let Some(last) = more.last() else { return all };
            after = Some(last.at);
            all.extend(more);
        }
    }
}

/// Signs somebody in.
fn sign_in(served: &Served, login: &str) -> String {
    let form = format!("login={login}&password={}", DEMO_PASSWORD.replace(' ', "+"));
    let answer = served.send("POST", "/enter", &[], form.as_bytes(), FORM);
    assert_eq!(answer.code, 303, "{}", answer.text());
    let cookie = answer.header("set-cookie").unwrap();
    cookie.split(';').next().unwrap().to_owned()
}

/// A page as somebody sees it.
fn page(served: &Served, cookie: &str, path: &str) -> String {
    let answer = served.send("GET", path, &[("Cookie", cookie)], b"", "");
    assert!(answer.code < 500, "{path}: {}", answer.text());
    answer.text()
}

/// Asks again and again, for so many seconds.
async fn until<T>(seconds: u64, what: &str, mut ask: impl AsyncFnMut() -> Option<T>) -> T {
    let end = Instant::now() + Duration::from_secs(seconds);
    loop {
        if let Some(found) = ask().await {
            return found;
        }
        assert!(Instant::now() < end, "{what}: not within {seconds} s");
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
}

/// Whole rows of a file, without its titles: moment and sensor.
fn rows(file: &Path) -> Vec<(Timestamp, f64)> {
    let text = std::fs::read_to_string(file).unwrap_or_default();
    let whole = text.rfind('\n').map_or("", |end| &text[..end]);
    let row = |line: &str| {
        let mut cells = line.split(',');
        Some((cells.next()?.parse().ok()?, cells.next()?.parse().ok()?))
    };
    whole.lines().skip(1).map(|l| row(l).expect(l)).collect()
}

/// What is kept is what stands in the file from its beginning on, each row once; answers how many.
fn same(kept: &[Sample], rows: &[(Timestamp, f64)]) -> usize {
    assert!(
        kept.len() <= rows.len(),
        "{} kept of {} rows",
        kept.len(),
        rows.len()
    );
    for (sample, (at, sensor)) in kept.iter().zip(rows) {
        let read = sample.sensor.map(|t| t.to_c().round());
        assert_eq!((sample.at, read), (*at, Some(*sensor)));
    }
    kept.len()
}
