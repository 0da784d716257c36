//! Names, heights and posts of the tiers in the margin, led to their shelves.

use std::collections::BTreeMap;

use glost_model::kiln::Kiln;
use glost_model::load::{LoadPlan, Tier};
use glost_model::shown::Shown;
use glost_model::studio::Studio;

use super::{View, WIDTH};
use crate::spread::spread;
use crate::svg::{Anchor, SMALL, Svg};

/// Distance of two lines of a note, mm.
const LEADING: f64 = 4.8;
/// Type of a tier's name, mm.
const NAME: f64 = 4.8;

struct Note {
    at: f64,
    head: String,
    lines: Vec<String>,
}

pub(super) fn draw(svg: &mut Svg, studio: &Studio, kiln: &Kiln, plan: &LoadPlan, view: &View) {
    let shown = studio.shown;
    let mut left: Vec<Note> = Vec::new();
    let mut right: Vec<Note> = vec![Note {
        at: view.z(kiln.height),
        head: String::new(),
        lines: vec![format!("inside {}", shown.length(kiln.height))],
    }];
    for tier in &plan.tiers {
        let side = if view.on_left(tier) {
            &mut left
        } else {
            &mut right
        };
        side.push(note(shown, tier, view));
    }
    column(svg, &left, view, true);
    column(svg, &right, view, false);
}

fn note(shown: Shown, tier: &Tier, view: &View) -> Note {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for post in &tier.posts {
        *counts.entry(post_name(shown, post)).or_default() += 1;
    }
    Note {
        at: view.z(tier.top_m),
        head: format!("Tier {}", tier.name),
        lines: std::iter::once(format!("{} up", shown.length(tier.top_m)))
            .chain(counts.iter().map(|(name, n)| format!("{n} × {name}")))
            .collect(),
    }
}

/// Lengths of a post from the foot up, as `150` or `100 + 50`.
pub(crate) fn post_name(shown: Shown, post: &glost_model::load::StandingPost) -> String {
    let parts: Vec<String> = post
        .lengths_m
        .iter()
        .map(|&l| shown.bare_length(l))
        .collect();
    parts.join(" + ")
}

fn column(svg: &mut Svg, notes: &[Note], view: &View, left: bool) {
    let tall = |n: &Note| LEADING * (n.lines.len() + usize::from(!n.head.is_empty())) as f64 + 1.5;
    let wanted: Vec<(f64, f64)> = notes.iter().map(|n| (n.at, tall(n))).collect();
    let (edge, text_x, anchor, sign) = if left {
        (view.middle - view.half, 31.0, Anchor::End, -1.0)
    } else {
        (view.middle + view.half, WIDTH - 31.0, Anchor::Start, 1.0)
    };
    for (n, middle) in notes.iter().zip(spread(&wanted)) {
        let thin = r#"stroke="black" stroke-width="0.3""#;
        let knee = text_x - sign * 1.0;
        svg.line((edge + sign * 3.0, n.at), (edge - sign * 0.6, n.at), thin);
        svg.line((edge + sign * 3.0, n.at), (knee, middle), thin);
        let mut y = middle - tall(n) / 2.0 + LEADING * 0.85 + 0.75;
        if !n.head.is_empty() {
            svg.bold((text_x, y), NAME, anchor, &n.head);
            y += LEADING;
        }
        for line in &n.lines {
            svg.text((text_x, y), SMALL, anchor, line);
            y += LEADING;
        }
    }
}
