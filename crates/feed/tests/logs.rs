//! Logs, whole and broken.

use glost_feed::{Log, read_log};
use glost_model::fault::Fault;
use proptest::prelude::*;

const HANDBOOK: &str = include_str!("../../../docs/handbook/sensor-log.md");

fn faults(text: &str) -> Vec<Fault> {
    read_log(text, "bisque.csv").err().unwrap_or_default()
}

fn points(log: &Log, name: &str) -> Vec<(f64, f64)> {
    let all = log.channel(name).map(|c| c.readings.as_slice());
    all.unwrap_or_default()
        .iter()
        .map(|r| {
            (
                r.at.to_minutes(),
                (r.temperature.to_c() * 100.0).round() / 100.0,
            )
        })
        .collect()
}

#[test]
fn the_example_of_the_handbook_is_read() {
    let example = HANDBOOK.split("```csv\n").nth(1).unwrap();
    let log = read_log(example.split("```").next().unwrap(), "log.csv").unwrap();
    assert_eq!(log.start, "2026-11-25T07:00:00Z".parse().ok());
    assert_eq!(log.channels.len(), 3);
    assert_eq!(points(&log, "top"), [(0.0, 18.4), (30.0, 58.9)]);
    assert_eq!(points(&log, "bottom"), [(30.0, 49.2), (60.0, 101.7)]);
    assert!(log.channel("middle").is_none());
}

#[test]
fn elapsed_time_and_fahrenheit_are_read() {
    for (title, per_minute) in [("seconds", 60.0), ("minutes", 1.0), ("hours", 1.0 / 60.0)] {
        let text = format!(
            "\u{feff}{title} , \"a b_f\",x_c\r\n{},212,\r\n\r\n{},\"2232\",5\r\n,,\r\n",
            30.0 * per_minute,
            90.0 * per_minute
        );
        let log = read_log(&text, "log.csv").unwrap();
        assert_eq!(log.start, None);
        assert_eq!(points(&log, "a b"), [(30.0, 100.0), (90.0, 1222.22)]);
        assert_eq!(points(&log, "x"), [(90.0, 5.0)]);
    }
}

#[test]
fn the_ends_of_the_range_are_read() {
    let log = read_log(
        "minutes,a_c,b_f\n0,-50,-58\n1,1800,3272\n1,20,68\n",
        "log.csv",
    )
    .unwrap();
    assert_eq!(points(&log, "a"), points(&log, "b"));
}

#[test]
fn every_fault_is_told_at_once() {
    let text = "minutes,a_c,b_f\n0,20,68\nsoon,21,70\n5,22C,-60\n4,1801,3273\n6,20\n-1,20,70\n7,NaN,\n,20,\n9,20,68,\n10,25,\n";
    let found: Vec<(Option<usize>, String)> = faults(text)
        .into_iter()
        .map(|f| (f.line, f.field))
        .collect();
    let expected = [
        (3, "minutes"),
        (4, "a_c"),
        (4, "b_f"),
        (5, "minutes"),
        (5, "a_c"),
        (5, "b_f"),
        (6, ""),
        (7, "minutes"),
        (8, "a_c"),
        (9, "minutes"),
        (10, ""),
    ];
    assert_eq!(
        found,
        expected.map(|(line, field)| (Some(line), field.to_owned()))
    );
}

