//! What wears out in a kiln, what was done about it, and what was lost of its furniture.
//!
//! Figures are those of the handbook's table of upkeep; docs/sources.md names where each comes from.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::Span;
use crate::cone::Cone;

/// What an entry is about. All but readings set their counter back to nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wearing {
    /// Resistance of the elements of one band, read cold and isolated.
    Resistance,
    /// New elements.
    Elements,
    /// New relays.
    Relays,
    /// A new sensor.
    Sensor,
    /// Shelves scraped and washed anew.
    Shelves,
}

impl Wearing {
    /// All, in the order of forms.
    pub const ALL: [Self; 5] = [
        Self::Resistance,
        Self::Elements,
        Self::Relays,
        Self::Sensor,
        Self::Shelves,
    ];
    /// Those that have a counter.
    pub const PARTS: [Self; 4] = [Self::Elements, Self::Relays, Self::Sensor, Self::Shelves];

    /// Key in forms and lists.
    pub fn key(self) -> &'static str {
        match self {
            Self::Resistance => "resistance",
            Self::Elements => "elements",
            Self::Relays => "relays",
            Self::Sensor => "sensor",
            Self::Shelves => "shelves",
        }
    }
    /// That of a key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|w| w.key() == key)
    }
    /// What was done, in words.
    pub fn done(self) -> &'static str {
        match self {
            Self::Resistance => "resistance read",
            Self::Elements => "elements replaced",
            Self::Relays => "relays replaced",
            Self::Sensor => "sensor replaced",
            Self::Shelves => "shelves washed",
        }
    }
    /// The part, as a counter names it.
    pub fn part(self) -> &'static str {
        match self {
            Self::Resistance | Self::Elements => "elements",
            Self::Relays => "relays",
            Self::Sensor => "sensor",
            Self::Shelves => "shelf wash",
        }
    }
}

/// One entry of a kiln's upkeep.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Upkeep {
    /// Id.
    pub id: String,
    /// Id of the kiln.
    pub kiln: String,
    /// What.
    pub what: Wearing,
    /// Band that was read, from 1 at the floor.
    #[serde(default)]
    pub band: Option<u8>,
    /// What was read, ohms.
    #[serde(default)]
    pub value: Option<f64>,
    /// From when on it counts.
    pub at: Timestamp,
    /// Who wrote it down.
    pub who: String,
    /// In words.
    #[serde(default)]
    pub words: String,
}

/// Furniture that is no longer there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Loss {
    /// Id.
    pub id: String,
    /// Kind of furniture: shelf, post or support.
    pub kind: String,
    /// Id of its stock.
    pub thing: String,
    /// Its name then.
    pub name: String,
    /// How many went.
    #[serde(default)]
    pub gone: u16,
    /// How many were left.
    pub left: u16,
    /// Why: one of [`WHYS`].
    pub why: String,
    /// In words.
    #[serde(default)]
    pub words: String,
    /// Who wrote it down.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

/// Why furniture goes.
pub const WHYS: [&str; 3] = ["broken", "lost", "worn"];

/// Look closer when a band's resistance is up by this share: power is then down by 4.8 %. Proposed here.
pub const WARN: f64 = 1.05;
/// Replace the elements at this (S73).
pub const REPLACE: f64 = 1.10;
/// Firings at cone 04 to 06 that a sensor of 8-gauge base metal lasts (S74).
pub const SENSOR_LIFE: f64 = 150.0;
/// Firings between two washes of the shelves: from and to. Common practice, no source.
pub const WASH: (u32, u32) = (10, 20);

/// How many firings at cone 04 one at this cone is for a sensor. 150 firings at 04 to 06 or 50 at cone 6 (S74) make
/// a cone 6 three; between and above, it is led on along the ladder in a straight line, which is proposed here.
pub fn sensor_weight(cone: Cone) -> f64 {
    // 04 stands at −3 and 6 at 6.
    (1.0 + 2.0 * (cone.position() + 3.0) / 9.0).max(1.0)
}

/// A firing as counters want it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fired {
    /// When it was started.
    pub at: Timestamp,
    /// Its cone.
    pub cone: Cone,
    /// Time above 1100 °C, when it is known.
    pub hot: Option<Span>,
}

/// What a part has been through.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Count {
    /// Firings.
    pub firings: u32,
    /// Firings weighed by cone, see [`sensor_weight`].
    pub weighed: f64,
    /// Time above 1100 °C of those firings of which it is known.
    pub hot: Span,
    /// So many those are.
    pub hot_known: u32,
}

/// Counts the firings that were started at `since` or later.
pub fn count(fired: &[Fired], since: Option<Timestamp>) -> Count {
    let mut all = Count::default();
    for f in fired.iter().filter(|f| since.is_none_or(|s| f.at >= s)) {
        all.firings += 1;
        all.weighed += sensor_weight(f.cone);
        if let Some(hot) = f.hot {
            all.hot += hot;
            all.hot_known += 1;
        }
    }
    all
}

/// When a part was replaced last, if it ever was.
pub fn last(entries: &[Upkeep], part: Wearing) -> Option<&Upkeep> {
    let of = entries.iter().filter(|e| e.what == part);
    of.max_by_key(|e| e.at)
}

/// The elements of one band over time.
#[derive(Debug, Clone, PartialEq)]
pub struct BandWear {
    /// Band, from 1 at the floor.
    pub band: u8,
    /// First reading of these elements, ohms.
    pub first: f64,
    /// When.
    pub first_at: Timestamp,
    /// Last reading, ohms.
    pub last: f64,
    /// When.
    pub last_at: Timestamp,
}

