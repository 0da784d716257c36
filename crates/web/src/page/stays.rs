//! What stays out, why, and what would let it in.

use glost_model::plan_file::PlanFile;
use maud::{Markup, html};

use super::frame;

/// The page.
pub fn page(plan: &PlanFile) -> Markup {
    let studio = &plan.studio;
    let body = html! {
        @if plan.load.left_out.is_empty() { p.empty { "Everything goes." } }
        ul.stays { @for l in &plan.load.left_out {
            @let piece = studio.piece(&l.piece);
            li {
                strong { (l.piece) } " " (piece.map_or("", |p| p.what.as_str())) ", " (piece.map_or("", |p| p.maker.as_str()))
                p { (l.why) ". " em { (l.remedy) } "." }
            }
        } }
    };
    frame(plan, "/stays", "Stays out", &body)
}
