//! The stack of a plan that is there already: its shelves on its posts.

use glost_model::Length;
use glost_model::kiln::Kiln;
use glost_model::load::{LoadPlan, Side};
use glost_rules::value::{gap_above, gap_lid};

use super::ChangeError;
use crate::plan::PlanAsk;
use crate::region::Region;
use crate::skeleton::{Level, Post};

/// Heights closer than this are the same, mm.
const SAME_MM: f64 = 0.1;

/// A level for each tier of the plan, in its order.
pub fn levels<'a>(
    ask: &PlanAsk<'a>,
    kiln: &Kiln,
    from: &LoadPlan,
) -> Result<Vec<Level<'a>>, ChangeError> {
    let sound = |v: &Length| v.is_finite() && v.to_m().abs() < 10.0;
    from.tiers
        .iter()
        .map(|t| {
            let shelves = &ask.studio.furniture.shelves;
            let shelf = shelves.iter().find(|s| s.name == t.shelf).ok_or_else(|| {
                ChangeError::Unsound(format!(
                    "tier {} lies on a shelf '{}' that the studio does not have",
                    t.name, t.shelf
                ))
            })?;
            let posts = t.posts.iter().flat_map(|p| {
                let own = [p.x_m, p.y_m, p.base_m];
                own.into_iter().chain(p.lengths_m.iter().copied())
            });
            let ware = t.pieces.iter().flat_map(|p| [p.x_m, p.y_m, p.raised_m]);
            let packs = t.cone_packs.iter().flat_map(|p| [p.x_m, p.y_m]);
            let all = [t.top_m, t.clear_m].into_iter().chain(posts);
            let turns = t.pieces.iter().all(|p| p.rotation_rad.is_finite());
            if !turns || !all.chain(ware).chain(packs).all(|v| sound(&v)) {
                let what = format!("tier {} holds a number that cannot be", t.name);
                return Err(ChangeError::Unsound(what));
            }
            let region = Region::shelf(&shelf.shape, t.side).measure();
            let under_lid = (t.top_m + t.clear_m - kiln.height).to_mm().abs() < SAME_MM;
            let head = if under_lid {
                &gap_lid::RULE
            } else {
                &gap_above::RULE
            };
            let stand_on_it = from.tiers.iter().flat_map(|o| &o.posts).filter(|p| {
                let here = t.side == Side::Full || (p.x_m < Length::ZERO) == (t.side == Side::Left);
                here && (p.base_m - t.top_m).to_mm().abs() < SAME_MM
            });
            Ok(Level {
                shelf,
                side: t.side,
                top_mm: t.top_m.to_mm(),
                clear_mm: t.clear_m.to_mm(),
                area_m2: region.area_m2,
                centroid_x_m: if t.side == Side::Full {
                    0.0
                } else {
                    region.centroid_x_m
                },
                head_mm: ask.book.length(head).to_mm(),
                posts: t
                    .posts
                    .iter()
                    .map(|p| Post {
                        at: [p.x_m.to_m(), p.y_m.to_m()],
                        base_mm: p.base_m.to_mm(),
                        lengths_mm: p.lengths_m.iter().map(|l| l.to_mm()).collect(),
                    })
                    .collect(),
                carries: stand_on_it.map(|p| [p.x_m.to_m(), p.y_m.to_m()]).collect(),
            })
        })
        .collect()
}
