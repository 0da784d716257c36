//! The bar on every page of those who fire, when a kiln needs somebody.

use glost_model::book::Raised;
use maud::{Markup, html};

use super::Visit;
use super::fields::hidden;

/// So many stand on every page; the rest in their list.
const MOST: usize = 3;

/// What nobody is on yet.
pub fn bar(v: &Visit) -> Markup {
    if v.path.starts_with("/notices") {
        return html! {};
    }
    let all = v.notices.as_slice();
    html! { @if !all.is_empty() {
        section.calls aria-label="A kiln needs somebody" {
            div role="alert" { @for r in all.iter().take(MOST) { (call(v, r)) } }
            @if all.len() > MOST { p { a href="/notices" { "And " (all.len() - MOST) " more notices" } } }
        }
    } }
}

/// One notice, with a way to its page and a button for who is on it.
pub fn call(v: &Visit, r: &Raised) -> Markup {
    let n = &r.notice;
    html! {
        div.call.urgent[n.urgent] {
            p {
                strong { @if n.urgent { "Urgent: " } (n.kiln) ", " (n.kind.words()) ". " }
                (n.words) " " (n.what_to_do) " "
                span.small { (v.when(n.at)) }
            }
            @if let Some(to) = &n.link { a.step href=(to) aria-label={ "Look at " (n.kiln) } { "Look" } }
            form method="post" action={ "/notices/" (r.id) "/on-it" } {
                (hidden("to", &v.path))
                button.main type="submit" aria-label={ "I am on it: " (n.kiln) ", " (n.kind.words()) } { "I am on it" }
            }
        }
    }
}
