//! The calendar is read back by the library icalendar of PyPI, field by field.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

#[expect(dead_code, reason = "labels need more")]
mod outside;

use glost_model::Span;
use glost_sheets::{CalendarEvent, CalendarFeed, calendar_ics};
use jiff::Timestamp;
use serde_json::{Value, json};

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

/// Six hours from 0:30 over the end of summer time in Europe.
fn event() -> CalendarEvent {
    CalendarEvent {
        uid: "firing-17@lanternmoor.example".into(),
        starts: at("2026-10-25T00:30:00+02:00"),
        ends: at("2026-10-25T05:30:00+01:00"),
        title: "Kiln Wren: glaze firing, cone 6".into(),
        words: "Load by 23:00. Unload when the sensor reads 60 °C.".into(),
        place: "Lanternmoor Clay Rooms, kiln room".into(),
        alarms: vec![60, 1440],
        sequence: 2,
        last_modified: at("2026-10-20T09:15:30Z"),
        cancelled: false,
    }
}

fn feed(events: Vec<CalendarEvent>) -> CalendarFeed {
    CalendarFeed {
        name: "Lanternmoor Clay Rooms; firings, all kilns".into(),
        stamp: at("2026-10-21T10:00:00Z"),
        refresh: Some(Span::h(2.0)),
        events,
    }
}

fn read(feed: &CalendarFeed) -> Value {
    outside::script("read_calendar.py", &[], calendar_ics(feed).as_bytes())
}

#[test]
fn every_field_comes_back() {
    let read = read(&feed(vec![event()]));
    assert_eq!(
        read,
        json!({
            "version": "2.0",
            "made_by": "-//Glost//Firings of a studio//EN",
            "name": "Lanternmoor Clay Rooms; firings, all kilns",
            "refresh_h": 2.0,
            "unknown": [],
            "errors": [],
            "events": [{
                "uid": "firing-17@lanternmoor.example",
                "stamp": ["2026-10-21T10:00:00+0000", "Wed 21 Oct 12:00", "Wed 21 Oct 06:00"],
                "starts": ["2026-10-24T22:30:00+0000", "Sun 25 Oct 00:30", "Sat 24 Oct 18:30"],
                "ends": ["2026-10-25T04:30:00+0000", "Sun 25 Oct 05:30", "Sun 25 Oct 00:30"],
                "hours": 6.0,
                "title": "Kiln Wren: glaze firing, cone 6",
                "words": "Load by 23:00. Unload when the sensor reads 60 °C.",
                "place": "Lanternmoor Clay Rooms, kiln room",
                "sequence": 2,
                "last_modified": ["2026-10-20T09:15:30+0000", "Tue 20 Oct 11:15", "Tue 20 Oct 05:15"],
                "status": "CONFIRMED",
                "alarms": [
                    {"action": "DISPLAY", "words": "Kiln Wren: glaze firing, cone 6", "minutes": -60.0, "unknown": []},
                    {"action": "DISPLAY", "words": "Kiln Wren: glaze firing, cone 6", "minutes": -1440.0, "unknown": []},
                ],
                "unknown": [],
                "errors": [],
            }],
        })
    );
}

#[test]
fn every_change_of_clocks_moves_nothing() {
    let over = |starts: &str, ends: &str| {
        let event = CalendarEvent {
            starts: at(starts),
            ends: at(ends),
            ..event()
        };
        let read = read(&feed(vec![event]));
        let event = &read["events"][0];
        let clock = |of: &str, zone: usize| event[of][zone].as_str().unwrap().to_owned();
        (
            clock("starts", 1),
            clock("ends", 1),
            clock("starts", 2),
            clock("ends", 2),
            event["hours"].clone(),
        )
    };
    // Spring in Europe: 2 to 3 is left out.
    let (from, to, .., hours) = over("2026-03-29T01:00:00+01:00", "2026-03-29T13:00:00+02:00");
    assert_eq!(
        (from.as_str(), to.as_str(), hours),
        ("Sun 29 Mar 01:00", "Sun 29 Mar 13:00", json!(11.0))
    );
    // Within the hour that comes twice.
    let (from, to, .., hours) = over("2026-10-25T02:30:00+02:00", "2026-10-25T02:30:00+01:00");
    assert_eq!(
        (from.as_str(), to.as_str(), hours),
        ("Sun 25 Oct 02:30", "Sun 25 Oct 02:30", json!(1.0))
    );
    // Both changes in America.
    let (.., from, to, hours) = over("2026-03-08T01:30:00-05:00", "2026-03-08T15:00:00-04:00");
    assert_eq!(
        (from.as_str(), to.as_str(), hours),
        ("Sun 08 Mar 01:30", "Sun 08 Mar 15:00", json!(12.5))
    );
    let (.., from, to, hours) = over("2026-10-31T20:00:00-04:00", "2026-11-01T08:00:00-05:00");
    assert_eq!(
        (from.as_str(), to.as_str(), hours),
        ("Sat 31 Oct 20:00", "Sun 01 Nov 08:00", json!(13.0))
    );
}

