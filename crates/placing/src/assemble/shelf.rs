//! The shelves of a stack, and the room that posts, sensor and witness cones leave on each.

use glost_model::kiln::Kiln;
use glost_model::load::{CONE_PACK_RADIUS, FiringKind};
use glost_rules::value::{
    gap_bisque, gap_pack, gap_post, gap_runny, gap_sensor, gap_wall, gap_ware, tip_margin,
};

use crate::RESERVE_M;
use crate::engine::{Obstacle, Pose, Room, Wall};
use crate::plan::PlanAsk;
use crate::region::Region;
use crate::skeleton::{Level, Skeleton};
use crate::stand::inside;
use crate::ware::Ware;
use crate::witness::{Spot, on_bare, post_r_m, wanted};

/// A shelf of a stack.
pub struct Shelf<'s, 'a> {
    /// Where it lies.
    pub level: &'s Level<'a>,
    /// Where ware may stand on it.
    pub room: Room,
    /// Area that ware grown by half the least gap may cover, m².
    pub room_m2: f64,
    /// Middles of packs of witness cones, m.
    pub packs: Vec<[f64; 2]>,
    tip_m: f64,
}

/// What a shelf is steadier than it must be when ware is placed, m.
const SPARE_M: f64 = 0.003;

impl Shelf<'_, '_> {
    /// Whether a piece is low enough for it.
    pub fn may_hold(&self, w: &Ware<'_>) -> bool {
        w.body.top_m * 1000.0 + self.level.head_mm <= self.level.clear_mm - 0.05
    }

    /// The centre of mass of shelf and ware lies well inside the posts, with something to spare.
    pub fn steady(&self, ware: &[Ware<'_>], on: &[(usize, Pose)]) -> bool {
        self.inside_m(ware, on) > self.tip_m + SPARE_M
    }

    /// The same with nothing to spare: for ware that is not to be moved without need.
    pub fn stands(&self, ware: &[Ware<'_>], on: &[(usize, Pose)]) -> bool {
        self.inside_m(ware, on) >= self.tip_m
    }

    /// How far inside its posts the centre of mass of shelf and ware lies, m.
    fn inside_m(&self, ware: &[Ware<'_>], on: &[(usize, Pose)]) -> f64 {
        let own = self.level.shelf.mass.to_kg();
        let (mut m, mut x, mut y) = (own, own * self.level.centroid_x_m, 0.0);
        for (i, p) in on {
            let kg = ware[*i].mass_kg;
            m += kg;
            x += kg * p[0];
            y += kg * p[1];
        }
        let posts: Vec<[f64; 2]> = self.level.posts.iter().map(|p| p.at).collect();
        if m > 0.0 {
            inside(&posts, [x / m, y / m])
        } else {
            f64::INFINITY
        }
    }
}

/// Area of the points where the middle of ware grown by half of `gap_m` may lie or that it may cover, m².
fn room_m2(room: &Room, gap_m: f64) -> f64 {
    const CELLS: usize = 80;
    let [lo, hi] = room.bounds();
    let (lo, hi) = (lo.map(|v| v - gap_m), hi.map(|v| v + gap_m));
    let cell = [0, 1].map(|k| (hi[k] - lo[k]) / CELLS as f64);
    let free = |at: [f64; 2]| {
        room.walls
            .iter()
            .all(|w| w.region.holds(at, w.keep_m - gap_m / 2.0))
            && room
                .obstacles
                .iter()
                .filter(|o| o.from_m == f64::NEG_INFINITY)
                .all(|o| {
                    let [dx, dy] = [0, 1].map(|k| at[k] - o.ends[0][k]);
                    dx * dx + dy * dy > (o.keep_m - gap_m / 2.0).max(0.0).powi(2)
                })
    };
    let cells = (0..CELLS * CELLS).filter(|c| {
        let (i, j) = ((c % CELLS) as f64 + 0.5, (c / CELLS) as f64 + 0.5);
        free([lo[0] + i * cell[0], lo[1] + j * cell[1]])
    });
    cells.count() as f64 * cell[0] * cell[1]
}

/// The shelves of a stack, bare.
pub fn bare<'s, 'a>(ask: &PlanAsk<'_>, kiln: &Kiln, stack: &'s Skeleton<'a>) -> Vec<Shelf<'s, 'a>> {
    let levels = &stack.levels;
    let spots: Vec<Spot> = levels
        .iter()
        .map(|l| Spot {
            top_mm: l.top_mm,
            clear_mm: l.clear_mm,
            has: false,
        })
        .collect();
    let wanted = wanted(ask, kiln, &spots);
    levels
        .iter()
        .enumerate()
        .map(|(i, level)| {
            let pack = wanted.contains(&i).then(|| on_bare(ask, kiln, level));
            with_packs(ask, kiln, level, pack.flatten().into_iter().collect())
        })
        .collect()
}

/// A bare shelf with its packs of witness cones in given places.
pub fn with_packs<'s, 'a>(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    level: &'s Level<'a>,
    packs: Vec<[f64; 2]>,
) -> Shelf<'s, 'a> {
    let len = |rule| ask.book.length(rule).to_m();
    let post_r = post_r_m(ask);
    let mut obstacles: Vec<Obstacle> = level
        .carries
        .iter()
        .map(|&at| Obstacle::disc(at, post_r, post_r + len(&gap_post::RULE) + RESERVE_M))
        .collect();
    obstacles.extend(sensor(ask, kiln, level));
    let pack_r = CONE_PACK_RADIUS.to_m();
    obstacles.extend(
        packs
            .iter()
            .map(|&at| Obstacle::disc(at, pack_r, pack_r + len(&gap_pack::RULE) + RESERVE_M)),
    );
    let region = Region::shelf(&level.shelf.shape, level.side);
    // Half shelves keep half the widest gap off their joint, so that ware of the other column,
    // which may stand beside it, needs no looking at.
    let joint = len(&gap_runny::RULE) / 2.0 + RESERVE_M;
    let chamber =
        Region::chamber(&kiln.chamber).cut(level.side, joint - len(&gap_wall::RULE) - RESERVE_M);
    let room = Room {
        walls: vec![
            Wall {
                region: region.clone(),
                keep_m: RESERVE_M,
            },
            Wall {
                region: chamber,
                keep_m: len(&gap_wall::RULE) + RESERVE_M,
            },
        ],
        obstacles,
    };
    let least = match ask.kind {
        FiringKind::Bisque => len(&gap_bisque::RULE),
        FiringKind::Glaze => len(&gap_ware::RULE),
    };
    Shelf {
        level,
        room_m2: room_m2(&room, least),
        room,
        packs,
        tip_m: len(&tip_margin::RULE),
    }
}

/// The sensor as a rod, met by ware that reaches up to it.
fn sensor(ask: &PlanAsk<'_>, kiln: &Kiln, level: &Level<'_>) -> Option<Obstacle> {
    let keep = ask.book.length(&gap_sensor::RULE).to_m() + RESERVE_M;
    let above_m = kiln.sensor.height.to_m() - level.top_mm / 1000.0;
    if above_m + keep < 0.0 || above_m - keep > level.clear_mm / 1000.0 {
        return None;
    }
    let (sin, cos) = kiln.sensor.angle.to_rad().sin_cos();
    let wall = Region::chamber(&kiln.chamber).reach([0.0, 0.0], [cos, sin], 0.0);
    let tip = wall - kiln.sensor.reach.to_m();
    let ends = [wall, tip].map(|d| [d * cos, d * sin]);
    Some(Obstacle::rod(ends, 0.0, keep, above_m - keep))
}
