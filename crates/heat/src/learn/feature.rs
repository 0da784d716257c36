//! What of a log is held against the model: how long it took from one temperature to the next and what that drew, how
//! it cooled, how witness cones bent.

use glost_model::book::fired::ConeRead;
use glost_model::{Energy, Span};

use super::curve::{Curve, Point};
use crate::Clock;

/// Temperatures at which both are looked at, °C.
const UP_C: [f64; 12] = [
    150.0, 300.0, 450.0, 600.0, 750.0, 900.0, 1000.0, 1080.0, 1140.0, 1190.0, 1230.0, 1260.0,
];
const DOWN_C: [f64; 7] = [1050.0, 900.0, 750.0, 600.0, 450.0, 330.0, 230.0];
/// The peak is where it is within so much of its top, K.
pub(super) const PEAK_K: f64 = 8.0;

/// How far the model may be off, as deviations; proposed, from its misses on kilns unlike it.
const TIME_SHARE: f64 = 0.05;
const TIME_S: f64 = 120.0;
const DRAWN_SHARE: f64 = 0.05;
const DRAWN_J: f64 = 0.2 * 3.6e6;
const ASKED_SHARE: f64 = 0.07;
const ASKED_S: f64 = 240.0;
const FALL_SHARE: f64 = 0.08;
const FALL_S: f64 = 300.0;
/// Of a total that somebody read from the meter.
const TOTAL_SHARE: f64 = 0.04;
/// Of a cone: how it is made, where on its tier it stands, and what the model has wrong between tiers, in cones.
const CONE: f64 = 0.2;
/// Hours on the clock face.
const READ_H: f64 = 0.35;

/// What is compared.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    /// Time from one mark to the next.
    Time(usize),
    /// Energy between them.
    Drawn(usize),
    /// Share of full power between them.
    Asked(usize),
    /// Time from one temperature to the next on the way down.
    Fall(usize),
    /// Energy from start to the end of the peak.
    Total,
    /// A cone on a tier: where it says that the tier is, and whether that is no less, no more, or neither.
    Cone(String, Bound),
}

/// What a cone says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bound {
    /// It is bent: the tier is there.
    At,
    /// It is flat: the tier is no less hot.
    Least,
    /// It stands: the tier is no hotter.
    Most,
}

/// One of them.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Feature {
    pub kind: Kind,
    /// What was seen: ln of s, J or share; or a place on the ladder.
    pub seen: f64,
    pub deviation: f64,
}

/// Marks of a log, which the forecast is asked for as well.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Marks {
    pub up_c: Vec<f64>,
    pub down_c: Vec<f64>,
    /// The peak was reached, so that what follows can be compared.
    pub peaked: bool,
    pub from_cold: bool,
}

impl Marks {
    pub fn of(log: &Curve, target_c: f64) -> Self {
        let top = log.top_c();
        let mut up_c: Vec<f64> = UP_C
            .into_iter()
            .filter(|c| *c < top - PEAK_K - 15.0)
            .collect();
        up_c.push(top - PEAK_K);
        Self {
            up_c,
            down_c: DOWN_C.into_iter().filter(|c| *c < top - 60.0).collect(),
            peaked: top > target_c - 12.0,
            from_cold: log.from_cold(),
        }
    }

    /// Passing points of a curve: the start, every mark, the end of the peak.
    fn passed(&self, curve: &Curve) -> Vec<Option<Point>> {
        let first = curve.first().filter(|_| self.from_cold);
        let last = self.up_c.last().filter(|_| self.peaked);
        std::iter::once(first)
            .chain(self.up_c.iter().map(|c| curve.up(*c)))
            .chain([last.and_then(|c| curve.down(*c))])
            .collect()
    }

    /// The end of the peak.
    pub fn peak_end(&self, curve: &Curve) -> Option<Point> {
        let last = self.up_c.last().filter(|_| self.peaked)?;
        curve.down(*last)
    }
}

