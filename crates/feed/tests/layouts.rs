//! Tables of many layouts.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod made;

use glost_feed::layout::{
    Cold, Column, Couple, DateOrder, Degrees, Holds, Scale, Separator, Tick, Time,
};
use glost_feed::{Layout, MOST_FAULTS, Readings, Rows};
use glost_model::Temperature;
use glost_model::fault::Fault;
use glost_model::readings::Sample;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use made::{CELSIUS, plain, rows, straight};
use proptest::prelude::*;

fn read(layout: Layout, text: &str) -> Vec<Result<Sample, Fault>> {
    Readings::new(text.as_bytes(), rows(layout)).collect()
}

fn c(found: Option<Temperature>) -> Option<f64> {
    found.map(|t| (t.to_c() * 100.0).round() / 100.0)
}

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

/// A guess, and that it reads all its own rows.
fn guess(text: &str) -> (Layout, Vec<String>, Vec<Sample>) {
    let berlin = TimeZone::get("Europe/Berlin").unwrap();
    let found = Layout::guess(text.as_bytes(), &berlin, straight);
    let doubts = found.doubts.into_iter().map(|d| d.words).collect();
    (
        found.layout,
        doubts,
        found.rows.into_iter().map(Result::unwrap).collect(),
    )
}

#[test]
fn a_german_table_is_guessed() {
    let (layout, doubts, rows) = guess(
        "Protokoll Ofen 3\r\n\r\nDatum;Uhrzeit;Istwert [°C];Sollwert [°C];Output [%];Energy [kWh]\r\n25.11.2026;08:00:00;18,4;20,0;0;1204,5\r\n25.11.2026;08:01:00;19,0;21,0;35;1204,7\r\n",
    );
    assert_eq!(
        (layout.separator, layout.decimal_comma, layout.skip),
        (Separator::Semicolon, true, 3)
    );
    assert_eq!(doubts.len(), 1, "{doubts:?}");
    assert!(doubts[0].contains("time zone"));
    assert_eq!(rows[1].at, at("2026-11-25T07:01:00Z"));
    assert_eq!(
        (c(rows[1].sensor), c(rows[1].set_point)),
        (Some(19.0), Some(21.0))
    );
    assert_eq!(rows[1].duty, Some(0.35));
    assert!((rows[1].meter.unwrap().to_kwh() - 1204.7).abs() < 1e-9);
}

#[test]
fn an_american_table_is_guessed() {
    let (layout, doubts, rows) = guess(
        "Date/Time,PV (F),SP (F),Top TC F\n11/25/2026 08:00:00 AM,66.2,70,65\n11/25/2026 01:05:30 PM,2232,2232,--\n",
    );
    assert!(matches!(
        layout.time,
        Time::Stamp {
            order: DateOrder::MonthFirst,
            ..
        }
    ));
    assert_eq!(doubts.len(), 1, "{doubts:?}");
    assert_eq!(rows[1].at, at("2026-11-25T12:05:30Z"));
    assert_eq!(c(rows[1].sensor), Some(1222.22));
    assert_eq!(rows[1].others, []);
    assert_eq!(rows[0].others[0].0, "Top TC F");
}

#[test]
fn elapsed_time_and_unix_time_are_guessed() {
    for (text, wanted) in [
        ("elapsed (min),temp c\n0,20\n5,30\n", Tick::Minutes),
        ("time_s,temp c\n0,20\n5,30\n", Tick::Seconds),
        ("hours,temp c\n0,20\n0.5,30\n", Tick::Hours),
        ("elapsed,temp c\n0:00,20\n0:05,30\n", Tick::Clock),
    ] {
        let (layout, ..) = guess(text);
        assert!(
            matches!(layout.time, Time::Elapsed { at: 0, unit } if unit == wanted),
            "{text}"
        );
    }
    let (layout, doubts, rows) = guess("ts|kiln °C\n1795000000|20\n1795000060|21\n");
    assert!(matches!(
        layout.time,
        Time::Unix {
            at: 0,
            thousandths: false
        }
    ));
    assert_eq!((doubts.len(), rows.len()), (0, 2));
}

