//! The laws of cones beside the published chart and its text.

mod show;
#[cfg(test)]
mod tests;

use glost_model::cone::Cone;
use glost_model::{Rate, Span, TempDiff, Temperature};

use crate::family::{
    Cell, Column, Confidence, Family, USUAL_C_PER_H, cells, family, law_at, published,
};
use crate::heatwork::HeatWork;

/// Everything that is checked of the laws of cones; `{}` prints it.
#[derive(Debug, Clone)]
pub struct ConeReport {
    /// Every cell of the chart.
    pub cells: Vec<CellRow>,
    /// Cells at 15 °C/h, each foretold by a fit that did not see it.
    pub hidden: Vec<HiddenRow>,
    /// Soaks that bring down the next cones.
    pub holds: Vec<HoldRow>,
    /// Whether a cone overtakes another.
    pub crossing: Crossing,
    /// How long cones take to bend.
    pub bends: Vec<BendRow>,
}

/// A cell of the chart.
#[derive(Debug, Clone, Copy)]
pub struct CellRow {
    /// The cone.
    pub cone: Cone,
    /// Its kind.
    pub column: Column,
    /// Rate of the last 100 °C.
    pub rate: Rate,
    /// As the chart has it; recalled and not published where `confidence` is memory.
    pub chart: Temperature,
    /// By the law.
    pub law: Temperature,
    /// How well the cell is known. Memory is never fitted to.
    pub confidence: Confidence,
    /// The standard deviation that the model gives a real cone there.
    pub deviation: TempDiff,
}

impl CellRow {
    /// Law less chart.
    pub fn difference(&self) -> TempDiff {
        self.law - self.chart
    }

    /// Whether the cell was retrieved, so that it may be called published.
    pub fn is_published(&self) -> bool {
        self.confidence != Confidence::Memory
    }
}

/// A cell foretold from all the others.
#[derive(Debug, Clone, Copy)]
pub struct HiddenRow {
    /// The cell, with the law of the fit that did not see it.
    pub cell: CellRow,
}

/// Soaks at the end point of a cone, reached at 60 °C/h. Nothing here is fitted.
#[derive(Debug, Clone, Copy)]
pub struct HoldRow {
    /// The cone that is just down.
    pub from: Cone,
    /// Soak that brings down the next whole cone.
    pub one: Span,
    /// Soak that brings down the one after; `None` next to the top.
    pub two: Option<Span>,
}

/// The least distance between neighbours on the ladder.
#[derive(Debug, Clone, Copy)]
pub struct Crossing {
    /// Lowest rate that was tried.
    pub from: Rate,
    /// Highest.
    pub to: Rate,
    /// How many were tried, evenly in the logarithm.
    pub rates: usize,
    /// How many pairs of neighbouring half cones were tried, both columns.
    pub pairs: usize,
    /// Least by which a half cone is down hotter than the half before; negative if any overtakes.
    pub least: TempDiff,
    /// The lower place of that pair on the ladder, see [`Cone::position`].
    pub at: f64,
    /// Its column.
    pub column: Column,
    /// Its rate.
    pub rate: Rate,
}

/// From first movement to down.
#[derive(Debug, Clone, Copy)]
pub struct BendRow {
    /// The self-supporting cone.
    pub cone: Cone,
    /// The rate of heating.
    pub rate: Rate,
    /// From first movement to down.
    pub whole: Span,
    /// From half bent (3 o'clock) to down.
    pub last_half: Span,
    /// Warming from first movement to down.
    pub warming: TempDiff,
}

/// The chart's text: a soak near the end point of 1 to 2 h brings down the next cone, 4 to 6 h two.
pub const HOLD_ONE: (Span, Span) = (Span::h(1.0), Span::h(2.0));
/// See [`HOLD_ONE`].
pub const HOLD_TWO: (Span, Span) = (Span::h(4.0), Span::h(6.0));

const RATES: usize = 61;

/// Works out the report. It fits the family 17 times, which takes a second or two.
pub fn cones() -> ConeReport {
    let all = published();
    let whole = Family::of(&all);
    ConeReport {
        cells: cells().filter_map(|c| row(&whole, &c)).collect(),
        hidden: hidden(&all),
        holds: holds(),
        crossing: crossing(),
        bends: bends(),
    }
}

