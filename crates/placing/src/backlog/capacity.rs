//! How many kilns full some ware is at least: a linear programme over areas, counts, heights and masses,
//! geometry left aside.
//!
//! Relaxed, so never too high: kilns may be fired in part, pieces split, shelves stand at any height; a
//! pair of halves counts as one level. Every load that the judge accepts meets all rows.

use glost_model::furniture::{ShelfSpan, ShelfStock};
use glost_model::kiln::Kiln;
use glost_model::load::FiringKind;
use glost_model::piece::Piece;
use glost_rules::value::{gap_above, gap_bisque, gap_floor, gap_lid, gap_ware, pile_most};
use glost_rules::{Need, RuleBook};
use good_lp::{
    Expression, ProblemVariables, Solution as _, SolverModel as _, Variable, microlp, variable,
};

use super::BacklogAsk;
use super::flat::{count, disc_within, pair, room};
use super::heights::columns;
use super::lots::{Lot, grown};
use super::stock::supports_for;
use crate::region::Region;

/// Ware is sorted into at most this many height classes, each rounded down.
const CLASSES: usize = 8;
/// Sizes for which a row of counts is written, and the count from which areas say enough.
const SIZES: usize = 12;
const MANY: u32 = 12;
/// The judge lets a gap be this much less, m.
const TOLERANCE_M: f64 = 1e-4;

/// What one kiln can hold at most.
struct Most<'a> {
    shelves: Vec<&'a ShelfStock>,
    gap_m: f64,
    room_m2: f64,
    levels: f64,
    kg: f64,
    free_mm: f64,
    /// Over each level: the gap above ware and a shelf's thickness.
    between_mm: f64,
}

impl<'a> Most<'a> {
    fn of(ask: &BacklogAsk<'a>, kiln: &Kiln, kind: FiringKind) -> Option<Self> {
        let rule = match kind {
            FiringKind::Bisque => &gap_bisque::RULE,
            FiringKind::Glaze => &gap_ware::RULE,
        };
        let gap_m = (ask.book.length(rule).to_m() - TOLERANCE_M).max(0.0);
        let all = ask.studio.furniture.shelves.iter();
        let shelves: Vec<&ShelfStock> = all.filter(|s| s.count > 0 && goes_in(kiln, s)).collect();
        let most = |f: &dyn Fn(&&ShelfStock) -> f64| shelves.iter().map(f).reduce(f64::max);
        let halves = |s: &ShelfStock| if s.span == ShelfSpan::Half { 2.0 } else { 1.0 };
        let thin = shelves.iter().map(|s| s.thickness.to_mm());
        Some(Self {
            gap_m,
            room_m2: most(&|s| room(s, gap_m))?,
            levels: shelves.iter().map(|s| f64::from(s.count) / halves(s)).sum(),
            kg: most(&|s| s.load_limit.to_kg() * halves(s))?,
            free_mm: kiln.height.to_mm() - ask.book.length(&gap_floor::RULE).to_mm(),
            between_mm: head_mm(ask.book) + thin.reduce(f64::min)?,
            shelves,
        })
    }

    /// Most pieces of this size on one level.
    fn count(&self, r_m: f64) -> u32 {
        let counts = self.shelves.iter().map(|s| count(s, r_m, self.gap_m));
        counts.max().unwrap_or(0)
    }

    /// Whether two pieces of these sizes may share a level.
    fn pair(&self, a_m: f64, b_m: f64) -> bool {
        self.shelves.iter().any(|s| pair(s, a_m, b_m, self.gap_m))
    }

    /// Most levels over one another that stock allows.
    fn shelves(&self) -> u32 {
        self.shelves.iter().map(|s| u32::from(s.count)).sum()
    }

    /// Whether a piece goes in at all.
    fn takes(&self, piece: &Piece) -> bool {
        self.count(disc_within(piece)) > 0
            && piece.height.to_mm() + self.between_mm <= self.free_mm + 0.1
    }

    /// Most levels over one another that are at least so high.
    fn stacked(&self, height_mm: f64) -> f64 {
        ((self.free_mm + 0.1) / (height_mm + self.between_mm)).floor()
    }
}

fn head_mm(book: &RuleBook) -> f64 {
    let head = book
        .length(&gap_above::RULE)
        .min(book.length(&gap_lid::RULE));
    head.to_mm() - TOLERANCE_M * 1000.0
}

/// Whether a shelf lies within a chamber, touching its wall at most.
fn goes_in(kiln: &Kiln, shelf: &ShelfStock) -> bool {
    let chamber = Region::chamber(&kiln.chamber);
    let whole = Region::shelf(&shelf.shape, glost_model::load::Side::Full);
    (0..720).all(|i| {
        let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 720.0).sin_cos();
        let d = whole.reach([0.0, 0.0], [cos, sin], 0.0);
        chamber.excess([d * cos, d * sin], 0.0).0 <= 1e-4
    })
}

