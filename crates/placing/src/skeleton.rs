//! Stacks of shelves: which shelf on which posts at which height, before any ware is placed.

use std::collections::{BTreeMap, BTreeSet};

use glost_model::Length;
use glost_model::furniture::{ShelfSpan, ShelfStock};
use glost_model::kiln::Kiln;
use glost_model::load::Side;
use glost_rules::value::{gap_above, gap_floor, gap_lid, gap_sensor, post_inset, shelf_wall};

use crate::plan::PlanAsk;
use crate::region::Region;
use crate::stand::{LEFT, OVER, PostPlaces, RIGHT, places};
use crate::ware::{Ware, by_worth};

/// One shelf of a stack.
#[derive(Debug, Clone)]
pub struct Level<'a> {
    /// Its kind.
    pub shelf: &'a ShelfStock,
    /// Where it lies.
    pub side: Side,
    /// Height of its top face, mm.
    pub top_mm: f64,
    /// Clear height above it, mm.
    pub clear_mm: f64,
    /// Its area, m².
    pub area_m2: f64,
    /// Where its middle of mass lies along x, m.
    pub centroid_x_m: f64,
    /// Gap that ware keeps to what is above, mm.
    pub head_mm: f64,
    /// What it stands on.
    pub posts: Vec<Post>,
    /// Places of posts that stand on it.
    pub carries: Vec<[f64; 2]>,
}

/// A post, or several stacked.
#[derive(Debug, Clone)]
pub struct Post {
    /// Its place.
    pub at: [f64; 2],
    /// Height of its foot, mm.
    pub base_mm: f64,
    /// Lengths stacked here, lowest first, mm.
    pub lengths_mm: Vec<f64>,
}

/// A stack with its estimated worth.
#[derive(Debug, Clone)]
pub struct Skeleton<'a> {
    /// From the floor up.
    pub levels: Vec<Level<'a>>,
    /// Estimate of the value that it can hold.
    pub estimate: f64,
}

/// A height that stock gives, with the posts stacked for it, mm.
#[derive(Debug, Clone)]
struct Height {
    mm: f64,
    parts: Vec<f64>,
}

#[derive(Debug, Clone)]
enum Block {
    Full(Height),
    Split(Vec<Height>, Vec<Height>),
}

/// Share of a shelf's room that the first estimate counts on.
const LIKELY_FILL: f64 = 0.72;
/// The same for a half shelf, which has its own posts and keeps off the joint.
const LIKELY_FILL_HALF: f64 = 0.66;
/// Most different heights looked at, and most stacks.
const HEIGHTS: usize = 18;
const STACKS: usize = 20_000;

/// The best stacks first, at most `keep` of them.
pub fn skeletons<'a>(
    ask: &PlanAsk<'a>,
    kiln: &'a Kiln,
    ware: &[Ware<'a>],
    keep: usize,
) -> Vec<Skeleton<'a>> {
    let shelves = &ask.studio.furniture.shelves;
    let fits = |s: &&ShelfStock| shelf_fits(ask, kiln, s);
    let biggest = |span: ShelfSpan| {
        shelves
            .iter()
            .filter(|s| s.span == span && s.count > 0)
            .filter(fits)
            .max_by(|a, b| {
                area(a)
                    .total_cmp(&area(b))
                    .then(b.thickness.total_cmp(&a.thickness))
            })
    };
    let Some(full) = biggest(ShelfSpan::Full) else {
        return Vec::new();
    };
    let half = biggest(ShelfSpan::Half).filter(|h| h.shape == full.shape);
    let inset = ask
        .book
        .length(&post_inset::RULE)
        .to_m()
        .max(0.75 * ask.studio.furniture.post_section.to_m());
    let holes = kiln.peepholes.iter().map(|p| p.angle.to_rad());
    let sights: Vec<f64> = holes.chain([kiln.sensor.angle.to_rad()]).collect();
    let spots = places(&Region::shelf(&full.shape, Side::Full), inset, &sights);
    let need = heights_needed(ask, ware);
    let all = heights(ask);
    let useful = useful(&all, &need);
    let floor_gap = ask.book.length(&gap_floor::RULE).to_mm();
    let Some(stub) = all.iter().filter(|h| h.mm >= floor_gap).min_by(|a, b| {
        a.parts
            .len()
            .cmp(&b.parts.len())
            .then(a.mm.total_cmp(&b.mm))
    }) else {
        return Vec::new();
    };
    let splits = half.map_or_else(Vec::new, |h| splits(&useful, h.thickness.to_mm()));
    let maker = Maker {
        ask,
        kiln,
        full,
        half,
        full_m2: area(full),
        half_x_m: Region::shelf(&full.shape, Side::Left)
            .measure()
            .centroid_x_m,
        spots,
        stub,
    };
    let mut stacks: Vec<Vec<Block>> = Vec::new();
    grow(&maker, &useful, &splits, &mut Vec::new(), &mut stacks);
    let mut made: Vec<Skeleton<'a>> = stacks.iter().filter_map(|s| maker.build(s)).collect();
    for s in &mut made {
        s.estimate = estimate(&s.levels, ware);
    }
    made.sort_by(|a, b| b.estimate.total_cmp(&a.estimate));
    // Both kinds get their chance: an area alone does not tell which holds more.
    let (mut split, mut whole) = (0, 0);
    made.retain(|s| {
        let n = if s.split() { &mut split } else { &mut whole };
        *n += 1;
        *n <= keep.div_ceil(2)
    });
    made
}