impl BandWear {
    /// Last reading over the first.
    pub fn ratio(&self) -> f64 {
        self.last / self.first
    }
    /// What that means.
    pub fn worn(&self) -> Worn {
        // A hundredth of a per cent is below any meter.
        match self.ratio() + 1e-4 {
            r if r >= REPLACE => Worn::Replace,
            r if r >= WARN => Worn::Warn,
            _ => Worn::Fine,
        }
    }
}

/// How far something is worn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Worn {
    /// Nothing to do.
    Fine,
    /// Look closer, have spares.
    Warn,
    /// Replace it.
    Replace,
}

/// Readings of each band since its elements were replaced; like is compared with like, each band with itself.
pub fn bands(entries: &[Upkeep]) -> Vec<BandWear> {
    let since = last(entries, Wearing::Elements).map(|e| e.at);
    let mut read: Vec<(u8, f64, Timestamp)> = entries
        .iter()
        .filter(|e| e.what == Wearing::Resistance && since.is_none_or(|s| e.at >= s))
        .filter_map(|e| Some((e.band?, e.value.filter(|v| *v > 0.0)?, e.at)))
        .collect();
    read.sort_by_key(|r| (r.0, r.2));
    let mut out: Vec<BandWear> = Vec::new();
    for (band, value, at) in read {
        match out.last_mut().filter(|b| b.band == band) {
            Some(b) => (b.last, b.last_at) = (value, at),
            None => out.push(BandWear {
                band,
                first: value,
                first_at: at,
                last: value,
                last_at: at,
            }),
        }
    }
    out
}

/// Ageing of the kiln's elements that the readings imply: the mean of its bands, to a hundredth. Nothing while no
/// band was read twice, or when the mean is beyond what a kiln may have.
pub fn ageing(bands: &[BandWear]) -> Option<f64> {
    let twice: Vec<f64> = bands
        .iter()
        .filter(|b| b.last_at > b.first_at)
        .map(BandWear::ratio)
        .collect();
    if twice.is_empty() {
        return None;
    }
    let mean = twice.iter().sum::<f64>() / twice.len() as f64;
    let mean = (mean * 100.0).round() / 100.0;
    (0.8..=2.0).contains(&mean).then_some(mean)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(day: i64) -> Timestamp {
        Timestamp::from_second(1_700_000_000 + day * 86_400).unwrap()
    }

    fn entry(day: i64, what: Wearing, band: Option<u8>, value: Option<f64>) -> Upkeep {
        Upkeep {
            id: day.to_string(),
            kiln: "k".into(),
            what,
            band,
            value,
            at: at(day),
            who: "p".into(),
            words: String::new(),
        }
    }

    fn cone(name: &str) -> Cone {
        Cone::parse(name).unwrap()
    }

    #[test]
    fn a_cone_6_counts_three_of_an_04() {
        assert!((sensor_weight(cone("6")) - 3.0).abs() < 1e-12);
        for low in ["04", "05", "06", "022"] {
            assert!((sensor_weight(cone(low)) - 1.0).abs() < 1e-12, "{low}");
        }
        let mut before = 0.0;
        for c in Cone::all() {
            assert!(sensor_weight(c) >= before, "{c}");
            before = sensor_weight(c);
        }
        // A sensor that saw 50 firings at cone 6 is as worn as one that saw 150 at 04.
        assert!((50.0 * sensor_weight(cone("6")) - SENSOR_LIFE).abs() < 1e-9);
    }

    #[test]
    fn a_new_part_begins_to_count_anew() {
        let fired: Vec<Fired> = (0..10)
            .map(|d| Fired {
                at: at(d),
                cone: cone(if d % 2 == 0 { "04" } else { "6" }),
                hot: (d % 2 == 1).then(|| Span::h(2.0)),
            })
            .collect();
        let all = count(&fired, None);
        assert_eq!((all.firings, all.hot_known), (10, 5));
        assert!((all.weighed - 20.0).abs() < 1e-9);
        assert!((all.hot.to_h() - 10.0).abs() < 1e-9);
        let since = count(&fired, Some(at(8)));
        assert_eq!(since.firings, 2, "the firing of that moment counts");
        assert_eq!(count(&[], None), Count::default());
    }

    #[test]
    fn bands_are_held_against_their_own_first_reading() {
        let r = |day, band, ohm| entry(day, Wearing::Resistance, Some(band), Some(ohm));
        let mut all = vec![r(0, 1, 9.0), r(0, 2, 20.0), r(90, 1, 20.0)];
        all.push(entry(100, Wearing::Elements, None, None));
        // Written down out of order.
        all.extend([
            r(300, 2, 20.8),
            r(101, 1, 10.0),
            r(101, 2, 20.0),
            r(300, 1, 11.0),
        ]);
        let read = bands(&all);
        assert_eq!(read.len(), 2);
        assert!((read[0].ratio() - 1.1).abs() < 1e-12 && read[0].worn() == Worn::Replace);
        assert!((read[1].ratio() - 1.04).abs() < 1e-12 && read[1].worn() == Worn::Fine);
        assert_eq!(ageing(&read), Some(1.07));
        assert_eq!(ageing(&bands(&all[..2])), None, "read once");
        assert_eq!(ageing(&[]), None);
        let warn = bands(&[r(0, 1, 10.0), r(9, 1, 10.5)]);
        assert_eq!(warn[0].worn(), Worn::Warn);
    }
}
