//! Coming in and going out.

use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Redirect, Response};
use glost_model::book::Role;
use glost_model::fault::Fault;
use glost_studio::desk::people::Joining;
use glost_studio::desk::seed::{DEMO_PASSWORD, KNOWN};
use glost_studio::desk::{DeskError, SESSION};
use maud::{Markup, html};

use crate::app::fields::{Fields, Look, hidden};
use crate::app::{
    Address, App, Form, Path, Query, Trouble, Typed, Visit, Visitor, called, cookie, own_path,
    plain_frame,
};

/// The form.
pub async fn show(v: Visitor, Query(q): Query<Vec<(String, String)>>) -> Result<Response, Trouble> {
    if v.app.desk.is_new().await? {
        return Err(Trouble::NotSetUp);
    }
    let mut typed = Typed::default();
    typed.set("to", own_path(Typed(q).get("to")));
    if v.who.is_some() {
        return Ok(Redirect::to(typed.get("to")).into_response());
    }
    Ok(Html(page(&v.app, &typed, false).into_string()).into_response())
}

/// Signs in.
pub async fn done(
    State(app): State<App>,
    Address(from): Address,
    headers: HeaderMap,
    Form(typed): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(typed);
    let now = app.now();
    if !app.limits.may_try(typed.get("login"), &from, now) {
        return Err(Trouble::TooOften);
    }
    let agent = headers
        .get(header::USER_AGENT)
        .and_then(|v| v.to_str().ok())
        .unwrap_or("");
    match app
        .desk
        .sign_in(typed.get("login"), typed.get("password"), agent, now)
        .await
    {
        Ok(secret) => {
            app.limits.came_in(typed.get("login"), &from);
            // Whoever was signed in on this browser before is not any more.
            if let Some(old) = cookie(&headers)
                && let Some(old) = app.desk.who(&old, now).await?
            {
                app.desk.store.end_pass(&old.session).await?;
            }
            Ok(with_cookie(
                Redirect::to(own_path(typed.get("to"))),
                &session_cookie(&app, &secret),
            ))
        }
        Err(DeskError::WrongPassword) => {
            let mut again = Typed::default();
            again.set("login", typed.get("login"));
            again.set("to", own_path(typed.get("to")));
            Ok((
                StatusCode::UNAUTHORIZED,
                Html(page(&app, &again, true).into_string()),
            )
                .into_response())
        }
        Err(e) => Err(e.into()),
    }
}

/// Signs out.
pub async fn leave(v: Visit) -> Result<Response, Trouble> {
    v.app.desk.store.end_pass(&v.who.session).await?;
    Ok(with_cookie(
        Redirect::to("/enter"),
        &format!(
            "glost=; Path=/; Max-Age=0; HttpOnly; SameSite=Lax{}",
            secure(&v.app)
        ),
    ))
}

/// An invitation.
pub async fn join(State(app): State<App>, Path(secret): Path<String>) -> Result<Response, Trouble> {
    let (pass, person) = app.desk.invitation(&secret, app.now()).await?;
    let mut typed = Typed::default();
    typed.set("name", person.as_ref().map_or("", |p| p.name.as_str()));
    let role = Role::of_word(&pass.grants).unwrap_or(Role::Maker);
    let studio = app.desk.given().await?.studio.name.clone();
    let page = join_page(&secret, &studio, role, person.is_some(), &typed, &[]);
    Ok(Html(page.into_string()).into_response())
}

/// Joins.
pub async fn joined(
    State(app): State<App>,
    Address(from): Address,
    Path(secret): Path<String>,
    Form(typed): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(typed);
    let now = app.now();
    // By the link: a class that joins in one evening has one address, and each of them a link of their own.
    if !app.limits.may_try(&secret, &from, now) {
        return Err(Trouble::TooOften);
    }
    let form = Joining {
        name: typed.get("name").to_owned(),
        login: typed.get("login").to_owned(),
        password: typed.get("password").to_owned(),
    };
    match app.desk.join(&secret, &form, now).await {
        Ok(person) => {
            app.limits.came_in(&secret, &from);
            let session = app.desk.new_session(&person.id, "joined", now).await?;
            Ok(with_cookie(
                Redirect::to("/"),
                &session_cookie(&app, &session),
            ))
        }
        Err(DeskError::Faults(faults)) => {
            let (pass, known) = app.desk.invitation(&secret, now).await?;
            let role = Role::of_word(&pass.grants).unwrap_or(Role::Maker);
            let studio = app.desk.given().await?.studio.name.clone();
            let page = join_page(&secret, &studio, role, known.is_some(), &typed, &faults);
            Ok((StatusCode::UNPROCESSABLE_ENTITY, Html(page.into_string())).into_response())
        }
        Err(e) => Err(e.into()),
    }
}

/// The cookie of a session.
pub fn session_cookie(app: &App, secret: &str) -> String {
    let age = SESSION.as_secs();
    format!(
        "glost={secret}; Path=/; Max-Age={age}; HttpOnly; SameSite=Lax{}",
        secure(app)
    )
}

fn secure(app: &App) -> &'static str {
    if app.secure { "; Secure" } else { "" }
}

/// An answer with a cookie.
pub fn with_cookie(answer: impl IntoResponse, cookie: &str) -> Response {
    let mut answer = answer.into_response();
    if let Ok(value) = HeaderValue::from_str(cookie) {
        answer.headers_mut().insert(header::SET_COOKIE, value);
    }
    answer
}

fn page(app: &App, typed: &Typed, wrong: bool) -> Markup {
    let f = Fields { typed, faults: &[] };
    let body = html! {
        @if wrong { div.faults role="alert" { p { "Name and password do not go together. Try again, or ask a technician for a new link." } } }
        form method="post" action="/enter" {
            (hidden("to", typed.get("to")))
            (f.text("login", "Name to sign in with", Look { autocomplete: "username", ..Look::default() }))
            (f.text("password", "Password", Look { kind: "password", autocomplete: "current-password", ..Look::default() }))
            div.steps { button.main type="submit" { "Sign in" } }
        }
        p { "No name yet, or the password forgotten? A technician of the studio makes you a link." }
        @if app.demo {
            section.panel {
                h2 { "An invented studio" }
                p { "Nobody here exists. Sign in as one of these, each with the password " strong { (DEMO_PASSWORD) } "." }
                ul { @for k in KNOWN { li { strong { (k.login) } ", " (k.name) ": " (k.role.about()) } } }
            }
        }
    };
    plain_frame("Sign in", &body)
}

fn join_page(
    secret: &str,
    studio: &str,
    role: Role,
    known: bool,
    typed: &Typed,
    faults: &[Fault],
) -> Markup {
    let f = Fields { typed, faults };
    let body = html! {
        p.lead { "You join as " (called::somebody(role)) ": " (role.about()) "." }
        (f.summary())
        form method="post" action={ "/join/" (secret) } {
            @if known { (hidden("name", typed.get("name"))) p { "You are " strong { (typed.get("name")) } "." } }
            @else { (f.text("name", "Your name", Look { hint: "As on your slips", autocomplete: "name", ..Look::default() })) }
            (f.text("login", "Name to sign in with", Look { hint: "A short name or an e-mail address", autocomplete: "username", ..Look::default() }))
            (f.text("password", "Password", Look { hint: "At least 8 letters; a sentence is good", kind: "password", autocomplete: "new-password", ..Look::default() }))
            div.steps { button.main type="submit" { "Join" } }
        }
    };
    plain_frame(&format!("Join {studio}"), &body)
}
