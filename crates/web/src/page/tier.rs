//! One tier from above, with its ware in placing order.

use glost_model::kiln::Opening;
use glost_model::plan_file::PlanFile;
use maud::{Markup, html};

use super::{drawing, frame};

/// The page, if there is such a tier.
pub fn page(plan: &PlanFile, name: &str) -> Option<Markup> {
    Some(frame(
        plan,
        "",
        &format!("Tier {name}"),
        &body(plan, "", name)?,
    ))
}

/// What it shows; `base` is the path below which the pages of this plan are.
pub fn body(plan: &PlanFile, base: &str, name: &str) -> Option<Markup> {
    let (studio, load) = (&plan.studio, &plan.load);
    let at = load.tiers.iter().position(|t| t.name == name)?;
    let tier = &load.tiers[at];
    let kiln = studio.kiln(&load.kiln)?;
    let link = |i: Option<usize>, word: &str| {
        let to = i.and_then(|i| load.tiers.get(i));
        html! { @if let Some(t) = to { a.step href={ (base) "/tier/" (t.name) } { (word) " tier " (t.name) } } }
    };
    Some(html! {
        p { "Shelf '" (tier.shelf) "', top " (studio.shown.length(tier.top_m)) " above the floor, " (studio.shown.length(tier.clear_m)) " clear above it. "
            "Clock as seen from above, 12 toward " (match kiln.opening { Opening::Lid => "the hinge", Opening::Door => "the door" }) "; distances from the middle." }
        h2 { "Posts" }
        ul { @for p in &tier.posts { li {
            (glost_sheets::place(studio.shown, p.x_m, p.y_m)) ": "
            (p.lengths_m.iter().map(|l| studio.shown.length(*l)).collect::<Vec<_>>().join(" + "))
        } } }
        (drawing(|paper| glost_sheets::tier_svg(studio, kiln, load, tier, paper), &format!("Tier {name} from above")))
        h2 { "Place, in this order" }
        @if tier.pieces.is_empty() { p.empty { "Nothing stands on this tier." } }
        ol.place { @for p in &tier.pieces {
            @let piece = studio.piece(&p.piece);
            li {
                strong { (p.piece) } " " (piece.map_or("", |q| q.what.as_str())) ", "
                (piece.map_or("", |q| q.maker.as_str())) ": "
                (glost_sheets::place(studio.shown, p.x_m, p.y_m))
                @if let Some(on) = &p.on { ", " (on.words()) }
                @if !p.supports.is_empty() { ", on " (p.supports.join(", then ")) }
                @for words in &p.mind { p { strong { "Mind: " } (words) "." } }
            }
        } }
        p.steps { (link(at.checked_sub(1), "Below:")) " " (link(Some(at + 1), "Next:")) }
    })
}
