//! One's own page: mark, units, password, calendar.

use axum::response::Response;
use glost_model::book::{Act, Person};
use glost_model::fault::Fault;
use glost_model::shown::Shown;
use glost_studio::desk::DeskError;
use glost_studio::desk::people::PersonForm;
use maud::{Markup, html};

use super::set_up::{shown, units};
use super::ways;
use crate::app::fields::{Fields, Look, hidden};
use crate::app::{Form, Here, Side, Trouble, Typed, Visit, called, clash};

/// The page.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    let body = page(&v, None, &[]).await?;
    Ok(v.page(Here::Me, v.person().name.as_str(), &body))
}

/// What one writes about oneself, as the form has it.
fn written(p: &Person, now: Shown) -> Typed {
    let mut typed = Typed::default();
    typed.set("mark", p.mark.clone());
    typed.set("reach", p.reach.clone());
    typed.set("length", if now.inches { "in" } else { "mm" });
    typed.set("mass", if now.pounds { "lb" } else { "kg" });
    typed.set("temperature", if now.fahrenheit { "F" } else { "C" });
    ways::wish_typed(p.wish, &mut typed);
    typed
}

async fn page(v: &Visit, typed: Option<&Typed>, faults: &[Fault]) -> Result<Markup, DeskError> {
    let kept = v.app.desk.store.get::<Person>(&v.person().id).await?;
    let p = &kept.body;
    let filled = written(p, v.shown());
    let f = Fields {
        typed: typed.unwrap_or(&filled),
        faults,
    };
    Ok(html! {
        p { "You are " (called::somebody(p.role)) ": " (p.role.about()) "." @if let Some(c) = &p.class { " Class: " (c) "." } }
        (f.summary())
        form method="post" action="/me" {
            (hidden("version", &kept.version.to_string()))
            (f.text("mark", "Your mark on the foot", Look { hint: "How the kiln room tells your ware; underglaze or incised, as pen burns off", optional: true, ..Look::default() }))
            (f.text("reach", "How to reach you", Look { hint: "For notices about your ware; an e-mail address for notices of kilns", optional: true, ..Look::default() }))
            (units(f))
            @if v.may(Act::Fire) { (ways::wish_fields(f)) }
            div.steps { button.main type="submit" { "Store" } }
        }
        @if v.may(Act::Fire) { (ways::own_trial()) }
        h2 { "Password" }
        form method="post" action="/me/password" {
            (f.text("old", "Password now", Look { kind: "password", autocomplete: "current-password", ..Look::default() }))
            (f.text("password", "New password", Look { kind: "password", autocomplete: "new-password", hint: "At least 8 letters. Your other sessions end", ..Look::default() }))
            div.steps { button type="submit" { "Change the password" } }
        }
        @if v.may(Act::Plan) {
            h2 { "Calendar" }
            p { "Starts, steps by hand, ends and openings of firings in your own calendar, with reminders. Links that you have made are listed under " a href="/me/tokens" { "Tokens and calendar links" } "." }
            form method="post" action="/me/calendar" { button type="submit" { "Make a link" } }
        }
        p.steps { a.step href={ "/accounts/" (p.id) } { "Your account" } a.step href="/me/tokens" { "Tokens and calendar links" } }
        h2 { "Leave" }
        form method="post" action="/leave" { button type="submit" { "Sign out" } }
    })
}

/// Stores mark, reach and units.
pub async fn change(
    v: Visit,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let done = match ways::read_wish(&typed) {
        Ok(wish) => {
            let form = PersonForm {
                name: v.person().name.clone(),
                role: None,
                class: v.person().class.clone().unwrap_or_default(),
                mark: typed.get("mark").to_owned(),
                reach: typed.get("reach").to_owned(),
                shown: Some(shown(&typed)),
                wish,
            };
            v.app
                .desk
                .change_person(v.actor(), &v.person().id, typed.version(), &form)
                .await
        }
        Err(e) => Err(e),
    };
    let name = v.person().name.as_str();
    match done {
        Ok(turn) => Ok(v.done("/me", turn)),
        Err(DeskError::Faults(faults)) => {
            let body = page(&v, Some(&typed), &faults).await?;
            Ok(v.again(Here::Me, name, &body))
        }
        Err(e) => {
            let studio = v.given.studio.shown;
            let side = |p: &Person| Side {
                form: written(p, p.shown.unwrap_or(studio)),
                ..Side::default()
            };
            let clash = clash(&v, e, &typed, side).await?;
            let body = page(&v, Some(&clash.typed), &[]).await?;
            Ok(v.clashed(Here::Me, name, &clash, &body))
        }
    }
}

/// Changes the password.
pub async fn password(
    v: Visit,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let done = v
        .app
        .desk
        .change_password(&v.who, typed.get("old"), typed.get("password"), v.now)
        .await;
    let faults = match done {
        Ok(()) => {
            let body = html! { p.lead role="status" { "The password is changed. Other sessions have ended." } p.steps { a.step href="/me" { "Back" } } };
            return Ok(v.page(Here::Me, "Password", &body));
        }
        Err(DeskError::Faults(faults)) => faults,
        Err(DeskError::WrongPassword) => vec![Fault {
            file: String::new(),
            line: None,
            field: "old".to_owned(),
            what: "this is not the password now".to_owned(),
            remedy: "Try again, or ask a technician for a new link".to_owned(),
        }],
        Err(e) => return Err(e.into()),
    };
    let body = page(&v, None, &faults).await?;
    Ok(v.again(Here::Me, v.person().name.as_str(), &body))
}
