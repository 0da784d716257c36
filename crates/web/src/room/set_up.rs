//! The first page of a new studio.

use axum::extract::State;
use axum::response::{Html, IntoResponse, Redirect, Response};
use glost_model::fault::Fault;
use glost_model::shown::Shown;
use glost_studio::desk::DeskError;
use glost_studio::desk::people::Joining;
use glost_studio::desk::set_up::SetUp;
use maud::{Markup, html};

use super::enter::{session_cookie, with_cookie};
use crate::app::fields::{Fields, Look};
use crate::app::{App, Form, Trouble, Typed, plain_frame};

/// The form.
pub async fn show(State(app): State<App>) -> Result<Response, Trouble> {
    if !app.desk.is_new().await? {
        return Ok(Redirect::to("/enter").into_response());
    }
    let mut typed = Typed::default();
    typed.set("length", "mm");
    typed.set("mass", "kg");
    typed.set("temperature", "C");
    typed.set("currency", "EUR");
    Ok(Html(page(&typed, &[]).into_string()).into_response())
}

/// Sets the studio up and signs its first technician in.
pub async fn done(
    State(app): State<App>,
    Form(typed): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(typed);
    let form = SetUp {
        studio: typed.get("studio").to_owned(),
        shown: shown(&typed),
        currency: typed.get("currency").to_owned(),
        time_zone: typed.get("time_zone").to_owned(),
        first: Joining {
            name: typed.get("name").to_owned(),
            login: typed.get("login").to_owned(),
            password: typed.get("password").to_owned(),
        },
    };
    let now = app.now();
    match app.desk.set_up(&form, now).await {
        Ok(person) => {
            let secret = app.desk.new_session(&person.id, "set-up", now).await?;
            Ok(with_cookie(
                Redirect::to("/"),
                &session_cookie(&app, &secret),
            ))
        }
        Err(DeskError::Faults(faults)) => {
            let page = Html(page(&typed, &faults).into_string());
            Ok((axum::http::StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
        Err(e) => Err(e.into()),
    }
}

/// Units as chosen.
pub fn shown(typed: &Typed) -> Shown {
    Shown {
        fahrenheit: typed.get("temperature") == "F",
        inches: typed.get("length") == "in",
        pounds: typed.get("mass") == "lb",
    }
}

/// The three choices of units.
pub fn units(f: Fields<'_>) -> Markup {
    html! {
        (f.choice("length", "Lengths", &[("mm", "mm"), ("in", "inches")]))
        (f.choice("mass", "Masses", &[("kg", "kg"), ("lb", "lb")]))
        (f.choice("temperature", "Temperatures", &[("C", "°C"), ("F", "°F")]))
    }
}

fn page(typed: &Typed, faults: &[Fault]) -> Markup {
    let f = Fields { typed, faults };
    let body = html! {
        p.lead { "A new studio. You become its technician; you can invite others afterwards." }
        (f.summary())
        form method="post" action="/set-up" {
            h2 { "The studio" }
            (f.text("studio", "Name of the studio", Look { autocomplete: "organization", ..Look::default() }))
            (units(f))
            (f.text("currency", "Currency", Look { hint: "A code or sign, as USD, EUR or £", ..Look::default() }))
            (f.text("time_zone", "Time zone", Look { hint: "As America/Denver or Europe/Dublin. Without one, that of this machine counts", optional: true, ..Look::default() }))
            h2 { "You" }
            (f.text("name", "Your name", Look { hint: "As on slips", autocomplete: "name", ..Look::default() }))
            (f.text("login", "Name to sign in with", Look { hint: "A short name or an e-mail address", autocomplete: "username", ..Look::default() }))
            (f.text("password", "Password", Look { hint: "At least 8 letters; a sentence is good", kind: "password", autocomplete: "new-password", ..Look::default() }))
            div.steps { button.main type="submit" { "Set the studio up" } }
        }
    };
    plain_frame("Set up your studio", &body)
}
