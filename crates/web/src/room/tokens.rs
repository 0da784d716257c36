//! Tokens for programs and links of calendars: made, shown once, withdrawn.

use axum::response::{IntoResponse, Redirect, Response};
use glost_model::book::Act;
use glost_store::{Pass, PassUse};
use glost_studio::desk::DeskError;
use maud::{Markup, html};

use crate::app::fields::{Fields, Look, to_copy};
use crate::app::{Form, Here, Path, Trouble, Typed, Visit};

const TITLE: &str = "Tokens and calendar links";

/// The list.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    let body = page(&v, &Typed::default(), &[]).await?;
    Ok(v.page(Here::Me, TITLE, &body))
}

async fn page(
    v: &Visit,
    typed: &Typed,
    faults: &[glost_model::fault::Fault],
) -> Result<Markup, DeskError> {
    let store = &v.app.desk.store;
    let all = store
        .passes(PassUse::Token, Some(&v.person().id), v.now)
        .await?;
    let calendars = store
        .passes(PassUse::Calendar, Some(&v.person().id), v.now)
        .await?;
    let f = Fields { typed, faults };
    Ok(html! {
        p { "A program that has a token of yours may do what you may. Give each program its own, and withdraw it when it is no longer used." }
        @if all.is_empty() { p.empty { "You have made no token yet." } }
        ul.rows { @for t in &all { (row(v, t, &t.label)) } }
        h2 { "A new token" }
        (f.summary())
        form method="post" action="/me/tokens" {
            (f.text("label", "What it is for", Look { hint: "So that you know it again", ..Look::default() }))
            div.steps { button.main type="submit" { "Make a token" } }
        }
        @if v.may(Act::Plan) {
            h2 { "Calendar links" }
            p { "Whoever has such a link sees the firings. Withdraw it when it has come into wrong hands, and make a new one on " a href="/me" { "your page" } "." }
            @if calendars.is_empty() { p.empty { "You have made no link of a calendar." } }
            ul.rows { @for t in &calendars { (row(v, t, "Calendar of firings")) } }
        }
        p { "What programs can ask for is told in " a href="/api/v1/openapi.json" { "the description for programs" } "." }
        p.steps { a.step href="/me" { "Back" } }
    })
}

/// One of them, with the button that ends it.
fn row(v: &Visit, t: &Pass, name: &str) -> Markup {
    html! { li { div.row {
        strong { (name) }
        span.small { "Made " (v.when(t.made)) ". " @if t.seen > t.made { "Used last " (v.when(t.seen)) ". " } @else { "Never used. " } "Ends " (v.when(t.ends)) }
        form method="post" action={ "/me/tokens/" (t.digest) } { button type="submit" { "Withdraw " span.hidden { (name) ", made " (v.when(t.made)) } } }
    } } }
}

/// Makes one and shows it, once.
pub async fn make(v: Visit, Form(sent): Form<Vec<(String, String)>>) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let label = typed.get("label").trim();
    if label.is_empty() {
        let DeskError::Faults(faults) =
            DeskError::field("label", "the token has no name", "Write what it is for")
        else {
            return Err(Trouble::Missing);
        };
        let body = page(&v, &typed, &faults).await?;
        return Ok(v.again(Here::Me, TITLE, &body));
    }
    let secret = v
        .app
        .desk
        .new_token(PassUse::Token, v.person(), label, v.now)
        .await?;
    let body = html! {
        p { "This is the token for " strong { (label) } ". Copy it into the program now: it is shown only this once, and whoever has it may do what you may." }
        (to_copy("token", "The token", 3, &secret))
        p.steps { a.step href="/me/tokens" { "Back" } }
    };
    Ok(v.page(Here::Me, "The new token", &body))
}

/// Withdraws one of one's own.
pub async fn withdraw(v: Visit, Path(digest): Path<String>) -> Result<Response, Trouble> {
    let store = &v.app.desk.store;
    let mut own = Vec::new();
    for what in [PassUse::Token, PassUse::Calendar] {
        own.extend(store.passes(what, Some(&v.person().id), v.now).await?);
    }
    if !own.iter().any(|t| t.digest == digest) {
        return Err(Trouble::Missing);
    }
    store.end_pass(&digest).await?;
    Ok(Redirect::to("/me/tokens").into_response())
}
