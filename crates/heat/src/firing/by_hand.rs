//! Firings as studios write them down, slow, medium and fast, to measure planned ones by: a start set of the
//! trade, between the bisque and glaze notes of a university and the tables of studios; proposed, no one source.

use glost_model::firing::Segment;
use glost_model::load::FiringKind;
use glost_model::{Rate, Span, Temperature};

use super::whole_c;

/// A table that a person would take.
#[derive(Debug, Clone, PartialEq)]
pub struct ByHand {
    /// Which.
    pub name: &'static str,
    /// Thickest wall that it is meant for, mm.
    pub for_mm: f64,
    /// Its segments; the last ends at the peak.
    pub segments: Vec<Segment>,
}

/// °C/h, °C (nothing: the peak), minutes.
type Row = (f64, Option<f64>, f64);

const BISQUE: [(&str, f64, &[Row]); 3] = [
    (
        "slow",
        25.0,
        &[
            (30.0, Some(90.0), 360.0),
            (50.0, Some(220.0), 0.0),
            (60.0, Some(650.0), 30.0),
            (80.0, Some(950.0), 0.0),
            (60.0, None, 0.0),
        ],
    ),
    (
        "medium",
        13.0,
        &[
            (50.0, Some(90.0), 120.0),
            (80.0, Some(220.0), 0.0),
            (100.0, Some(650.0), 18.0),
            (120.0, Some(950.0), 0.0),
            (60.0, None, 0.0),
        ],
    ),
    (
        "fast",
        6.0,
        &[
            (90.0, Some(100.0), 30.0),
            (110.0, Some(600.0), 0.0),
            (167.0, Some(950.0), 0.0),
            (80.0, None, 0.0),
        ],
    ),
];

const GLAZE_MID: [(&str, f64, &[Row]); 3] = [
    (
        "slow",
        25.0,
        &[
            (80.0, Some(120.0), 30.0),
            (100.0, Some(600.0), 0.0),
            (120.0, Some(1080.0), 0.0),
            (60.0, None, 15.0),
        ],
    ),
    (
        "medium",
        13.0,
        &[
            (100.0, Some(120.0), 0.0),
            (170.0, Some(1100.0), 0.0),
            (60.0, None, 15.0),
        ],
    ),
    (
        "fast",
        6.0,
        &[
            (150.0, Some(120.0), 0.0),
            (250.0, Some(1120.0), 0.0),
            (90.0, None, 10.0),
        ],
    ),
];

const GLAZE_LOW: [(&str, f64, &[Row]); 3] = [
    (
        "slow",
        25.0,
        &[
            (60.0, Some(120.0), 0.0),
            (100.0, Some(600.0), 0.0),
            (120.0, Some(850.0), 0.0),
            (60.0, None, 0.0),
        ],
    ),
    (
        "medium",
        13.0,
        &[
            (100.0, Some(120.0), 0.0),
            (170.0, Some(900.0), 0.0),
            (60.0, None, 10.0),
        ],
    ),
    (
        "fast",
        6.0,
        &[
            (150.0, Some(120.0), 0.0),
            (250.0, Some(900.0), 0.0),
            (100.0, None, 0.0),
        ],
    ),
];

/// Cones that end below this have the table for low glazes.
const LOW_BELOW: Temperature = Temperature::c(1130.0);

/// The tables for a kind of firing whose cone ends at `end` by the chart, slowest first.
pub fn by_hand(kind: FiringKind, end: Temperature) -> Vec<ByHand> {
    let tables = match kind {
        FiringKind::Bisque => BISQUE,
        FiringKind::Glaze if end < LOW_BELOW => GLAZE_LOW,
        FiringKind::Glaze => GLAZE_MID,
    };
    let of = |(name, for_mm, rows): (&'static str, f64, &[Row])| ByHand {
        name,
        for_mm,
        segments: rows
            .iter()
            .map(|(c_per_h, target, hold)| Segment {
                rate: Some(Rate::c_per_h(*c_per_h)),
                target: target.map_or(whole_c(end), Temperature::c),
                hold: Span::minutes(*hold),
                reason: "From a table.".into(),
            })
            .collect(),
    };
    tables.into_iter().map(of).collect()
}
