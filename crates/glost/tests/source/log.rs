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

    let brought = send(&served, &cookie, &whole);
    assert_eq!(brought.code, 200, "{}", brought.text());
    assert!(
        brought.text().contains("300000 readings are new"),
        "{}",
        brought.text()
    );
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
