//! Drawings are well-formed, hold what they should, and look as they looked.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

#[expect(dead_code, reason = "the load sheet needs more")]
mod made;
mod sound;

use glost_model::load::{How, LoadPlan, On, Placed};
use glost_model::studio::Studio;
use glost_model::{Angle, Length};
use glost_sheets::{Paper, stack_svg, tier_svg};
use proptest::prelude::*;
use roxmltree::{Document, Node};
use sound::{number, sound};

/// Width and height of the viewBox.
fn paper(doc: &Document<'_>) -> (f64, f64) {
    let view = doc.root_element().attribute("viewBox").unwrap();
    let parts: Vec<f64> = view.split(' ').map(|p| p.parse().unwrap()).collect();
    (parts[2], parts[3])
}

/// Every circle, text and corner lies on the paper, and no type is smaller than 4 mm.
fn fits(svg: &str) {
    let doc = Document::parse(svg).unwrap();
    let (w, h) = paper(&doc);
    let inside = |x: f64, y: f64| (0.0..=w).contains(&x) && (0.0..=h).contains(&y);
    for node in doc.descendants().filter(Node::is_element) {
        match node.tag_name().name() {
            "circle" => {
                let (x, y, r) = (number(node, "cx"), number(node, "cy"), number(node, "r"));
                assert!(inside(x - r, y - r) && inside(x + r, y + r), "{node:?}");
            }
            "text" => {
                assert!(number(node, "font-size") >= 4.0);
                assert!(inside(number(node, "x"), number(node, "y")), "{node:?}");
            }
            "polygon" | "polyline" => {
                for corner in node.attribute("points").unwrap().split(' ') {
                    let (x, y) = corner.split_once(',').unwrap();
                    assert!(inside(x.parse().unwrap(), y.parse().unwrap()), "{corner}");
                }
            }
            _ => {}
        }
    }
}

fn words(svg: &str) -> String {
    let doc = Document::parse(svg).unwrap();
    let texts = doc.descendants().filter(|n| n.has_tag_name("text"));
    texts
        .filter_map(|n| n.text())
        .collect::<Vec<_>>()
        .join("\n")
}

fn tier(studio: &Studio, load: &LoadPlan, i: usize) -> String {
    tier_svg(studio, &studio.kilns[0], load, &load.tiers[i], Paper::Sheet)
}

fn tier_on_a_phone(studio: &Studio, load: &LoadPlan, i: usize) -> String {
    tier_svg(studio, &studio.kilns[0], load, &load.tiers[i], Paper::Phone)
}

