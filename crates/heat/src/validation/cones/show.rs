//! The report in words and tables.

use std::fmt;

use glost_model::{Span, TempDiff};

use super::{CellRow, ConeReport, HOLD_ONE, HOLD_TWO};

impl ConeReport {
    /// Cells that were retrieved.
    pub fn published(&self) -> impl Iterator<Item = &CellRow> {
        self.cells.iter().filter(|c| c.is_published())
    }

    /// The published cell that the law misses most.
    pub fn worst(&self) -> Option<&CellRow> {
        worst(self.published())
    }

    /// Root mean square by which the laws miss the published cells.
    pub fn typical(&self) -> TempDiff {
        typical(self.published())
    }

    /// Root mean square by which cells are missed that the fit did not see.
    pub fn typical_hidden(&self) -> TempDiff {
        typical(self.hidden.iter().map(|h| &h.cell))
    }

    /// How many of the soaks lie in the range of the chart's text, for one cone and for two.
    pub fn holds_as_said(&self) -> [usize; 2] {
        let within = |s: Span, (from, to): (Span, Span)| s >= from && s <= to;
        let one = self.holds.iter().filter(|h| within(h.one, HOLD_ONE));
        let two = self.holds.iter().filter_map(|h| h.two);
        [one.count(), two.filter(|s| within(*s, HOLD_TWO)).count()]
    }

    /// Shortest, middle and longest soak over the ladder, for one cone and for two.
    pub fn hold_bands(&self) -> [[Span; 3]; 2] {
        let one = self.holds.iter().map(|h| h.one).collect();
        let two = self.holds.iter().filter_map(|h| h.two).collect();
        [band(one), band(two)]
    }
}

fn worst<'r>(rows: impl Iterator<Item = &'r CellRow>) -> Option<&'r CellRow> {
    let off = |r: &CellRow| r.difference().to_k().abs();
    rows.max_by(|a, b| off(a).total_cmp(&off(b)))
}

fn typical<'r>(rows: impl Iterator<Item = &'r CellRow>) -> TempDiff {
    let squares: Vec<f64> = rows.map(|r| r.difference().to_k().powi(2)).collect();
    TempDiff::k((squares.iter().sum::<f64>() / squares.len().max(1) as f64).sqrt())
}

fn band(mut spans: Vec<Span>) -> [Span; 3] {
    spans.sort_by(|a, b| a.to_s().total_cmp(&b.to_s()));
    [0, spans.len() / 2, spans.len().saturating_sub(1)]
        .map(|i| spans.get(i).copied().unwrap_or(Span::s(f64::NAN)))
}

impl fmt::Display for CellRow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:<4} {:<15} {:>4.0} {:>6.0} {:>8.1} {:>+6.1} {:>6.1}  {}",
            self.cone.to_string(),
            self.column,
            self.rate.to_c_per_h(),
            self.chart.to_c(),
            self.law.to_c(),
            self.difference().to_k(),
            self.deviation.to_k(),
            self.confidence
        )
    }
}

const CELLS: &str = "cone column          °C/h  chart      law   diff     sd  confidence";

impl fmt::Display for ConeReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.show_cells(f)?;
        self.show_hidden(f)?;
        self.show_holds(f)?;
        self.show_bends(f)?;
        let c = &self.crossing;
        writeln!(
            f,
            "\nNeighbours, halves too: {} pairs at {} rates from {:.0} to {:.0} °C/h. Least apart: {:.2} °C, from position {} up, {}, at {:.0} °C/h.",
            c.pairs,
            c.rates,
            c.from.to_c_per_h(),
            c.to.to_c_per_h(),
            c.least.to_k(),
            c.at,
            c.column,
            c.rate.to_c_per_h()
        )
    }
}

impl ConeReport {
    fn show_cells(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "End points, °C\n{CELLS}")?;
        for row in &self.cells {
            writeln!(f, "{row}")?;
        }
        let recalled = || self.cells.iter().filter(|c| !c.is_published());
        writeln!(
            f,
            "\n{} published cells: {:.2} °C root mean square.\nWorst: {}",
            self.published().count(),
            self.typical().to_k(),
            self.worst().map(ToString::to_string).unwrap_or_default()
        )?;
        writeln!(
            f,
            "{} recalled cells, not fitted to: {:.2} °C root mean square.\nWorst: {}",
            recalled().count(),
            typical(recalled()).to_k(),
            worst(recalled())
                .map(ToString::to_string)
                .unwrap_or_default()
        )
    }

    fn show_hidden(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "\nEach hidden from the fit in turn, °C\n{CELLS}")?;
        for row in &self.hidden {
            writeln!(f, "{}", row.cell)?;
        }
        writeln!(
            f,
            "{:.1} °C root mean square.",
            self.typical_hidden().to_k()
        )
    }

    fn show_holds(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "\nSoak at the end point after 60 °C/h, min\ncone   one more  two more"
        )?;
        for row in &self.holds {
            let two = row.two.map(|s| format!("{:.0}", s.to_minutes()));
            writeln!(
                f,
                "{:<4} {:>10.0} {:>9}",
                row.from.to_string(),
                row.one.to_minutes(),
                two.unwrap_or_default()
            )?;
        }
        let said = [HOLD_ONE, HOLD_TWO].into_iter().zip(self.holds_as_said());
        for ((name, found), ((from, to), within)) in
            ["One", "Two"].iter().zip(self.hold_bands()).zip(said)
        {
            let [least, middle, most] = found.map(Span::to_minutes);
            writeln!(
                f,
                "{name} more: {least:.0} to {most:.0}, middle {middle:.0}; the chart's text says {:.0} to {:.0}, and {within} are.",
                from.to_minutes(),
                to.to_minutes()
            )?;
        }
        Ok(())
    }

    fn show_bends(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "\nFrom first movement to down; the chart's text says 15 to 25 min, under 22 °C\ncone  °C/h   min  last half, min   °C"
        )?;
        for row in &self.bends {
            writeln!(
                f,
                "{:<4} {:>5.0} {:>5.1} {:>15.1} {:>4.1}",
                row.cone.to_string(),
                row.rate.to_c_per_h(),
                row.whole.to_minutes(),
                row.last_half.to_minutes(),
                row.warming.to_k()
            )?;
        }
        Ok(())
    }
}
