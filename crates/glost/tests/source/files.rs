//! A file that rotates, also while the server is dead; rows that no clock has come to; a layout that was wrong at first.

use std::fs::{File, OpenOptions};
use std::io::Write as _;
use std::path::Path;

use glost_feed::Layout;
use glost_studio::follow::hot_end;
use glost_studio::hear::{FileWay, Way};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use crate::{Place, page, sign_in, until};

const TITLES: &str = "time,pv_c,out_percent\n";

/// A logger that is in no hurry.
struct Slow {
    start: Timestamp,
    n: i64,
}

impl Slow {
    /// Writes some rows; the last one stays without its end when `half`.
    fn write(&mut self, path: &Path, rows: i64, half: bool) {
        let new = !path.exists();
        let mut file = OpenOptions::new()
            .append(true)
            .create(true)
            .open(path)
            .unwrap();
        if new {
            file.write_all(TITLES.as_bytes()).unwrap();
        }
        for row in 1..=rows {
            // Half seconds, so that all of them are of now.
            let at = self.start + SignedDuration::from_millis(500 * (self.n + 1));
            let line = format!("{at},{},50.0\n", 20 + self.n);
            self.n += 1;
            let cut = if half && row == rows {
                line.len() - 3
            } else {
                line.len()
            };
            file.write_all(&line.as_bytes()[..cut]).unwrap();
        }
    }

    fn end_line(path: &Path) {
        let mut file = OpenOptions::new().append(true).open(path).unwrap();
        file.write_all(b".0\n").unwrap();
    }
}

fn layout(head: &str) -> Layout {
    Layout::guess(head.as_bytes(), &TimeZone::UTC, hot_end).layout
}

#[tokio::test(flavor = "multi_thread")]
async fn a_file_that_rotates_is_read_on_whether_the_server_lives_or_not() {
    let place = Place::new().await;
    let stage = place.stage(600.0, Vec::new()).await;
    let (firing, _) = stage.begin().await.unwrap();
    let start = firing.started.unwrap();
    let kiln = place.desk.kiln_of(&firing.kiln).await.unwrap().unwrap();
    let path = place.logs.join("rota.csv");
    let mut logger = Slow { start, n: 0 };
    let person = place.technician().await;
    let actor = glost_studio::desk::Actor {
        person: &person,
        at: crate::now(),
    };
    let source = place.desk.source(&kiln).await.unwrap();
    let way = Way::File(FileWay {
        file: "rota.csv".to_owned(),
        layout: layout(
            "time,pv_c,out_percent\n2026-11-27T10:00:00Z,20,50.0\n2026-11-27T10:01:00Z,21,50.0\n",
        ),
    });
    place
        .desk
        .set_source(actor, &kiln, source.version, &way, None)
        .await
        .unwrap();
    let served = place.serve();
    let cookie = sign_in(&served, "nia");
    until(20, "that there is no file is said", async || {
        page(&served, &cookie, "/firings/0001/watch")
            .contains("the file is not there")
            .then_some(())
    })
    .await;
    let heard = async |n: usize| {
        until(20, &format!("{n} readings"), async || {
            let kept = place.kept().await;
            assert!(kept.len() <= n, "{} of {n}", kept.len());
            (kept.len() == n).then_some(())
        })
        .await;
    };
    // Rows of before the firing are another's; half a row is none yet.
    let mut file = File::create(&path).unwrap();
    let early = start - SignedDuration::from_hours(20);
    file.write_all(format!("{TITLES}{early},900,50.0\n").as_bytes())
        .unwrap();
    logger.write(&path, 5, true);
    heard(4).await;
    Slow::end_line(&path);
    heard(5).await;
    // Renamed while it is followed.
    std::fs::rename(&path, place.logs.join("rota-1.csv")).unwrap();
    logger.write(&place.logs.join("rota-1.csv"), 1, false);
    logger.write(&path, 3, false);
    heard(9).await;
    // Killed; more rows, a rename, a new file; back again.
    drop(served);
    logger.write(&path, 2, false);
    std::fs::rename(&path, place.logs.join("rota-2.csv")).unwrap();
    logger.write(&path, 3, true);
    let served = place.serve();
    let cookie = sign_in(&served, "nia");
    heard(13).await;
    Slow::end_line(&path);
    heard(14).await;
    let degrees: Vec<i64> = place
        .kept()
        .await
        .iter()
        .filter_map(|s| s.sensor.map(|t| t.to_c().round() as i64))
        .collect();
    assert_eq!(degrees, (20..34).collect::<Vec<_>>());
    // What is far ahead of the clock is left out, and said.
    let ahead = crate::now() + SignedDuration::from_mins(58);
    let mut file = OpenOptions::new().append(true).open(&path).unwrap();
    writeln!(file, "{ahead},40,50.0").unwrap();
    until(20, "a clock that is wrong is said", async || {
        page(&served, &cookie, "/firings/0001/watch")
            .contains("ahead of the clock here")
            .then_some(())
    })
    .await;
    assert_eq!(place.kept().await.len(), 14);
}

#[tokio::test(flavor = "multi_thread")]
async fn columns_that_moved_are_not_read_until_somebody_has_looked() {
    let place = Place::new().await;
    let stage = place.stage(600.0, Vec::new()).await;
    let (firing, _) = stage.begin().await.unwrap();
    let served = place.serve();
    let cookie = sign_in(&served, "nia");
    // Set for other titles than the file has.
    let path = place.logs.join("heron-0001.csv");
    Slow {
        start: firing.started.unwrap(),
        n: 0,
    }
    .write(&path, 6, false);
    until(20, "that the columns are others is said", async || {
        let text = page(&served, &cookie, "/firings/0001/watch");
        text.contains("the layout was made for").then_some(())
    })
    .await;
    assert!(place.kept().await.is_empty());
    let kiln = place.desk.kiln_of(&firing.kiln).await.unwrap().unwrap();
    crate::pages::look_and_store(&served, &cookie, &kiln, "heron-0001.csv");
    until(20, "it is read with its own columns", async || {
        (place.kept().await.len() == 6).then_some(())
    })
    .await;
}
