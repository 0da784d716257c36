//! What stands on a tier: pieces on their supports, posts, cone packs.

use glost_model::Length;
use glost_model::furniture::SupportStock;
use glost_model::load::{CONE_PACK_RADIUS, Placed, StandingPost};
use glost_model::shape::Outline;

use super::{Scene, standing_on};
use crate::outline;
use crate::pile;
use crate::support;
use crate::svg::{Anchor, SMALL, Spot, Svg, width_of};

/// Type of the number in placing order, mm.
fn number_size(scene: &Scene<'_>) -> f64 {
    scene.paper.pick(6.0, 4.6)
}
/// Distance of two lines of a label, mm.
const LEADING: f64 = 4.6;
/// A piece that the studio no longer lists is drawn this wide.
const UNKNOWN: Length = Length::mm(60.0);

pub(super) fn draw(svg: &mut Svg, scene: &Scene<'_>) {
    for placed in &scene.tier.pieces {
        piece(svg, scene, placed);
    }
    for post in &scene.tier.posts {
        post_under(svg, scene, post);
    }
    for post in standing_on(scene.plan, scene.tier) {
        post_on(svg, scene, post);
    }
    for pack in &scene.tier.cone_packs {
        cones(svg, scene, scene.frame.spot(pack.x_m, pack.y_m));
    }
    for placed in scene.tier.pieces.iter().filter(|p| p.on.is_none()) {
        label(svg, scene, placed, &pile::over(scene.tier, placed));
    }
}

/// The widest outline of a piece in its place, mm of paper.
fn widest(scene: &Scene<'_>, placed: &Placed) -> Vec<Spot> {
    let unknown = Outline::Circle { diameter: UNKNOWN };
    let shape = scene
        .studio
        .piece(&placed.piece)
        .map_or(&unknown, |p| &p.widest);
    let at = outline::placed(shape, placed.x_m, placed.y_m, placed.rotation_rad);
    scene.frame.all(&at)
}

fn trace(svg: &mut Svg, scene: &Scene<'_>, shape: &Outline, placed: &Placed, look: &str) {
    if let Outline::Circle { diameter } = shape {
        let at = scene.frame.spot(placed.x_m, placed.y_m);
        svg.circle(at, scene.frame.size(*diameter) / 2.0, look);
    } else {
        let at = outline::placed(shape, placed.x_m, placed.y_m, placed.rotation_rad);
        svg.polygon(&scene.frame.all(&at), look);
    }
}

fn piece(svg: &mut Svg, scene: &Scene<'_>, placed: &Placed) {
    if placed.on.is_some() {
        over(svg, scene, placed);
        return;
    }
    let outer = r#"fill="white" stroke="black" stroke-width="0.8" stroke-linejoin="round""#;
    let Some(piece) = scene.studio.piece(&placed.piece) else {
        let unknown = Outline::Circle { diameter: UNKNOWN };
        let look = r#"fill="white" stroke="black" stroke-width="0.8" stroke-dasharray="3 1""#;
        trace(svg, scene, &unknown, placed, look);
        return;
    };
    let at = scene.frame.spot(placed.x_m, placed.y_m);
    let stocks = placed
        .supports
        .iter()
        .filter_map(|s| support::stock(scene.studio, s));
    let (length, width) = piece.widest.extent();
    // What sticks out beyond the ware is seen around it; the rest shows through.
    let (out, beneath): (Vec<_>, Vec<_>) = stocks.partition(|s| s.diameter > length.min(width));
    let draw = |svg: &mut Svg, stocks: &[&SupportStock]| {
        for stock in stocks {
            let r = scene.frame.size(stock.diameter) / 2.0;
            support::draw(svg, stock.kind, at, r);
        }
    };
    draw(svg, &out);
    trace(svg, scene, &piece.widest, placed, outer);
    draw(svg, &beneath);
    let foot = r#"fill="none" stroke="black" stroke-width="0.35" stroke-dasharray="2 0.8""#;
    trace(svg, scene, &piece.foot_outline, placed, foot);
}

/// What stands on or in other ware hides nothing of it.
fn over(svg: &mut Svg, scene: &Scene<'_>, placed: &Placed) {
    if let Some(piece) = scene.studio.piece(&placed.piece) {
        let look = r#"fill="none" stroke="black" stroke-width="0.5" stroke-linejoin="round""#;
        trace(svg, scene, &piece.widest, placed, look);
    }
}