#[test]
fn odd_texts_come_back_as_they_are() {
    let texts = [
        "a, b; c: d \\ e \\n f \\, \"g\"",
        "first line\nsecond line\n\nfourth line",
        "陶器燒成：釉燒，錐六號。"
            .repeat(12)
            .as_str()
            .to_owned()
            .leak(),
        "🏺🔥👩🏽‍🎨 ".repeat(40).trim_end().to_owned().leak(),
        "word ".repeat(60).trim_end().to_owned().leak(),
        "x".repeat(500).leak(),
        "BEGIN:VEVENT\nEND:VCALENDAR",
        "  spaces   inside\t and a tab",
        "ends with a backslash\\",
        "😀".repeat(60).leak(),
    ];
    let events: Vec<CalendarEvent> = texts
        .iter()
        .enumerate()
        .map(|(i, text)| CalendarEvent {
            uid: format!("{i}@lanternmoor.example"),
            title: (*text).into(),
            words: format!("{text}."),
            place: format!("{text}{}here", " ".repeat(200)),
            alarms: vec![0],
            ..event()
        })
        .collect();
    let read = read(&feed(events));
    assert_eq!(read["events"].as_array().unwrap().len(), texts.len());
    for (i, text) in texts.iter().enumerate() {
        let event = &read["events"][i];
        assert_eq!(event["title"], *text);
        assert_eq!(event["words"], format!("{text}."));
        assert_eq!(event["place"], format!("{text}{}here", " ".repeat(200)));
        assert_eq!(event["alarms"][0]["words"], *text);
        assert_eq!(
            event["alarms"][0]["minutes"].as_f64().map(|m| m as i64),
            Some(0)
        );
        assert_eq!(
            (&event["unknown"], &event["errors"]),
            (&json!([]), &json!([]))
        );
    }
}

#[test]
fn controls_and_odd_line_ends_do_not_break_it() {
    let odd = CalendarEvent {
        title: "a\u{0}b\u{b}c\u{1c}d\u{85}e\u{7f}f".into(),
        words: "1\r\n2\r3\u{2028}4\u{2029}5".into(),
        ..event()
    };
    let read = read(&feed(vec![odd]));
    assert_eq!(read["events"][0]["title"], "abcdef");
    assert_eq!(read["events"][0]["words"], "1\n2\n3\n4\n5");
}

#[test]
fn what_is_called_off_is_struck_out_and_reminds_nobody() {
    let off = CalendarEvent {
        cancelled: true,
        sequence: 3,
        ..event()
    };
    let read = read(&feed(vec![off]));
    let event = &read["events"][0];
    assert_eq!(
        (&event["status"], &event["sequence"], &event["alarms"]),
        (&json!("CANCELLED"), &json!(3), &json!([]))
    );
}

#[test]
fn an_end_before_the_start_and_empty_words_are_left_out() {
    let moment = CalendarEvent {
        ends: at("2026-10-01T00:00:00Z"),
        words: String::new(),
        place: String::new(),
        ..event()
    };
    let read = read(&CalendarFeed {
        refresh: None,
        ..feed(vec![moment])
    });
    let event = &read["events"][0];
    assert_eq!(
        (&event["ends"], &event["words"], &event["place"]),
        (&Value::Null, &Value::Null, &Value::Null)
    );
    assert_eq!(read["refresh_h"], Value::Null);
    let none = outside::script(
        "read_calendar.py",
        &[],
        calendar_ics(&feed(vec![])).as_bytes(),
    );
    assert_eq!(none["events"], json!([]));
}

#[test]
fn the_same_feed_is_the_same_text_in_lines_of_75_octets() {
    let feed = feed(vec![
        event(),
        CalendarEvent {
            words: "窯 ".repeat(300),
            ..event()
        },
    ]);
    let text = calendar_ics(&feed);
    assert_eq!(text, calendar_ics(&feed));
    let bare = text.replace("\r\n", "");
    assert!(!bare.contains(['\r', '\n']) && text.ends_with("END:VCALENDAR\r\n"));
    for line in text.split("\r\n") {
        assert!(line.len() <= 75, "{line}");
    }
}