#[test]
fn what_is_not_certain_is_said() {
    for (text, doubt) in [
        (
            "2026-11-25 08:00,20\n2026-11-25 08:01,21\n",
            "no line of titles",
        ),
        (
            "time,temp\n2026-11-25T08:00Z,20\n2026-11-25T08:01Z,21\n",
            "°C were taken",
        ),
        (
            "time,temp\n2026-11-25T08:00Z,70\n2026-11-25T08:01Z,2100\n",
            "°F were taken",
        ),
        (
            "time,tc mV\n2026-11-25T08:00Z,1.0\n2026-11-25T08:01Z,2.0\n",
            "type K",
        ),
        (
            "time,temp c\n04/05/2026 08:00,20\n04/05/2026 08:01,21\n",
            "month was taken",
        ),
        ("temp c,output\n20,0.5\n21,0.25\n", "Whether the duty"),
        ("temp c,output\n20,0.5\n21,0.25\n", "No column of times"),
        (
            "time,temp c,wind\n2026-11-25T08:00Z,20,4\n2026-11-25T08:01Z,21,5\n",
            "not read",
        ),
    ] {
        let found = Layout::guess(text.as_bytes(), &TimeZone::UTC, straight);
        assert!(
            found.doubts.iter().any(|d| d.words.contains(doubt)),
            "{text}: {:?}",
            found.doubts
        );
    }
}

#[test]
fn a_layout_is_kept_as_json() {
    let (layout, ..) =
        guess("time,mV,cj C,kW\n2026-11-25T08:00Z,1.0,20,3\n2026-11-25T08:01Z,2.0,20,3\n");
    let text = serde_json::to_string(&layout).unwrap();
    assert_eq!(serde_json::from_str::<Layout>(&text).unwrap(), layout);
}

#[test]
fn voltages_need_their_terminals_and_power_is_summed_up() {
    let mut layout = plain();
    layout.titles.clear();
    layout.width = 4;
    let unit = Degrees::Millivolts {
        couple: Couple::K,
        cold: Cold::Column {
            at: 2,
            scale: Scale::Fahrenheit,
        },
    };
    layout.columns = vec![
        Column {
            at: 1,
            holds: Holds::Sensor { unit },
        },
        Column {
            at: 3,
            holds: Holds::Power { kilo: true },
        },
    ];
    let text = "t,mv,cold,kw\n2026-11-25T08:00:00Z,4,68,6\n2026-11-25T08:05:00Z,-1,68,0\n2026-11-25T08:05:00Z,5,,6\n2026-11-25T08:05:00Z,5,68,6\n2026-11-25T09:05:00Z,,68,6\n";
    let found = read(layout, text);
    let ok = |i: usize| found[i].as_ref().unwrap();
    assert_eq!(c(ok(0).sensor), Some(120.0));
    assert!(
        found[1]
            .as_ref()
            .unwrap_err()
            .what
            .contains("-1 mV is out of the range of a type K")
    );
    assert!(
        found[2]
            .as_ref()
            .unwrap_err()
            .what
            .contains("no temperature of its terminals")
    );
    // 6 kW over five minutes, unmoved by the rows that were refused.
    assert!((ok(3).meter.unwrap().to_kwh() - 0.5).abs() < 1e-9);
    assert!(
        ok(4).meter.unwrap().to_kwh().abs() < 1e-9,
        "nobody knows what an hour unread took"
    );
}

#[test]
fn clocks_that_go_back_and_forward_are_followed() {
    let mut layout = plain();
    layout.time = Time::Stamp {
        at: 0,
        order: DateOrder::DayFirst,
        zone: Some("Europe/Berlin".to_owned()),
    };
    let text = "time,sensor\n25.10.2026 02:50,500\n25.10.2026 02:10,510\n25.10.2026 02:20,520\n25.10.2026 03:00,530\n28.03.2027 02:30,20\n";
    let found = read(layout, text);
    let times: Vec<_> = found.iter().flatten().map(|s| s.at).collect();
    let wanted = ["00:50", "01:10", "01:20", "02:00"].map(|t| at(&format!("2026-10-25T{t}:00Z")));
    assert_eq!(times, wanted);
    assert!(
        found[4]
            .as_ref()
            .unwrap_err()
            .what
            .contains("clocks went forward")
    );
}

#[test]
fn rows_with_a_fault_are_told_and_left_out_whole() {
    for (row, field, what) in [
        ("2026-11-25T08:00Z,18,4", "", "3 cells, the layout 2"),
        ("2026-11-25T08:00Z", "sensor", "too few cells"),
        ("2026-11-25T08:00Z,OPEN", "sensor", "'OPEN' is not a number"),
        ("2026-11-25T08:00Z,66 F", "sensor", "another unit"),
        (",18", "time", "no time"),
        ("soon,18", "time", "'soon' is not a time"),
        ("2026-13-25T08:00Z,18", "time", "is not a time"),
        ("2026-11-25T08:00Z,\"18", "", "quote is opened"),
        ("2026-11-25T08:00Z,1\u{0}8", "", "zero bytes"),
        (
            "2026-11-25T08:00Z,18\r2026-11-25T08:01Z,19",
            "",
            "carriage returns",
        ),
    ] {
        let found = read(plain(), &format!("time,sensor\n{row}\n"));
        assert_eq!(found.len(), 1, "{row}");
        let fault = found[0].as_ref().unwrap_err();
        assert_eq!(
            (fault.line, fault.field.as_str()),
            (Some(2), field),
            "{row}"
        );
        assert!(
            fault.what.contains(what) && !fault.remedy.is_empty(),
            "{row}: {fault}"
        );
    }
}