impl Skeleton<'_> {
    /// Whether it has half shelves.
    pub fn split(&self) -> bool {
        self.levels.iter().any(|l| l.side != Side::Full)
    }
}

fn area(s: &ShelfStock) -> f64 {
    Region::shelf(&s.shape, Side::Full).measure().area_m2
}

fn shelf_fits(ask: &PlanAsk<'_>, kiln: &Kiln, s: &ShelfStock) -> bool {
    let chamber = Region::chamber(&kiln.chamber);
    let shelf = Region::shelf(&s.shape, Side::Full);
    let gap = ask.book.length(&shelf_wall::RULE).to_m();
    (0..720).all(|i| {
        let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 720.0).sin_cos();
        let d = shelf.reach([0.0, 0.0], [cos, sin], 0.0) + 1e-4;
        chamber.excess([d * cos, d * sin], gap).0 <= 0.0
    })
}

/// Heights that ware needs above a shelf, mm, each once.
fn heights_needed(ask: &PlanAsk<'_>, ware: &[Ware<'_>]) -> Vec<f64> {
    let head = ask.book.length(&gap_above::RULE).to_mm();
    let set: BTreeSet<i64> = ware
        .iter()
        .map(|w| ((w.body.top_m * 1000.0 + head) * 10.0).ceil() as i64)
        .collect();
    set.into_iter().map(|v| v as f64 / 10.0).collect()
}

/// Sums of one to three posts for which stock holds three equal stacks.
fn heights(ask: &PlanAsk<'_>) -> Vec<Height> {
    let posts = &ask.studio.furniture.posts;
    let enough = |parts: &[f64]| {
        posts.iter().all(|p| {
            let used = parts
                .iter()
                .filter(|l| (**l - p.length.to_mm()).abs() < 1e-6)
                .count();
            used * 3 <= usize::from(p.count)
        })
    };
    let sizes: Vec<f64> = posts
        .iter()
        .filter(|p| p.count >= 3)
        .map(|p| p.length.to_mm())
        .collect();
    let mut found: BTreeMap<i64, Height> = BTreeMap::new();
    let mut offer = |mut parts: Vec<f64>| {
        if enough(&parts) {
            parts.sort_by(|a, b| b.total_cmp(a));
            let mm: f64 = parts.iter().sum();
            let key = (mm * 10.0).round() as i64;
            if found.get(&key).is_none_or(|h| h.parts.len() > parts.len()) {
                found.insert(key, Height { mm, parts });
            }
        }
    };
    for (i, &a) in sizes.iter().enumerate() {
        offer(vec![a]);
        for (j, &b) in sizes.iter().enumerate().skip(i) {
            offer(vec![a, b]);
            for &c in &sizes[j..] {
                offer(vec![a, b, c]);
            }
        }
    }
    found.into_values().collect()
}

/// Keeps the heights that let in ware that the next lower one does not, evenly thinned.
fn useful(all: &[Height], need: &[f64]) -> Vec<Height> {
    let mut kept: Vec<Height> = Vec::new();
    let mut low = 0.0;
    for h in all {
        if need.iter().any(|n| *n > low && *n <= h.mm) {
            kept.push(h.clone());
            low = h.mm;
        }
    }
    while kept.len() > HEIGHTS {
        // Drop the height that adds least over its lower neighbour.
        let tightest = (1..kept.len() - 1).min_by(|&a, &b| {
            (kept[a].mm - kept[a - 1].mm).total_cmp(&(kept[b].mm - kept[b - 1].mm))
        });
        match tightest {
            Some(i) => kept.remove(i - 1),
            None => break,
        };
    }
    kept
}

/// Pairs of columns that end level: sums of posts and shelves between are equal.
fn splits(heights: &[Height], thick_mm: f64) -> Vec<(Vec<Height>, Vec<Height>)> {
    let mut columns: Vec<Vec<Height>> = Vec::new();
    for a in heights {
        columns.push(vec![a.clone()]);
        for b in heights {
            columns.push(vec![a.clone(), b.clone()]);
        }
    }
    let total =
        |c: &[Height]| c.iter().map(|h| h.mm).sum::<f64>() + (c.len() as f64 - 1.0) * thick_mm;
    let mut pairs = Vec::new();
    for (i, l) in columns.iter().enumerate() {
        for r in &columns[i..] {
            let level = (total(l) - total(r)).abs() < 0.01;
            let first_differ = l.first().map(|h| h.mm) != r.first().map(|h| h.mm);
            if level && first_differ && l.len() + r.len() >= 3 {
                pairs.push((l.clone(), r.clone()));
            }
        }
    }
    pairs
}

