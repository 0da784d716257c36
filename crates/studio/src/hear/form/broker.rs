//! A broker, as a form: a row a value, with its topic and where it stands in the message.

use glost_feed::layout::{Column, Time};
use glost_feed::mqtt::{Messages, Payload, Topic};
use glost_model::book::ways::SECRET;
use jiff::tz::TimeZone;

use super::{Asked, ROWS, Written, file, role};
use crate::hear::BrokerWay;

/// Usual port of a broker.
const PORT: u16 = 1883;

pub fn read(asked: &mut Asked<'_>) -> Option<BrokerWay> {
    let (host, port) = asked.host("host", PORT);
    let secret = Some(asked.get("secret").to_owned()).filter(|s| !s.is_empty());
    if secret.as_ref().is_some_and(|s| !s.starts_with(SECRET)) {
        asked.fault(
            "secret",
            "that is no name of a variable for secrets",
            format!(
                "Write the name of a variable that begins with {SECRET}, never the secret itself"
            ),
        );
    }
    let cold = role::cold(asked, 0);
    let mut topics: Vec<Topic> = Vec::new();
    for n in 0..ROWS {
        let (topic, pointer) = (asked.row("topic", n), asked.row("pointer", n));
        if topic.is_empty() || topics.iter().any(|t| t.topic == topic) {
            continue;
        }
        let payload = if pointer.is_empty() {
            let Some(holds) = role::holds(asked, n, cold) else {
                asked.fault(
                    &format!("role.{n}"),
                    "it is not said what the number is",
                    "Choose what it is; a time only stands in an object of JSON",
                );
                continue;
            };
            Payload::Number { holds }
        } else {
            json(asked, topic, cold)
        };
        topics.push(Topic {
            topic: topic.to_owned(),
            payload,
        });
    }
    let made = Messages::new(&topics, &TimeZone::UTC, crate::follow::hot_end);
    for fault in made.err().into_iter().flatten() {
        let what = match fault.file.as_str() {
            "" => fault.what,
            topic => format!("{topic}: {}", fault.what),
        };
        asked.fault("topic.0", what, fault.remedy);
    }
    Some(BrokerWay {
        host,
        port,
        login: asked.get("login").to_owned(),
        secret,
        topics,
    })
}

/// All rows of a topic are values of one message.
fn json(asked: &mut Asked<'_>, topic: &str, cold: glost_feed::layout::Cold) -> Payload {
    let mut pointers = Vec::new();
    let mut columns = Vec::new();
    let mut time_at = None;
    for n in (0..ROWS)
        .filter(|n| asked.row("topic", *n) == topic)
        .collect::<Vec<_>>()
    {
        let at = pointers.len();
        pointers.push(asked.row("pointer", n).to_owned());
        if asked.row("role", n) == "time" {
            time_at = Some(at);
        }
        columns.extend(role::holds(asked, n, cold).map(|holds| Column { at, holds }));
    }
    let time = match time_at {
        None => Time::Arrival,
        Some(at) => {
            file::time(asked, |role| (role == "time").then_some(at)).unwrap_or(Time::Arrival)
        }
    };
    Payload::Json {
        pointers,
        time,
        columns,
    }
}

pub fn written(way: &BrokerWay) -> Written {
    let mut all: Written = [
        ("host", format!("{}:{}", way.host, way.port)),
        ("login", way.login.clone()),
        ("secret", way.secret.clone().unwrap_or_default()),
    ]
    .map(|(name, value)| (name.to_owned(), value))
    .into();
    let mut n = 0;
    for topic in &way.topics {
        match &topic.payload {
            Payload::Number { holds } => {
                all.push((format!("topic.{n}"), topic.topic.clone()));
                role::written(&mut all, n, holds);
                n += 1;
            }
            Payload::Json {
                pointers,
                time,
                columns,
            } => {
                let first = n;
                for (at, pointer) in pointers.iter().enumerate() {
                    all.push((format!("topic.{n}"), topic.topic.clone()));
                    all.push((format!("pointer.{n}"), pointer.clone()));
                    for column in columns.iter().filter(|c| c.at == at) {
                        role::written(&mut all, n, &column.holds);
                    }
                    n += 1;
                }
                let mut told = Written::new();
                file::time_written(&mut told, time);
                for (name, value) in told {
                    // Times count in the pointers of their topic, rows of the form do in all.
                    match name
                        .strip_prefix("role.")
                        .and_then(|at| at.parse::<usize>().ok())
                    {
                        Some(at) => all.push((format!("role.{}", first + at), value)),
                        None => all.push((name, value)),
                    }
                }
            }
            // No form makes one.
            Payload::Line { .. } => {}
        }
    }
    all
}
