//! The published chart of end points.

use std::fmt;

use glost_model::cone::Cone;

const CHART: &str = include_str!("../../data/cones.csv");

/// The two kinds of witness cone. The large one stands in a plaque and is down about 2 °C earlier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Column {
    /// Stands on its own base.
    #[default]
    SelfSupporting,
    /// Stands 51 mm out of a plaque or a pat of clay.
    Large,
}

/// How well a cell of the chart is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Confidence {
    /// Two or more transcriptions that know nothing of each other agree.
    TwoOrMore,
    /// One transcription.
    One,
    /// Recalled, not retrieved: never fitted to, never called published.
    Memory,
}

/// One cell: where a cone is down when heated at a rate.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cell {
    pub(crate) cone: Cone,
    pub(crate) column: Column,
    pub(crate) rate_c_per_h: f64,
    pub(crate) end_c: f64,
    pub(crate) confidence: Confidence,
}

impl Cell {
    pub(crate) fn recalled(&self) -> bool {
        self.confidence == Confidence::Memory
    }
}

pub(crate) fn cells() -> impl Iterator<Item = Cell> {
    CHART.lines().skip(1).filter_map(|line| {
        let f: Vec<&str> = line.split(',').collect();
        let [name, column, rate, end, confidence] = f.as_slice() else {
            return None;
        };
        Some(Cell {
            cone: Cone::parse(name).ok()?,
            column: match *column {
                "self-supporting" => Column::SelfSupporting,
                "large" => Column::Large,
                _ => return None,
            },
            rate_c_per_h: rate.parse().ok()?,
            end_c: end.parse().ok()?,
            confidence: match *confidence {
                "two-or-more" => Confidence::TwoOrMore,
                "one" => Confidence::One,
                "memory" => Confidence::Memory,
                _ => return None,
            },
        })
    })
}

/// Every cell that was retrieved, of both columns.
pub(crate) fn published() -> Vec<Cell> {
    cells().filter(|c| !c.recalled()).collect()
}

impl fmt::Display for Column {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::SelfSupporting => "self-supporting",
            Self::Large => "large",
        })
    }
}

impl fmt::Display for Confidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::TwoOrMore => "two or more",
            Self::One => "one",
            Self::Memory => "memory",
        })
    }
}