/// Numbers, names and supports of a piece with what stands over it.
fn label(svg: &mut Svg, scene: &Scene<'_>, placed: &Placed, whole: &[(usize, &Placed)]) {
    let corners = widest(scene, placed);
    let (middle, room) = label_place(scene, placed, &corners);
    let codes: Vec<String> = placed
        .supports
        .iter()
        .map(|s| support::code(scene.studio, s))
        .collect();
    let codes = codes.join("+");
    let number = number_size(scene);
    let mut head = pile::numbers(whole);
    let mut lines = Vec::new();
    // Names of a pile in placing order, or its number alone.
    if room > number + LEADING * whole.len() as f64 {
        lines.extend(whole.iter().map(|(_, p)| p.piece.clone()));
    }
    if !codes.is_empty() && room > number + 2.0 * LEADING {
        lines.push(codes);
    } else if !codes.is_empty() {
        head = format!("{head} {codes}");
    }
    let start = middle.1 - LEADING * lines.len() as f64 / 2.0;
    svg.bold(
        (middle.0, start + number * 0.36),
        number,
        Anchor::Middle,
        &head,
    );
    for (i, line) in lines.iter().enumerate() {
        let y = start + LEADING * (i as f64 + 1.0);
        let wide = outline::width_at(&corners, (middle.0, y));
        if let Some(text) = cut(line, wide) {
            svg.text((middle.0, y + SMALL * 0.45), SMALL, Anchor::Middle, &text);
        }
    }
}

/// Where the label of a piece stands, and how much height it has there.
fn label_place(scene: &Scene<'_>, placed: &Placed, corners: &[Spot]) -> (Spot, f64) {
    let (top, bottom) = outline::range(corners, |p| p.1);
    match scene.studio.piece(&placed.piece).map(|p| &p.widest) {
        Some(Outline::Polygon { .. }) => (outline::roomiest(corners), bottom - top),
        _ => (scene.frame.spot(placed.x_m, placed.y_m), bottom - top),
    }
}

/// As much of a long name as fits, from its end, where names of pieces differ.
fn cut(name: &str, wide: f64) -> Option<String> {
    if width_of(name, SMALL) <= wide + 1.0 {
        return Some(name.to_owned());
    }
    let fits = (wide / width_of("0", SMALL)).floor() as usize;
    let count = name.chars().count();
    (fits >= 4).then(|| {
        let tail: String = name.chars().skip(count.saturating_sub(fits - 1)).collect();
        format!("…{tail}")
    })
}

/// Corners of a post, `more` mm of paper larger on each side.
fn square(scene: &Scene<'_>, post: &StandingPost, more: f64) -> (Spot, Spot) {
    let at = scene.frame.spot(post.x_m, post.y_m);
    let side = scene
        .frame
        .size(scene.studio.furniture.post_section)
        .max(3.0)
        + 2.0 * more;
    ((at.0 - side / 2.0, at.1 - side / 2.0), (side, side))
}

fn post_under(svg: &mut Svg, scene: &Scene<'_>, post: &StandingPost) {
    let (corner, size) = square(scene, post, 0.9);
    svg.rect(
        corner,
        size,
        r#"fill="none" stroke="black" stroke-width="0.6" stroke-dasharray="1.6 1.1""#,
    );
}

fn post_on(svg: &mut Svg, scene: &Scene<'_>, post: &StandingPost) {
    let (corner, size) = square(scene, post, 0.0);
    svg.rect(
        corner,
        size,
        r#"fill="black" stroke="black" stroke-width="0.4""#,
    );
    let at = scene.frame.spot(post.x_m, post.y_m);
    let total = scene
        .studio
        .shown
        .bare_length(post.lengths_m.iter().copied().sum());
    // White on black where it fits; else beside the post.
    if width_of(&total, SMALL) <= size.0 {
        svg.reversed((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, &total);
    } else {
        let beside = (at.0, corner.1 + size.1 + SMALL);
        svg.text(beside, SMALL, Anchor::Middle, &total);
    }
}

fn cones(svg: &mut Svg, scene: &Scene<'_>, at: Spot) {
    let r = scene.frame.size(CONE_PACK_RADIUS);
    svg.circle(
        at,
        r,
        r#"fill="white" stroke="black" stroke-width="0.5" stroke-dasharray="0.6 0.9""#,
    );
    for i in -1..=1 {
        let x = at.0 + f64::from(i) * r * 0.55;
        let (w, h) = (r * 0.24, r * 0.55);
        svg.polygon(
            &[(x - w, at.1 + h), (x + w, at.1 + h), (x, at.1 - h)],
            r#"fill="black" stroke="black" stroke-width="0.2""#,
        );
    }
}
