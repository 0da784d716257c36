//! A broker: messages of any kind, and Debian's mosquitto on the loopback address.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by panicking"
)]

mod made;

use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use glost_feed::clean::Guard;
use glost_feed::layout::{Column, Degrees, Holds, Time};
use glost_feed::mqtt::{Broker, Got, Messages, Payload, Topic, listen};
use glost_feed::{Event, Heard, Layout, Teller, TroubleKind};
use glost_model::Span;
use jiff::tz::TimeZone;
use made::{CELSIUS, plain, second, still, straight};
use proptest::prelude::*;
use rumqttc::{AsyncClient, MqttOptions, QoS};

fn number(topic: &str, holds: Holds) -> Topic {
    let payload = Payload::Number { holds };
    Topic {
        topic: topic.to_owned(),
        payload,
    }
}

fn topics() -> Vec<Topic> {
    let fahrenheit = Degrees::Fahrenheit;
    let json = Payload::Json {
        pointers: ["/t", "/kiln/pv", "/kiln/out"].map(str::to_owned).into(),
        time: Time::Unix {
            at: 0,
            thousandths: true,
        },
        columns: vec![
            Column {
                at: 1,
                holds: Holds::Sensor { unit: fahrenheit },
            },
            Column {
                at: 2,
                holds: Holds::Duty { percent: true },
            },
        ],
    };
    let line = Payload::Line {
        layout: Box::new(Layout {
            titles: Vec::new(),
            ..plain()
        }),
    };
    vec![
        number("heron/sensor", Holds::Sensor { unit: CELSIUS }),
        Topic {
            topic: "heron/json".to_owned(),
            payload: json,
        },
        Topic {
            topic: "heron/line".to_owned(),
            payload: line,
        },
    ]
}

fn messages() -> Messages {
    Messages::new(&topics(), &TimeZone::UTC, straight).unwrap()
}

fn sensor(got: Got) -> Option<f64> {
    match got {
        Got::Sample(s) => s.sensor.map(|t| t.to_c().round()),
        _ => None,
    }
}

