//! The readers of everything that comes from a logger, a broker, a controller or a person. They may find any fault; they
//! may not panic, and what they read may not depend on how the bytes were cut into pieces.

use std::io::BufReader;

use glost_feed::clean::{Guard, limit};
use glost_feed::layout::{Couple, Layout};
use glost_feed::modbus::{self, Controller};
use glost_feed::mqtt::{Got, Messages, Topic};
use glost_feed::tail::{Follower, Told};
use glost_feed::{Readings, Rows, read_log, typed};
use glost_model::Temperature;
use glost_model::readings::Sample;
use glost_model::shown::Shown;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::Deserialize;

/// Stands in for the reference functions of thermocouples: 25 °C for each mV.
fn straight(mv: f64, _couple: Couple, cold: Temperature) -> Option<Temperature> {
    (0.0..=50.0)
        .contains(&mv)
        .then(|| Temperature::c(cold.to_c() + mv * 25.0))
}

fn noon() -> Timestamp {
    Timestamp::from_second(1_795_000_000).unwrap_or(Timestamp::UNIX_EPOCH)
}

/// What a sample has to be, whatever it was read from: of numbers. Whether they can be true is the guard's to judge.
fn is_sound(sample: &Sample) {
    let degrees = [sample.sensor, sample.set_point];
    let others = sample.others.iter().map(|(_, t)| *t);
    assert!(
        degrees
            .into_iter()
            .flatten()
            .chain(others)
            .all(|t| t.to_c().is_finite()),
        "a reading that is no number"
    );
    assert!(
        sample.duty.is_none_or(f64::is_finite),
        "a share that is no number"
    );
    assert!(
        sample.meter.is_none_or(|e| e.to_kwh().is_finite()),
        "a meter that shows no number"
    );
}

/// What the guard may let pass.
fn is_believable(sample: &Sample) {
    is_sound(sample);
    assert!(
        sample.duty.is_none_or(|d| (0.0..=1.0).contains(&d)),
        "a share that is none"
    );
    let (coldest, hottest) = (limit::COLDEST.default, limit::HOTTEST.default);
    assert!(
        sample.sensor.is_none_or(|t| coldest <= t && t <= hottest),
        "no kiln is so"
    );
    assert!(
        sample.meter.is_none_or(|e| e.to_kwh() >= 0.0),
        "a meter below nothing"
    );
}

/// A file brought in whole: its layout is worked out, its rows read. The first byte says where the studio is.
pub fn log(bytes: &[u8]) {
    let Some((first, file)) = bytes.split_first() else {
        return;
    };
    // A zone with a change of the clock that repeats an hour and leaves one out.
    let home = match first % 2 {
        0 => TimeZone::UTC,
        _ => TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap_or(TimeZone::UTC),
    };
    let layout = Layout::guess(file, &home, straight).layout;
    read_by(&layout, &home, file);
    if let Ok(text) = std::str::from_utf8(file) {
        if let Ok(log) = read_log(text, "log.csv") {
            for channel in &log.channels {
                assert!(channel.readings.is_sorted_by(|a, b| a.at <= b.at));
                let all = &channel.readings;
                assert!(all.iter().all(|r| r.temperature.to_c().is_finite()));
            }
        }
        for line in text.lines().take(3) {
            if let Ok(sample) = typed(line, Shown::default(), noon()) {
                is_sound(&sample);
            }
        }
    }
}

/// A layout as it is kept for a kiln, in the first line as JSON, and rows that are read by it.
pub fn layout(bytes: &[u8]) {
    let cut = bytes.iter().position(|b| *b == b'\n');
    let (first, file) = bytes.split_at(cut.unwrap_or(bytes.len()));
    if let Ok(layout) = serde_json::from_slice::<Layout>(first) {
        read_by(&layout, &TimeZone::UTC, file.get(1..).unwrap_or_default());
    }
}

fn rows(layout: &Layout, home: &TimeZone) -> Option<Rows> {
    Rows::new(layout.clone(), home, Some(noon()), "log.csv", straight).ok()
}

/// Reads a file whole and as it would be written, and compares.
fn read_by(layout: &Layout, home: &TimeZone, file: &[u8]) {
    let Some(all) = rows(layout, home) else {
        return;
    };
    let mut whole = Vec::new();
    let mut guard = Guard::default();
    for sample in Readings::new(BufReader::new(file), all).flatten() {
        is_sound(&sample);
        is_believable(&guard.hear(sample.clone()).sample);
        whole.push(sample);
    }
    // A file that is followed does not read a last line without an end.
    if !file.ends_with(b"\n") {
        return;
    }
    for size in [1, 7, file.len()] {
        let Some(again) = rows(layout, home) else {
            return;
        };
        let mut told = Vec::new();
        let mut follower = Follower::new(again);
        for piece in file.chunks(size) {
            follower.take(piece, &mut told);
        }
        follower.end(&mut told);
        let followed: Vec<Sample> = told
            .into_iter()
            .filter_map(|t| match t {
                Told::Row(sample) => Some(sample),
                _ => None,
            })
            .collect();
        assert_eq!(followed, whole, "cut into pieces of {size} bytes");
    }
}

/// What a broker or a controller may have sent, and how its answer is to be understood.
#[derive(Deserialize)]
enum Wire {
    Topic(Topic),
    Controller(Controller),
}

/// A topic or a controller in the first line as JSON, and what came from it.
pub fn wire(bytes: &[u8]) {
    let cut = bytes.iter().position(|b| *b == b'\n');
    let (first, sent) = bytes.split_at(cut.unwrap_or(bytes.len()));
    let sent = sent.get(1..).unwrap_or_default();
    match serde_json::from_slice::<Wire>(first) {
        Err(_) => {}
        Ok(Wire::Topic(topic)) => {
            let name = topic.topic.clone();
            let Ok(mut messages) = Messages::new(&[topic], &TimeZone::UTC, straight) else {
                return;
            };
            for kept in [false, true] {
                if let Got::Sample(sample) = messages.read(&name, sent, kept, noon()) {
                    is_sound(&sample);
                }
            }
        }
        Ok(Wire::Controller(controller)) => {
            if controller.check().is_err() {
                return;
            }
            for register in &controller.registers {
                let ask = modbus::Ask::new(1, controller.unit, register);
                if let Ok(length) = modbus::length_after_head(sent) {
                    assert!(length <= 256, "room for {length} bytes of an answer");
                }
                if let Ok(words) = ask.answer(sent) {
                    assert_eq!(words.len(), usize::from(register.kind.words()));
                    let value = register.value(&words);
                    assert!(
                        value.is_none_or(f64::is_finite),
                        "a value that is no number"
                    );
                }
            }
        }
    }
}
