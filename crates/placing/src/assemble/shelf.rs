//! The shelves of a stack, and the room that posts, sensor and witness cones leave on each.

use glost_model::Length;
use glost_model::kiln::Kiln;
use glost_model::load::{CONE_PACK_HEIGHT, CONE_PACK_RADIUS, FiringKind};
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
    let middle = kiln.height.to_mm() / 2.0;
    // Witness cones on the lowest, middle and highest shelf over which they can stand.
    let tall = |i: &usize| levels[*i].clear_mm > CONE_PACK_HEIGHT.to_mm();
    let told = |mm: f64| {
        let off = |i: &usize| (levels[*i].top_mm - mm).abs();
        let all = (0..levels.len()).filter(tall);
        all.min_by(|a, b| off(a).total_cmp(&off(b)))
    };
    let told = [0.0, middle, kiln.height.to_mm()].map(told);
    levels
        .iter()
        .enumerate()
        .map(|(i, level)| shelf(ask, kiln, level, told.contains(&Some(i))))
        .collect()
}

fn shelf<'s, 'a>(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    level: &'s Level<'a>,
    wants_pack: bool,
) -> Shelf<'s, 'a> {
    let mut packs = Vec::new();
    if wants_pack {
        let bearing = kiln
            .peepholes
            .iter()
            .min_by(|a, b| {
                let off = |h: Length| (h.to_mm() - level.top_mm - level.clear_mm / 2.0).abs();
                off(a.height).total_cmp(&off(b.height))
            })
            .map_or(0.0, |p| p.angle.to_rad());
        let region = Region::shelf(&level.shelf.shape, level.side);
        let hole = Region::chamber(&kiln.chamber).reach([0.0, 0.0], unit(bearing), 0.0);
        let hole = kiln
            .peepholes
            .first()
            .map(|_| unit(bearing).map(|v| v * hole));
        let post_r = post_r_m(ask);
        // Where no place can be seen, cones still tell when the kiln is opened.
        let place = pack_place(&region, level, bearing, post_r, hole)
            .or_else(|| pack_place(&region, level, bearing, post_r, None));
        packs.extend(place);
    }
    with_packs(ask, kiln, level, packs)
}

/// Radius of the circle about a post, m.
fn post_r_m(ask: &PlanAsk<'_>) -> f64 {
    ask.studio.furniture.post_section.to_m() * std::f64::consts::FRAC_1_SQRT_2
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

fn unit(bearing: f64) -> [f64; 2] {
    let (s, c) = bearing.sin_cos();
    [c, s]
}

/// Distance of a point from a stretch of line, m.
fn off_line(p: [f64; 2], [a, b]: [[f64; 2]; 2]) -> f64 {
    let [d, v] = [b, p].map(|q| [q[0] - a[0], q[1] - a[1]]);
    let t = (d[0] * v[0] + d[1] * v[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-12);
    let t = t.clamp(0.0, 1.0);
    (v[0] - t * d[0]).hypot(v[1] - t * d[1])
}

/// A place for witness cones near the edge, as close to the peephole's bearing as posts allow, in
/// sight of the `hole` where one is given.
fn pack_place(
    region: &Region,
    level: &Level<'_>,
    bearing: f64,
    post_r: f64,
    hole: Option<[f64; 2]>,
) -> Option<[f64; 2]> {
    let r = CONE_PACK_RADIUS.to_m() + RESERVE_M;
    let mut turns: Vec<f64> = (-35..=36)
        .map(|i| f64::from(i) * 5f64.to_radians())
        .collect();
    turns.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
    turns.into_iter().find_map(|t| {
        let (sin, cos) = (bearing + t).sin_cos();
        (0..8).find_map(|step| {
            let d = region.reach([0.0, 0.0], [cos, sin], r) - f64::from(step) * 0.02;
            let at = [d * cos, d * sin];
            let ok = d > 0.0
                && region.excess(at, r).0 <= 0.0
                && level
                    .carries
                    .iter()
                    .all(|p| (p[0] - at[0]).hypot(p[1] - at[1]) > r + post_r + 0.003)
                && hole.is_none_or(|h| {
                    let mut posts = level.carries.iter();
                    posts.all(|p| off_line(*p, [h, at]) > post_r + r / 2.0)
                });
            ok.then_some(at)
        })
    })
}
