//! The foot of a tier's drawing: scale bar and the key to its marks.

use glost_model::shown::trimmed;
use std::collections::BTreeSet;

use glost_model::Length;

use super::{Scene, standing_on};
use crate::pile;
use crate::support;
use crate::svg::{Anchor, RUNNING, SMALL, Spot, Svg, width_of};

/// Height of a line of the key, mm.
const LINE: f64 = 7.0;
/// Room for the mark before its words, mm.
const MARK: f64 = 9.0;

type Draw = Box<dyn Fn(&mut Svg, Spot)>;

/// Draws the key below `top` and answers with the height of the whole drawing.
pub(super) fn draw(svg: &mut Svg, scene: &Scene<'_>, top: f64) -> f64 {
    let mut y = top + 3.0;
    let mut x = scale_bar(svg, scene, y);
    for (mark, words) in entries(scene) {
        let wide = MARK + width_of(&words, SMALL) * RUNNING + 3.0;
        if x + wide > scene.paper.width() {
            x = 2.0;
            y += LINE;
        }
        mark(svg, (x + 3.5, y));
        svg.text((x + MARK, y + SMALL * 0.36), SMALL, Anchor::Start, &words);
        x += wide;
    }
    y + 5.0
}

/// Draws the scale bar and answers where the key may begin.
fn scale_bar(svg: &mut Svg, scene: &Scene<'_>, y: f64) -> f64 {
    let (bar, name) = if scene.studio.shown.inches {
        (Length::inches(4.0), "4 in")
    } else {
        (Length::mm(100.0), "100 mm")
    };
    let (from, long) = (2.0, scene.frame.size(bar));
    let half = long / 2.0;
    svg.rect(
        (from, y - 1.2),
        (half, 2.4),
        r#"fill="black" stroke="black" stroke-width="0.4""#,
    );
    svg.rect(
        (from + half, y - 1.2),
        (half, 2.4),
        r#"fill="white" stroke="black" stroke-width="0.4""#,
    );
    let words = format!("{name}  (1 : {})", trimmed(1000.0 / scene.frame.scale, 1));
    svg.text(
        (from + long + 2.0, y + SMALL * 0.36),
        SMALL,
        Anchor::Start,
        &words,
    );
    from + long + 2.0 + width_of(&words, SMALL) * RUNNING + 4.0
}

/// Only what this drawing shows.
fn entries(scene: &Scene<'_>) -> Vec<(Draw, String)> {
    let mut out: Vec<(Draw, String)> = Vec::new();
    if standing_on(scene.plan, scene.tier).next().is_some() {
        let unit = scene.studio.shown.length_unit();
        out.push((
            square(r#"fill="black""#),
            format!("post to stand here, {unit}"),
        ));
    }
    if !scene.tier.posts.is_empty() {
        let look = r#"fill="none" stroke="black" stroke-width="0.6" stroke-dasharray="1.6 1.1""#;
        out.push((square(look), "post under the shelf".to_owned()));
    }
    if !scene.tier.cone_packs.is_empty() {
        let mark: Draw = Box::new(|svg, at| {
            let corners = [
                (at.0 - 1.5, at.1 + 2.0),
                (at.0 + 1.5, at.1 + 2.0),
                (at.0, at.1 - 2.0),
            ];
            svg.polygon(&corners, r#"fill="black""#);
        });
        out.push((mark, "cones".to_owned()));
    }
    let ring: Draw = Box::new(|svg, at| {
        let look = r#"fill="none" stroke="black" stroke-width="0.3" stroke-dasharray="0.5 0.9""#;
        svg.circle(at, 2.2, look);
    });
    let apart = if scene.studio.shown.inches {
        "4 in"
    } else {
        "100 mm"
    };
    out.push((ring, format!("rings {apart} apart")));
    out.push((letter("S"), "sensor".to_owned()));
    if !scene.kiln.peepholes.is_empty() {
        out.push((
            letter("P"),
            "peephole (filled: looks into this tier)".to_owned(),
        ));
    }
    if pile::any(scene.tier) {
        let mark: Draw = Box::new(|svg, at| {
            let look = r#"fill="none" stroke="black" stroke-width="0.5""#;
            svg.circle(at, 3.0, look);
            svg.circle(at, 1.8, look);
        });
        let words = "1–3: on or in one another, 1 the lowest";
        out.push((mark, words.to_owned()));
    }
    let used: BTreeSet<&str> = scene
        .tier
        .pieces
        .iter()
        .flat_map(|p| p.supports.iter().map(String::as_str))
        .collect();
    for name in used {
        let Some(kind) = support::stock(scene.studio, name).map(|s| s.kind) else {
            continue;
        };
        let mark: Draw = Box::new(move |svg, at| support::draw(svg, kind, at, 3.0));
        let code = support::code(scene.studio, name);
        out.push((mark, format!("{code} {name}")));
    }
    out
}

fn square(look: &'static str) -> Draw {
    Box::new(move |svg, at| svg.rect((at.0 - 2.2, at.1 - 2.2), (4.4, 4.4), look))
}

fn letter(name: &'static str) -> Draw {
    Box::new(move |svg, at| svg.bold((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, name))
}
