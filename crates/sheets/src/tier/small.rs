//! A tier so small that only its outlines are drawn: how full it is, seen at a glance while a load grows.

use glost_model::kiln::Kiln;
use glost_model::load::Tier;
use glost_model::shape::Outline;
use glost_model::studio::Studio;

use crate::outline;
use crate::svg::{Spot, Svg};

/// Width of the drawing, mm.
const WIDTH: f64 = 60.0;
/// Room around the chamber, mm.
const RIM: f64 = 1.0;
/// Half the side of a post, m.
const POST_M: f64 = 0.02;

/// Draws wall, shelf, posts and ware of a tier from above, without a word. One unit is 1 mm of paper.
pub fn tier_small_svg(studio: &Studio, kiln: &Kiln, tier: &Tier) -> String {
    let wall = outline::chamber(&kiln.chamber);
    let (left, right) = outline::range(&wall, |p| p.0);
    let (low, high) = outline::range(&wall, |p| p.1);
    let scale = (WIDTH - 2.0 * RIM) / (right - left).max(1e-3);
    let at = |p: Spot| (RIM + (p.0 - left) * scale, RIM + (high - p.1) * scale);
    let all = |corners: &[Spot]| corners.iter().map(|p| at(*p)).collect::<Vec<_>>();
    let mut svg = Svg::new();
    let line = |fill: &str, width: f64| {
        format!(r#"fill="{fill}" stroke="black" stroke-width="{width}" stroke-linejoin="round""#)
    };
    svg.polygon(&all(&wall), &line("white", 0.8));
    let shelves = &studio.furniture.shelves;
    if let Some(stock) = shelves.iter().find(|s| s.name == tier.shelf) {
        let corners = all(&outline::shelf(stock, tier.side));
        svg.polygon(&corners, &line("rgb(238,238,238)", 0.3));
    }
    for post in &tier.posts {
        let (x, y) = at((post.x_m.to_m() - POST_M, post.y_m.to_m() + POST_M));
        let side = 2.0 * POST_M * scale;
        svg.rect((x, y), (side, side), r#"fill="black""#);
    }
    for placed in &tier.pieces {
        let Some(piece) = studio.piece(&placed.piece) else {
            continue;
        };
        let look = line(if placed.on.is_some() { "none" } else { "white" }, 0.6);
        if let Outline::Circle { diameter } = &piece.widest {
            let middle = at((placed.x_m.to_m(), placed.y_m.to_m()));
            svg.circle(middle, diameter.to_m() * scale / 2.0, &look);
        } else {
            let corners =
                outline::placed(&piece.widest, placed.x_m, placed.y_m, placed.rotation_rad);
            svg.polygon(&all(&corners), &look);
        }
    }
    let height = 2.0 * RIM + (high - low) * scale;
    svg.finish(WIDTH, height, &format!("Tier {} from above", tier.name))
}
