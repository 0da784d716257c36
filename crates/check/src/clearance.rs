//! Does anything touch?

use glost_model::furniture::SupportKind;
use glost_model::kiln::Kiln;
use glost_model::load::{CONE_PACK_RADIUS, FiringKind, LoadPlan, Tier};
use glost_model::piece::Piece;
use glost_model::studio::Studio;
use glost_rules::RuleBook;
use glost_rules::value::{
    gap_above, gap_bisque, gap_lid, gap_pack, gap_post, gap_runny, gap_sensor, gap_wall, gap_ware,
};

use crate::geometry::{Body, Place};
use crate::shelves::{clear_above, sensor_body, stock};
use crate::{Breach, TOLERANCE_M, breach};

struct Stands<'a> {
    tier: &'a Tier,
    piece: &'a Piece,
    widest: Body,
    slab: Option<Body>,
    foot: Body,
    from: f64,
    to: f64,
    runny: bool,
    /// The piece on the shelf that carries it.
    lowest: &'a str,
}

impl Stands<'_> {
    fn distance(&self, body: &Body, enough: f64) -> f64 {
        let own = self.widest.distance(body, enough);
        self.slab
            .as_ref()
            .map_or(own, |s| own.min(s.distance(body, enough)))
    }
    fn beside(&self, other: &Self) -> bool {
        let one_pile = std::ptr::eq(self.tier, other.tier) && self.lowest == other.lowest;
        !one_pile && self.from < other.to && other.from < self.to
    }
}

fn stands<'a>(studio: &'a Studio, plan: &'a LoadPlan) -> Vec<Stands<'a>> {
    plan.placed()
        .filter_map(|(tier, p)| {
            let piece = studio.piece(&p.piece)?;
            let (x, y, turn) = (p.x_m.to_m(), p.y_m.to_m(), p.rotation_rad.to_rad());
            let slab = p
                .supports
                .iter()
                .filter_map(|s| studio.furniture.supports.iter().find(|k| &k.name == s))
                .filter(|s| s.kind == SupportKind::WasterSlab)
                .map(|s| s.diameter.to_m() / 2.0)
                .reduce(f64::max)
                .map(|r| Body::disc(x, y, r));
            Some(Stands {
                tier,
                piece,
                widest: Body::outline(&piece.widest, x, y, turn),
                slab,
                foot: Body::outline(&piece.foot_outline, x, y, turn),
                from: tier.top_m.to_m(),
                to: tier.top_m.to_m() + p.raised_m.to_m() + piece.height.to_m(),
                runny: piece
                    .glazes
                    .iter()
                    .filter_map(|g| studio.glaze(g))
                    .any(|g| g.runny),
                lowest: crate::pile::lowest(tier, p),
            })
        })
        .collect()
}

/// Judges every distance between ware, walls, posts, sensor, cones, shelves and lid.
pub fn judge(
    studio: &Studio,
    book: &RuleBook,
    kiln: &Kiln,
    plan: &LoadPlan,
    out: &mut Vec<Breach>,
) {
    let len = |rule| book.length(rule).to_m() - TOLERANCE_M;
    let chamber = Place::chamber(&kiln.chamber);
    let sensor = sensor_body(kiln, &chamber);
    let all = stands(studio, plan);
    let post_r = studio.furniture.post_section.to_m() * std::f64::consts::FRAC_1_SQRT_2;
    let roof = kiln.height.to_m();
    let shelves: Vec<(&Tier, Place)> = plan
        .tiers
        .iter()
        .filter_map(|t| Some((t, Place::shelf(&stock(studio, t)?.shape, t.side))))
        .collect();
    for (i, s) in all.iter().enumerate() {
        let name = Some(s.tier.name.as_str());
        let id = s.piece.id.as_str();
        let mut say = |rule: &'static str, what: String, remedy: &'static str| {
            out.push(breach(rule, name, &[id], what, remedy))
        };
        if let Some((_, shelf)) = shelves.iter().find(|(t, _)| std::ptr::eq(*t, s.tier)) {
            let own = shelf.margin(&s.foot).min(shelf.margin(&s.widest));
            let slab = s.slab.as_ref().map(|slab| shelf.margin(slab));
            let over = slab.map_or(own, |slab| slab.min(own));
            if over < -TOLERANCE_M {
                say(
                    "overhang",
                    format!("reaches {:.1} mm past the shelf's edge", -over * 1e3),
                    "Move it in",
                );
            }
        }
        let wall = s
            .slab
            .as_ref()
            .map_or(f64::INFINITY, |b| chamber.margin(b))
            .min(chamber.margin(&s.widest));
        if wall < len(&gap_wall::RULE) {
            say(
                "gap-wall",
                format!("is {:.1} mm from the wall", wall * 1e3),
                "Move it in",
            );
        }
        let clear = clear_above(studio, kiln, plan, s.tier);
        let at_roof = (s.from + clear - roof).abs() < 1e-4;
        let head = len(if at_roof {
            &gap_lid::RULE
        } else {
            &gap_above::RULE
        });
        if s.from + clear - s.to < head {
            say(
                if at_roof { "gap-lid" } else { "gap-above" },
                format!("has {:.1} mm above it", (s.from + clear - s.to) * 1e3),
                "Use longer posts or another tier",
            );
        }
        let near = len(&gap_sensor::RULE);
        let z = kiln.sensor.height.to_m();
        if z > s.from - near && z < s.to + near && s.distance(&sensor, near) < near {
            say(
                "gap-sensor",
                "stands in the sensor's room".to_owned(),
                "Move it away",
            );
        }
        for t in &plan.tiers {
            for p in &t.posts {
                let passes = p.base_m.to_m() < s.to && p.top().to_m() > s.from;
                let post = Body::disc(p.x_m.to_m(), p.y_m.to_m(), post_r);
                let d = if passes {
                    s.distance(&post, 0.05)
                } else {
                    f64::INFINITY
                };
                if d < len(&gap_post::RULE) {
                    say(
                        "gap-post",
                        format!("is {:.1} mm from a post", d * 1e3),
                        "Move it away",
                    );
                }
            }
        }
        for c in &s.tier.cone_packs {
            let pack = Body::disc(c.x_m.to_m(), c.y_m.to_m(), CONE_PACK_RADIUS.to_m());
            if s.distance(&pack, 0.05) < len(&gap_pack::RULE) {
                say(
                    "gap-pack",
                    "crowds the witness cones".to_owned(),
                    "Move it away",
                );
            }
        }
        for other in all[i + 1..].iter().filter(|o| s.beside(o)) {
            let gap = match plan.kind {
                FiringKind::Bisque => len(&gap_bisque::RULE),
                FiringKind::Glaze if s.runny || other.runny => {
                    len(&gap_runny::RULE).max(len(&gap_ware::RULE))
                }
                FiringKind::Glaze => len(&gap_ware::RULE),
            };
            let mut d = s.distance(&other.widest, gap);
            if let Some(slab) = &other.slab {
                d = d.min(s.distance(slab, gap));
            }
            if d < gap {
                out.push(breach(
                    "gap-ware",
                    name,
                    &[id, &other.piece.id],
                    format!(
                        "stand {:.1} mm apart; {:.1} mm are wanted",
                        d * 1e3,
                        gap * 1e3
                    ),
                    "Move them apart",
                ));
            }
        }
    }
}
