//! The most that any stack can be worth. Stacks are tried by their highest level, then from tall
//! levels to short, the most promising first; a branch is cut when prices prove that it holds
//! nothing better. A stack that is reached gets its own best prices, and so does a branch that is
//! not cut soon.

mod ways;

use std::cell::Cell;
use std::collections::BTreeMap;

use super::levels::Kit;
use super::prices::{Prices, Programme, Stack};
use super::rows::{FULL, HALF, TOP};
use super::table::{Lid, Table};
use ways::{Level, Next, Part, classes, starts, ways};

/// Branches looked at in all.
const BRANCHES: usize = 30_000;
/// Sets of prices for one highest level at most.
const PRICES: usize = 200;
/// Branches after which one gets prices of its own, and how many.
const PATIENCE: usize = 60;
const OWN_PRICES: usize = 6;

/// What was found.
#[derive(Debug, Clone, Copy)]
pub struct Found {
    /// No stack is worth more.
    pub at_most: f64,
    /// The most that was proved of a stack that was reached.
    pub best: f64,
}

/// Bounds all stacks, to a share of `near`.
pub fn search(programme: &Programme<'_>, near: f64) -> Found {
    let kit = programme.kit;
    let mut search = Search {
        programme,
        kit,
        tables: Vec::new(),
        near,
        heights: 0,
        classes: 0,
        best: 0.0,
        branches: 0,
        left: 0.0,
        last: Cell::new(0),
        known: BTreeMap::new(),
    };
    let mut seed = programme.solve(&[first(kit)]);
    for k in (0..=kit.heights_mm.len()).rev() {
        seed = search.under(k, seed);
    }
    Found {
        at_most: search.limit().max(search.left),
        best: search.best,
    }
}

/// Levels of one height, as many as there are shelves: a start.
fn first(kit: &Kit) -> Stack {
    let levels = kit.full.count.max(kit.half.count / 2).max(1);
    let each = kit.free_mm / levels as f64;
    let class = kit.tops_mm.iter().rposition(|t| *t <= each).unwrap_or(0);
    let kind = if kit.full.count > 0 { FULL } else { HALF };
    vec![(class, kind); levels]
}

struct Search<'s> {
    programme: &'s Programme<'s>,
    kit: &'s Kit,
    /// Prices for stacks of these lowest heights and classes.
    tables: Vec<Table>,
    heights: usize,
    classes: usize,
    /// The best that a stack was proved to be.
    best: f64,
    /// A branch that promises more by this share only is cut.
    near: f64,
    branches: usize,
    /// What branches that were not followed may hold.
    left: f64,
    /// The prices that cut last.
    last: Cell<usize>,
    known: BTreeMap<Stack, bool>,
}

