//! What a kiln is due for, from what was written down of it and what it fired.

use jiff::{SignedDuration, Timestamp};

use super::upkeep::{
    Fired, REPLACE, SENSOR_LIFE, Upkeep, WARN, WASH, Wearing, Worn, bands, count, last,
};

/// Something that a kiln is due for.
#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    /// What of it.
    pub part: Wearing,
    /// How urgent.
    pub worn: Worn,
    /// What to do and why, in words.
    pub words: String,
    /// Where the figure comes from.
    pub source: &'static str,
}

/// Years from one reading of the resistances to the next, from and to, where the kiln goes to cone 6 or hotter (S73).
pub const READ_HOT: (i64, i64) = (1, 2);
/// The same where it stays cooler, to about cone 04 (S73).
pub const READ_COOL: (i64, i64) = (2, 3);
/// Have a sensor at hand from this share of its life on. Proposed here.
pub const SENSOR_WARN: f64 = 0.8;

const YEAR_HOURS: i64 = 8766;

/// Everything that is due, the most urgent first.
pub fn due(entries: &[Upkeep], fired: &[Fired], now: Timestamp) -> Vec<Due> {
    let mut all = Vec::new();
    worn_bands(entries, &mut all);
    reading(entries, fired, now, &mut all);
    relays(entries, &mut all);
    sensor(entries, fired, &mut all);
    shelves(entries, fired, &mut all);
    all.sort_by_key(|d| std::cmp::Reverse(d.worn));
    all
}

fn percent(over: f64) -> String {
    format!("{:+.1} %", (over - 1.0) * 100.0)
}

fn worn_bands(entries: &[Upkeep], all: &mut Vec<Due>) {
    let read = bands(entries);
    // Elements are changed as a set: the worst band speaks for all.
    let worst = read.iter().max_by(|a, b| a.ratio().total_cmp(&b.ratio()));
    let Some(b) = worst.filter(|b| b.worn() != Worn::Fine) else {
        return;
    };
    let (found, limit) = (percent(b.ratio()), percent(REPLACE));
    let (words, source) = match b.worn() {
        Worn::Replace => (
            format!(
                "Replace the elements: ring {} reads {found} over its own first reading, and {limit} is the limit",
                b.band
            ),
            "neilestrickgallery.blogspot.com 2011-03; changing them as a set is common practice, no source",
        ),
        _ => (
            format!(
                "Have a set of elements at hand: ring {} reads {found} over its own first reading; from {} on it is time, at {limit} they are replaced",
                b.band,
                percent(WARN)
            ),
            "proposed here",
        ),
    };
    all.push(Due {
        part: Wearing::Elements,
        worn: b.worn(),
        words,
        source,
    });
}

fn reading(entries: &[Upkeep], fired: &[Fired], now: Timestamp, all: &mut Vec<Due>) {
    if fired.is_empty() {
        return;
    }
    let read = last(entries, Wearing::Resistance).map(|e| e.at);
    let new = last(entries, Wearing::Elements).map(|e| e.at);
    let Some(read) = read.filter(|r| new.is_none_or(|n| *r >= n)) else {
        all.push(Due {
            part: Wearing::Resistance,
            worn: Worn::Warn,
            words: "Have the resistance of each ring read: later readings are held against the first one of these elements".to_owned(),
            source: "neilestrickgallery.blogspot.com 2011-03",
        });
        return;
    };
    let hot = fired
        .iter()
        .any(|f| f.at >= read && f.cone.position() >= 6.0);
    let (from, to) = if hot { READ_HOT } else { READ_COOL };
    let years = |y: i64| SignedDuration::from_hours(y * YEAR_HOURS);
    let since = now.duration_since(read);
    if since < years(from) {
        return;
    }
    all.push(Due {
        part: Wearing::Resistance,
        worn: if since < years(to) { Worn::Warn } else { Worn::Replace },
        words: format!(
            "Have the resistances read again: the last reading is {:.1} years old, and {from} to {to} years are usual where it goes {}",
            since.as_hours() as f64 / YEAR_HOURS as f64,
            if hot { "to cone 6 or hotter" } else { "no hotter than cone 5" }
        ),
        source: "neilestrickgallery.blogspot.com 2011-03",
    });
}

fn relays(entries: &[Upkeep], all: &mut Vec<Due>) {
    let (relays, elements) = (
        last(entries, Wearing::Relays).map(|e| e.at),
        last(entries, Wearing::Elements).map(|e| e.at),
    );
    if let Some(elements) = elements
        && relays.is_none_or(|r| r < elements)
    {
        all.push(Due {
            part: Wearing::Relays,
            worn: Worn::Warn,
            words: "Have the relays replaced, if they click: none were since the elements are new, and they wear faster than elements".to_owned(),
            source: "greenbarn.com/picture/3125; swapping all of them with the elements is common practice, no source",
        });
    }
}

