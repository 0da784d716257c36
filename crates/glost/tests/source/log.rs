//! A log brought in whole on the page of a firing: longer than any form, or with faults, or empty.

use std::fmt::Write as _;

use glost_model::book::{Firing, FiringState};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_studio::desk::{Actor, NewFiring};
use jiff::SignedDuration;

use super::{Place, now, sign_in};
use crate::served::{Answer, Served};

const ROWS: i64 = 300_000;

fn csv(start: jiff::Timestamp, rows: i64) -> String {
    let mut out = "time,pv c,sp c,duty,kwh\n".to_owned();
    for row in 0..rows {
        let at = start + SignedDuration::from_secs(row);
        let c = 20.0 + row as f64 / 400.0;
        writeln!(
            out,
            "{at},{c:.2},{c:.2},0.50,{:.3}",
            1204.5 + row as f64 / 9000.0
        )
        .unwrap();
    }
    out
}

fn send(served: &Served, cookie: &str, csv: &str) -> Answer {
    let body = format!(
        "--edge\r\nContent-Disposition: form-data; name=\"log\"; filename=\"kiln.csv\"\r\nContent-Type: text/csv\r\n\r\n{csv}\r\n--edge--\r\n"
    );
    let kind = "multipart/form-data; boundary=edge";
    let path = "/firings/0001/watch/log";
    served.send("POST", path, &[("Cookie", cookie)], body.as_bytes(), kind)
}

/// The columns as the form has them.
const COLUMNS: &str =
    "role.0=time&role.1=sensor&unit.1=C&role.2=set-point&unit.2=C&role.3=duty&role.4=meter";

/// Says how the log on a page is to be read.
fn read_as(served: &Served, cookie: &str, page: &Answer, columns: &str, verb: &str) -> Answer {
    let text = page.text();
    let (_, key) = text.split_once("name=\"log\" value=\"").unwrap();
    let (key, _) = key.split_once('"').unwrap();
    let titles = "title.0=time&title.1=pv+c&title.2=sp+c&title.3=duty&title.4=kwh";
    let body = format!(
        "log={key}&do={verb}&separator=comma&decimal=point&skip=1&width=5&time_as=stamp&order=year&{titles}&{columns}"
    );
    let kind = "application/x-www-form-urlencoded";
    let path = "/firings/0001/watch/log/read";
    served.send("POST", path, &[("Cookie", cookie)], body.as_bytes(), kind)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_log_longer_than_a_form_comes_in_whole_or_not_at_all() {
    let place = Place::new().await;
    let person = place.technician().await;
    let start = now() - SignedDuration::from_hours(24 * 10);
    let actor = Actor {
        person: &person,
        at: start,
    };
    let new = NewFiring {
        kiln: "Heron".into(),
        cone: Cone::parse("6").unwrap(),
        kind: FiringKind::Glaze,
        starts: None,
        wished: glost_model::book::Wished::default(),
    };
    let id = place.desk.new_firing(actor, &new).await.unwrap().id;
    let kept = place.desk.firing(&id).await.unwrap();
    let on = Firing {
        state: FiringState::Done,
        started: Some(start),
        ..kept.body
    };
    let mut turn = place.desk.store.turn(actor.by(), "fire").await.unwrap();
    turn.put(&on, kept.version).await.unwrap();
    turn.commit().await.unwrap();
    let served = place.serve();
    let cookie = sign_in(&served, "nia");

    let none = send(&served, &cookie, "");
    assert_eq!(none.code, 422, "{}", none.text());
    assert!(none.text().contains("there is no file, or nothing in it"));

    let whole = csv(start, ROWS);
    assert!(whole.len() > 15 << 20, "{}", whole.len());
    // The reading of 20.245 °C is the first that is written so: the 99th, under a line of titles.
    let broken = whole.replacen("20.25,20.25", "hot,20.25", 1);
    let refused = send(&served, &cookie, &broken);
    assert_eq!(refused.code, 422, "{}", refused.text());
    assert!(
        refused.text().contains("line 100, pv c"),
        "{}",
        refused.text()
    );
    assert!(place.desk.samples_kept(&id).await.unwrap().is_none());

    // The first log of a kiln is looked over before anything of it is kept.
    let look = send(&served, &cookie, &whole);
    assert_eq!(look.code, 200, "{}", look.text());
    for said in ["Nothing of this log is kept yet", "300000 rows can be read"] {
        assert!(look.text().contains(said), "{}", look.text());
    }
    assert!(place.desk.samples_kept(&id).await.unwrap().is_none());
    let unread = read_as(
        &served,
        &cookie,
        &look,
        "role.0=sensor&role.1=sensor",
        "look",
    );
    assert_eq!(unread.code, 422, "{}", unread.text());
    let brought = read_as(&served, &cookie, &unread, COLUMNS, "keep");
    assert_eq!(brought.code, 200, "{}", brought.text());
    assert!(
        brought.text().contains("300000 readings are new"),
        "{}",
        brought.text()
    );
    let gone = read_as(&served, &cookie, &unread, COLUMNS, "keep");
    assert!(gone.text().contains("no longer at hand"), "{}", gone.text());
    // The next with the same titles is read so at once.
    let again = send(&served, &cookie, &whole);
    assert!(
        again.text().contains("300000 were there already"),
        "{}",
        again.text()
    );
    assert_eq!(
        place.desk.samples_kept(&id).await.unwrap().unwrap().rows,
        ROWS
    );
}
