//! Names, heights and posts of the tiers in the margin, led to their shelves.

use std::collections::BTreeMap;

use glost_model::kiln::Kiln;
use glost_model::load::{LoadPlan, Tier};
use glost_model::shown::Shown;
use glost_model::studio::Studio;

use super::View;
use crate::spread::spread;
use crate::svg::{Anchor, SMALL, Svg};

/// Distance of two lines of a note, mm.
const LEADING: f64 = 4.8;
/// Room for the words of a note, mm.
const NOTES: f64 = 31.0;
/// Type of a tier's name, mm.
const NAME: f64 = 4.8;

struct Note {
    at: f64,
    head: String,
    lines: Vec<String>,
}

pub(super) fn draw(svg: &mut Svg, studio: &Studio, kiln: &Kiln, plan: &LoadPlan, view: &View) {
    for (notes, left) in columns(studio.shown, kiln, plan, view) {
        column(svg, &notes, view, left);
    }
}

/// Upper and lower edge of all notes, mm of paper.
pub(super) fn reach(shown: Shown, kiln: &Kiln, plan: &LoadPlan, view: &View) -> (f64, f64) {
    let mut edges = (view.floor, view.floor);
    for (notes, _) in columns(shown, kiln, plan, view) {
        for (n, middle) in notes.iter().zip(places(&notes)) {
            edges.0 = edges.0.min(middle - n.tall() / 2.0);
            edges.1 = edges.1.max(middle + n.tall() / 2.0);
        }
    }
    edges
}

/// Notes by column; true for the one on the left.
fn columns(shown: Shown, kiln: &Kiln, plan: &LoadPlan, view: &View) -> [(Vec<Note>, bool); 2] {
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
    [(left, true), (right, false)]
}

impl Note {
    fn tall(&self) -> f64 {
        LEADING * (self.lines.len() + usize::from(!self.head.is_empty())) as f64 + 1.5
    }
}

fn places(notes: &[Note]) -> Vec<f64> {
    let wanted: Vec<(f64, f64)> = notes.iter().map(|n| (n.at, n.tall())).collect();
    spread(&wanted)
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
    let (edge, text_x, anchor, sign) = if left {
        (view.middle - view.half, NOTES, Anchor::End, -1.0)
    } else {
        let from = view.paper.width() - NOTES;
        (view.middle + view.half, from, Anchor::Start, 1.0)
    };
    for (n, middle) in notes.iter().zip(places(notes)) {
        let thin = r#"stroke="black" stroke-width="0.3""#;
        let knee = text_x - sign * 1.0;
        svg.line((edge + sign * 3.0, n.at), (edge - sign * 0.6, n.at), thin);
        svg.line((edge + sign * 3.0, n.at), (knee, middle), thin);
        let mut y = middle - n.tall() / 2.0 + LEADING * 0.85 + 0.75;
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
