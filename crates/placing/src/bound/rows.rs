//! What a level can hold, one row for each thing that can run out.

use glost_model::load::CONE_PACK_RADIUS;
use glost_rules::value::{gap_pack, gap_post, post_inset};

use super::cells::{Grown, Weights};
use super::levels::Kit;
use super::oler::most;
use super::pieces::{SLACK_M, Thing};
use super::room::Room;
use crate::plan::PlanAsk;

/// Kinds of levels.
pub const KINDS: usize = 7;
/// A full shelf with three posts on it.
pub const FULL: usize = 0;
/// A full shelf under the lid.
pub const TOP: usize = 1;
/// A half shelf with three posts on it.
pub const HALF: usize = 2;
/// A half shelf under a full one that carries one of its three posts.
pub const CLOSING: usize = 3;
/// The half beside it, which carries the other two.
pub const CLOSING_TWO: usize = 4;
/// A half shelf under the lid.
pub const HALF_TOP: usize = 5;
/// A full shelf with halves somewhere above it: posts stand over posts, so it carries six.
pub const FULL_SIX: usize = 6;

/// Best density known for mixed circles on one shelf: `unequal_circles.csv`, arXiv 1306.0694.
pub const TYPICAL_FILL: f64 = 0.865;
/// Sizes for which counts are bounded, and those for which cells are weighed.
const COUNTED: usize = 24;
const WEIGHED: usize = 5;
/// Shares by which the room's edge counts.
const EDGES: [f64; 3] = [0.0, 0.3, 0.6];

/// Σ take ≤ Σ room over the levels that may hold what takes.
#[derive(Debug, Clone)]
pub struct Limit {
    /// What each thing takes.
    pub take: Vec<f64>,
    /// What a level of each kind gives.
    pub room: [f64; KINDS],
    /// What a pack of witness cones takes of a level.
    pub pack: f64,
}

/// All rows of one outline of shelves, that of areas first.
pub fn limits(
    ask: &PlanAsk<'_>,
    room: &Room,
    kit: &Kit,
    things: &[Thing],
    gap_m: f64,
) -> Vec<Limit> {
    let half = room.clone().half();
    let post = posts(ask, room, gap_m);
    let of = |get: &dyn Fn(&Thing) -> f64| -> Vec<f64> { things.iter().map(get).collect() };
    let by_kind = |full: f64, on_full: f64, half: f64, on_half: f64| {
        [
            full - 3.0 * on_full,
            full,
            half - 3.0 * on_half,
            half - on_half,
            half - 2.0 * on_half,
            half,
            full - 6.0 * on_full,
        ]
    };
    let pack = pack_m(ask, room, gap_m, post.0);
    let out_m = -gap_m / 2.0;
    let (Some(whole), halved) = (room.inside(out_m), half.inside(out_m)) else {
        return Vec::new();
    };
    let half_m2 = halved.map_or(0.0, |s| s.area_m2);
    let disc_m2 = |r_m: f64| Grown::disc(r_m).area_m2;
    let mut out = vec![
        Limit {
            take: of(&|t| t.share * t.area_m2),
            room: by_kind(whole.area_m2, disc_m2(post.0), half_m2, disc_m2(post.1)),
            pack: disc_m2(pack),
        },
        Limit {
            take: of(&|t| t.kg),
            room: by_kind(kit.full.limit_kg, 0.0, kit.half.limit_kg, 0.0),
            pack: 0.0,
        },
    ];
    for r_m in sizes(things.iter().map(|t| t.in_m), COUNTED) {
        let counts = by_kind(most(room, r_m, gap_m), 0.0, most(&half, r_m, gap_m), 0.0);
        out.push(Limit {
            take: of(&|t| if t.in_m >= r_m - 1e-12 { t.share } else { 0.0 }),
            room: counts,
            pack: 0.0,
        });
    }
    // Each once; what has no rolling disc is no convex body.
    let mut bodies: Vec<Grown> = Vec::new();
    for g in things.iter().flat_map(|t| &t.grown) {
        if g.roll_m > 0.0 && !bodies.contains(g) {
            bodies.push(*g);
        }
    }
    let radii = things.iter().flat_map(|t| &t.grown).map(|g| g.in_m);
    for r_m in sizes(radii, WEIGHED) {
        for edge in EDGES {
            let w = Weights::for_discs(r_m, edge);
            let known: Vec<f64> = bodies.iter().map(|g| w.room_of(g)).collect();
            let body = |g: &Grown| {
                let at = bodies.iter().position(|b| b == g);
                at.map_or(0.0, |at| known[at])
            };
            let take = of(&|t| t.share * t.grown.iter().map(body).fold(0.0, f64::max));
            let pack = w.room_of(&Grown::disc(pack));
            // The theorem wants two bodies; a single one always has room.
            let one = take.iter().copied().fold(pack, f64::max);
            let rooms = by_kind(
                w.room(whole.area_m2, whole.edge_m),
                w.room_of(&Grown::disc(post.0)),
                halved.map_or(0.0, |s| w.room(s.area_m2, s.edge_m)),
                w.room_of(&Grown::disc(post.1)),
            );
            out.push(Limit {
                take,
                room: rooms.map(|r| r.max(one)),
                pack,
            });
        }
    }
    out.iter_mut().for_each(even);
    out
}

