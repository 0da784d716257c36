//! `glost figures log`: how quickly a long log is brought into the book, and what memory that takes.

use std::io::{BufWriter, Seek as _, SeekFrom, Write as _};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use glost_model::book::{Firing, FiringState, Person, Role};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_store::{Look, Store};
use glost_studio::desk::seed::KNOWN;
use glost_studio::desk::{Actor, Desk, NewFiring};
use glost_studio::{demo_texts, open_texts};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::studio::new_database;
use crate::clock;
use crate::command::serve::runtime;
use crate::say::{Trouble, answer};

/// Measure how quickly a long log is brought in: read twice (once for its faults) and kept on the disk. Beside it the
/// `csv` crate reads the same file once and keeps nothing.
#[derive(Debug, clap::Args)]
pub struct Log {
    /// Rows.
    #[arg(long, default_value_t = 1_000_000)]
    rows: u32,
    /// A server of PostgreSQL to measure as well, as postgres://user@host/name: a database of its own is made there.
    #[arg(long, env = "GLOST_TEST_POSTGRES")]
    postgres: Option<String>,
}

/// Wanted of a million rows: seconds, read as at most this.
const WANTED: Duration = Duration::from_secs(60);
/// Memory that may come on top: far less than the file is long.
const WANTED_MB: f64 = 64.0;
/// Points of the curve on the page of a firing.
const CURVE: usize = 400;

impl Log {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let folder = tempfile::tempdir().map_err(|e| Trouble::Words(e.to_string()))?;
        let start = clock::instant()
            .checked_sub(SignedDuration::from_hours(24 * 30))
            .map_err(|e| Trouble::Words(e.to_string()))?;
        let mut file = self.written(start)?;
        let peer = plain(&mut file)?;
        let place = folder.path().join("studio.db").display().to_string();
        let mut good = self.measure("SQLite", &place, &mut file, start, peer)?;
        if let Some(server) = &self.postgres {
            let place = runtime()?.block_on(new_database(server))?;
            good &= self.measure("PostgreSQL", &place, &mut file, start, peer)?;
        }
        Ok(if good {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        })
    }

    /// A log of a firing that is read five times a second, more or less.
    fn written(&self, start: Timestamp) -> Result<std::fs::File, Trouble> {
        let told =
            |e: &dyn std::fmt::Display| Trouble::Words(format!("the log cannot be made: {e}"));
        let mut file = tempfile::tempfile().map_err(|e| told(&e))?;
        let mut out = BufWriter::new(&mut file);
        writeln!(out, "time,pv c,sp c,duty,kwh").map_err(|e| told(&e))?;
        for row in 0..self.rows {
            let at = start
                .checked_add(SignedDuration::from_millis(i64::from(row) * 200))
                .map_err(|e| told(&e))?;
            let c = 20.0 + 1200.0 * f64::from(row) / f64::from(self.rows.max(1));
            let kwh = 1204.5 + f64::from(row) / 20_000.0;
            writeln!(out, "{at},{c:.1},{c:.1},0.50,{kwh:.2}").map_err(|e| told(&e))?;
        }
        out.flush().map_err(|e| told(&e))?;
        drop(out);
        Ok(file)
    }

    fn measure(
        &self,
        name: &str,
        place: &str,
        file: &mut std::fs::File,
        start: Timestamp,
        peer: Duration,
    ) -> Result<bool, Trouble> {
        let run = runtime()?;
        let (took, new, grew, curve) = run.block_on(async {
            let store = Store::open(place).await.map_err(words)?;
            let desk = Desk::new(store, std::env::temp_dir());
            let (nia, firing) = firing(&desk, start).await?;
            let actor = Actor {
                person: &nia,
                at: clock::instant(),
            };
            let before = memory();
            let begun = Instant::now();
            let brought = desk
                .bring_log(actor, &firing, &mut *file, &TimeZone::UTC)
                .await;
            let took = begun.elapsed();
            let grew = memory().zip(before).map(|(now, was)| now - was);
            let begun = Instant::now();
            desk.samples_thinned(&firing, CURVE).await.map_err(words)?;
            let curve = begun.elapsed();
            Ok::<_, Trouble>((took, brought.map_err(words)?.new, grew, curve))
        })?;
        answer(&format!(
            "{name}: {CURVE} points of it for the curve on a page in {:.0} ms",
            curve.as_secs_f64() * 1e3
        ));
        let good =
            new == u64::from(self.rows) && took <= WANTED && grew.is_none_or(|mb| mb <= WANTED_MB);
        answer(&format!(
            "{name}, {}: {new} rows of {:.0} MB kept in {:.1} s, {:.0} rows a second, {:.1} times what the csv crate takes to read them once and keep nothing ({:.2} s); most memory grew by {} (wanted: at most {:.0} s and {WANTED_MB:.0} MB, {})",
            if cfg!(debug_assertions) {
                "a development build"
            } else {
                "a release build"
            },
            length(file) / 1e6,
            took.as_secs_f64(),
            new as f64 / took.as_secs_f64(),
            took.as_secs_f64() / peer.as_secs_f64(),
            peer.as_secs_f64(),
            grew.map_or_else(
                || "an amount that only Linux tells".to_owned(),
                |mb| format!("{mb:.0} MB")
            ),
            WANTED.as_secs_f64(),
            if good { "reached" } else { "NOT reached" },
        ));
        Ok(good)
    }
}

