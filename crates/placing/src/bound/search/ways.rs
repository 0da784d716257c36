//! How stacks are put together: the highest level first, then full shelves, halves and what is
//! under the lid.

use std::ops::Range;

use crate::bound::levels::Kit;
use crate::bound::prices::Stack;
use crate::bound::rows::{CLOSING, CLOSING_TWO, FULL, FULL_SIX, HALF, HALF_TOP, TOP};
use crate::bound::table::{Lid, Table};

/// A part of a stack.
#[derive(Debug, Clone)]
pub struct Part {
    /// Its levels so far, the highest first.
    pub stack: Stack,
    /// Its worth at each set of prices, as far as they are known.
    pub worth: Vec<f64>,
    /// Gaps under shelves with the number of posts that stand in them, mm.
    pub gaps_mm: Vec<(f64, f64)>,
    /// Shelves left of each span.
    pub fulls: usize,
    /// Half shelves left.
    pub halves: usize,
    /// Height left in both columns together, mm.
    pub both_mm: f64,
}

/// What may come next. Levels of one kind come from tall to short.
#[derive(Debug, Clone, Copy)]
pub enum Next {
    /// Full shelves over halves if any, then halves.
    Closed {
        /// Full shelves come from the useful heights under this number.
        from: usize,
        /// Halves from those under this.
        half: usize,
        /// Halves under a full shelf that are still to come.
        closing: usize,
        /// What is still to come under the lid.
        lid: Lid,
    },
    /// Full shelves under halves, then halves.
    Open {
        /// As above.
        from: usize,
        /// As above.
        half: usize,
        /// As above.
        lid: Lid,
    },
    /// Half shelves, `closing` of them under a full shelf, then what is under the lid.
    Halves {
        /// They come from the useful heights under this number.
        from: usize,
        /// As above.
        closing: usize,
        /// As above.
        lid: Lid,
    },
    /// The second half under the lid, if there is one.
    Second {
        /// Its class is lower than this.
        below: usize,
    },
    /// The stack is whole.
    Whole,
}

/// A level that may be added.
#[derive(Debug, Clone, Copy)]
pub struct Level {
    /// The highest class that it takes.
    pub class: usize,
    /// Its kind.
    pub kind: usize,
    /// The gap under the shelf above, mm, and the posts in it; none under the lid.
    pub gap: Option<(f64, f64)>,
    /// What it takes of both columns' height, mm.
    pub cost_mm: f64,
}

impl Level {
    /// Whether it spans both columns.
    pub fn is_full(&self) -> bool {
        [FULL, TOP, FULL_SIX].contains(&self.kind)
    }
}

pub type Offer<'o> = dyn FnMut(Option<Level>, Next) + 'o;

impl Part {
    /// Nothing yet.
    pub fn new(kit: &Kit) -> Self {
        Self {
            stack: Stack::new(),
            worth: Vec::new(),
            gaps_mm: Vec::new(),
            fulls: kit.full.count,
            halves: kit.halves(),
            both_mm: 2.0 * kit.free_mm,
        }
    }

    /// The part with one more level.
    pub fn with(&self, level: Option<&Level>, tables: &[Table]) -> Self {
        let mut part = self.clone();
        if let Some(l) = level {
            for (w, t) in part.worth.iter_mut().zip(tables) {
                *w += t.prices.of_next(&part.stack, (l.class, l.kind));
            }
            part.stack.push((l.class, l.kind));
            part.gaps_mm.extend(l.gap);
            part.both_mm -= l.cost_mm;
            if l.is_full() {
                part.fulls -= 1;
            } else {
                part.halves -= 1;
            }
        }
        part
    }
}

/// All highest levels of the useful height number `k`, or under the lid and higher than the one
/// below that, with what comes next.
pub fn starts(kit: &Kit, k: usize) -> Vec<(Level, Next)> {
    let root = Part::new(kit);
    let (low, high) = classes(kit, k);
    let mut out: Vec<(Level, Next)> = Vec::new();
    let lidded = Next::Closed {
        from: k,
        half: k,
        closing: 2,
        lid: Lid::Done,
    };
    tops(kit, &root, TOP, low..high, &mut |l| out.push((l, lidded)));
    let (below, half) = (high, k + 1);
    for (kind, posts) in [(FULL, 3.0), (FULL_SIX, 6.0), (CLOSING, 1.0), (HALF, 3.0)] {
        let from = if kind == FULL || kind == FULL_SIX {
            k + 1
        } else {
            k
        };
        let next = if kind == FULL || kind == CLOSING {
            let closing = if kind == CLOSING { 1 } else { 2 };
            let lid = Lid::Full { below };
            Next::Closed {
                from,
                half,
                closing,
                lid,
            }
        } else {
            let lid = Lid::Halves { count: 2, below };
            Next::Open { from, half, lid }
        };
        gaps(kit, &root, kind, posts, k..k + 1, &mut |l, _| {
            out.push((l, next))
        });
    }
    tops(kit, &root, HALF_TOP, low..high, &mut |l| {
        let below = l.class + 1;
        let lid = Lid::Halves { count: 1, below };
        let (from, half) = (k, k);
        out.push((l, Next::Open { from, half, lid }));
    });
    out
}