#[test]
fn numbers_objects_and_lines_are_read() {
    let mut all = messages();
    let mut read =
        |topic: &str, text: &str, kept: bool| all.read(topic, text.as_bytes(), kept, second(9));
    assert_eq!(
        sensor(read("heron/sensor", " 1222 \n", false)),
        Some(1222.0)
    );
    assert_eq!(read("heron/sensor", "1222", true), Got::Stale);
    let object = r#"{"t":1795000005000,"kiln":{"pv":"2232","out":35.0,"more":[1]}}"#;
    let Got::Sample(found) = read("heron/json", object, true) else {
        panic!("no sample")
    };
    assert_eq!((found.at, found.duty), (second(5), Some(0.35)));
    assert_eq!(sensor(read("heron/json", object, false)), Some(1222.0));
    assert_eq!(
        sensor(read("heron/line", "2026-11-25T08:00Z,20\r\n", true)),
        Some(20.0)
    );
    assert_eq!(read("egret/sensor", "20", false), Got::Nothing);
    for (topic, text, what) in [
        ("heron/sensor", "hot", "'hot' is not a number"),
        ("heron/sensor", "", "none of the fields"),
        ("heron/json", "{}", "none of the fields"),
        ("heron/json", "{", "not JSON"),
        ("heron/json", r#"{"kiln":{"pv":20}}"#, "no time"),
        (
            "heron/json",
            r#"{"t":1795000005000,"kiln":{"pv":[20]}}"#,
            "not a number",
        ),
        ("heron/line", "2026-11-25T08:00Z", "too few cells"),
    ] {
        let Got::Misread(fault) = read(topic, text, false) else {
            panic!("{text} is read")
        };
        assert!(fault.what.contains(what) && fault.file == topic, "{fault}");
    }
}

#[test]
fn topics_that_cannot_be_are_refused() {
    let of = |topic: &str| number(topic, Holds::Sensor { unit: CELSIUS });
    let pointless = Payload::Json {
        pointers: vec!["pv".to_owned()],
        time: Time::Arrival,
        columns: vec![Column {
            at: 0,
            holds: Holds::Sensor { unit: CELSIUS },
        }],
    };
    let pointless = Topic {
        topic: "a".to_owned(),
        payload: pointless,
    };
    for (topics, what) in [
        (vec![], "0 topics"),
        (vec![of("kilns/+/sensor")], "wildcard"),
        (vec![of("")], "no name"),
        (vec![of("a"), of("a")], "there twice"),
        (vec![pointless], "'pv' points nowhere"),
    ] {
        let faults = Messages::new(&topics, &TimeZone::UTC, straight).unwrap_err();
        assert!(
            faults.len() == 1 && faults[0].what.contains(what),
            "{faults:?}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_message_is_read_or_refused(
        bytes in prop::collection::vec(any::<u8>(), 0..200),
        text in r#"[{}\[\]":,a-z/0-9.eE+ -]{0,80}"#,
        kept in any::<bool>(),
    ) {
        let mut all = messages();
        for topic in ["heron/sensor", "heron/json", "heron/line", "other"] {
            let _got = all.read(topic, &bytes, kept, second(0));
            let _got = all.read(topic, text.as_bytes(), kept, second(0));
        }
    }
}

/// A broker of its own, ended with the test.
struct Mosquitto {
    child: Child,
    port: u16,
}

impl Drop for Mosquitto {
    fn drop(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

impl Mosquitto {
    fn start(port: Option<u16>) -> Self {
        let free = || {
            TcpListener::bind("127.0.0.1:0")
                .unwrap()
                .local_addr()
                .unwrap()
                .port()
        };
        let port = port.unwrap_or_else(free);
        let path = format!(
            "{}:/usr/sbin:/usr/local/sbin",
            std::env::var("PATH").unwrap_or_default()
        );
        let mut child = Command::new("mosquitto")
            .env("PATH", path)
            .args(["-v", "-p", &port.to_string()])
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("mosquitto is missing: apt-get install mosquitto, or run scripts/test once");
        let mut log = BufReader::new(child.stderr.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let runs = log.any(|l| l.contains("running"));
        assert!(runs, "mosquitto ended before it ran; is port {port} taken?");
        while std::net::TcpStream::connect(("127.0.0.1", port)).is_err() {
            let ended = child.try_wait().unwrap();
            assert!(ended.is_none(), "mosquitto ended: {ended:?}");
            std::thread::yield_now();
        }
        // Read on, so that the broker never waits for room.
        std::thread::spawn(move || log.for_each(drop));
        Self { child, port }
    }
}

async fn publish(port: u16, what: Vec<(&str, &str, bool)>) {
    let (client, mut events) = AsyncClient::new(MqttOptions::new("logger", "127.0.0.1", port), 10);
    let count = what.len();
    for (topic, text, retain) in what {
        client
            .publish(topic, QoS::AtLeastOnce, retain, text)
            .await
            .unwrap();
    }
    let mut acknowledged = 0;
    while acknowledged < count {
        if let rumqttc::Event::Incoming(rumqttc::Packet::PubAck(_)) = events.poll().await.unwrap() {
            acknowledged += 1;
        }
    }
}

#[tokio::test]
async fn a_broker_is_heard_and_lost_and_heard_again() {
    let broker = Mosquitto::start(None);
    let port = broker.port;
    publish(port, vec![("heron/sensor", "999", true)]).await;
    let (to, mut from) = tokio::sync::mpsc::channel(16);
    let teller = Teller::new(to, still(), Guard::default(), Span::h(1.0));
    let there = Broker {
        host: "127.0.0.1".to_owned(),
        port,
        client: "glost".to_owned(),
        login: None,
        topics: topics(),
    };
    let task = tokio::spawn(async move { listen(&there, messages(), teller).await });
    let mut next = async || {
        let waited = tokio::time::timeout(Duration::from_secs(60), from.recv()).await;
        waited.expect("nothing was told for a minute").unwrap()
    };
    let trouble = |event: Event| match event {
        Event::Trouble(t) => t.kind,
        other => panic!("{other:?} is no trouble"),
    };
    // The order of these two is the broker's.
    let mut begun = [trouble(next().await), trouble(next().await)];
    begun.sort_by_key(|k| *k != TroubleKind::Listening);
    let topic = "heron/sensor".to_owned();
    assert_eq!(
        begun,
        [TroubleKind::Listening, TroubleKind::Stale { topic }]
    );
    publish(
        port,
        vec![
            ("heron/sensor", "20.5", false),
            ("heron/sensor", "warm", false),
        ],
    )
    .await;
    let Event::Heard(Heard { sample, remarks }) = next().await else {
        panic!("no sample")
    };
    assert_eq!(
        (sample.at, sample.sensor.map(|t| t.to_c().round()), remarks),
        (second(0), Some(21.0), vec![])
    );
    assert!(matches!(trouble(next().await), TroubleKind::Misread { .. }));
    drop(broker);
    assert!(matches!(
        trouble(next().await),
        TroubleKind::Unreachable { .. }
    ));
    let broker = Mosquitto::start(Some(port));
    assert_eq!(trouble(next().await), TroubleKind::Listening);
    publish(port, vec![("heron/line", "2026-11-25T08:00Z,20", false)]).await;
    assert!(matches!(next().await, Event::Heard(_)));
    drop((from, broker));
    assert!(task.await.unwrap().is_err(), "it ends when nobody listens");
}