fn words(e: impl std::fmt::Display) -> Trouble {
    Trouble::Words(e.to_string())
}

fn length(file: &std::fs::File) -> f64 {
    file.metadata().map_or(f64::NAN, |m| m.len() as f64)
}

/// How long the csv crate takes to read the rows.
fn plain(file: &mut std::fs::File) -> Result<Duration, Trouble> {
    file.seek(SeekFrom::Start(0)).map_err(words)?;
    let begun = Instant::now();
    let mut reader = csv::Reader::from_reader(file);
    let mut row = csv::StringRecord::new();
    let mut cells = 0_usize;
    while reader.read_record(&mut row).map_err(words)? {
        cells += row.len();
    }
    std::hint::black_box(cells);
    Ok(begun.elapsed())
}

/// Most memory that the program has held so far, MB.
fn memory() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    let kb: f64 = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    Some(kb / 1024.0)
}

/// A technician of the invented studio, and a firing that was on since `start`.
async fn firing(desk: &Desk, start: Timestamp) -> Result<(Person, String), Trouble> {
    let (studio, _) = open_texts(&demo_texts()).map_err(Trouble::Input)?;
    desk.bring_in(&studio, &KNOWN, start).await.map_err(words)?;
    let people = desk
        .store
        .list::<Person>(&Look::default())
        .await
        .map_err(words)?;
    let nia = people.into_iter().find(|p| p.body.role == Role::Technician);
    let nia = nia
        .ok_or_else(|| words("the invented studio has no technician"))?
        .body;
    let actor = Actor {
        person: &nia,
        at: start,
    };
    let new = NewFiring {
        kiln: studio
            .kilns
            .first()
            .map(|k| k.name.clone())
            .unwrap_or_default(),
        cone: Cone::parse("6").map_err(words)?,
        kind: FiringKind::Glaze,
        starts: None,
        wished: glost_model::book::Wished::default(),
    };
    let id = desk.new_firing(actor, &new).await.map_err(words)?.id;
    let mut turn = desk.store.turn(actor.by(), "light").await.map_err(words)?;
    let kept = turn.get::<Firing>(&id).await.map_err(words)?;
    let on = Firing {
        state: FiringState::Done,
        started: Some(start),
        ..kept.body
    };
    turn.put(&on, kept.version).await.map_err(words)?;
    turn.commit().await.map_err(words)?;
    Ok((nia, id))
}