impl Search<'_> {
    fn limit(&self) -> f64 {
        self.best * (1.0 + self.near)
    }

    /// Tries all stacks whose highest level has the useful height number `k`, or is under the lid
    /// and higher than the one below that.
    fn under(&mut self, k: usize, seed: Prices) -> Prices {
        let kit = self.kit;
        let (heights, high) = (kit.heights_mm.len(), classes(kit, k).1);
        (self.heights, self.classes) = ((k + 1).min(heights), high);
        self.tables.clear();
        self.keep(seed);
        let root = Part::new(kit);
        for (level, next) in starts(kit, k) {
            let part = self.priced(&root).with(Some(&level), &self.tables);
            if self.bound(&part, None, next) > self.limit() {
                self.learn_of(&part, next);
                let part = self.priced(&part);
                let bound = self.bound(&part, None, next);
                if bound > self.limit() {
                    self.visit(&part, next);
                    if self.branches > BRANCHES {
                        // Out of effort: what it may hold stands as the answer.
                        self.left = self.left.max(bound);
                    }
                }
            }
        }
        self.tables[self.last.get().min(self.tables.len() - 1)]
            .prices
            .clone()
    }

    fn keep(&mut self, prices: Prices) {
        if self.tables.len() < PRICES {
            let table = Table::new(self.kit, prices, self.heights, self.classes);
            self.tables.push(table);
        }
    }

    /// Finds prices for all that may become of a part.
    fn learn_of(&mut self, part: &Part, next: Next) {
        let mut stacks: Vec<Stack> = Vec::new();
        let mut at = self.last.get().min(self.tables.len() - 1);
        for _ in 0..OWN_PRICES {
            let stack = self.best_at(at, part, next);
            if stacks.contains(&stack) || self.tables.len() >= PRICES {
                return;
            }
            stacks.push(stack);
            let prices = self.programme.solve(&stacks);
            self.keep(prices);
            at = self.tables.len() - 1;
            if self.bound(&self.priced(part), None, next) <= self.limit() {
                return;
            }
        }
    }

    /// The stack that seems best at one set of prices.
    fn best_at(&self, table: usize, part: &Part, next: Next) -> Stack {
        let only = &self.tables[table..=table];
        let mut part = Part {
            worth: vec![0.0],
            ..part.clone()
        };
        let mut next = next;
        while !matches!(next, Next::Whole) {
            let mut top: Option<(f64, Option<Level>, Next)> = None;
            ways(self.kit, &part, next, &mut |level, after| {
                let bound = self.bound_at(only, 0, &part, level.as_ref(), after);
                if top.is_none_or(|t| bound > t.0) {
                    top = Some((bound, level, after));
                }
            });
            let Some((_, level, after)) = top else { break };
            part = part.with(level.as_ref(), only);
            next = after;
        }
        part.stack
    }

    /// The most that a part may become with one more level and what comes next; when some prices
    /// show that this is under the limit, what those show.
    fn bound(&self, part: &Part, level: Option<&Level>, next: Next) -> f64 {
        let last = self.last.get().min(self.tables.len() - 1);
        let mut least = self.bound_at(&self.tables, last, part, level, next);
        for k in (0..self.tables.len()).rev() {
            if least <= self.limit() {
                break;
            }
            let bound = self.bound_at(&self.tables, k, part, level, next);
            if bound <= self.limit() {
                self.last.set(k);
            }
            least = least.min(bound);
        }
        least
    }

    fn bound_at(
        &self,
        tables: &[Table],
        k: usize,
        part: &Part,
        level: Option<&Level>,
        next: Next,
    ) -> f64 {
        let t = &tables[k];
        let used = level.map_or((0, 0, 0.0), |l| {
            (
                usize::from(l.is_full()),
                usize::from(!l.is_full()),
                l.cost_mm,
            )
        });
        let (fulls, halves) = (part.fulls - used.0, part.halves - used.1);
        let mm = part.both_mm - used.2;
        let add = match next {
            Next::Closed { lid, .. } => t.closed(fulls, mm, lid != Lid::Done),
            Next::Open { lid, .. } => t.open(fulls, mm, lid),
            Next::Halves { closing, lid, .. } => t.halves(halves, mm, closing, lid),
            Next::Second { below } => t.halves(1, mm, 0, Lid::Halves { count: 1, below }),
            Next::Whole => 0.0,
        };
        let more = level.map_or(0.0, |l| t.prices.of_next(&part.stack, (l.class, l.kind)));
        // The first level is the highest.
        let class = part.stack.first().map(|l| l.0).or(level.map(|l| l.class));
        part.worth[k] + more + add + class.map_or(0.0, |c| t.prices.ware[c])
    }

    /// A part with what prices learnt meanwhile say of it.
    fn priced(&self, part: &Part) -> Part {
        let mut part = part.clone();
        for t in &self.tables[part.worth.len()..] {
            part.worth.push(t.prices.of_levels(&part.stack));
        }
        part
    }

    /// Follows a part, the most promising branch first.
    fn visit(&mut self, part: &Part, next: Next) {
        let mut part = self.priced(part);
        let mut open: Vec<(f64, Option<Level>, Next)> = Vec::new();
        ways(self.kit, &part, next, &mut |level, after| {
            let bound = self.bound(&part, level.as_ref(), after);
            if bound > self.limit() {
                open.push((bound, level, after));
            }
        });
        let start = self.branches;
        let mut own = false;
        open.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (_, level, after) in open {
            self.branches += 1;
            if self.branches > BRANCHES {
                return;
            }
            if part.worth.len() < self.tables.len() {
                part = self.priced(&part);
            }
            if !own && self.branches - start > PATIENCE {
                own = true;
                self.learn_of(&part, next);
                part = self.priced(&part);
                if self.bound(&part, None, next) <= self.limit() {
                    return;
                }
            }
            // What was learnt meanwhile may rule it out.
            if self.bound(&part, level.as_ref(), after) <= self.limit() {
                continue;
            }
            let grown = part.with(level.as_ref(), &self.tables);
            if !matches!(after, Next::Whole) {
                self.visit(&grown, after);
            } else if self.stands(&grown) {
                let prices = self.programme.solve(std::slice::from_ref(&grown.stack));
                self.best = self.best.max(prices.of(&grown.stack));
                self.keep(prices);
            }
        }
    }

    /// Whether stock and sensor allow it; errs toward yes.
    fn stands(&mut self, part: &Part) -> bool {
        let mut key = part.stack.clone();
        key.sort_unstable();
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let halves = part.stack.iter().any(|l| ![FULL, TOP].contains(&l.1));
        // Each column may use what is left in both.
        let spare_mm = part.both_mm / if halves { 1.0 } else { 2.0 };
        let gaps: Vec<f64> = part.gaps_mm.iter().map(|g| g.0).collect();
        let answer = self.kit.posts_suffice(&part.gaps_mm, spare_mm)
            && (halves || self.kit.clear_of_sensor(&gaps, spare_mm));
        self.known.insert(key, answer);
        answer
    }
}
