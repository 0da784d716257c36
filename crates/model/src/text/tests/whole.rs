//! What a valid studio gives.

use jiff::civil::{date, time};
use serde_json::Value;

use super::sample::sample;
use crate::piece::{Delicacy, Foot, Inside};
use crate::shape::Outline;
use crate::text::read;
use crate::{Angle, Length};

/// Equal but for the rounding of units.
fn alike(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64().unwrap(), y.as_f64().unwrap());
            (x - y).abs() <= 1e-9 * (1.0 + x.abs())
        }
        (Value::Array(x), Value::Array(y)) => {
            x.len() == y.len() && x.iter().zip(y).all(|(x, y)| alike(x, y))
        }
        (Value::Object(x), Value::Object(y)) => {
            x.len() == y.len() && x.iter().all(|(k, v)| y.get(k).is_some_and(|w| alike(v, w)))
        }
        _ => a == b,
    }
}

#[test]
fn inches_pounds_and_fahrenheit_give_the_same_studio() {
    let metric = read(&sample(false)).unwrap();
    let mut imperial = read(&sample(true)).unwrap();
    assert!(imperial.shown.inches && imperial.shown.pounds && imperial.shown.fahrenheit);
    imperial.shown = metric.shown;
    let [a, b] = [&metric, &imperial].map(|s| serde_json::to_value(s).unwrap());
    assert!(alike(&a, &b), "{a:#}\n{b:#}");
    let mut other = imperial;
    other.pieces[0].height = Length::mm(101.0);
    assert!(!alike(&a, &serde_json::to_value(&other).unwrap()));
}

#[test]
fn defaults_are_those_of_the_handbook() {
    let studio = read(&sample(false)).unwrap();
    let [mug, dish, tile, bird] = &studio.pieces[..] else {
        panic!("four pieces")
    };
    assert_eq!(mug.glazes, ["Mist", "Oat"]);
    assert_eq!(
        mug.foot_outline,
        Outline::Circle {
            diameter: Length::mm(60.0)
        }
    );
    assert_eq!(mug.delicacy, Delicacy::Usual);
    assert_eq!((dish.priority, dish.due, dish.asked_cone), (3, None, None));
    assert_eq!(dish.foot_outline, dish.widest);
    assert_eq!((tile.glazes.len(), tile.glaze_margin), (0, Length::ZERO));
    assert_eq!(tile.asked_cone.unwrap().to_string(), "06");
    assert_eq!((bird.foot, bird.glaze_margin), (Foot::Glazed, Length::ZERO));
    let clay = studio.clay("Buff").unwrap();
    assert!(!clay.plucks && !clay.needs_leave && !clay.slow_burn_out);
    assert_eq!(studio.rule_overrides["gap-ware"], "8 mm");
}

#[test]
fn clock_positions_turn_the_right_way() {
    let at = |clock: &str| {
        let mut texts = sample(false);
        texts.kilns = texts
            .kilns
            .replace("clock = 7.5", &format!("clock = {clock}"));
        read(&texts).unwrap().kilns[0].sensor.angle
    };
    for (clock, degrees) in [
        ("12", 90.0),
        ("3", 0.0),
        ("6", 270.0),
        ("9", 180.0),
        ("1.5", 45.0),
        ("12.5", 75.0),
    ] {
        assert!(
            (at(clock) - Angle::deg(degrees)).abs() < Angle::deg(1e-9),
            "{clock}"
        );
    }
}

#[test]
fn furniture_without_supports_and_a_sheet_without_ware_are_fine() {
    let mut texts = sample(false);
    texts
        .furniture
        .truncate(texts.furniture.find("[[support]]").unwrap());
    texts.pieces.truncate(texts.pieces.find('\n').unwrap() + 1);
    let studio = read(&texts).unwrap();
    assert!(studio.pieces.is_empty() && studio.furniture.supports.is_empty());
}

#[test]
fn a_mark_of_byte_order_and_lines_of_windows_are_read() {
    let mut texts = sample(false);
    for text in [
        &mut texts.studio,
        &mut texts.clays,
        &mut texts.kilns,
        &mut texts.pieces,
    ] {
        *text = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    }
    assert_eq!(read(&texts), read(&sample(false)));
}

/// The sheet with one column more, its cells in the order of the lines.
fn with_inside(cells: [&str; 4]) -> crate::text::Texts {
    let mut texts = sample(false);
    let mut column = ["inside"].into_iter().chain(cells);
    let lines = texts.pieces.lines();
    let longer = lines.map(|l| format!("{l},{}\n", column.next().unwrap()));
    texts.pieces = longer.collect();
    texts
}

#[test]
fn how_a_piece_is_hollow_is_read_and_never_guessed() {
    let read_as = |cells| {
        let studio = read(&with_inside(cells)).unwrap();
        studio.pieces.iter().map(|p| p.inside).collect::<Vec<_>>()
    };
    let all = [
        Some(Inside::Open),
        Some(Inside::Straight),
        Some(Inside::Closed),
        None,
    ];
    assert_eq!(read_as(["open", "straight", "closed", ""]), all);
    let without = read(&sample(false)).unwrap();
    assert!(without.pieces.iter().all(|p| p.inside.is_none()));
    let faults = read(&with_inside(["", "hollow", "", ""])).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!((faults[0].line, &*faults[0].field), (Some(3), "inside"));
    assert!(faults[0].remedy.contains("open, straight, closed"));
}

#[test]
fn hours_are_those_that_are_written_and_office_hours_where_none_are() {
    let mut texts = sample(false);
    let usual = read(&texts).unwrap().hours;
    // Wednesday, Saturday.
    let [wednesday, saturday] = [date(2026, 11, 25), date(2026, 11, 28)];
    assert_eq!(
        usual.shift(wednesday).map(|s| s.from),
        Some(time(9, 0, 0, 0))
    );
    assert_eq!(usual.shift(saturday), None);
    texts.studio += "[hours]\nsaturday = \"10:30 - 14:00\"\nclosed = [\"2026-12-05\"]\nloading_hours = 2.5\ndelayed_start = true\n";
    let own = read(&texts).unwrap().hours;
    assert_eq!(own.shift(wednesday), None);
    assert_eq!(
        own.shift(saturday).map(|s| s.from),
        Some(time(10, 30, 0, 0))
    );
    assert_eq!(own.shift(date(2026, 12, 5)), None);
    assert!((own.loading.to_h() - 2.5).abs() < 1e-12 && own.delayed_start);
    assert_eq!(own.unloading, usual.unloading);
}
