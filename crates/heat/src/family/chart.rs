//! The published chart of end points.

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

/// One cell: where a cone is down when heated at a rate.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    pub(super) cone: Cone,
    pub(super) column: Column,
    pub(super) rate_c_per_h: f64,
    pub(super) end_c: f64,
    /// Recalled, not retrieved: never fitted to.
    pub(super) recalled: bool,
}

pub(super) fn cells() -> impl Iterator<Item = Cell> {
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
            recalled: *confidence == "memory",
        })
    })
}

/// What was retrieved for one cone.
pub(super) fn published(cone: Cone, column: Column) -> Vec<Cell> {
    cells()
        .filter(|c| c.cone == cone && c.column == column && !c.recalled)
        .collect()
}