#[test]
fn columns_that_moved_are_not_read() {
    let found = read(
        plain(),
        "sensor,time\n20,2026-11-25T08:00Z\n21,2026-11-25T08:01Z\n",
    );
    assert_eq!(found.len(), 1);
    assert!(
        found[0]
            .as_ref()
            .unwrap_err()
            .what
            .contains("the layout was made for 'time | sensor'")
    );
    // Titles that a logger writes again in the middle are none of its rows.
    let again = read(
        plain(),
        "time,sensor\n2026-11-25T08:00Z,20\ntime,sensor\n2026-11-25T08:01Z,21\n",
    );
    assert_eq!(again.iter().filter(|r| r.is_ok()).count(), 2);
    assert_eq!(again.len(), 2);
}

#[test]
fn wide_text_is_refused_and_a_mark_is_not() {
    let wide: Vec<u8> = "time,sensor\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let wide = [b"\xff\xfe".as_slice(), &wide].concat();
    let found: Vec<_> = Readings::new(&wide[..], rows(plain())).collect();
    assert_eq!(found.len(), 1);
    assert!(found[0].as_ref().unwrap_err().what.contains("UTF-16"));
    assert!(read(plain(), "\u{feff}time,sensor\r\n2026-11-25T08:00Z,20\r\n")[0].is_ok());
}

#[test]
fn faults_are_counted_beyond_the_first_hundred() {
    let text = format!("time,sensor\n{}2026-11-25T08:00Z,20", "x,y\n".repeat(250));
    let mut readings = Readings::new(text.as_bytes(), rows(plain()));
    let found: Vec<_> = readings.by_ref().collect();
    let (good, bad) = found.iter().partition::<Vec<_>, _>(|r| r.is_ok());
    assert_eq!(
        (good.len(), bad.len() as u64, readings.further()),
        (1, MOST_FAULTS, 150)
    );
}

#[test]
fn layouts_that_cannot_be_are_refused() {
    let sensor = Column {
        at: 1,
        holds: Holds::Sensor { unit: CELSIUS },
    };
    let elapsed = Time::Elapsed {
        at: 0,
        unit: Tick::Seconds,
    };
    let zone = Time::Stamp {
        at: 0,
        order: DateOrder::YearFirst,
        zone: Some("Nowhere/At all".to_owned()),
    };
    for (layout, what) in [
        (
            Layout {
                columns: Vec::new(),
                ..plain()
            },
            "no column holds a reading",
        ),
        (
            Layout {
                columns: vec![sensor.clone(), sensor.clone()],
                ..plain()
            },
            "holds the same",
        ),
        (
            Layout {
                columns: vec![Column { at: 5000, ..sensor }],
                ..plain()
            },
            "beyond the 1000th",
        ),
        (
            Layout {
                time: elapsed,
                ..plain()
            },
            "not said when",
        ),
        (
            Layout {
                time: zone,
                ..plain()
            },
            "no time zone",
        ),
    ] {
        let faults = Rows::new(layout, &TimeZone::UTC, None, "kiln.csv", straight).unwrap_err();
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert!(faults[0].what.contains(what), "{}", faults[0]);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_guessed_and_read(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let found = Layout::guess(&bytes, &TimeZone::UTC, straight);
        if let Ok(rows) = Rows::new(found.layout, &TimeZone::UTC, None, "any", straight) {
            let _n = Readings::new(&bytes[..], rows).count();
        }
        let _n = Readings::new(&bytes[..], rows(plain())).count();
    }

    #[test]
    fn any_table_is_guessed_and_read(text in "[a-zA-Z°%,;|\t\n\"0-9:./ +-]{0,300}") {
        let found = Layout::guess(text.as_bytes(), &TimeZone::UTC, straight);
        for row in found.rows.iter().flatten() {
            prop_assert!(row.duty.is_none_or(f64::is_finite));
        }
    }
}
