//! The load at a glance: stack from the side, furniture to fetch, tiers.

use glost_model::plan_file::PlanFile;
use glost_sheets::CAUTIONS;
use maud::{Markup, html};

use super::cautions::list;
use super::{drawing, frame};
use crate::app::called;

/// The page.
pub fn page(plan: &PlanFile) -> Markup {
    frame(plan, "/", "Load", &body(plan, ""))
}

/// What it shows; `base` is the path below which the pages of this plan are.
pub fn body(plan: &PlanFile, base: &str) -> Markup {
    let (studio, load) = (&plan.studio, &plan.load);
    let kiln = studio.kiln(&load.kiln);
    let fetch = glost_sheets::Fetch::new(studio, load);
    html! {
        p.lead { (called::several(load.placed().count() as u64, "piece")) @if load.placed().count() == 1 { " goes, " } @else { " go, " } a href={ (base) "/stays" } { (load.left_out.len()) @if load.left_out.len() == 1 { " stays out" } @else { " stay out" } } "." }
        p {
            "Value " (format!("{:.0} of at most {:.0}", load.worth.value, load.worth.at_most))
            ": areas and heights prove that no load of this ware can be worth more."
        }
        (list(CAUTIONS.first))
        @if load.placed().next().is_none() { p.empty { "Nothing can go in this firing. See why under " a href={ (base) "/stays" } { "Stays out" } "." } }
        @if let Some(kiln) = kiln { (drawing(|paper| glost_sheets::stack_svg(studio, kiln, load, paper), "The stack from the side")) }
        h2 { "Fetch" }
        ul.fetch {
            @for item in fetch.shelves.iter().chain(&fetch.posts).chain(&fetch.supports) {
                li { strong { (item.count) " ×" } " " (item.what) }
            }
            @if fetch.cone_packs > 0 { li { strong { (fetch.cone_packs) " ×" } " pack of witness cones for cone " (load.cone) } }
        }
        (list(CAUTIONS.fetch))
        p { a.step href={ (base) "/bench" } { "Change it by hand, and see it in 3D" } }
        h2 { "Tiers, from the floor up" }
        ol.tiers {
            @for t in &load.tiers {
                li { a href={ (base) "/tier/" (t.name) } {
                    strong { "Tier " (t.name) } " " (called::several(t.pieces.len() as u64, "piece")) ", " (studio.shown.length(t.clear_m)) " clear"
                } }
            }
        }
    }
}
