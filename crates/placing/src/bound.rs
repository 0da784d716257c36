//! A proof of how much any load could be worth: areas and heights, geometry left aside.
//!
//! Relaxed, so never too low: shelves may stand at any height, halves count as half a level of
//! the whole plan, pieces may be split, and only their grown areas and heights count.

use glost_model::furniture::ShelfSpan;
use glost_model::kiln::Kiln;
use glost_rules::value::{gap_above, gap_floor, gap_lid, gap_wall};
use good_lp::{Expression, ProblemVariables, Solution as _, SolverModel as _, microlp, variable};

use crate::plan::PlanAsk;
use crate::region::Region;
use crate::ware::Ware;

/// Ware is sorted into at most this many height classes, each rounded down.
const CLASSES: usize = 8;

/// The most that a load of this ware can be worth. Falls back to the sum of all when the linear
/// programme cannot be solved, which is a valid bound too.
pub fn at_most(ask: &PlanAsk<'_>, kiln: &Kiln, ware: &[Ware<'_>]) -> f64 {
    let all: f64 = ware.iter().map(|w| w.value).sum();
    solve(ask, kiln, ware).map_or(all, |b| b.min(all) + 1e-6 * all)
}

fn solve(ask: &PlanAsk<'_>, kiln: &Kiln, ware: &[Ware<'_>]) -> Option<f64> {
    let shelves = &ask.studio.furniture.shelves;
    let thin = shelves
        .iter()
        .map(|s| s.thickness.to_mm())
        .min_by(f64::total_cmp)?;
    let levels = shelves
        .iter()
        .map(|s| f64::from(s.count) * if s.span == ShelfSpan::Full { 1.0 } else { 0.5 })
        .sum::<f64>();
    // Ware keeps `gap` off the wall and `least` off other ware: grown by half of `least` it lies in
    // the chamber drawn in by the rest of `gap`, without overlap.
    let chamber = Region::chamber(&kiln.chamber);
    let gap = ask.book.length(&gap_wall::RULE).to_m();
    let least = ware
        .iter()
        .map(|w| w.body.gap_m)
        .min_by(f64::total_cmp)
        .unwrap_or(0.0);
    let room_m2 = chamber.measure_inside(gap - least / 2.0).area_m2 * 1.002;
    let mut tops: Vec<f64> = ware.iter().map(|w| w.body.top_m * 1000.0).collect();
    tops.sort_by(f64::total_cmp);
    let mut classes: Vec<f64> = (0..CLASSES)
        .filter_map(|k| tops.get(k * tops.len() / CLASSES).copied())
        .collect();
    classes.dedup();
    let head = ask
        .book
        .length(&gap_above::RULE)
        .min(ask.book.length(&gap_lid::RULE))
        .to_mm();
    let free = kiln.height.to_mm() - ask.book.length(&gap_floor::RULE).to_mm();

    let mut vars = ProblemVariables::new();
    let y: Vec<_> = classes
        .iter()
        .map(|_| vars.add(variable().min(0.0).max(levels)))
        .collect();
    let mut value = Expression::from(0.0);
    let mut area = vec![Expression::from(0.0); classes.len()];
    let mut whole = Vec::new();
    for w in ware {
        // A piece may stand on any level at least as high as its own class.
        let own = classes
            .iter()
            .rposition(|c| *c <= w.body.top_m * 1000.0 + 1e-9)?;
        let mut sum = Expression::from(0.0);
        for a in &mut area[own..] {
            let x = vars.add(variable().min(0.0).max(1.0));
            value += w.value * x;
            *a += w.area_m2 * x;
            sum += x;
        }
        whole.push(sum);
    }
    let mut model = vars.maximise(value.clone()).using(microlp);
    for (a, y) in area.into_iter().zip(&y) {
        model = model.with((a - room_m2 * *y).leq(0.0));
    }
    for sum in whole {
        model = model.with(sum.leq(1.0));
    }
    let height: Expression = classes
        .iter()
        .zip(&y)
        .map(|(c, y)| (c + head + thin) * *y)
        .sum();
    let count: Expression = y.iter().map(|y| Expression::from(*y)).sum();
    let solution = model
        .with(height.leq(free))
        .with(count.leq(levels))
        .solve()
        .ok()?;
    Some(solution.eval(value))
}
