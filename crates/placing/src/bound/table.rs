//! At one set of prices: the most that levels of a height or lower can still add. Heights are
//! counted in millimetres of both columns together, so a full level takes its height twice, and
//! rounded in the stack's favour.

use super::levels::Kit;
use super::prices::Prices;
use super::rows::{CLOSING, CLOSING_TWO, FULL, FULL_SIX, HALF, HALF_TOP, TOP};

/// What is still to come under the lid, lower than class `below`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lid {
    /// Nothing.
    Done,
    /// A full shelf.
    Full {
        /// Its class is lower than this.
        below: usize,
    },
    /// So many halves at most; of two one at least.
    Halves {
        /// How many.
        count: usize,
        /// Their classes are lower than this.
        below: usize,
    },
}

/// Rows by number of shelves, each by height.
type Rows = Vec<Vec<f64>>;

/// What can be added.
#[derive(Debug)]
pub struct Table {
    /// The prices.
    pub prices: Prices,
    /// What halves under a full shelf are worth more than those under a half, at most: none, one
    /// or both still to come.
    closing: [f64; 3],
    /// Halves with none, one and two under the lid among them.
    halves: [Rows; 3],
    /// Halves under full shelves with the one under the lid.
    lidded: Rows,
    /// Full shelves over halves: none and one under the lid still to come.
    closed: [Rows; 2],
    /// Full shelves under halves: none, one and two under the lid still to come.
    open: [Rows; 3],
}

fn up(mm: f64) -> usize {
    mm.max(0.0).ceil() as usize
}

fn down(mm: f64) -> usize {
    mm.max(0.0).floor() as usize
}

/// Levels that are worth more than every lower one, rising.
fn steps(levels: impl Iterator<Item = (f64, usize)>) -> Vec<(f64, usize)> {
    let mut out: Vec<(f64, usize)> = Vec::new();
    for l in levels {
        if l.0 > out.last().map_or(0.0, |o| o.0) {
            out.push(l);
        }
    }
    out
}

/// One more level over each of `below`, where it fits.
fn more(levels: &[(f64, usize)], below: &[f64]) -> Vec<f64> {
    let mut out = below.to_vec();
    for (worth, cost) in levels {
        for (o, v) in out.iter_mut().skip(*cost).zip(below) {
            *o = o.max(v + worth);
        }
    }
    out
}

/// Rows of ever more shelves from a lowest row.
fn rows(levels: &[(f64, usize)], lowest: Vec<f64>, count: usize) -> Rows {
    let mut out = vec![lowest];
    for n in 0..count {
        out.push(more(levels, &out[n]));
    }
    out
}

impl Table {
    /// Works them out for the `heights` lowest useful heights and the `classes` lowest classes.
    pub fn new(kit: &Kit, prices: Prices, heights: usize, classes: usize) -> Self {
        let all = up(2.0 * kit.free_mm) + 1;
        let under_shelf = |kind: usize, thick: f64, columns: f64| -> Vec<(f64, usize)> {
            let gaps = kit.heights_mm.iter().zip(&kit.class_of).take(heights);
            steps(gaps.map(|(h, c)| (prices.level[kind][*c], down(columns * (h + thick)))))
        };
        let under_lid = |kind: usize, thick: f64, columns: f64| -> Vec<(f64, usize)> {
            let tops = kit.tops_mm.iter().zip(&prices.level[kind]).take(classes);
            steps(tops.map(|(t, worth)| (*worth, down(columns * (t + thick + kit.lid_mm)))))
        };
        let (full, half) = (kit.full.thick_mm, kit.half.thick_mm);
        let none = vec![0.0; all];
        let plain = rows(&under_shelf(HALF, half, 1.0), none.clone(), kit.halves());
        let tops = under_lid(HALF_TOP, half, 1.0);
        let topped = |below: &Rows| -> Rows {
            let fewer = std::iter::once(&none).chain(below).take(below.len());
            fewer.map(|b| more(&tops, b)).collect()
        };
        let one = topped(&plain);
        let mut two = topped(&one);
        for (more, fewer) in two.iter_mut().zip(&one) {
            for (m, f) in more.iter_mut().zip(fewer) {
                *m = m.max(*f);
            }
        }
        let extra = [CLOSING, CLOSING_TWO].map(|kind| {
            let more = prices.level[kind].iter().zip(&prices.level[HALF]);
            more.map(|(c, h)| c - h).fold(0.0, f64::max)
        });
        let closing = [0.0, extra[1], extra[0] + extra[1]];
        let last = |rows: &Rows| rows[rows.len() - 1].clone();
        let pair: Vec<f64> = last(&plain)
            .iter()
            .map(|v| if *v > 0.0 { v + closing[2] } else { 0.0 })
            .collect();
        let fulls = under_shelf(FULL, full, 2.0);
        let lids = under_lid(TOP, full, 2.0);
        let whole = rows(&fulls, pair, kit.full.count);
        let lidded: Rows = plain.iter().map(|b| more(&lids, b)).collect();
        let below = whole.iter().take(kit.full.count);
        let covered: Rows = std::iter::once(none)
            .chain(below.map(|b| more(&lids, b)))
            .collect();
        let six = under_shelf(FULL_SIX, full, 2.0);
        let open = [&plain, &one, &two].map(|of| rows(&six, last(of), kit.full.count));
        Self {
            prices,
            closing,
            halves: [plain, one, two],
            lidded,
            closed: [whole, covered],
            open,
        }
    }

    fn at(of: &Rows, n: usize, mm: f64) -> f64 {
        let row = &of[n.min(of.len() - 1)];
        row[up(mm).min(row.len() - 1)]
    }

    /// What `fulls` full shelves at most over halves can add, with the one under the lid if that
    /// is still to come.
    pub fn closed(&self, fulls: usize, mm: f64, lid: bool) -> f64 {
        Self::at(&self.closed[usize::from(lid)], fulls, mm)
    }

    /// What `fulls` full shelves at most can add under halves, with those under the lid.
    pub fn open(&self, fulls: usize, mm: f64, lid: Lid) -> f64 {
        let count = match lid {
            Lid::Halves { count, .. } => count.min(2),
            _ => 0,
        };
        Self::at(&self.open[count], fulls, mm)
    }

    /// What `n` halves at most can add, `closing` of them under a full shelf, with what is under
    /// the lid.
    pub fn halves(&self, n: usize, mm: f64, closing: usize, lid: Lid) -> f64 {
        let of = match lid {
            Lid::Done => &self.halves[0],
            Lid::Full { .. } => &self.lidded,
            Lid::Halves { count, .. } => &self.halves[count.min(2)],
        };
        Self::at(of, n, mm) + self.closing[closing.min(2)]
    }
}
