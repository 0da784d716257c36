//! Does the furniture exist, and does it stand?

use geo::Coord;
use glost_model::furniture::{ShelfSpan, ShelfStock};
use glost_model::kiln::Kiln;
use glost_model::load::{LoadPlan, Side, Tier};
use glost_model::studio::Studio;
use glost_rules::RuleBook;
use glost_rules::value::{
    gap_floor, gap_sensor, post_inset, post_over_post, shelf_wall, tip_margin,
};

use crate::geometry::{Body, Place};
use crate::{Breach, TOLERANCE_M, breach};

/// Whether two parts of the plan lie over one another.
pub fn same_column(a: Side, b: Side) -> bool {
    a == b || a == Side::Full || b == Side::Full
}

/// The kind of shelf of a tier.
pub fn stock<'a>(studio: &'a Studio, tier: &Tier) -> Option<&'a ShelfStock> {
    studio
        .furniture
        .shelves
        .iter()
        .find(|s| s.name == tier.shelf)
}

/// Judges shelves and posts.
pub fn judge(
    studio: &Studio,
    book: &RuleBook,
    kiln: &Kiln,
    plan: &LoadPlan,
    out: &mut Vec<Breach>,
) {
    let chamber = Place::chamber(&kiln.chamber);
    for (i, tier) in plan.tiers.iter().enumerate() {
        let name = Some(tier.name.as_str());
        let before = &plan.tiers[..i];
        if before
            .iter()
            .any(|t| t.name == tier.name || t.top_m > tier.top_m)
        {
            out.push(breach(
                "tier-order",
                name,
                &[],
                "tiers go from the floor up, each with a name of its own".to_owned(),
                "Put them in order, or plan the load again",
            ));
        }
        let Some(kind) = stock(studio, tier) else {
            out.push(breach(
                "unknown-name",
                name,
                &[],
                format!("no shelf is called '{}'", tier.shelf),
                "Name one that the studio owns",
            ));
            continue;
        };
        if (kind.span == ShelfSpan::Half) == (tier.side == Side::Full) {
            out.push(breach(
                "shelf-side",
                name,
                &[],
                "a half shelf lies left or right, a full one over all".to_owned(),
                "Choose the other kind",
            ));
        }
        let outline = Place::shelf(&kind.shape, tier.side);
        if chamber.margin_of(&outline) < book.length(&shelf_wall::RULE).to_m() - TOLERANCE_M {
            out.push(breach(
                "shelf-wall",
                name,
                &[],
                "the shelf is too near the wall".to_owned(),
                "Use a smaller shelf",
            ));
        }
        let under = (tier.top_m - kind.thickness).to_m();
        if under < book.length(&gap_floor::RULE).to_m() - TOLERANCE_M {
            out.push(breach(
                "gap-floor",
                name,
                &[],
                "the shelf lies too near the floor".to_owned(),
                "Raise it on short posts",
            ));
        }
        let clear = clear_above(studio, kiln, plan, tier);
        if (clear - tier.clear_m.to_m()).abs() > 1e-4 {
            out.push(breach(
                "clear-height",
                name,
                &[],
                format!(
                    "says {:.1} mm are clear above it; {:.1} mm are",
                    tier.clear_m.to_mm(),
                    clear * 1e3
                ),
                "Plan the load again",
            ));
        }
        sensor(book, kiln, tier, kind, &outline, &chamber, out);
        posts(studio, book, plan, tier, kind, &outline, out);
        balance(studio, book, tier, kind, &outline, out);
    }
}

/// Distance from a tier's top to the nearest underside above it in its column, or to the roof, m.
pub fn clear_above(studio: &Studio, kiln: &Kiln, plan: &LoadPlan, tier: &Tier) -> f64 {
    plan.tiers
        .iter()
        .filter(|t| {
            !std::ptr::eq(*t, tier) && same_column(t.side, tier.side) && t.top_m > tier.top_m
        })
        .filter_map(|t| stock(studio, t).map(|s| (t.top_m - s.thickness - tier.top_m).to_m()))
        .fold((kiln.height - tier.top_m).to_m(), f64::min)
}

/// A shelf keeps half of the sensor's room: the trade blocks under 25 mm of the usual 50.
fn sensor(
    book: &RuleBook,
    kiln: &Kiln,
    tier: &Tier,
    kind: &ShelfStock,
    outline: &Place,
    chamber: &Place,
    out: &mut Vec<Breach>,
) {
    let keep = book.length(&gap_sensor::RULE).to_m() / 2.0 - TOLERANCE_M;
    let z = kiln.sensor.height.to_m();
    let beside = z < tier.top_m.to_m() + keep && z > (tier.top_m - kind.thickness).to_m() - keep;
    if beside && outline.distance(&sensor_body(kiln, chamber)) < keep {
        out.push(breach(
            "gap-sensor",
            Some(&tier.name),
            &[],
            "the shelf lies beside the sensor".to_owned(),
            "Choose other posts below it",
        ));
    }
}