#[test]
fn faults_say_what_was_found_and_what_to_do() {
    for (text, line, field, what, remedy) in [
        ("", None, "", "the file is empty", "names of its columns"),
        (
            "\n , \n",
            None,
            "",
            "the file is empty",
            "names of its columns",
        ),
        (
            "minutes,a_c\n",
            None,
            "",
            "no readings",
            "a number for each reading",
        ),
        (
            "minutes,a_c\n5,\n",
            None,
            "",
            "no readings",
            "a number for each reading",
        ),
        (
            "minutes\n5\n",
            Some(1),
            "",
            "no column of readings",
            "top_c",
        ),
        (
            "minute,a_c\n5,6\n",
            Some(1),
            "minute",
            "'minute' is no column of times",
            "time, seconds, minutes, hours",
        ),
        (
            "minutes;a_c\n5;6\n",
            Some(1),
            "minutes;a_c",
            "no column of times",
            "put commas",
        ),
        (
            "minutes,a\n5,6\n",
            Some(1),
            "a",
            "'a' is not a column",
            "top_c or top_f",
        ),
        (
            "minutes,_c\n5,6\n",
            Some(1),
            "_c",
            "'_c' is not a column",
            "top_c or top_f",
        ),
        (
            "minutes,a_c,a_f\n5,6,\n",
            Some(1),
            "a_f",
            "'a' is there twice",
            "its own name",
        ),
        (
            "minutes,a_c\n5,6,5\n",
            Some(2),
            "",
            "3 cells, the first line 2",
            "point",
        ),
        (
            "minutes,a_c\n5,warm\n",
            Some(2),
            "a_c",
            "'warm' is not a number",
            "point for decimals",
        ),
        (
            "minutes,a_c\n5,2232\n",
            Some(2),
            "a_c",
            "2232 is no temperature of a kiln",
            "-50 to 1800 °C",
        ),
        (
            "minutes,a_f\n5,9999\n",
            Some(2),
            "a_f",
            "9999 is no temperature",
            "-58 to 3272 °F",
        ),
        (
            "hours,a_c\n9000,20\n",
            Some(2),
            "hours",
            "9000 hours is out of bounds",
            "366 days",
        ),
        (
            "hours,a_c\n2,20\n1,21\n",
            Some(3),
            "hours",
            "'1' is earlier than line 2",
            "order of time",
        ),
        (
            "time,a_c\n2026-11-25T08:00:00,20\n",
            Some(2),
            "time",
            "is not a time with its offset",
            "+01:00",
        ),
        (
            "time,a_c\n2026-11-25T08:00:00+01:00,20\n2026-11-25T07:30:00+01:00,21\n",
            Some(3),
            "time",
            "is earlier than line 2",
            "order",
        ),
        (
            "time,a_c\n1970-01-01T00:00:09Z,20\n2026-11-25T07:30:00Z,21\n",
            Some(3),
            "time",
            "more than 366 days",
            "clock",
        ),
    ] {
        let all = faults(text);
        assert_eq!(all.len(), 1, "{text}: {all:?}");
        let fault = &all[0];
        assert_eq!((fault.line, fault.field.as_str()), (line, field), "{text}");
        assert!(fault.what.contains(what), "{text}: {fault}");
        assert!(fault.remedy.contains(remedy), "{text}: {fault}");
        assert_eq!(fault.file, "bisque.csv");
    }
}

fn sound(text: &str) -> Result<(), TestCaseError> {
    match read_log(text, "any.csv") {
        Ok(log) => {
            prop_assert!(log.channels.iter().any(|c| !c.readings.is_empty()));
            for channel in &log.channels {
                prop_assert!(channel.readings.windows(2).all(|p| p[0].at <= p[1].at));
                let kiln =
                    |r: &glost_feed::Reading| (-50.1..1800.1).contains(&r.temperature.to_c());
                prop_assert!(channel.readings.iter().all(kiln));
            }
        }
        Err(all) => {
            prop_assert!(!all.is_empty());
            let lines = text.lines().count();
            for fault in all {
                prop_assert!(!fault.what.is_empty() && !fault.remedy.is_empty());
                prop_assert!(fault.line.is_none_or(|l| (1..=lines).contains(&l)));
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        sound(&text)?;
    }

    #[test]
    fn any_lines_are_read_or_refused(
        head in "(time|minutes|hours|seconds|min)(,[a-z]?(_c|_f|_k)){0,3}",
        rows in prop::collection::vec(r#"(-?[0-9]{1,4}(\.[0-9])?|1e[0-9]{3}|20[0-9]{2}-1[0-9]-1[0-9]T0[0-9]:00:00Z|nan)?(,"?-?[0-9]{0,5}"?){0,3}"#, 0..9),
        end in "(\n|\r\n|\r)",
    ) {
        let text = [head].into_iter().chain(rows).collect::<Vec<_>>().join(&end);
        sound(&text)?;
    }

    #[test]
    fn what_was_written_is_read_back(steps in prop::collection::vec((0.0f64..90.0, -50.0f64..1800.0), 1..50)) {
        let mut text = "minutes,top_c\n".to_owned();
        let mut at = 0.0;
        let mut wanted = Vec::new();
        for (step, c) in steps {
            at += step;
            text.push_str(&format!("{at},{c}\n"));
            wanted.push((at, c));
        }
        let log = read_log(&text, "log.csv").unwrap();
        prop_assert_eq!(log.channels[0].readings.len(), wanted.len());
        for (r, (at, c)) in log.channels[0].readings.iter().zip(wanted) {
            prop_assert!((r.at.to_minutes() - at).abs() < 1e-6 && (r.temperature.to_c() - c).abs() < 1e-6);
        }
    }
}