/// Without the letters of sensor and peepholes, which stand where these are.
fn unmarked(svg: &str) -> String {
    let lines = svg.lines();
    lines
        .filter(|l| !l.ends_with(">S</text>") && !l.ends_with(">P</text>"))
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn tiers_look_as_they_looked() {
    let (studio, load) = (made::studio(), made::load());
    for i in 0..load.tiers.len() {
        let svg = tier(&studio, &load, i);
        fits(&svg);
        insta::assert_snapshot!(format!("tier_{}", load.tiers[i].name), svg);
        fits(&tier_on_a_phone(&studio, &load, i));
    }
}

#[test]
fn the_stack_looks_as_it_looked() {
    let (studio, load) = (made::studio(), made::load());
    let svg = stack_svg(&studio, &studio.kilns[0], &load, Paper::Sheet);
    fits(&svg);
    insta::assert_snapshot!("stack", svg);
    let svg = stack_svg(&studio, &studio.kilns[0], &load, Paper::Phone);
    fits(&svg);
    sound(&svg);
    insta::assert_snapshot!("stack_phone", svg);
}

#[test]
fn a_tier_names_what_is_on_it() {
    let (studio, load) = (made::studio(), made::load());
    let text = words(&tier(&studio, &load, 0));
    for wanted in [
        "12 · hinge",
        "A1",
        "1",
        "2",
        "3",
        "S",
        "P",
        "W1",
        "125",
        "100 mm",
    ] {
        assert!(text.contains(wanted), "{wanted} in {text}");
    }
    let upper = words(&tier(&studio, &load, 1));
    assert!(upper.contains("A4") && upper.contains("N1"), "{upper}");
}

#[test]
fn ware_on_other_ware_is_numbered_and_named_with_it() {
    let (studio, mut load) = (made::studio(), made::load());
    made::pile(&mut load);
    let svg = tier(&studio, &load, 0);
    fits(&svg);
    let text = words(&svg);
    for wanted in ["1–3", "A1\nA5\nA4", "4", "on or in one another"] {
        assert!(text.contains(wanted), "{wanted} in {text}");
    }
    // One label for the whole pile.
    assert!(!text.lines().any(|l| l == "2"), "{text}");
    let stack = stack_svg(&studio, &studio.kilns[0], &load, Paper::Sheet);
    fits(&stack);
    // What stands in a piece is drawn before it, and nothing is propped up from the shelf.
    let paths = |of: &LoadPlan| {
        let svg = stack_svg(&studio, &studio.kilns[0], of, Paper::Sheet);
        (svg.matches("<path").count(), svg.matches("<rect").count())
    };
    let mut without = load.clone();
    without.tiers[0].pieces.retain(|p| p.on.is_none());
    let ((p, r), (q, s)) = (paths(&load), paths(&without));
    assert_eq!((p, r), (q + 2, s));
}

#[test]
fn an_inch_studio_sees_inches() {
    let (mut studio, load) = (made::studio(), made::load());
    studio.shown.inches = true;
    let text = words(&tier(&studio, &load, 0));
    assert!(text.contains("4 in") && !text.contains("mm"), "{text}");
    assert!(words(&stack_svg(&studio, &studio.kilns[0], &load, Paper::Sheet)).contains("17.7 in"));
}

proptest! {
    #[test]
    fn every_piece_in_the_chamber_is_on_the_paper(
        polar in proptest::collection::vec((0.0..195.0, 0.0..360.0, 0.0..360.0), 0..30),
        which in 0usize..4,
    ) {
        let (studio, mut load) = (made::studio(), made::load());
        load.tiers[0].pieces = polar
            .iter()
            .map(|&(r, at, turn)| Placed {
                piece: studio.pieces[which].id.clone(),
                x_m: Length::mm(r * Angle::deg(at).to_rad().cos()),
                y_m: Length::mm(r * Angle::deg(at).to_rad().sin()),
                rotation_rad: Angle::deg(turn),
                supports: vec![],
                on: (r > 150.0).then(|| On {
                    piece: studio.pieces[0].id.clone(),
                    how: How::Nested,
                }),
                raised_m: Length::ZERO,
                mind: Vec::new(),
                gap_m: Length::ZERO,
            })
            .collect();
        fits(&tier(&studio, &load, 0));
        fits(&tier_on_a_phone(&studio, &load, 0));
    }

    #[test]
    fn notes_of_a_tall_stack_keep_apart(tiers in 1usize..16, high in 200.0..2500.0f64, halves: bool, phone: bool) {
        let (mut studio, mut load) = (made::studio(), made::load());
        studio.kilns[0].height = Length::mm(high);
        let tier = load.tiers[if halves { 1 } else { 0 }].clone();
        load.tiers = (0..tiers)
            .map(|i| {
                let mut tier = tier.clone();
                tier.name = format!("{}", i + 1);
                tier.top_m = Length::mm(20.0 + (high - 40.0) * i as f64 / tiers as f64);
                tier.pieces.clear();
                tier
            })
            .collect();
        let paper = if phone { Paper::Phone } else { Paper::Sheet };
        let svg = stack_svg(&studio, &studio.kilns[0], &load, paper);
        fits(&svg);
        let below = words(&svg);
        sound(&unmarked(&svg));
        let last = format!("Tier {tiers}");
        prop_assert!(below.contains(&last));
    }

    #[test]
    fn any_name_leaves_the_drawing_well_formed(name in "\\PC{0,12}|[<>&\"'\u{0}-\u{1f}]{0,6}") {
        let (mut studio, mut load) = (made::studio(), made::load());
        studio.pieces[0].id = name.clone();
        studio.kilns[0].name = name.clone();
        load.tiers[0].pieces[0].piece = name;
        fits(&tier(&studio, &load, 0));
        fits(&stack_svg(&studio, &studio.kilns[0], &load, Paper::Sheet));
    }
}
