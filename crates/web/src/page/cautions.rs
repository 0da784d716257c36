//! Cautions: short, and deferring to those who decide.

use glost_model::plan_file::PlanFile;
use glost_sheets::CAUTIONS;
use maud::{Markup, html};

use super::frame;

/// The page.
pub fn page(plan: &PlanFile) -> Markup {
    frame(plan, "/cautions", "Cautions", &body())
}

/// What it shows.
pub fn body() -> Markup {
    let parts = [
        ("First of all", CAUTIONS.first),
        ("Fetching and loading", CAUTIONS.fetch),
        ("Before the start", CAUTIONS.start),
        ("At the kiln while it fires", CAUTIONS.hand),
        ("At the end", CAUTIONS.end),
        ("Opening and unloading", CAUTIONS.open),
    ];
    html! {
        @for (when, words) in parts { h2 { (when) } (list(words)) }
        p { (CAUTIONS.defer) }
    }
}

/// Cautions where they belong. What they are about comes before a colon, or is the first word.
pub fn list(words: &[&str]) -> Markup {
    html! {
        ul.caution { @for w in words {
            @let cut = w.find(':').or_else(|| w.find(' ')).unwrap_or(0);
            li { strong { (w[..cut]) } (w[cut..]) }
        } }
    }
}