/// Divides a row by its largest room, so that all rows are of a size.
fn even(l: &mut Limit) {
    let by = l.room.iter().copied().fold(0.0, f64::max);
    if by > 0.0 {
        l.take.iter_mut().for_each(|t| *t /= by);
        l.room.iter_mut().for_each(|r| *r = (*r / by).max(0.0));
        l.pack /= by;
    }
}

/// Sizes for which rows are made: all, or some of them with the largest.
fn sizes(all: impl Iterator<Item = f64>, most: usize) -> Vec<f64> {
    let mut sizes: Vec<f64> = all.filter(|r| *r > 0.0).collect();
    sizes.sort_by(f64::total_cmp);
    sizes.dedup_by(|a, b| *a - *b < 1e-4);
    let n = sizes.len();
    if n > most {
        (0..most)
            .map(|k| sizes[(k * (n - 1)) / (most - 1)])
            .collect()
    } else {
        sizes
    }
}

/// Radii of the discs that posts on a full and on a half shelf keep free of grown ware. Posts
/// stand too far apart for these discs to overlap.
fn posts(ask: &PlanAsk<'_>, room: &Room, gap_m: f64) -> (f64, f64) {
    let len = |rule| ask.book.length(rule).to_m();
    let own = ask.studio.furniture.post_section.to_m() * std::f64::consts::FRAC_1_SQRT_2;
    let keep = own + len(&gap_post::RULE) - gap_m / 2.0 - 2.0 * SLACK_M;
    let inset = len(&post_inset::RULE).max(own) - SLACK_M;
    let deep = room.depth_m(inset, gap_m / 2.0);
    // On a half, a post of a full shelf stands at the joint.
    let on_half = (own - SLACK_M + gap_m / 2.0).min(deep);
    (keep.min(deep).max(0.0), keep.min(on_half).max(0.0))
}

/// Radius of the disc that a pack of witness cones keeps free of grown ware and of the discs of posts,
/// which may stand right beside it.
fn pack_m(ask: &PlanAsk<'_>, room: &Room, gap_m: f64, post_m: f64) -> f64 {
    let own = CONE_PACK_RADIUS.to_m() - SLACK_M;
    let post = ask.studio.furniture.post_section.to_m() * std::f64::consts::FRAC_1_SQRT_2;
    let keep = own + ask.book.length(&gap_pack::RULE).to_m() - gap_m / 2.0 - 2.0 * SLACK_M;
    let deep = room.depth_m(own, gap_m / 2.0);
    keep.min(own + post - post_m).min(deep).max(0.0)
}
