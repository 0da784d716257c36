//! The stacks that are looked at: levels of useful heights, full or half, up to the lid.

use glost_model::furniture::{ShelfShape, ShelfSpan, ShelfStock};
use glost_model::kiln::Kiln;
use glost_rules::value::{gap_above, gap_floor, gap_lid, gap_sensor};

use super::pieces::{SLACK_M, Thing};
use super::room::Room;
use super::simplex::{Row, maximise};
use crate::plan::PlanAsk;

/// Posts stacked in one place at most, as the planner stacks them.
const STACKED: usize = 3;
/// Slack of a height, mm: what the judge allows at both ends of a post, and more.
const SLACK_MM: f64 = 2.0 * SLACK_M * 1000.0;

/// Shelves of one span.
#[derive(Debug, Clone, Copy, Default)]
pub struct Shelves {
    /// How many.
    pub count: usize,
    /// Thickness of the thinnest, mm.
    pub thick_mm: f64,
    /// Most that one carries, kg.
    pub limit_kg: f64,
}

/// What stacks are made of.
#[derive(Debug)]
pub struct Kit {
    /// Full shelves.
    pub full: Shelves,
    /// Half shelves.
    pub half: Shelves,
    /// Height from the lowest shelf's underside to the lid, mm.
    pub free_mm: f64,
    /// Gap from ware to the lid, mm.
    pub lid_mm: f64,
    /// Heights of ware, each once, rising, mm: the classes.
    pub tops_mm: Vec<f64>,
    /// Clear heights between shelves that let in ware which the next lower does not, rising, mm.
    pub heights_mm: Vec<f64>,
    /// The highest class that each of them takes.
    pub class_of: Vec<usize>,
    /// Sums of posts, with how many of each length.
    sums: Vec<(f64, Vec<usize>)>,
    /// Number of posts of each length.
    stock: Vec<usize>,
    /// No top of a full shelf may lie between these heights above the lowest underside, mm.
    barred_mm: Option<(f64, f64)>,
}

/// The shelves of one outline and span.
fn shelves(all: &[ShelfStock], shape: &ShelfShape, span: ShelfSpan) -> Shelves {
    let of = |s: &&ShelfStock| s.shape == *shape && s.span == span && s.count > 0;
    all.iter().filter(of).fold(Shelves::default(), |kit, s| {
        let thin = s.thickness.to_mm();
        Shelves {
            count: kit.count + usize::from(s.count),
            thick_mm: if kit.count == 0 {
                thin
            } else {
                thin.min(kit.thick_mm)
            },
            limit_kg: s.load_limit.to_kg().max(kit.limit_kg),
        }
    })
}

impl Kit {
    /// That of one outline of shelves; nothing when no shelf can lie on posts.
    pub fn new(
        ask: &PlanAsk<'_>,
        kiln: &Kiln,
        shape: &ShelfShape,
        room: &Room,
        things: &[Thing],
    ) -> Option<Self> {
        let furniture = &ask.studio.furniture;
        let mm = |rule| ask.book.length(rule).to_mm();
        let lengths: Vec<(f64, usize)> = furniture
            .posts
            .iter()
            .map(|p| (p.length.to_mm(), usize::from(p.count)))
            .collect();
        let sums = sums(&lengths, kiln.height.to_mm());
        let floor = mm(&gap_floor::RULE) - SLACK_MM;
        let lowest = sums
            .iter()
            .map(|s| s.0)
            .filter(|s| *s >= floor)
            .min_by(f64::total_cmp)?;
        let mut tops_mm: Vec<f64> = things.iter().map(|t| t.top_mm).collect();
        tops_mm.sort_by(f64::total_cmp);
        tops_mm.dedup();
        let head = mm(&gap_above::RULE) - SLACK_MM;
        let (mut heights_mm, mut class_of) = (Vec::new(), Vec::new());
        for (sum, _) in &sums {
            let Some(class) = tops_mm.iter().rposition(|t| t + head <= *sum) else {
                continue;
            };
            if class_of.last().is_none_or(|c| *c < class) {
                heights_mm.push(*sum);
                class_of.push(class);
            }
        }
        Some(Self {
            full: shelves(&furniture.shelves, shape, ShelfSpan::Full),
            half: shelves(&furniture.shelves, shape, ShelfSpan::Half),
            free_mm: kiln.height.to_mm() - lowest + SLACK_MM,
            lid_mm: mm(&gap_lid::RULE) - SLACK_MM,
            tops_mm,
            heights_mm,
            class_of,
            sums,
            stock: lengths.iter().map(|l| l.1).collect(),
            barred_mm: barred(ask, kiln, room, lowest),
        })
    }

    /// Half shelves that count: they come in two columns.
    pub fn halves(&self) -> usize {
        if self.half.count > 1 {
            self.half.count
        } else {
            0
        }
    }