/// The sensor's sheath as a thin bar.
pub fn sensor_body(kiln: &Kiln, chamber: &Place) -> Body {
    use glost_model::Length;
    use glost_model::shape::{Outline, Point};
    let angle = kiln.sensor.angle.to_rad();
    let wall = chamber.edge(angle);
    let r = kiln.sensor.reach.to_m();
    let corner = |x: f64, y: f64| Point {
        x: Length::m(x),
        y: Length::m(y),
    };
    let bar = Outline::Polygon {
        points: vec![
            corner(-r, -1e-5),
            corner(0.0, -1e-5),
            corner(0.0, 1e-5),
            corner(-r, 1e-5),
        ],
    };
    Body::outline(&bar, wall.x, wall.y, angle)
}

fn posts(
    studio: &Studio,
    book: &RuleBook,
    plan: &LoadPlan,
    tier: &Tier,
    kind: &ShelfStock,
    outline: &Place,
    out: &mut Vec<Breach>,
) {
    let name = Some(tier.name.as_str());
    let under = (tier.top_m - kind.thickness).to_m();
    let r = studio.furniture.post_section.to_m() * std::f64::consts::FRAC_1_SQRT_2;
    if tier.posts.len() < 3 {
        out.push(breach(
            "three-posts",
            name,
            &[],
            format!("stands on {} posts", tier.posts.len()),
            "Put three posts under it",
        ));
    }
    for (i, p) in tier.posts.iter().enumerate() {
        let body = Body::disc(p.x_m.to_m(), p.y_m.to_m(), r);
        if (p.top().to_m() - under).abs() > TOLERANCE_M {
            out.push(breach(
                "post-height",
                name,
                &[],
                format!(
                    "post {} ends {:.1} mm from the shelf's underside",
                    i + 1,
                    (under - p.top().to_m()) * 1e3
                ),
                "Use posts that add up to the height",
            ));
        }
        let middle = Coord {
            x: p.x_m.to_m(),
            y: p.y_m.to_m(),
        };
        let inset = book.length(&post_inset::RULE).to_m() - TOLERANCE_M;
        if outline.margin(&body) < -TOLERANCE_M || outline.depth(middle) < inset {
            out.push(breach(
                "post-inset",
                name,
                &[],
                format!("post {} stands too near the shelf's edge", i + 1),
                "Move it in",
            ));
        }
        if tier.posts[i + 1..]
            .iter()
            .any(|q| (q.x_m - p.x_m).to_m().hypot((q.y_m - p.y_m).to_m()) < 2.0 * r)
        {
            out.push(breach(
                "post-apart",
                name,
                &[],
                "two posts stand in one place".to_owned(),
                "Move them apart",
            ));
        }
        if p.base_m.to_m().abs() <= TOLERANCE_M {
            continue;
        }
        let below = plan.tiers.iter().find(|t| {
            (t.top_m - p.base_m).to_m().abs() <= TOLERANCE_M
                && stock(studio, t)
                    .is_some_and(|s| Place::shelf(&s.shape, t.side).margin(&body) > -TOLERANCE_M)
        });
        let Some(below) = below else {
            out.push(breach(
                "post-base",
                name,
                &[],
                format!("post {} stands on nothing", i + 1),
                "Stand it on the shelf below",
            ));
            continue;
        };
        let most = book.length(&post_over_post::RULE).to_m() + TOLERANCE_M;
        if !below
            .posts
            .iter()
            .any(|q| (q.x_m - p.x_m).to_m().hypot((q.y_m - p.y_m).to_m()) <= most)
        {
            out.push(breach(
                "post-over-post",
                name,
                &[],
                format!("post {} stands over no post of tier {}", i + 1, below.name),
                "Stand posts directly above one another",
            ));
        }
    }
}

fn balance(
    studio: &Studio,
    book: &RuleBook,
    tier: &Tier,
    kind: &ShelfStock,
    outline: &Place,
    out: &mut Vec<Breach>,
) {
    let c = outline.centroid();
    let own = kind.mass.to_kg();
    let (mut kg, mut x, mut y) = (own, own * c.x, own * c.y);
    let mut load = 0.0;
    for p in &tier.pieces {
        let m = studio.piece(&p.piece).map_or(0.0, |q| q.mass.to_kg());
        load += m;
        kg += m;
        x += m * p.x_m.to_m();
        y += m * p.y_m.to_m();
    }
    if load > kind.load_limit.to_kg() + 1e-9 {
        out.push(breach(
            "shelf-load",
            Some(&tier.name),
            &[],
            format!(
                "carries {load:.1} kg of at most {:.1} kg",
                kind.load_limit.to_kg()
            ),
            "Move ware to another tier",
        ));
    }
    let feet: Vec<Coord<f64>> = tier
        .posts
        .iter()
        .map(|p| Coord {
            x: p.x_m.to_m(),
            y: p.y_m.to_m(),
        })
        .collect();
    let inside = kg > 0.0
        && feet.len() >= 3
        && Place::hull(&feet).depth(Coord {
            x: x / kg,
            y: y / kg,
        }) >= book.length(&tip_margin::RULE).to_m() - TOLERANCE_M;
    if !inside {
        out.push(breach(
            "tip-margin",
            Some(&tier.name),
            &[],
            "its weight does not lie well inside its posts".to_owned(),
            "Spread the ware or the posts",
        ));
    }
}
