//! Help and cautions.

use axum::response::Response;
use glost_model::book::Act;
use maud::html;

use crate::app::{Here, Trouble, Visit};
use crate::page;

/// The page.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    let body = html! {
        h2 { "The way of a piece" }
        ol {
            li { strong { "Handed in. " } "Its maker, a teacher or the kiln room writes it down; it gets a code of four letters and digits for its slip. Glost says at once whether it is fit to fire, and why not." }
            li { strong { "Looked over. " } "A technician or loader lets it wait for a firing, or says what it needs." }
            li { strong { "Planned. " } "Glost proposes which pieces go together, where each stands, and a firing for this load. You change what you like; a judge that shares nothing with the planner checks every step. Accept it, and its ware is kept for it." }
            li { strong { "Loaded. " } "The load sheet on the phone goes shelf by shelf from the floor up. Ticks are kept without a network. What is not here or does not fit is taken out, and the rest is planned anew." }
            li { strong { "Fired. " } "The programme is set by hand and read back, 06 against 6. You switch the kiln on; Glost writes it down and reminds you of vents, lid and the end." }
            li { strong { "Opened. " } "Cones and faults are written down; all else may be fetched." }
            li { strong { "Handed back. " } "Lists by maker, what was fetched, and charges." }
        }
        h2 { "Good to know" }
        ul {
            li { "What you did last can be undone by the button at the head of the page. Nothing is ever deleted; it is put away." }
            li { "When two people change one thing at once, the second is told and nothing is lost." }
            li { "Units are yours: choose them under " a href="/me" { "Me" } "." }
            @if v.may(Act::Govern) { li { "Every number that Glost goes by, with its reason and source, is under " a href="/studio" { "Studio" } "; you may put your own in its place." } }
        }
        h2 { "Cautions" }
        (page::cautions::body())
    };
    Ok(v.page(Here::Help, "Help", &body))
}
