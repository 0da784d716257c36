//! Writes a filled stack down as a plan, and says why what is left stays out.

use glost_model::kiln::Kiln;
use glost_model::load::{ConePack, LeftOut, Placed, Side, StandingPost, Tier};
use glost_model::{Angle, Length};

use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use crate::assemble::Shelf;
use crate::engine::{Body, Pose, free_gap, place};
use crate::plan::PlanAsk;
use crate::ware::Ware;
use crate::witness;

/// Says of each piece that fits to fire but stayed out what would let it in.
pub fn no_room(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    ware: &[Ware<'_>],
    single: &[Ware<'_>],
    shelves: &[Shelf<'_, '_>],
    on: &[Vec<(usize, Pose)>],
    left_out: &mut Vec<LeftOut>,
) {
    let goes = on.iter().flatten();
    let told: std::collections::BTreeSet<String> = goes
        .flat_map(|(i, _)| ware[*i].pieces())
        .map(|p| p.id.clone())
        .chain(left_out.iter().map(|l| l.piece.clone()))
        .collect();
    let tall = |mm: f64| ask.studio.shown.length(Length::mm(mm));
    let tallest = shelves
        .iter()
        .map(|s| s.level.clear_mm - s.level.head_mm)
        .fold(0.0, f64::max);
    for w in single {
        if told.contains(&w.piece.id) {
            continue;
        }
        let top = w.body.top_m * 1000.0;
        let tall_enough = || shelves.iter().filter(|s| s.may_hold(w));
        let kg = w.piece.mass;
        let strongest = tall_enough()
            .map(|s| s.level.shelf.load_limit)
            .fold(kg * 0.0, glost_model::Mass::max);
        let (why, remedy) = if top > kiln.height.to_mm() - 60.0 {
            (
                format!("at {} it is too tall for this kiln", tall(top)),
                "Fire it in a taller kiln",
            )
        } else if top > tallest {
            (
                format!(
                    "it needs {} of height and the tallest tier of this load has {}; making room for it would cost ware worth more",
                    tall(top),
                    tall(tallest)
                ),
                "Fire it with other tall ware; check that there are posts long enough",
            )
        } else if kg > strongest {
            (
                format!(
                    "it weighs {} and the shelves tall enough for it carry {} at most",
                    ask.studio.shown.mass(kg),
                    ask.studio.shown.mass(strongest)
                ),
                "Fire it on the kiln's floor or on a stronger shelf, by the makers' leave",
            )
        } else if !tall_enough().any(|s| alone(s, w)) {
            (
                "even by itself it finds no place on any shelf of this load: it is too wide, or posts, sensor and cones leave no room".to_owned(),
                "Fire it in a wider kiln, or by itself with other posts",
            )
        } else {
            (
                "every tier tall enough for it is full of ware that is worth more for the room it takes".to_owned(),
                "Fire it next time; a due date or a higher priority brings it forward",
            )
        };
        left_out.push(LeftOut {
            piece: w.piece.id.clone(),
            rule: "no-room".to_owned(),
            why,
            remedy: remedy.to_owned(),
        });
    }
}

/// Tiers from the floor up, with their names.
pub fn write(ware: &[Ware<'_>], shelves: &[Shelf<'_, '_>], on: &[Vec<(usize, Pose)>]) -> Vec<Tier> {
    let (mut left, mut right) = (0_u32, 0_u32);
    shelves
        .iter()
        .zip(on)
        .map(|(s, on)| {
            let (number, mark) = match s.level.side {
                Side::Full => {
                    let n = left.max(right) + 1;
                    (left, right) = (n, n);
                    (n, "")
                }
                Side::Left => {
                    left += 1;
                    (left, "L")
                }
                Side::Right => {
                    right += 1;
                    (right, "R")
                }
            };
            Tier {
                name: format!("{number}{mark}"),
                shelf: s.level.shelf.name.clone(),
                side: s.level.side,
                top_m: Length::mm(s.level.top_mm),
                clear_m: Length::mm(s.level.clear_mm),
                posts: s
                    .level
                    .posts
                    .iter()
                    .map(|p| StandingPost {
                        x_m: Length::m(p.at[0]),
                        y_m: Length::m(p.at[1]),
                        base_m: Length::mm(p.base_mm),
                        lengths_m: p.lengths_mm.iter().map(|l| Length::mm(*l)).collect(),
                    })
                    .collect(),
                pieces: pieces(ware, s, on),
                cone_packs: s
                    .packs
                    .iter()
                    .map(|p| ConePack {
                        x_m: Length::m(p[0]),
                        y_m: Length::m(p[1]),
                    })
                    .collect(),
            }
        })
        .collect()
}

/// In placing order: the far side first, so that nothing is reached over.
fn pieces(ware: &[Ware<'_>], s: &Shelf<'_, '_>, on: &[(usize, Pose)]) -> Vec<Placed> {
    let bodies: Vec<&Body> = on.iter().map(|(i, _)| &ware[*i].body).collect();
    let poses: Vec<Pose> = on.iter().map(|(_, p)| *p).collect();
    let mut list: Vec<Placed> = on
        .iter()
        .enumerate()
        .map(|(n, (i, p))| Placed {
            piece: ware[*i].piece.id.clone(),
            x_m: Length::m(p[0]),
            y_m: Length::m(p[1]),
            rotation_rad: Angle::rad(p[2].rem_euclid(std::f64::consts::TAU)),
            supports: ware[*i].supports.clone(),
            on: None,
            raised_m: Length::m(ware[*i].raised_m),
            mind: ware[*i].mind.clone(),
            gap_m: Length::m(free_gap(&s.room, &bodies, &poses, n)),
        })
        .collect();
    list.sort_by(|a, b| b.y_m.total_cmp(&a.y_m).then(a.x_m.total_cmp(&b.x_m)));
    list.into_iter().flat_map(|p| with_over(ware, p)).collect()
}

/// A placed piece, then what stands on it from the lowest up.
pub fn with_over(ware: &[Ware<'_>], lowest: Placed) -> Vec<Placed> {
    let whole = ware.iter().find(|w| w.piece.id == lowest.piece);
    let over = whole.map(|w| w.over.as_slice()).unwrap_or_default();
    let guests: Vec<Placed> = over
        .iter()
        .map(|o| Placed {
            piece: o.piece.id.clone(),
            on: Some(o.on.clone()),
            raised_m: Length::m(o.raised_m),
            mind: o.mind.clone(),
            ..lowest.clone()
        })
        .collect();
    [lowest].into_iter().chain(guests).collect()
}

/// Whether a piece finds a place on a shelf that is otherwise empty.
pub fn alone(s: &Shelf<'_, '_>, w: &Ware<'_>) -> bool {
    // The same question gets the same answer, whatever was asked before.
    let mut rng = ChaCha8Rng::seed_from_u64(0);
    place(&s.room, &[&w.body], &[None], 200, &mut rng).is_some()
}

/// Whether a post stands on a tier.
pub fn stands_on(post: &StandingPost, t: &Tier) -> bool {
    let here = t.side == Side::Full || (post.x_m < Length::ZERO) == (t.side == Side::Left);
    here && (post.base_m - t.top_m).to_mm().abs() < 0.1
}

/// Takes away shelves that carry neither ware nor posts, from the top down, and opens what they covered.
/// They stay where the witness cones on them find no place lower down.
pub fn without_idle(ask: &PlanAsk<'_>, kiln: &Kiln, tiers: Vec<Tier>) -> Vec<Tier> {
    let mut fewer = tiers.clone();
    loop {
        let idle = fewer.iter().rposition(|t| {
            let posts = fewer.iter().flat_map(|o| &o.posts);
            t.pieces.is_empty() && !posts.into_iter().any(|p| stands_on(p, t))
        });
        let Some(i) = idle else { break };
        fewer.remove(i);
    }
    let thick = |t: &Tier| {
        let shelves = &ask.studio.furniture.shelves;
        shelves
            .iter()
            .find(|s| s.name == t.shelf)
            .map_or(Length::ZERO, |s| s.thickness)
    };
    let clear = |t: &Tier| {
        fewer
            .iter()
            .filter(|o| o.top_m > t.top_m && !o.side.beside(t.side))
            .map(|o| o.top_m - thick(o) - t.top_m)
            .fold(kiln.height - t.top_m, Length::min)
    };
    let all: Vec<Length> = fewer.iter().map(clear).collect();
    for (t, clear_m) in fewer.iter_mut().zip(all) {
        t.clear_m = clear_m;
    }
    if witness::complete(ask, kiln, &mut fewer) {
        fewer
    } else {
        tiers
    }
}