/// Everything of a log that can be compared.
pub(super) fn features(
    log: &Curve,
    marks: &Marks,
    cones: &[ConeRead],
    energy: Option<Energy>,
) -> Vec<Feature> {
    let mut all = Vec::new();
    let passed = marks.passed(log);
    let ln = |value: f64, share: f64, least: f64, kind: Kind| {
        (value.is_finite() && value > least / 2.0).then(|| Feature {
            kind,
            seen: value.ln(),
            deviation: share.hypot(least / value),
        })
    };
    let count = passed.len();
    for (i, pair) in passed.windows(2).enumerate() {
        let [Some(a), Some(b)] = pair else { continue };
        if !log.clean(a.time_s, b.time_s) {
            continue;
        }
        let took = b.time_s - a.time_s;
        // From cold to the first mark hangs on plugs, water and the room; the peak itself on what somebody did.
        if i > 0 && i + 2 < count {
            all.extend(ln(took, TIME_SHARE, TIME_S, Kind::Time(i)));
        }
        if let (Some(x), Some(y)) = (a.drawn_j, b.drawn_j) {
            all.extend(ln(y - x, DRAWN_SHARE, DRAWN_J, Kind::Drawn(i)));
        }
        if let (Some(x), Some(y)) = (a.asked_s, b.asked_s) {
            let asked = y - x;
            if let Some(f) = ln(asked, ASKED_SHARE, ASKED_S, Kind::Asked(i)) {
                // As a share of the time that it took there.
                let seen = f.seen - took.ln();
                all.push(Feature { seen, ..f });
            }
        }
    }
    for (i, pair) in marks.down_c.windows(2).enumerate() {
        let (Some(a), Some(b)) = (log.down(pair[0]), log.down(pair[1])) else {
            continue;
        };
        if log.clean(a.time_s, b.time_s) {
            all.extend(ln(b.time_s - a.time_s, FALL_SHARE, FALL_S, Kind::Fall(i)));
        }
    }
    let metered = all.iter().any(|f| matches!(f.kind, Kind::Drawn(_)));
    if let Some(total) = energy.filter(|_| !metered && marks.peaked && marks.from_cold) {
        all.extend(ln(total.to_j(), TOTAL_SHARE, DRAWN_J, Kind::Total));
    }
    if marks.peaked {
        all.extend(cones.iter().filter_map(cone));
    }
    all
}

/// A cone as it was read. Flat and upright ones only bound the tier.
fn cone(read: &ConeRead) -> Option<Feature> {
    let past = read.clock.is_finite().then_some(read.clock % 12.0)?;
    if !(0.0..=6.5).contains(&past) {
        return None;
    }
    let place = |h: f64| Clock::read(h)?.place(read.cone);
    let seen = place(past)?;
    let bound = if past >= 5.75 {
        Bound::Least
    } else if past <= 0.3 {
        Bound::Most
    } else {
        Bound::At
    };
    let by_eye = (place(past + READ_H)? - place(past - READ_H)?) / 2.0;
    Some(Feature {
        kind: Kind::Cone(read.tier.clone(), bound),
        seen,
        deviation: CONE.hypot(by_eye),
    })
}

/// Zones of a forecast by the names of their tiers, with their place on the ladder.
pub(super) type Zones = Vec<(String, f64)>;

/// The zone that a tier is in.
pub(super) fn zone_of<'z>(zones: &'z Zones, tier: &str) -> Option<&'z (String, f64)> {
    zones
        .iter()
        .find(|(names, _)| names.split(',').any(|n| n.trim() == tier.trim()))
}

