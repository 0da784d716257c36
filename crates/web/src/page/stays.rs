//! What stays out, why, and what would let it in.

use glost_model::plan_file::PlanFile;
use maud::{Markup, html};

use super::frame;

/// The page.
pub fn page(plan: &PlanFile) -> Markup {
    frame(plan, "/stays", "Stays out", &body(plan))
}

/// What it shows.
pub fn body(plan: &PlanFile) -> Markup {
    let studio = &plan.studio;
    html! {
        @if plan.load.left_out.is_empty() { p.empty { "Everything goes." } }
        @for group in plan.load.left_out_by_reason() {
            section.stays {
                @if let Some(first) = group.first() {
                    h2 { (first.why) }
                    p { strong { "To let it in: " } (first.remedy) "." }
                }
                ul { @for l in group {
                    @let piece = studio.piece(&l.piece);
                    li {
                        strong { (l.piece) }
                        @if let Some(p) = piece { " " (p.what) ", " (p.maker) }
                    }
                } }
            }
        }
    }
}
