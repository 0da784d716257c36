//! Do witness cones stand where they tell what each part of the kiln got?

use glost_model::kiln::Kiln;
use glost_model::load::{CONE_PACK_HEIGHT, CONE_PACK_RADIUS, LoadPlan, Tier};
use glost_model::studio::Studio;
use glost_rules::RuleBook;
use glost_rules::value::witness_packs;

use crate::geometry::{Body, Place};
use crate::shelves::{clear_above, stock};
use crate::{Breach, TOLERANCE_M, breach};

/// Judges the places of all packs, and whether there are enough on the right tiers.
pub fn judge(
    studio: &Studio,
    book: &RuleBook,
    kiln: &Kiln,
    plan: &LoadPlan,
    out: &mut Vec<Breach>,
) {
    let over_m = |t: &Tier| clear_above(studio, kiln, plan, t) - CONE_PACK_HEIGHT.to_m();
    for t in plan.tiers.iter().filter(|t| !t.cone_packs.is_empty()) {
        if over_m(t) < -TOLERANCE_M {
            out.push(breach(
                "cone-pack",
                Some(&t.name),
                &[],
                "the tier is too low for witness cones".to_owned(),
                "Put them on a higher tier",
            ));
        }
        stand_free(studio, plan, t, out);
    }
    let able: Vec<&Tier> = plan
        .tiers
        .iter()
        .filter(|t| over_m(t) > TOLERANCE_M)
        .collect();
    let told: Vec<&&Tier> = able.iter().filter(|t| !t.cone_packs.is_empty()).collect();
    let want = book.count(&witness_packs::RULE).min(able.len());
    // A millimetre tells shelves apart: halves may lie as high as each other.
    let at = |t: Option<&&Tier>| t.map(|t| t.top_m.to_mm().round());
    let ends = [
        ("lowest", at(able.first()), at(told.first().copied())),
        ("highest", at(able.last()), at(told.last().copied())),
    ];
    let mut missing: Vec<String> = Vec::new();
    if told.len() < want {
        missing.push(format!(
            "{want} shelves should have them, {} have",
            told.len()
        ));
    }
    if want > 1 {
        let bare = ends.iter().filter(|e| e.1 != e.2);
        missing.extend(bare.map(|e| format!("none are on the {} shelf that can hold them", e.0)));
    }
    if !missing.is_empty() {
        out.push(breach(
            "witness-packs",
            None,
            &[],
            format!("of the witness cones, {}", missing.join(" and ")),
            "Put a pack on the lowest, middle and highest shelf",
        ));
    }
}

/// Judges that the packs of a tier stand on its shelf, clear of posts.
fn stand_free(studio: &Studio, plan: &LoadPlan, t: &Tier, out: &mut Vec<Breach>) {
    let Some(kind) = stock(studio, t) else {
        return;
    };
    let shelf = Place::shelf(&kind.shape, t.side);
    let post_r = studio.furniture.post_section.to_m() * std::f64::consts::FRAC_1_SQRT_2;
    let posts = || plan.tiers.iter().flat_map(|u| &u.posts);
    for c in &t.cone_packs {
        let pack = Body::disc(c.x_m.to_m(), c.y_m.to_m(), CONE_PACK_RADIUS.to_m());
        let meets_post = posts()
            .filter(|p| (p.base_m - t.top_m).to_m().abs() < 1e-4)
            .any(|p| Body::disc(p.x_m.to_m(), p.y_m.to_m(), post_r).distance(&pack, 0.05) <= 0.0);
        if shelf.margin(&pack) < -TOLERANCE_M || meets_post {
            out.push(breach(
                "cone-pack",
                Some(&t.name),
                &[],
                "the witness cones do not stand free on the shelf".to_owned(),
                "Move them",
            ));
        }
    }
}
