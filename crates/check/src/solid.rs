//! Do two solid things claim one place? Shelves through shelves, posts or ware through shelves.

use glost_model::kiln::Kiln;
use glost_model::load::LoadPlan;
use glost_model::studio::Studio;

use crate::geometry::{Body, Place};
use crate::shelves::{same_column, stock};
use crate::{Breach, TOLERANCE_M, breach};

/// Judges that no shelf meets another, and that no post and no ware passes through one.
pub fn judge(studio: &Studio, kiln: &Kiln, plan: &LoadPlan, out: &mut Vec<Breach>) {
    for (i, tier) in plan.tiers.iter().enumerate() {
        let name = Some(tier.name.as_str());
        let Some(kind) = stock(studio, tier) else {
            continue;
        };
        let (under, top) = ((tier.top_m - kind.thickness).to_m(), tier.top_m.to_m());
        if top > kiln.height.to_m() + TOLERANCE_M {
            out.push(breach(
                "shelf-place",
                name,
                &[],
                "the shelf lies above the kiln's height".to_owned(),
                "Use shorter posts",
            ));
        }
        let met = plan.tiers[i + 1..].iter().find(|t| {
            same_column(t.side, tier.side)
                && stock(studio, t).is_some_and(|s| {
                    (t.top_m - s.thickness).to_m() < top - TOLERANCE_M
                        && t.top_m.to_m() > under + TOLERANCE_M
                })
        });
        if let Some(t) = met {
            out.push(breach(
                "shelf-place",
                name,
                &[],
                format!("the shelf meets that of tier {}", t.name),
                "Use other posts",
            ));
        }
        let slab = Place::shelf(&kind.shape, tier.side);
        pierced(studio, plan, &slab, (under, top), name, out);
    }
    posts_apart(studio, plan, out);
}

/// Posts and ware that pass through one shelf.
fn pierced(
    studio: &Studio,
    plan: &LoadPlan,
    slab: &Place,
    (under, top): (f64, f64),
    name: Option<&str>,
    out: &mut Vec<Breach>,
) {
    let through = |from: f64, to: f64| from < top - TOLERANCE_M && to > under + TOLERANCE_M;
    let r = studio.furniture.post_section.to_m() / 2.0;
    for p in plan.tiers.iter().flat_map(|t| &t.posts) {
        let body = Body::disc(p.x_m.to_m(), p.y_m.to_m(), r);
        if through(p.base_m.to_m(), p.top().to_m()) && slab.distance(&body) <= 0.0 {
            out.push(breach(
                "post-base",
                name,
                &[],
                "a post passes through the shelf".to_owned(),
                "Stand it on the shelf, not through it",
            ));
        }
    }
    for (tier, p) in plan.placed() {
        let Some(piece) = studio.piece(&p.piece) else {
            continue;
        };
        let from = tier.top_m.to_m();
        let to = from + (p.raised_m + piece.height).to_m();
        if !through(from, to) {
            continue;
        }
        let widest = Body::outline(
            &piece.widest,
            p.x_m.to_m(),
            p.y_m.to_m(),
            p.rotation_rad.to_rad(),
        );
        if slab.distance(&widest) <= 0.0 {
            out.push(breach(
                "gap-shelf",
                name,
                &[&piece.id],
                "meets the shelf".to_owned(),
                "Move it clear of the neighbouring shelf",
            ));
        }
    }
}

/// Posts of different tiers that claim one place at one height.
fn posts_apart(studio: &Studio, plan: &LoadPlan, out: &mut Vec<Breach>) {
    let section = studio.furniture.post_section.to_m();
    for (i, t) in plan.tiers.iter().enumerate() {
        for u in &plan.tiers[i + 1..] {
            let meet = t.posts.iter().any(|p| {
                u.posts.iter().any(|q| {
                    let beside = p.base_m.to_m() < q.top().to_m() - TOLERANCE_M
                        && q.base_m.to_m() < p.top().to_m() - TOLERANCE_M;
                    let apart = (p.x_m - q.x_m).to_m().hypot((p.y_m - q.y_m).to_m());
                    beside && apart < section - TOLERANCE_M
                })
            });
            if meet {
                out.push(breach(
                    "post-apart",
                    Some(&u.name),
                    &[],
                    format!("a post stands in the place of one of tier {}", t.name),
                    "Move them apart",
                ));
            }
        }
    }
}