fn row(by: &Family, cell: &Cell) -> Option<CellRow> {
    let member = by.member(cell.column, cell.cone)?;
    Some(CellRow {
        cone: cell.cone,
        column: cell.column,
        rate: Rate::c_per_h(cell.rate_c_per_h),
        chart: Temperature::c(cell.end_c),
        law: Temperature::k(member.law.end_k(cell.rate_c_per_h)),
        confidence: cell.confidence,
        deviation: TempDiff::k(member.deviation_k(cell.rate_c_per_h)),
    })
}

fn hidden(all: &[Cell]) -> Vec<HiddenRow> {
    let slow = (0..).zip(all).filter(|(_, c)| c.rate_c_per_h < 20.0);
    let foretold = slow.filter_map(|(i, hidden): (usize, _)| {
        let mut rest = all.to_vec();
        rest.remove(i);
        row(&Family::of(&rest), hidden)
    });
    foretold.map(|cell| HiddenRow { cell }).collect()
}

/// A self-supporting cone's firing at a rate, to so much short of its end point.
fn fired(cone: Cone, rate: Rate, short: TempDiff) -> Option<(HeatWork, Temperature)> {
    let end = crate::end_point(cone, rate)? - short;
    // Colder than this no cone gathers a thousandth of what it needs.
    let start = end - TempDiff::k(300.0);
    let mut work = HeatWork::new();
    work.push((end - start) / rate, start, end).ok()?;
    Some((work, end))
}

fn holds() -> Vec<HoldRow> {
    let whole: Vec<Cone> = Cone::all()
        .filter(|c| c.position().fract().abs() < 0.1)
        .collect();
    let rows = whole.iter().enumerate().filter_map(|(i, from)| {
        let (work, end) = fired(*from, Rate::c_per_h(USUAL_C_PER_H), TempDiff::k(0.0))?;
        let to = |on: usize| work.hold_needed(*whole.get(i + on)?, end);
        Some(HoldRow {
            from: *from,
            one: to(1)?,
            two: to(2),
        })
    });
    rows.collect()
}

fn crossing() -> Crossing {
    let rate = |i: usize| 5.0 * 60f64.powf(i as f64 / (RATES - 1) as f64);
    let mut found = Crossing {
        from: Rate::c_per_h(rate(0)),
        to: Rate::c_per_h(rate(RATES - 1)),
        rates: RATES,
        pairs: 0,
        least: TempDiff::k(f64::INFINITY),
        at: f64::NAN,
        column: Column::SelfSupporting,
        rate: Rate::c_per_h(0.0),
    };
    for column in [Column::SelfSupporting, Column::Large] {
        let ends = [family(column).first(), family(column).last()];
        let [Some(first), Some(last)] = ends.map(|m| m.map(|m| m.cone.position())) else {
            continue;
        };
        let halves = ((last - first) * 2.0).round() as usize;
        let laws: Vec<_> = (0..=halves)
            .filter_map(|i| law_at(column, first + i as f64 / 2.0))
            .collect();
        found.pairs += laws.len().saturating_sub(1);
        for c_per_h in (0..RATES).map(rate) {
            let ends: Vec<f64> = laws.iter().map(|l| l.end_k(c_per_h)).collect();
            for (i, pair) in ends.windows(2).enumerate() {
                let gap = TempDiff::k(pair[1] - pair[0]);
                if gap < found.least {
                    found = Crossing {
                        least: gap,
                        at: first + i as f64 / 2.0,
                        column,
                        rate: Rate::c_per_h(c_per_h),
                        ..found
                    };
                }
            }
        }
    }
    found
}

fn bends() -> Vec<BendRow> {
    let rates = [60.0, 150.0].map(Rate::c_per_h);
    let row = |cone: Cone, rate: Rate| {
        let bend = |short: f64| {
            let (work, _) = fired(cone, rate, TempDiff::k(short))?;
            Some(work.bend_clock(cone)?.past_twelve())
        };
        // The last K before the end at which the tip stands higher than this.
        let short_of = |hours: f64| {
            let (mut near, mut far) = (0.0, 80.0);
            for _ in 0..40 {
                let mid = f64::midpoint(near, far);
                if bend(mid)? > hours {
                    near = mid
                } else {
                    far = mid
                }
            }
            Some(TempDiff::k(near))
        };
        let (warming, half) = (short_of(0.0)?, short_of(3.0)?);
        Some(BendRow {
            cone,
            rate,
            whole: warming / rate,
            last_half: half / rate,
            warming,
        })
    };
    Cone::all()
        .flat_map(|c| rates.map(|r| (c, r)))
        .filter_map(|(c, r)| row(c, r))
        .collect()
}