/// How many kilns full these lots of one kind are at least, as a part of a whole number. Nothing when
/// the programme cannot be solved.
pub fn kilns_full(ask: &BacklogAsk<'_>, kind: FiringKind, lots: &[&Lot<'_>]) -> Option<f64> {
    let pieces: Vec<&Piece> = lots.iter().flat_map(|l| l.pieces.iter().copied()).collect();
    let named = ask
        .studio
        .kilns
        .iter()
        .filter(|k| ask.kilns.contains(&k.name));
    let kilns: Vec<Most<'_>> = named.filter_map(|k| Most::of(ask, k, kind)).collect();
    let classes = classes(&pieces);
    // All pieces of a pile stand within the outline of its lowest, and none has a larger disc in it.
    let room_each = match kind {
        FiringKind::Bisque => 1.0 / ask.book.count(&pile_most::RULE).max(1) as f64,
        FiringKind::Glaze => 1.0,
    };
    let mut vars = ProblemVariables::new();
    let fired: Vec<Variable> = kilns
        .iter()
        .map(|_| vars.add(variable().min(0.0)))
        .collect();
    let mut rows: Vec<(Expression, Expression)> = Vec::new();
    let mut whole: Vec<Expression> = vec![Expression::from(0.0); pieces.len()];
    for (k, fired) in kilns.iter().zip(&fired) {
        let levels: Vec<Variable> = classes
            .iter()
            .map(|_| vars.add(variable().min(0.0)))
            .collect();
        let on = placed(&mut vars, k, &classes, &pieces);
        let sizes = sizes(k, &pieces);
        for (c, level) in levels.iter().enumerate() {
            let here = || on.iter().filter(|p| p.class == c);
            let sum = |f: &dyn Fn(&Piece) -> f64| -> Expression {
                here().map(|p| f(pieces[p.piece]) * p.share).sum()
            };
            let area = |p: &Piece| room_each * grown(p, k.gap_m);
            rows.push((sum(&area), k.room_m2 * *level));
            rows.push((sum(&|p| p.mass.to_kg()), (k.kg + 1e-6) * *level));
            for (size, most) in &sizes {
                // Beside a piece that leaves no room for any of these it counts as all of them.
                let part = |p: &Piece| match disc_within(p) {
                    r if r < *size => 0.0,
                    r if k.pair(r, *size) => 1.0,
                    _ => f64::from(*most),
                };
                let part = |p: &Piece| room_each * part(p);
                rows.push((sum(&part), f64::from(*most) * *level));
            }
            let as_high: Expression = levels[c..].iter().map(|l| Expression::from(*l)).sum();
            rows.push((as_high, k.stacked(classes[c]) * *fired));
        }
        let stacks = columns(&classes, k.between_mm, k.free_mm + 0.1, k.shelves());
        if !stacks.all.is_empty() {
            // Each column of a firing is one of these, or less.
            let built: Vec<Variable> = stacks
                .all
                .iter()
                .map(|_| vars.add(variable().min(0.0)))
                .collect();
            let sum: Expression = built.iter().map(|b| Expression::from(*b)).sum();
            rows.push((sum, Expression::from(*fired)));
            for g in 0..stacks.all[0].len() {
                let own = stacks.group.iter().zip(&levels).filter(|(o, _)| **o == g);
                let own: Expression = own.map(|(_, l)| Expression::from(*l)).sum();
                let there = stacks.all.iter().zip(&built).filter(|(c, _)| c[g] > 0);
                let there: Expression = there.map(|(c, b)| f64::from(c[g]) * *b).sum();
                rows.push((own, there));
            }
        }
        let heights = classes.iter().zip(&levels);
        let heights: Expression = heights.map(|(c, l)| (c + k.between_mm) * *l).sum();
        rows.push((heights, (k.free_mm + 0.1) * *fired));
        let count: Expression = levels.iter().map(|l| Expression::from(*l)).sum();
        rows.push((count, k.levels * *fired));
        for p in &on {
            whole[p.piece] += p.share;
        }
    }
    let total: Expression = fired.iter().map(|f| Expression::from(*f)).sum();
    for need in [Need::Stilt, Need::PinSupport, Need::WasterSlab] {
        let asked = lots
            .iter()
            .filter(|l| l.needs.contains(&need) && l.pieces.len() == 1);
        let held = supports_for(&ask.studio.furniture, need);
        rows.push((
            Expression::from(asked.count() as f64),
            f64::from(held) * total.clone(),
        ));
    }
    let mut model = vars.minimise(total.clone()).using(microlp);
    for (less, more) in rows {
        model = model.with((less - more).leq(0.0));
    }
    for sum in whole {
        model = model.with(sum.geq(1.0));
    }
    Some(model.solve().ok()?.eval(total))
}

/// Sizes of discs with the most of them that a level holds, where that is few.
fn sizes(kiln: &Most<'_>, pieces: &[&Piece]) -> Vec<(f64, u32)> {
    let mut all: Vec<f64> = pieces.iter().map(|p| disc_within(p)).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    let known = all.into_iter().map(|r| (r, kiln.count(r)));
    let few: Vec<(f64, u32)> = known.filter(|(_, n)| (1..=MANY).contains(n)).collect();
    let step = few.len().div_ceil(SIZES).max(1);
    few.into_iter().step_by(step).collect()
}

/// Distinct heights, at most [`CLASSES`] of them, the least first, mm.
fn classes(pieces: &[&Piece]) -> Vec<f64> {
    let mut tops: Vec<f64> = pieces.iter().map(|p| p.height.to_mm()).collect();
    tops.sort_by(f64::total_cmp);
    let at = |k: usize| tops.get(k * tops.len() / CLASSES).copied();
    let mut classes: Vec<f64> = (0..CLASSES).filter_map(at).collect();
    classes.dedup();
    classes
}

/// The share of a piece that stands on levels of a class.
struct On {
    piece: usize,
    class: usize,
    share: Variable,
}

fn placed(
    vars: &mut ProblemVariables,
    kiln: &Most<'_>,
    classes: &[f64],
    pieces: &[&Piece],
) -> Vec<On> {
    let mut on = Vec::new();
    for (piece, p) in pieces.iter().enumerate() {
        if !kiln.takes(p) {
            continue;
        }
        // On any level at least as high as its own class.
        let own = classes.iter().rposition(|c| *c <= p.height.to_mm() + 1e-9);
        for class in own.unwrap_or(0)..classes.len() {
            let share = vars.add(variable().min(0.0));
            on.push(On {
                piece,
                class,
                share,
            });
        }
    }
    on
}
