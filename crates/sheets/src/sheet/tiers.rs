//! Each tier in placing order, in the words of its page.

use glost_model::kiln::Kiln;
use glost_model::load::{LoadPlan, On, Placed, Side, StandingPost, Tier};
use glost_model::shape::Outline;
use glost_model::studio::Studio;
use glost_model::{Angle, Length};
use serde::Serialize;

use crate::paper::Paper;
use crate::{clock, stack, support, tier};

/// A post to set.
#[derive(Serialize)]
struct Post {
    length: String,
    place: String,
    on: String,
}

/// A line of the table of pieces.
#[derive(Serialize)]
struct Row {
    number: usize,
    id: String,
    what: String,
    maker: String,
    place: String,
    turn: String,
    support: String,
    height: String,
}

/// A page of the sheet.
#[derive(Serialize)]
pub(super) struct Page {
    name: String,
    part: &'static str,
    shelf: String,
    top: String,
    clear: String,
    posts: Vec<Post>,
    drawing: String,
    pieces: Vec<Row>,
    turned: bool,
    supported: bool,
    cone_packs: Vec<String>,
    mind: Vec<Mind>,
    seen: bool,
}

/// What to mind about a piece.
#[derive(Serialize)]
struct Mind {
    number: usize,
    id: String,
    words: String,
}

pub(super) fn pages(studio: &Studio, kiln: &Kiln, plan: &LoadPlan) -> Vec<Page> {
    plan.tiers
        .iter()
        .map(|t| page(studio, kiln, plan, t))
        .collect()
}

fn page(studio: &Studio, kiln: &Kiln, plan: &LoadPlan, tier: &Tier) -> Page {
    let shown = studio.shown;
    let pieces: Vec<Row> = tier
        .pieces
        .iter()
        .enumerate()
        .map(|(i, p)| row(studio, i + 1, p))
        .collect();
    Page {
        name: tier.name.clone(),
        part: match tier.side {
            Side::Full => "full shelf",
            Side::Left => "left half, 6 to 12 o'clock",
            Side::Right => "right half, 12 to 6 o'clock",
        },
        shelf: tier.shelf.clone(),
        top: shown.length(tier.top_m),
        clear: shown.length(tier.clear_m),
        posts: tier
            .posts
            .iter()
            .map(|p| Post {
                length: stack::post_name(shown, p),
                place: clock::place(shown, p.x_m, p.y_m),
                on: stands_on(plan, p),
            })
            .collect(),
        seen: kiln
            .peepholes
            .iter()
            .any(|p| p.height >= tier.top_m && p.height <= tier.top_m + tier.clear_m),
        mind: tier
            .pieces
            .iter()
            .enumerate()
            .filter(|(_, p)| !p.mind.is_empty())
            .map(|(i, p)| Mind {
                number: i + 1,
                id: p.piece.clone(),
                words: p.mind.join(". "),
            })
            .collect(),
        drawing: tier::tier_svg(studio, kiln, plan, tier, Paper::Sheet),
        turned: pieces.iter().any(|r| !r.turn.is_empty()),
        supported: pieces.iter().any(|r| !r.support.is_empty()),
        pieces,
        cone_packs: tier
            .cone_packs
            .iter()
            .map(|c| clock::place(shown, c.x_m, c.y_m))
            .collect(),
    }
}

fn stands_on(plan: &LoadPlan, post: &StandingPost) -> String {
    if post.base_m < Length::mm(1.0) {
        return "the floor".to_owned();
    }
    plan.tiers
        .iter()
        .find(|t| tier::stands_on(post, t))
        .map_or_else(String::new, |t| format!("tier {}", t.name))
}

fn row(studio: &Studio, number: usize, placed: &Placed) -> Row {
    let shown = studio.shown;
    let piece = studio.piece(&placed.piece);
    let named = |s: &String| format!("{} {s}", support::code(studio, s));
    let on = placed.on.iter().map(On::words);
    let supports: Vec<String> = on.chain(placed.supports.iter().map(named)).collect();
    Row {
        number,
        id: placed.piece.clone(),
        what: piece.map_or("no longer listed", |p| &p.what).to_owned(),
        maker: piece.map_or("", |p| &p.maker).to_owned(),
        place: clock::place(shown, placed.x_m, placed.y_m),
        turn: piece.map_or_else(String::new, |p| turn(&p.widest, placed.rotation_rad)),
        support: supports.join(", "),
        height: piece.map_or_else(String::new, |p| shown.length(p.height + placed.raised_m)),
    }
}

/// How a piece is turned: where its long side points, or how far from the way it was measured.
/// Nothing for what is round.
fn turn(shape: &Outline, by: Angle) -> String {
    match shape {
        Outline::Circle { .. } => String::new(),
        Outline::Ellipse { length, width } | Outline::Rectangle { length, width } => {
            let along = if length >= width { 0.0 } else { 90.0 };
            let clockwise = (90.0 - by.to_deg() - along).rem_euclid(180.0);
            let from = clock::hour(clockwise.to_radians());
            let to = clock::hour((clockwise + 180.0).to_radians());
            format!("long side {from} – {to}")
        }
        Outline::Polygon { .. } => {
            let left = by.to_deg().rem_euclid(360.0).round();
            if left > 180.0 {
                format!("{:.0}° clockwise", 360.0 - left)
            } else if left > 0.0 {
                format!("{left:.0}° anticlockwise")
            } else {
                "as drawn".to_owned()
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use glost_model::shape::Point;

    use super::*;

    #[test]
    fn a_turn_is_told_by_the_long_side() {
        let dish = Outline::Ellipse {
            length: Length::mm(200.0),
            width: Length::mm(120.0),
        };
        assert_eq!(turn(&dish, Angle::deg(0.0)), "long side 3:00 – 9:00");
        assert_eq!(turn(&dish, Angle::deg(90.0)), "long side 12:00 – 6:00");
        assert_eq!(turn(&dish, Angle::deg(30.0)), "long side 2:00 – 8:00");
        let round = Outline::Circle {
            diameter: Length::mm(90.0),
        };
        assert_eq!(turn(&round, Angle::deg(30.0)), "");
        let corner = |x, y| Point {
            x: Length::mm(x),
            y: Length::mm(y),
        };
        let fox = Outline::Polygon {
            points: vec![corner(0.0, 0.0), corner(90.0, 0.0), corner(0.0, 60.0)],
        };
        assert_eq!(turn(&fox, Angle::deg(0.0)), "as drawn");
        assert_eq!(turn(&fox, Angle::deg(30.0)), "30° anticlockwise");
        assert_eq!(turn(&fox, Angle::deg(-30.0)), "30° clockwise");
    }
}