/// The classes of those highest levels, from the first to before the second.
pub fn classes(kit: &Kit, k: usize) -> (usize, usize) {
    let low = k.checked_sub(1).map_or(0, |k| kit.class_of[k] + 1);
    let high = kit.class_of.get(k).map_or(kit.tops_mm.len(), |c| c + 1);
    (low, high)
}

/// Offers levels under shelves.
fn gaps(
    kit: &Kit,
    part: &Part,
    kind: usize,
    posts: f64,
    of: Range<usize>,
    offer: &mut dyn FnMut(Level, usize),
) {
    let full = [FULL, FULL_SIX].contains(&kind);
    let (columns, thick, left) = if full {
        (2.0, kit.full.thick_mm, part.fulls)
    } else {
        (1.0, kit.half.thick_mm, part.halves)
    };
    for k in of.rev().filter(|k| left > 0 && *k < kit.heights_mm.len()) {
        let gap = kit.heights_mm[k];
        let cost_mm = columns * (gap + thick);
        if cost_mm <= part.both_mm && gap + thick <= kit.free_mm {
            let level = Level {
                class: kit.class_of[k],
                kind,
                gap: Some((gap, posts)),
                cost_mm,
            };
            offer(level, k);
        }
    }
}

/// Offers levels under the lid, the highest first.
fn tops(kit: &Kit, part: &Part, kind: usize, of: Range<usize>, offer: &mut dyn FnMut(Level)) {
    let (columns, thick, left) = if kind == TOP {
        (2.0, kit.full.thick_mm, part.fulls)
    } else {
        (1.0, kit.half.thick_mm, part.halves)
    };
    for class in of.rev().filter(|_| left > 0) {
        let high = kit.tops_mm[class] + thick + kit.lid_mm;
        if columns * high <= part.both_mm && high <= kit.free_mm {
            offer(Level {
                class,
                kind,
                gap: None,
                cost_mm: columns * high,
            });
        }
    }
}

/// The highest level that fits under the lid: a lower one is worth no more.
fn highest(kit: &Kit, part: &Part, kind: usize, below: usize) -> Option<Level> {
    let mut top = None;
    tops(kit, part, kind, 0..below, &mut |l| {
        top.get_or_insert(l);
    });
    top
}

/// All ways to go on.
pub fn ways(kit: &Kit, part: &Part, next: Next, offer: &mut Offer<'_>) {
    match next {
        Next::Closed {
            from,
            half,
            closing,
            lid,
        } => {
            if closing == 2 {
                finish(kit, part, lid, offer);
            }
            if part.halves >= closing.max(1) {
                let from = half;
                offer(None, Next::Halves { from, closing, lid });
            }
            // One of those left is for the lid.
            if part.fulls > usize::from(lid != Lid::Done) {
                gaps(kit, part, FULL, 3.0, 0..from, &mut |l, k| {
                    let from = k + 1;
                    let next = Next::Closed {
                        from,
                        half,
                        closing,
                        lid,
                    };
                    offer(Some(l), next);
                });
            }
        }
        Next::Open { from, half, lid } => {
            let (closing, next) = (0, half);
            offer(
                None,
                Next::Halves {
                    from: next,
                    closing,
                    lid,
                },
            );
            gaps(kit, part, FULL_SIX, 6.0, 0..from, &mut |l, k| {
                let from = k + 1;
                offer(Some(l), Next::Open { from, half, lid });
            });
        }
        Next::Halves { from, closing, lid } => {
            // A half beside this one may be too low for any ware.
            if closing < 2 {
                finish(kit, part, lid, offer);
            }
            // The highest count as those that carry fewest posts.
            let (kind, posts) = match closing {
                2 => (CLOSING, 1.0),
                1 => (CLOSING_TWO, 2.0),
                _ => (HALF, 3.0),
            };
            gaps(kit, part, kind, posts, 0..from, &mut |l, k| {
                let (from, closing) = (k + 1, closing.saturating_sub(1));
                offer(Some(l), Next::Halves { from, closing, lid });
            });
        }
        Next::Second { below } => {
            let second = highest(kit, part, HALF_TOP, below);
            offer(second, Next::Whole);
        }
        Next::Whole => {}
    }
}

/// Puts the last levels under the lid.
fn finish(kit: &Kit, part: &Part, lid: Lid, offer: &mut Offer<'_>) {
    match lid {
        Lid::Done => offer(None, Next::Whole),
        Lid::Full { below } => {
            // Too low for any ware, it is still a roof.
            offer(highest(kit, part, TOP, below), Next::Whole);
        }
        Lid::Halves { count: 1, below } => offer(None, Next::Second { below }),
        Lid::Halves { below, .. } => {
            offer(None, Next::Whole);
            tops(kit, part, HALF_TOP, 0..below, &mut |l| {
                let below = l.class + 1;
                offer(Some(l), Next::Second { below });
            });
        }
    }
}