/// All stacks of full levels from tall to short, with at most one split above the bottom shelf.
fn grow(
    maker: &Maker<'_, '_>,
    heights: &[Height],
    splits: &[(Vec<Height>, Vec<Height>)],
    stack: &mut Vec<Block>,
    out: &mut Vec<Vec<Block>>,
) {
    if out.len() >= STACKS || maker.build(stack).is_none() {
        return;
    }
    out.push(stack.clone());
    let last = stack.iter().rev().find_map(|b| {
        if let Block::Full(h) = b {
            Some(h.mm)
        } else {
            None
        }
    });
    for h in heights
        .iter()
        .rev()
        .filter(|h| last.is_none_or(|l| h.mm <= l))
    {
        stack.push(Block::Full(h.clone()));
        grow(maker, heights, splits, stack, out);
        stack.pop();
    }
    if stack.is_empty() {
        for (l, r) in splits {
            stack.push(Block::Split(l.clone(), r.clone()));
            grow(maker, heights, splits, stack, out);
            stack.pop();
        }
    }
}

struct Maker<'a, 'm> {
    ask: &'m PlanAsk<'a>,
    kiln: &'a Kiln,
    full: &'a ShelfStock,
    half: Option<&'a ShelfStock>,
    full_m2: f64,
    /// Middle of mass of a left half along x, m.
    half_x_m: f64,
    spots: PostPlaces,
    stub: &'m Height,
}

