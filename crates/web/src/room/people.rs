//! People of the studio.

use axum::http::HeaderMap;
use axum::response::Response;
use glost_model::book::{Act, Person, Role};
use glost_model::fault::Fault;
use glost_sheets::qr_svg;
use glost_store::{Look as Listed, PassUse};
use glost_studio::desk::DeskError;
use glost_studio::desk::people::PersonForm;
use maud::{Markup, PreEscaped, html};

use crate::app::fields::{Fields, Look, hidden, options, to_copy};
use crate::app::{
    Form, Here, Links, Path, Query, Side, Trouble, Typed, Visit, called, clash, escaped,
};

type Sent = Form<Vec<(String, String)>>;

fn roles() -> Vec<(String, String)> {
    options(Role::ALL.iter().map(|r| (r.word(), called::role(*r))))
}

/// Everybody.
pub async fn show(v: Visit, Query(q): Query<Vec<(String, String)>>) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let q = Typed(q);
    let body = page(&v, q.get("words"), &Typed::default(), &[]).await?;
    Ok(v.page(Here::Studio, "People", &body))
}

async fn page(
    v: &Visit,
    words: &str,
    typed: &Typed,
    faults: &[Fault],
) -> Result<Markup, DeskError> {
    let look = Listed {
        words: Some(words).filter(|w| !w.trim().is_empty()),
        ..Listed::default()
    };
    let people = v.app.desk.store.list::<Person>(&look).await?;
    let open = v
        .app
        .desk
        .store
        .passes(PassUse::Invitation, None, v.now)
        .await?;
    // Most people of a studio are makers, and nobody should get more than they need by haste.
    let mut filled = typed.clone();
    if filled.get("role").is_empty() {
        filled.set("role", Role::Maker.word());
    }
    let f = Fields {
        typed: &filled,
        faults,
    };
    Ok(html! {
        h2 { "Invite" }
        p { "The link is good for one person and two weeks." }
        form method="post" action="/studio/people/invite" {
            fieldset.choice { legend { "What they are here" } div.choices.long { @for r in Role::ALL {
                label { input type="radio" name="role" autocomplete="off" value=(r.word()) checked[filled.get("role") == r.word()]; span { strong { (called::role(r)) } ": " (r.about()) } }
            } } }
            (f.text("label", "For whom", Look { hint: "To tell open links apart", optional: true, ..Look::default() }))
            button.main type="submit" { "Make a link" }
        }
        @if !open.is_empty() { h2 { "Open links" } ul { @for p in &open { li {
            (called::value("role", &p.grants)) @if !p.label.is_empty() { " for " (p.label) } ", until " (v.when(p.ends))
            form method="post" action="/studio/people/withdraw" { (hidden("link", &p.digest)) button type="submit" { "Withdraw" } }
        } } } }
        h2 { "Everybody" }
        form.find method="get" action="/studio/people" role="search" { label for="words" { "Find by name, class or mark" } div { input #words type="search" name="words" value=(words); button type="submit" { "Find" } } }
        p.steps { a.step href="/studio/away" { "Put away" } }
        @if people.is_empty() { p.empty { "Nobody of that name." } }
        ul.rows { @for p in &people { @let p = &p.body; li { a href={ "/studio/people/" (escaped(&p.id)) } { strong { (p.name) } span.small { (called::role(p.role)) @if let Some(c) = &p.class { ", " (c) } @if !p.mark.is_empty() { ", mark " (p.mark) } } } } } }
        h2 { "Somebody who does not sign in" }
        (f.summary())
        form method="post" action="/studio/people" { (person(f)) button type="submit" { "Write down" } }
    })
}

fn person(f: Fields<'_>) -> Markup {
    html! {
        (f.text("name", "Name, as on slips", Look::default()))
        (f.select("role", "What they are here", "", &roles()))
        (f.text("class", "Class or group", Look { hint: "A teacher sees the ware of their class", optional: true, ..Look::default() }))
        (f.text("mark", "Mark on the foot", Look { optional: true, ..Look::default() }))
        (f.text("reach", "How to reach them", Look { optional: true, ..Look::default() }))
    }
}

fn form_of(typed: &Typed) -> PersonForm {
    PersonForm {
        name: typed.get("name").to_owned(),
        role: Role::of_word(typed.get("role")),
        class: typed.get("class").to_owned(),
        mark: typed.get("mark").to_owned(),
        reach: typed.get("reach").to_owned(),
        shown: None,
        wish: None,
    }
}

/// Writes somebody down.
pub async fn add(v: Visit, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let typed = Typed(sent);
    match v.app.desk.add_person(v.actor(), &form_of(&typed)).await {
        Ok((_, turn)) => Ok(v.done("/studio/people", turn)),
        Err(DeskError::Faults(faults)) => {
            let body = page(&v, "", &typed, &faults).await?;
            Ok(v.again(Here::Studio, "People", &body))
        }
        Err(e) => Err(e.into()),
    }
}

/// A link, shown once.
pub async fn invite(v: Visit, headers: HeaderMap, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let typed = Typed(sent);
    let role = Role::of_word(typed.get("role")).unwrap_or(Role::Maker);
    let person = Some(typed.get("person")).filter(|p| !p.is_empty());
    let secret = v
        .app
        .desk
        .invite(v.actor(), role, person, typed.get("label"))
        .await?;
    let links = Links::of(&v, &headers);
    let link = links.to(&format!("/join/{secret}"));
    let body = html! {
        (links.warning())
        p { "Give this to " strong { @if typed.get("label").is_empty() { "one person" } @else { (typed.get("label")) } } ". It is shown only now, and good once." }
        (to_copy("link", "The link", 4, &link))
        @if let Ok(svg) = qr_svg(&link) { figure.qr { (PreEscaped(svg)) } }
        p.steps { a.step href="/studio/people" { "Back" } }
    };
    Ok(v.page(Here::Studio, "A link to join", &body))
}

/// Withdraws a link.
pub async fn withdraw(v: Visit, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let (store, typed) = (&v.app.desk.store, Typed(sent));
    // Sessions and tokens are passes too, and nothing to be ended from here.
    let open = store.passes(PassUse::Invitation, None, v.now).await?;
    if open.iter().any(|p| p.digest == typed.get("link")) {
        store.end_pass(typed.get("link")).await?;
    }
    Ok(axum::response::IntoResponse::into_response(
        axum::response::Redirect::to("/studio/people"),
    ))
}

/// One person.
pub async fn one(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let (name, body) = one_page(&v, &id, None, &[]).await?;
    Ok(v.page(Here::Studio, &name, &body))
}

/// A person as the form has them.
fn written(p: &Person) -> Typed {
    let mut filled = Typed::default();
    for (name, value) in [
        ("name", p.name.as_str()),
        ("role", p.role.word()),
        ("class", p.class.as_deref().unwrap_or("")),
        ("mark", &p.mark),
        ("reach", &p.reach),
    ] {
        filled.set(name, value);
    }
    filled
}

async fn one_page(
    v: &Visit,
    id: &str,
    typed: Option<&Typed>,
    faults: &[Fault],
) -> Result<(String, Markup), DeskError> {
    let kept = v.app.desk.store.get::<Person>(id).await?;
    let p = &kept.body;
    let signs_in = v.app.desk.store.login_of(id).await?;
    let filled = written(p);
    let f = Fields {
        typed: typed.unwrap_or(&filled),
        faults,
    };
    let at = format!("/studio/people/{}", escaped(id));
    let version = kept.version.to_string();
    let body = html! {
        p { @match &signs_in { Some((login, _)) => { "Signs in as " strong { (login) } "." } None => "Does not sign in." } }
        (f.summary())
        form method="post" action=(at) { (hidden("version", &version)) (person(f)) div.steps { button.main type="submit" { "Store" } a.step href={ "/ware?owner=" (escaped(id)) } { "Their ware" } a.step href={ "/accounts/" (escaped(id)) } { "Their account" } } }
        h2 { "Link to sign in" }
        p { "For a first sign-in, or when the password is forgotten. The old password then ends." }
        form method="post" action="/studio/people/invite" { (hidden("role", p.role.word())) (hidden("person", id)) (hidden("label", &p.name)) button type="submit" { "Make a link" } }
        details { summary { "Put away" }
            form method="post" action={ (at) "/away" } { (hidden("version", &version)) p { "They can no longer sign in. Their ware and account stay in the book." } button type="submit" { "Put away" } }
        }
    };
    Ok((p.name.clone(), body))
}

/// Changes a person.
pub async fn change(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let typed = Typed(sent);
    match v
        .app
        .desk
        .change_person(v.actor(), &id, typed.version(), &form_of(&typed))
        .await
    {
        Ok(turn) => Ok(v.done(&format!("/studio/people/{}", escaped(&id)), turn)),
        Err(DeskError::Faults(faults)) => {
            let (name, body) = one_page(&v, &id, Some(&typed), &faults).await?;
            Ok(v.again(Here::Studio, &name, &body))
        }
        Err(e) => {
            let side = |p: &Person| Side {
                form: written(p),
                ..Side::default()
            };
            let clash = clash(&v, e, &typed, side).await?;
            let (name, body) = one_page(&v, &id, Some(&clash.typed), &[]).await?;
            Ok(v.clashed(Here::Studio, &name, &clash, &body))
        }
    }
}

/// Puts a person away.
pub async fn away(v: Visit, Path(id): Path<String>, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let turn = v
        .app
        .desk
        .put_person_away(v.actor(), &id, Typed(sent).version())
        .await?;
    Ok(v.done("/studio/people", turn))
}