    /// Whether the posts suffice: under each shelf `places` stand, at least as high as asked, and
    /// together no more than `spare_mm` higher. Errs toward yes.
    pub fn posts_suffice(&self, asked: &[(f64, f64)], spare_mm: f64) -> bool {
        let (mut value, mut most) = (Vec::new(), Vec::new());
        let mut columns: Vec<Vec<f64>> = Vec::new();
        let lengths = self.stock.len();
        let mut limits: Vec<f64> = self.stock.iter().map(|n| *n as f64).collect();
        limits.push(spare_mm.max(0.0) + SLACK_MM * (asked.len() + 1) as f64);
        limits.extend(asked.iter().map(|a| a.1));
        for (k, (mm, places)) in asked.iter().enumerate() {
            for (sum, used) in &self.sums {
                let more = sum - mm;
                if more < -1e-6 || more > limits[lengths] {
                    continue;
                }
                let mut column: Vec<f64> = used.iter().map(|n| *n as f64).collect();
                column.push(more / places);
                column.extend((0..asked.len()).map(|j| f64::from(u8::from(j == k))));
                columns.push(column);
                value.push(1.0);
                most.push(*places);
            }
        }
        let rows: Vec<Row> = limits
            .iter()
            .enumerate()
            .map(|(r, limit)| Row {
                take: columns.iter().map(|c| c[r]).collect(),
                room: *limit,
            })
            .collect();
        let places: f64 = asked.iter().map(|a| a.1).sum();
        maximise(&value, &most, &rows).at_most(&value, &most, &rows) >= places - 1e-6
    }

    /// Whether full shelves on these gaps, in some order, can leave the sensor alone. Errs toward yes.
    pub fn clear_of_sensor(&self, gaps_mm: &[f64], spare_mm: f64) -> bool {
        let Some((lo, hi)) = self.barred_mm else {
            return true;
        };
        let first = self.full.thick_mm;
        let steps: Vec<f64> = gaps_mm.iter().map(|g| g + first).collect();
        let spare = spare_mm.max(0.0) + SLACK_MM * (steps.len() + 1) as f64;
        // The lowest shelf may lie above it, or all below.
        let above = first > lo || first + spare >= hi;
        if above || first + steps.iter().sum::<f64>() <= lo || steps.len() > 16 {
            return true;
        }
        (0_u32..1 << steps.len()).any(|below| {
            let here = |i: &usize| below >> i & 1 == 1;
            let sum: f64 = (0..steps.len()).filter(here).map(|i| steps[i]).sum();
            first + sum <= lo
                && (0..steps.len())
                    .filter(|i| !here(i))
                    .any(|i| first + sum + steps[i] + spare >= hi)
        })
    }
}

/// All sums of up to three posts for which the stock has three alike or three that add up alike.
fn sums(lengths: &[(f64, usize)], most_mm: f64) -> Vec<(f64, Vec<usize>)> {
    let mut found: Vec<(f64, Vec<usize>)> = Vec::new();
    let mut grow = vec![(0.0, vec![0; lengths.len()], 0)];
    for _ in 0..STACKED {
        let mut next = Vec::new();
        for (sum, used, from) in &grow {
            for (k, (mm, count)) in lengths.iter().enumerate().skip(*from) {
                let mut used: Vec<usize> = used.clone();
                used[k] += 1;
                if used[k] <= *count && sum + mm <= most_mm {
                    next.push((sum + mm, used, k));
                }
            }
        }
        found.extend(next.iter().map(|(sum, used, _)| (*sum, used.clone())));
        grow = next;
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Under one shelf all posts add up alike; of near sums the lower is told.
    let mut out = Vec::new();
    let mut k = 0;
    while k < found.len() {
        let same = found[k..]
            .iter()
            .take_while(|f| f.0 <= found[k].0 + SLACK_MM / 2.0);
        let group: Vec<Vec<usize>> = same.map(|f| f.1.clone()).collect();
        if three_of(&group, lengths) {
            out.extend(group.iter().map(|used| (found[k].0, used.clone())));
        }
        k += group.len();
    }
    out
}

/// Whether three of these can be made from the stock at once.
fn three_of(group: &[Vec<usize>], lengths: &[(f64, usize)]) -> bool {
    let fits = |a: &[usize], b: &[usize], c: &[usize]| {
        (0..lengths.len()).all(|k| a[k] + b[k] + c[k] <= lengths[k].1)
    };
    group.iter().enumerate().any(|(i, a)| {
        let rest = &group[i..];
        rest.iter()
            .enumerate()
            .any(|(j, b)| rest[j..].iter().any(|c| fits(a, b, c)))
    })
}

/// The heights that the sensor bars to tops of full shelves, above the lowest underside.
fn barred(ask: &PlanAsk<'_>, kiln: &Kiln, room: &Room, lowest_mm: f64) -> Option<(f64, f64)> {
    let keep_mm = ask.book.length(&gap_sensor::RULE).to_mm() / 2.0 - SLACK_MM;
    let (shelf, wall) = room.reach_m(kiln.sensor.angle.to_rad());
    let tip = wall - kiln.sensor.reach.to_m();
    let beside = tip - shelf < keep_mm / 1000.0 - SLACK_M * 10.0;
    let thick = ask
        .studio
        .furniture
        .shelves
        .iter()
        .map(|s| s.thickness.to_mm());
    let thin = thick.min_by(f64::total_cmp)?;
    let z = kiln.sensor.height.to_mm() - lowest_mm;
    (beside && keep_mm > 0.0).then_some((z - keep_mm, z + keep_mm + thin))
}