impl<'a> Maker<'a, '_> {
    /// Builds a stack, or nothing when height, stock or the sensor forbid it. The ware of a block
    /// stands under the next block's shelf; the last shelf reaches to the lid.
    fn build(&self, blocks: &[Block]) -> Option<Skeleton<'a>> {
        let mut levels: Vec<Level<'a>> = Vec::new();
        let mut blocks = blocks.iter();
        let split = matches!(blocks.clone().next(), Some(Block::Split(..)));
        let pick = |ids: [usize; 3]| ids.map(|i| self.spots.pairs[i]).to_vec();
        let floor = |at: Vec<[f64; 2]>| self.posts(at, 0.0, self.stub);
        if split {
            let half = self.half?;
            self.lay(&mut levels, half, Side::Left, floor(pick(LEFT)));
            self.lay(&mut levels, half, Side::Right, floor(pick(RIGHT)));
        } else {
            self.lay(
                &mut levels,
                self.full,
                Side::Full,
                floor(self.spots.three.to_vec()),
            );
        }
        let over = if split {
            pick(OVER)
        } else {
            self.spots.three.to_vec()
        };
        if let Some(Block::Split(l, r)) = blocks.clone().next() {
            blocks.next();
            let half = self.half?;
            let base = levels.last()?.top_mm;
            let mut tops = [base, base];
            for (k, (column, side, at)) in [(l, Side::Left, LEFT), (r, Side::Right, RIGHT)]
                .into_iter()
                .enumerate()
            {
                for h in &column[..column.len() - 1] {
                    tops[k] = self.lay(&mut levels, half, side, self.posts(pick(at), tops[k], h));
                }
            }
            // The full shelf that levels out the two columns: its posts differ by side.
            let mut closing = Vec::new();
            for at in &over {
                let (h, base) = if at[0] < 0.0 {
                    (l.last()?, tops[0])
                } else {
                    (r.last()?, tops[1])
                };
                closing.extend(self.posts(vec![*at], base, h));
            }
            self.lay(&mut levels, self.full, Side::Full, closing);
        }
        for block in blocks {
            let Block::Full(h) = block else { return None };
            let base = levels.last()?.top_mm;
            self.lay(
                &mut levels,
                self.full,
                Side::Full,
                self.posts(over.clone(), base, h),
            );
        }
        // In placing order: a loader finishes what lies lower first.
        levels.sort_by(|a, b| a.top_mm.total_cmp(&b.top_mm).then(a.side.cmp(&b.side)));
        let s = Skeleton {
            levels,
            estimate: 0.0,
        };
        let roomy = s.levels.iter().all(|l| l.clear_mm - l.head_mm > 15.0);
        (roomy && self.in_stock(&s) && self.clear_of_sensor(&s)).then_some(s)
    }

    fn posts(&self, at: Vec<[f64; 2]>, base_mm: f64, h: &Height) -> Vec<Post> {
        at.into_iter()
            .map(|at| Post {
                at,
                base_mm,
                lengths_mm: h.parts.clone(),
            })
            .collect()
    }

    /// Lays one shelf on its posts, closes what it covers, and tells the height of its top.
    fn lay(
        &self,
        levels: &mut Vec<Level<'a>>,
        shelf: &'a ShelfStock,
        side: Side,
        posts: Vec<Post>,
    ) -> f64 {
        let under = posts
            .first()
            .map_or(0.0, |p| p.base_mm + p.lengths_mm.iter().sum::<f64>());
        for l in levels.iter_mut() {
            let on_it: Vec<&Post> = posts
                .iter()
                .filter(|p| (p.base_mm - l.top_mm).abs() < 1e-6)
                .filter(|p| l.side == Side::Full || (p.at[0] < 0.0) == (l.side == Side::Left))
                .collect();
            if !on_it.is_empty() {
                l.clear_mm = under - l.top_mm;
                l.head_mm = self.ask.book.length(&gap_above::RULE).to_mm();
                l.carries.extend(on_it.iter().map(|p| p.at));
            }
        }
        let top_mm = under + shelf.thickness.to_mm();
        levels.push(Level {
            shelf,
            side,
            top_mm,
            area_m2: if side == Side::Full {
                self.full_m2
            } else {
                self.full_m2 / 2.0
            },
            centroid_x_m: match side {
                Side::Full => 0.0,
                Side::Left => self.half_x_m,
                Side::Right => -self.half_x_m,
            },
            clear_mm: self.kiln.height.to_mm() - top_mm,
            head_mm: self.ask.book.length(&gap_lid::RULE).to_mm(),
            posts,
            carries: Vec::new(),
        });
        top_mm
    }

    fn in_stock(&self, s: &Skeleton<'_>) -> bool {
        let mut posts: BTreeMap<i64, usize> = BTreeMap::new();
        let mut shelves: BTreeMap<&str, usize> = BTreeMap::new();
        for l in &s.levels {
            *shelves.entry(l.shelf.name.as_str()).or_default() += 1;
            for p in l.posts.iter().flat_map(|p| &p.lengths_mm) {
                *posts.entry((p * 1000.0).round() as i64).or_default() += 1;
            }
        }
        let furniture = &self.ask.studio.furniture;
        let held = |mm: i64| -> usize {
            furniture
                .posts
                .iter()
                .filter(|p| (p.length.to_mm() * 1000.0).round() as i64 == mm)
                .map(|p| usize::from(p.count))
                .sum()
        };
        posts.iter().all(|(mm, n)| *n <= held(*mm))
            && shelves.iter().all(|(name, n)| {
                furniture
                    .shelves
                    .iter()
                    .any(|f| f.name == *name && *n <= usize::from(f.count))
            })
    }

    /// No shelf beside the sensor.
    fn clear_of_sensor(&self, s: &Skeleton<'_>) -> bool {
        let keep = self.ask.book.length(&gap_sensor::RULE) / 2.0 + Length::mm(0.5);
        let chamber = Region::chamber(&self.kiln.chamber);
        let (sin, cos) = self.kiln.sensor.angle.to_rad().sin_cos();
        let tip = chamber.reach([0.0, 0.0], [cos, sin], 0.0) - self.kiln.sensor.reach.to_m();
        let z = self.kiln.sensor.height;
        s.levels.iter().all(|l| {
            let (hi, lo) = (
                Length::mm(l.top_mm),
                Length::mm(l.top_mm) - l.shelf.thickness,
            );
            let beside = z < hi + keep && z > lo - keep;
            let shelf = Region::shelf(&l.shelf.shape, l.side);
            !beside || shelf.excess([tip * cos, tip * sin], 0.0).0 > keep.to_m()
        })
    }
}

/// Fills levels by area only: a quick guess of what a stack can hold.
fn estimate(levels: &[Level<'_>], ware: &[Ware<'_>]) -> f64 {
    let mut left: Vec<(f64, f64, f64)> = levels
        .iter()
        .map(|l| {
            (
                l.clear_mm - l.head_mm,
                l.area_m2
                    * if l.side == Side::Full {
                        LIKELY_FILL
                    } else {
                        LIKELY_FILL_HALF
                    },
                l.shelf.load_limit.to_kg(),
            )
        })
        .collect();
    left.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut order: Vec<&Ware<'_>> = ware.iter().collect();
    order.sort_by(|a, b| by_worth(a, b));
    let mut sum = 0.0;
    for w in order {
        let top = w.body.top_m * 1000.0;
        if let Some(room) = left
            .iter_mut()
            .find(|r| r.0 >= top && r.1 >= w.area_m2 && r.2 >= w.mass_kg)
        {
            room.1 -= w.area_m2;
            room.2 -= w.mass_kg;
            sum += w.value;
        }
    }
    sum
}
