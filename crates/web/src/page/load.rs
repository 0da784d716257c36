//! The load at a glance: stack from the side, furniture to fetch, tiers.

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
    let fetch = glost_sheets::Fetch::new(studio, load);
    let body = html! {
        p.lead { (load.placed().count()) " pieces go, " a href="/stays" { (load.left_out.len()) " stay out" } "." }
        p {
            "Value " (format!("{:.0} of at most {:.0}", load.worth.value, load.worth.at_most))
            ", so no other load of this ware could be worth more than " (format!("{gap:.1} %")) " of that more; proved by areas and heights."
        }
        @if load.placed().next().is_none() { p.empty { "Nothing can go in this firing. See why under " a href="/stays" { "Stays out" } "." } }
        @if let Some(kiln) = kiln { (drawing(glost_sheets::stack_svg(studio, kiln, load), "The stack from the side")) }
        h2 { "Fetch" }
        ul.fetch {
            @for item in fetch.shelves.iter().chain(&fetch.posts).chain(&fetch.supports) {
                li { strong { (item.count) " ×" } " " (item.what) }
            }
            @if fetch.cone_packs > 0 { li { strong { (fetch.cone_packs) " ×" } " pack of witness cones for cone " (load.cone) } }
        }
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