fn sensor(entries: &[Upkeep], fired: &[Fired], all: &mut Vec<Due>) {
    let since = last(entries, Wearing::Sensor).map(|e| e.at);
    let weighed = count(fired, since).weighed;
    let worn = match weighed / SENSOR_LIFE {
        r if r >= 1.0 => Worn::Replace,
        r if r >= SENSOR_WARN => Worn::Warn,
        _ => return,
    };
    let words = format!(
        "{}: it saw as much as {weighed:.0} firings to cone 04, and one of 8-gauge base metal lasts about {SENSOR_LIFE:.0}",
        if worn == Worn::Replace {
            "Replace the sensor, or know why yours lasts longer"
        } else {
            "Have a sensor at hand"
        }
    );
    all.push(Due {
        part: Wearing::Sensor,
        worn,
        words,
        source: "greenbarn.com/picture/3125; the weight of cones between 04 and 6 is proposed here",
    });
}

fn shelves(entries: &[Upkeep], fired: &[Fired], all: &mut Vec<Due>) {
    let since = last(entries, Wearing::Shelves).map(|e| e.at);
    let firings = count(fired, since).firings;
    if firings < WASH.0 {
        return;
    }
    all.push(Due {
        part: Wearing::Shelves,
        worn: if firings < WASH.1 {
            Worn::Warn
        } else {
            Worn::Replace
        },
        words: format!(
            "Wash the shelves anew: {firings} firings since the last time, and {} to {} are usual",
            WASH.0, WASH.1
        ),
        source: "common practice, no source",
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cone::Cone;

    fn at(day: i64) -> Timestamp {
        Timestamp::from_second(1_700_000_000 + day * 86_400).unwrap()
    }

    fn entry(day: i64, what: Wearing, value: Option<f64>) -> Upkeep {
        Upkeep {
            id: day.to_string(),
            kiln: "k".into(),
            what,
            band: value.map(|_| 1),
            value,
            at: at(day),
            who: "p".into(),
            words: String::new(),
        }
    }

    fn fired(days: std::ops::Range<i64>, cone: &str) -> Vec<Fired> {
        let cone = Cone::parse(cone).unwrap();
        days.map(|d| Fired {
            at: at(d),
            cone,
            hot: None,
        })
        .collect()
    }

    fn parts(all: &[Due]) -> Vec<(Wearing, Worn)> {
        all.iter().map(|d| (d.part, d.worn)).collect()
    }

    #[test]
    fn a_new_kiln_is_due_for_nothing() {
        assert_eq!(due(&[], &[], at(0)), []);
    }

    #[test]
    fn a_kiln_that_was_never_read_is_to_be_read_once() {
        let one = due(&[], &fired(0..1, "6"), at(1));
        assert_eq!(parts(&one), [(Wearing::Resistance, Worn::Warn)]);
    }

    #[test]
    fn each_part_comes_due_at_its_own_figure() {
        let wash = |n: i64| {
            let all = due(
                &[entry(0, Wearing::Resistance, Some(10.0))],
                &fired(0..n, "04"),
                at(n),
            );
            parts(&all)
        };
        assert_eq!(wash(9), []);
        assert_eq!(wash(10), [(Wearing::Shelves, Worn::Warn)]);
        assert_eq!(wash(20), [(Wearing::Shelves, Worn::Replace)]);
        // 50 firings to cone 6 wear a sensor out, 40 make it worth having another (S74).
        let sensor = |n: i64| {
            let entries = [
                entry(0, Wearing::Resistance, Some(10.0)),
                entry(n, Wearing::Shelves, None),
            ];
            parts(&due(&entries, &fired(0..n, "6"), at(n)))
        };
        assert_eq!(sensor(39), []);
        assert_eq!(sensor(40), [(Wearing::Sensor, Worn::Warn)]);
        assert_eq!(sensor(50), [(Wearing::Sensor, Worn::Replace)]);
    }

    #[test]
    fn the_worst_ring_speaks_for_the_set_and_comes_first() {
        let mut entries = vec![
            entry(0, Wearing::Resistance, Some(10.0)),
            entry(9, Wearing::Resistance, Some(11.0)),
        ];
        let all = due(&entries, &fired(0..12, "04"), at(12));
        assert_eq!(
            parts(&all),
            [
                (Wearing::Elements, Worn::Replace),
                (Wearing::Shelves, Worn::Warn)
            ]
        );
        assert!(all[0].words.contains("+10.0 %"), "{}", all[0].words);
        // New elements: the old readings say nothing any more, and the relays are old.
        entries.push(entry(10, Wearing::Elements, None));
        let all = due(&entries, &fired(0..2, "04"), at(12));
        assert_eq!(
            parts(&all),
            [
                (Wearing::Resistance, Worn::Warn),
                (Wearing::Relays, Worn::Warn)
            ]
        );
    }

    #[test]
    fn readings_grow_old_sooner_in_a_hot_kiln() {
        let read = [entry(0, Wearing::Resistance, Some(10.0))];
        let after = |cone, day| parts(&due(&read, &fired(1..2, cone), at(day)));
        assert_eq!(after("6", 360), []);
        assert_eq!(after("6", 370), [(Wearing::Resistance, Worn::Warn)]);
        assert_eq!(after("6", 740), [(Wearing::Resistance, Worn::Replace)]);
        assert_eq!(after("04", 370), []);
        assert_eq!(after("04", 740), [(Wearing::Resistance, Worn::Warn)]);
    }
}
