//! Writes a filled stack down as a plan, and says why what is left stays out.

use glost_model::kiln::Kiln;
use glost_model::load::{ConePack, LeftOut, Placed, Side, StandingPost, Tier};
use glost_model::{Angle, Length};

use crate::assemble::{Shelf, outside};
use crate::engine::{Body, Pose, free_gap};
use crate::plan::PlanAsk;
use crate::ware::Ware;

/// Says of each piece that fits to fire but stayed out what would let it in.
pub fn no_room(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    ware: &[Ware<'_>],
    shelves: &[Shelf<'_, '_>],
    left_out: &mut Vec<LeftOut>,
) {
    let told: std::collections::BTreeSet<String> =
        left_out.iter().map(|l| l.piece.clone()).collect();
    let tall = |mm: f64| ask.studio.shown.length(Length::mm(mm));
    let tallest = shelves
        .iter()
        .map(|s| s.level.clear_mm - s.level.head_mm)
        .fold(0.0, f64::max);
    for i in outside(ware, shelves) {
        let w = &ware[i];
        if told.contains(&w.piece.id) {
            continue;
        }
        let top = w.body.top_m * 1000.0;
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
pub fn write(ware: &[Ware<'_>], shelves: &[Shelf<'_, '_>]) -> Vec<Tier> {
    let (mut left, mut right) = (0_u32, 0_u32);
    shelves
        .iter()
        .map(|s| {
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
                pieces: pieces(ware, s),
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
fn pieces(ware: &[Ware<'_>], s: &Shelf<'_, '_>) -> Vec<Placed> {
    let bodies: Vec<&Body> = s.on.iter().map(|(i, _)| &ware[*i].body).collect();
    let poses: Vec<Pose> = s.on.iter().map(|(_, p)| *p).collect();
    let mut list: Vec<Placed> =
        s.on.iter()
            .enumerate()
            .map(|(n, (i, p))| Placed {
                piece: ware[*i].piece.id.clone(),
                x_m: Length::m(p[0]),
                y_m: Length::m(p[1]),
                rotation_rad: Angle::rad(p[2].rem_euclid(std::f64::consts::TAU)),
                supports: ware[*i].supports.clone(),
                raised_m: Length::m(ware[*i].raised_m),
                mind: ware[*i].mind.clone(),
                gap_m: Length::m(free_gap(&s.room, &bodies, &poses, n)),
            })
            .collect();
    list.sort_by(|a, b| b.y_m.total_cmp(&a.y_m).then(a.x_m.total_cmp(&b.x_m)));
    list
}
