//! `glost rehearse` to a broker, heard from there; and what it refuses.

use std::io::{BufRead as _, BufReader};
use std::net::TcpListener;
use std::process::{Child, Command, Stdio};

use glost_feed::layout::{Column, DateOrder, Degrees, Holds, Time};
use glost_feed::mqtt::{Payload, Topic};
use glost_studio::desk::Actor;
use glost_studio::hear::{BrokerWay, Way};

use crate::served::glost;
use crate::{Place, now, page, sign_in, until};

/// Debian's mosquitto on the loopback address; ends with the test.
struct Broker {
    child: Child,
    port: u16,
}

impl Broker {
    fn start() -> Self {
        let free = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = free.local_addr().unwrap().port();
        drop(free);
        let mut child = Command::new("/usr/sbin/mosquitto")
            .args(["-v", "-p", &port.to_string()])
            .stderr(Stdio::piped())
            .spawn()
            .expect("mosquitto is missing: run scripts/test once");
        let mut lines = BufReader::new(child.stderr.take().unwrap())
            .lines()
            .map_while(Result::ok);
        assert!(lines.any(|l| l.contains("running")));
        std::thread::spawn(move || lines.count());
        Self { child, port }
    }
}

impl Drop for Broker {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

fn way(port: u16) -> Way {
    let unit = Degrees::Celsius;
    let columns = [
        (1, Holds::Sensor { unit }),
        (2, Holds::SetPoint { unit }),
        (3, Holds::Duty { percent: true }),
        (4, Holds::Meter),
    ];
    let payload = Payload::Json {
        pointers: ["/time", "/sensor", "/set_point", "/duty", "/meter"]
            .map(str::to_owned)
            .into(),
        time: Time::Stamp {
            at: 0,
            order: DateOrder::YearFirst,
            zone: None,
        },
        columns: columns.map(|(at, holds)| Column { at, holds }).into(),
    };
    Way::Broker(BrokerWay {
        host: "127.0.0.1".to_owned(),
        port,
        login: String::new(),
        secret: None,
        topics: vec![Topic {
            topic: "glost/rehearsal/heron".to_owned(),
            payload,
        }],
    })
}

#[tokio::test(flavor = "multi_thread")]
async fn a_rehearsal_is_heard_from_a_broker() {
    let broker = Broker::start();
    let place = Place::new().await;
    let stage = place.stage(600.0, Vec::new()).await;
    let (firing, plan) = stage.begin().await.unwrap();
    let kiln = place.desk.kiln_of(&firing.kiln).await.unwrap().unwrap();
    let source = place.desk.source(&kiln).await.unwrap();
    let person = place.technician().await;
    let actor = Actor {
        person: &person,
        at: now(),
    };
    let way = way(broker.port);
    place
        .desk
        .set_source(actor, &kiln, source.version, &way, Some(3000))
        .await
        .unwrap();
    let served = place.serve();
    let cookie = sign_in(&served, "nia");
    let file = place.logs.parent().unwrap().join("plan.json");
    std::fs::write(&file, plan.to_json().unwrap()).unwrap();
    let mut rehearsal = Command::new(env!("CARGO_BIN_EXE_glost"))
        .arg("rehearse")
        .arg(&file)
        .args([
            "--pace",
            "3000",
            "--topic",
            "glost/rehearsal/heron",
            "--mqtt",
        ])
        .arg(format!("127.0.0.1:{}", broker.port))
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let text = until(60, "it is heard", async || {
        let text = page(&served, &cookie, "/firings/0001/watch");
        text.contains("Beside cone 6").then_some(text)
    })
    .await;
    assert!(
        text.contains("Readings come from the broker 127.0.0.1:"),
        "{text}"
    );
    assert!(text.contains("Rehearsal, 3000 times as fast"));
    // Gone for a while: said, and heard again.
    let port = broker.port;
    drop(broker);
    until(20, "that it is gone is said", async || {
        let text = page(&served, &cookie, "/firings/0001/watch");
        text.contains("the source cannot be reached").then_some(())
    })
    .await;
    rehearsal.kill().unwrap();
    rehearsal.wait().unwrap();
    assert!(port > 0 && !place.kept().await.is_empty());
}

#[test]
fn a_rehearsal_speaks_on_no_topic_of_a_kiln() {
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("plan.json");
    let (done, said) = glost(&["rehearse", plan.to_str().unwrap(), "--to", "x.csv"]);
    assert!(!done && said.contains("plan.json"), "{said}");
    let (done, said) = glost(&["rehearse", "p", "--mqtt", "127.0.0.1:1883"]);
    assert!(!done && said.contains("--topic"), "{said}");
    let wrong = glost_studio::rehearse::Publisher::new("127.0.0.1", 1883, "kilns/heron");
    assert!(wrong.is_err_and(|w| w.contains("below glost/rehearsal/")));
}