/// How far the model is from what was seen, in deviations: positive when more was seen. Nothing for a feature that the
/// model cannot tell.
pub(super) fn misses(
    features: &[Feature],
    marks: &Marks,
    model: &Curve,
    zones: &Zones,
) -> Vec<Option<f64>> {
    let mut passed = marks.passed(model);
    beyond(marks, model, &mut passed);
    let pair = |i: usize| Some((*passed.get(i)?.as_ref()?, *passed.get(i + 1)?.as_ref()?));
    let ln = |v: f64| v.max(1.0).ln();
    features
        .iter()
        .map(|f| {
            let told = match &f.kind {
                Kind::Time(i) => pair(*i).map(|(a, b)| ln(b.time_s - a.time_s)),
                Kind::Drawn(i) => pair(*i).and_then(|(a, b)| Some(ln(b.drawn_j? - a.drawn_j?))),
                Kind::Asked(i) => pair(*i)
                    .and_then(|(a, b)| Some(ln(b.asked_s? - a.asked_s?) - ln(b.time_s - a.time_s))),
                Kind::Fall(i) => fall(marks, model, *i).map(ln),
                Kind::Total => model.last().and_then(|p| Some(ln(p.drawn_j?))),
                Kind::Cone(tier, bound) => {
                    let place = zone_of(zones, tier)?.1;
                    let miss = f.seen - place;
                    return Some(
                        match bound {
                            Bound::At => miss,
                            Bound::Least => miss.max(0.0),
                            Bound::Most => miss.min(0.0),
                        } / f.deviation,
                    );
                }
            }?;
            Some((f.seen - told) / f.deviation)
        })
        .collect()
}

/// A model that stalls below a mark comes there late: so late that a fit is led back.
fn beyond(marks: &Marks, model: &Curve, passed: &mut [Option<Point>]) {
    const S_PER_K: f64 = 600.0;
    let hottest = model
        .points
        .iter()
        .max_by(|a, b| a.sensor_c.total_cmp(&b.sensor_c));
    let Some(hottest) = hottest else { return };
    for (p, level) in passed.iter_mut().skip(1).zip(&marks.up_c) {
        let short = level - hottest.sensor_c;
        if p.is_none() && short > 0.0 {
            let late = short * S_PER_K;
            *p = Some(Point {
                time_s: hottest.time_s + late,
                sensor_c: *level,
                drawn_j: hottest.drawn_j,
                asked_s: hottest.asked_s.map(|a| a + late),
            });
        }
    }
}

fn fall(marks: &Marks, model: &Curve, i: usize) -> Option<f64> {
    let (from, to) = (marks.down_c.get(i)?, marks.down_c.get(i + 1)?);
    Some(model.down(*to)?.time_s - model.down(*from)?.time_s)
}

/// The worst kinds of misses, in words.
pub(super) fn worst(features: &[Feature], misses: &[Option<f64>], marks: &Marks) -> String {
    let all = features
        .iter()
        .zip(misses)
        .filter_map(|(f, m)| Some((f, (*m)?)));
    let Some((f, miss)) = all.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())) else {
        return "nothing can be compared".into();
    };
    let times = (miss * f.deviation).exp();
    let from = |i: usize| match i.checked_sub(1).and_then(|k| marks.up_c.get(k)) {
        Some(c) => format!("from {c:.0} °C on"),
        None => "at the start".into(),
    };
    match &f.kind {
        Kind::Time(i) => format!(
            "{} it took {times:.1} times as long as the model can explain",
            from(*i)
        ),
        Kind::Drawn(i) => format!(
            "{} it drew {times:.1} times the energy that the model can explain",
            from(*i)
        ),
        Kind::Asked(i) => format!(
            "{} the controller asked for {times:.1} times the power that the model can explain",
            from(*i)
        ),
        Kind::Fall(_) => format!("it cooled {times:.1} times as slowly as the model can explain"),
        Kind::Total => format!("it drew {times:.1} times the energy that the model can explain"),
        Kind::Cone(tier, _) => format!(
            "the cone on tier {tier} is {:.1} cones from what the model can explain",
            (miss * f.deviation).abs()
        ),
    }
}

/// How much longer or shorter than planned the peak was held, when that is clearly so.
pub(super) fn held_more(log: &Curve, planned: &Curve) -> Option<Span> {
    const CLEARLY_S: f64 = 360.0;
    let more = log.dwells(PEAK_K)? - planned.dwells(PEAK_K)?;
    (more.to_s().abs() > CLEARLY_S).then_some(more)
}
