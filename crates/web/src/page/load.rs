//! The load at a glance: stack from the side, furniture to fetch, tiers.

use std::collections::BTreeMap;

use glost_model::plan_file::PlanFile;
use maud::{Markup, html};

use super::{drawing, frame};

/// The page.
pub fn page(plan: &PlanFile) -> Markup {
    let (studio, load) = (&plan.studio, &plan.load);
    let kiln = studio.kiln(&load.kiln);
    let gap = if load.worth.at_most > 0.0 {
        (1.0 - load.worth.value / load.worth.at_most) * 100.0
    } else {
        0.0
    };
    let body = html! {
        p.lead { (load.placed().count()) " pieces go, " a href="/stays" { (load.left_out.len()) " stay out" } "." }
        p {
            "Value " (format!("{:.0} of at most {:.0}", load.worth.value, load.worth.at_most))
            ", so no other load of this ware could be worth more than " (format!("{gap:.1} %")) " of that more; proved by areas and heights."
        }
        @if load.placed().next().is_none() { p.empty { "Nothing can go in this firing. See why under " a href="/stays" { "Stays out" } "." } }
        @if let Some(kiln) = kiln { (drawing(glost_sheets::stack_svg(studio, kiln, load), "The stack from the side")) }
        h2 { "Fetch" }
        ul.fetch { @for (what, n) in fetch(plan) { li { strong { (n) " ×" } " " (what) } } }
        h2 { "Tiers, from the floor up" }
        ol.tiers {
            @for t in &load.tiers {
                li { a href={ "/tier/" (t.name) } {
                    strong { "Tier " (t.name) } " " (t.pieces.len()) " pieces, " (studio.shown.length(t.clear_m)) " clear"
                } }
            }
        }
    };
    frame(plan, "/", "Load", &body)
}

/// Furniture to fetch, in words, with counts.
fn fetch(plan: &PlanFile) -> Vec<(String, usize)> {
    let shown = plan.studio.shown;
    let mut shelves: BTreeMap<String, usize> = BTreeMap::new();
    let mut posts: BTreeMap<i64, usize> = BTreeMap::new();
    let mut supports: BTreeMap<String, usize> = BTreeMap::new();
    for t in &plan.load.tiers {
        *shelves.entry(format!("shelf '{}'", t.shelf)).or_default() += 1;
        for l in t.posts.iter().flat_map(|p| &p.lengths_m) {
            *posts.entry((l.to_mm() * 10.0).round() as i64).or_default() += 1;
        }
        for s in t.pieces.iter().flat_map(|p| &p.supports) {
            *supports.entry(s.clone()).or_default() += 1;
        }
    }
    let posts = posts.into_iter().map(|(tenths, n)| {
        (
            format!(
                "post {}",
                shown.length(glost_model::Length::mm(tenths as f64 / 10.0))
            ),
            n,
        )
    });
    shelves.into_iter().chain(posts).chain(supports).collect()
}
