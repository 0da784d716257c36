//! May these pieces go, each once, with what they need under them?

use std::collections::BTreeMap;

use glost_model::furniture::SupportKind;
use glost_model::kiln::Kiln;
use glost_model::load::{FiringKind, LoadPlan};
use glost_model::piece::Piece;
use glost_model::shape::Outline;
use glost_model::studio::Studio;
use glost_rules::{Case, Finding, Level, Need, RuleBook, fit, mix};

use crate::{Breach, TOLERANCE_M, breach};

/// No NaN, no infinity.
pub fn numbers_are_sound(plan: &LoadPlan) -> bool {
    plan.worth.value.is_finite()
        && plan.worth.at_most.is_finite()
        && plan.tiers.iter().all(|t| {
            t.top_m.is_finite()
                && t.clear_m.is_finite()
                && t.posts.iter().all(|p| {
                    p.x_m.is_finite()
                        && p.y_m.is_finite()
                        && p.base_m.is_finite()
                        && p.lengths_m.iter().all(|l| l.is_finite())
                })
                && t.pieces.iter().all(|p| {
                    p.x_m.is_finite()
                        && p.y_m.is_finite()
                        && p.rotation_rad.is_finite()
                        && p.raised_m.is_finite()
                })
                && t.cone_packs
                    .iter()
                    .all(|c| c.x_m.is_finite() && c.y_m.is_finite())
        })
}

/// Judges pieces, their supports, their company and the books.
pub fn judge(
    studio: &Studio,
    book: &RuleBook,
    kiln: &Kiln,
    plan: &LoadPlan,
    out: &mut Vec<Breach>,
) {
    if plan.cone > kiln.max_cone {
        out.push(breach(
            "kiln-limit",
            None,
            &[],
            format!(
                "cone {} is hotter than the kiln's {}",
                plan.cone, kiln.max_cone
            ),
            "Fire it in a hotter kiln",
        ));
    }
    if plan.worth.value > plan.worth.at_most + 1e-9 {
        out.push(breach(
            "bound",
            None,
            &[],
            "the plan is worth more than its own bound".to_owned(),
            "Report this: the bound is wrong",
        ));
    }
    count(studio, plan, out);
    for (tier, placed) in plan.placed() {
        let Some(piece) = studio.piece(&placed.piece) else {
            continue;
        };
        let name = Some(tier.name.as_str());
        let case = Case {
            studio,
            book,
            piece,
            cone: plan.cone,
            kind: plan.kind,
        };
        let findings = fit::findings(&case);
        for f in findings.iter().filter(|f| f.level == Level::Block) {
            out.push(breach(
                f.rule,
                name,
                &[&piece.id],
                f.why.clone(),
                "Leave it out until that is put right",
            ));
        }
        let mut height = 0.0;
        let mut kinds = Vec::new();
        for s in &placed.supports {
            let Some(stock) = studio.furniture.supports.iter().find(|k| &k.name == s) else {
                out.push(breach(
                    "unknown-name",
                    name,
                    &[&piece.id],
                    format!("no support is called '{s}'"),
                    "Name one that the studio owns",
                ));
                continue;
            };
            height += stock.height.to_m();
            kinds.push(stock.kind);
            let (narrow, wide) = foot_size(piece);
            let d = stock.diameter.to_m();
            let sits = if stock.kind == SupportKind::WasterSlab {
                d >= wide - TOLERANCE_M
            } else {
                d <= narrow + TOLERANCE_M
            };
            if !sits || stock.load_limit < piece.mass {
                out.push(breach(
                    "support-fit",
                    name,
                    &[&piece.id],
                    format!("support '{s}' does not fit its foot or mass"),
                    "Choose another size",
                ));
            }
        }
        let soft = placed.supports.iter().find(|s| {
            let kinds = &studio.furniture.supports;
            kinds
                .iter()
                .any(|k| &k.name == *s && k.max_cone < plan.cone)
        });
        if let Some(s) = soft {
            out.push(breach(
                "support-cone",
                name,
                &[&piece.id],
                format!("support '{s}' does not stand cone {}", plan.cone),
                "Use one that does, or leave the piece out",
            ));
        }
        // What stands on another piece has its height judged with its pile.
        if placed.on.is_none() && (height - placed.raised_m.to_m()).abs() > TOLERANCE_M {
            out.push(breach(
                "support-height",
                name,
                &[&piece.id],
                "is not raised by the height of its supports".to_owned(),
                "Plan the load again",
            ));
        }
        for need in findings.iter().filter_map(|f| f.need) {
            let kind = match need {
                Need::Stilt => SupportKind::Stilt,
                Need::PinSupport => SupportKind::PinSupport,
                Need::WasterSlab => SupportKind::WasterSlab,
            };
            // Points touch the foot itself; a slab lies under them.
            let there = if kind == SupportKind::WasterSlab {
                kinds.contains(&kind)
            } else {
                kinds.last() == Some(&kind)
            };
            if !there {
                out.push(breach(
                    "missing-support",
                    name,
                    &[&piece.id],
                    format!("needs {need:?} under it"),
                    "Put it there or leave the piece out",
                ));
            }
        }
    }
    company(studio, plan, out);
}

