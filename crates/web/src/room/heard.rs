//! Where the readings of a firing come from, and what is the matter with that, on its page.

use maud::{Markup, html};

use crate::app::Visit;

/// What people must know before they read on: that it is no kiln, or that nothing is heard.
pub fn trouble(v: &Visit, firing: &str) -> Markup {
    let Some(state) = v.app.hear.state(firing) else {
        return html! {};
    };
    html! {
        @if let Some(pace) = state.rehearsal { p.note { strong { "Rehearsal, " (pace) " times as fast: " } "a synthetic kiln, not a real one. Its hours run ahead of the clock, and all times here are its own." } }
        @if let Some(said) = &state.trouble { p.warn role="status" { strong { "Readings: " } (said.what) ". " (said.remedy) "." span.small { "Since " (v.when(said.at)) } } }
    }
}

/// Where they come from, and what was odd lately.
pub fn source(v: &Visit, firing: &str) -> Markup {
    let Some(state) = v.app.hear.state(firing) else {
        return html! {};
    };
    html! {
        p.hint {
            "Readings come from " (state.words) "; " (state.taken) " since Glost was started"
            @if let Some(last) = state.last { ", the last one of " (v.when(last)) }
            "."
            @if state.before > 0 { " Rows of before this firing that were passed over: " (state.before) "." }
        }
        @if !state.odd.is_empty() { details { summary { "What was odd about the readings" } ul { @for said in &state.odd { li { (v.when(said.at)) ": " (said.what) ". " (said.remedy) "." } } } } }
    }
}