fn foot_size(piece: &Piece) -> (f64, f64) {
    let (l, w) = piece.foot_outline.extent();
    let wide = match &piece.foot_outline {
        Outline::Rectangle { length, width } => length.to_m().hypot(width.to_m()),
        Outline::Polygon { points } => {
            2.0 * points
                .iter()
                .map(|p| p.x.to_m().hypot(p.y.to_m()))
                .fold(0.0, f64::max)
        }
        _ => l.max(w).to_m(),
    };
    (l.min(w).to_m(), wide)
}

/// Every piece of the studio is either placed once or left out once with a reason; sets are whole.
fn count(studio: &Studio, plan: &LoadPlan, out: &mut Vec<Breach>) {
    let mut times: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (tier, p) in plan.placed() {
        times.entry(p.piece.as_str()).or_default().0 += 1;
        if studio.piece(&p.piece).is_none() {
            out.push(breach(
                "unknown-name",
                Some(&tier.name),
                &[&p.piece],
                "is not in the studio's list".to_owned(),
                "Take it in first",
            ));
        }
    }
    for l in &plan.left_out {
        if studio.piece(&l.piece).is_none() {
            out.push(breach(
                "unknown-name",
                None,
                &[&l.piece],
                "is left out and not in the studio's list".to_owned(),
                "Take it in first",
            ));
        }
        times.entry(l.piece.as_str()).or_default().1 += 1;
    }
    for p in &studio.pieces {
        let (placed, left) = times.get(p.id.as_str()).copied().unwrap_or_default();
        if placed + left != 1 {
            out.push(breach(
                "once",
                None,
                &[&p.id],
                format!("is placed {placed} times and left out {left} times"),
                "Each piece belongs in one place or on the list of those left out",
            ));
        }
        let apart = p.group.as_ref().and_then(|g| {
            let rest = studio.pieces.iter().filter(|q| q.group.as_ref() == Some(g));
            rest.into_iter()
                .find(|q| times.get(q.id.as_str()).is_none_or(|t| t.0 == 0))
        });
        if placed > 0
            && let Some(q) = apart
        {
            out.push(breach(
                "kept-together",
                None,
                &[&p.id, &q.id],
                "one of a set goes without the other".to_owned(),
                "Place both or neither",
            ));
        }
    }
}

fn company(studio: &Studio, plan: &LoadPlan, out: &mut Vec<Breach>) {
    let glazes = |id: &str| -> Vec<_> {
        studio
            .piece(id)
            .map(|p| p.glazes.iter().filter_map(|g| studio.glaze(g)).collect())
            .unwrap_or_default()
    };
    let all: Vec<(&str, &str, Vec<_>)> = plan
        .placed()
        .map(|(t, p)| (t.name.as_str(), p.piece.as_str(), glazes(&p.piece)))
        .collect();
    for (i, (tier, a, on_a)) in all.iter().enumerate() {
        for (other, b, on_b) in &all[i + 1..] {
            let near = tier == other && plan.kind == FiringKind::Glaze;
            let clash = on_a
                .iter()
                .flat_map(|x| on_b.iter().flat_map(move |y| mix::findings(x, y)));
            // What may share a firing may still have to stand on different tiers.
            let told = |f: &Finding| f.level == Level::Block || (near && f.level == Level::Warn);
            for f in clash.filter(told).take(1) {
                let remedy = if f.level == Level::Block {
                    "Fire one of them another time"
                } else {
                    "Stand them on different tiers"
                };
                out.push(breach(f.rule, Some(tier), &[a, b], f.why, remedy));
            }
        }
    }
}
