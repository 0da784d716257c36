//! The list of ware.

use axum::response::Response;
use glost_model::book::{Act, State, Ware};
use glost_store::Kept;
use glost_studio::desk::verdict::{Answer, verdict};
use glost_studio::desk::ware::WareLook;
use maud::{Markup, html};

use crate::app::{Form, Here, Query, Trouble, Typed, Visit, called};

/// Pieces on one page.
const PAGE: u32 = 60;

/// The list.
pub async fn show(v: Visit, Query(q): Query<Vec<(String, String)>>) -> Result<Response, Trouble> {
    let q = Typed(q);
    let state = State::of_key(q.get("state"));
    let states: Vec<&str> = state.iter().map(|s| s.key()).collect();
    let page: u32 = q.get("page").parse().unwrap_or(1).clamp(1, 10_000);
    let words = q.get("words").trim();
    let look = WareLook {
        states: &states,
        owner: Some(q.get("owner")).filter(|o| !o.is_empty()),
        firing: Some(q.get("firing")).filter(|f| !f.is_empty()),
        words: Some(words).filter(|w| !w.is_empty()),
        latest: !matches!(state, Some(State::Made | State::Waiting)),
        skip: (page - 1) * PAGE,
        most: PAGE,
    };
    let desk = &v.app.desk;
    let (list, all) = desk.wares(v.person(), &look).await?;
    let counts = desk.ware_counts(v.person()).await?;
    let total: u64 = counts.values().sum();
    let link = |page: u32| {
        let mut to = format!("/ware?page={page}");
        for name in ["state", "words", "owner", "firing"] {
            if !q.get(name).is_empty() {
                to.push_str(&format!("&{name}={}", crate::app::escaped(q.get(name))));
            }
        }
        to
    };
    let body = html! {
        (super::take_in::to_write(&v, q.get("new")).await?)
        p.steps {
            a.step.main href="/ware/new" { "Hand in a piece" }
            a.step href="/ware/sheet" { "Many from a sheet" }
            @if v.may(Act::LookOver) { a.step href="/ware/labels" { "Print labels" } }
        }
        form.find method="get" action="/ware" role="search" {
            label for="words" { "Find by code, maker, clay, glaze or words" }
            div { input #words type="search" name="words" value=(words);
            @if let Some(s) = state { input type="hidden" name="state" value=(s.key()); }
            button type="submit" { "Find" } }
        }
        nav.states aria-label="States" {
            a href="/ware" aria-current=[state.is_none().then_some("true")] { "all " span.n { (total) } }
            @for s in State::ALL { @if let Some(n) = counts.get(s.key()) {
                a href={ "/ware?state=" (s.key()) } aria-current=[(state == Some(s)).then_some("true")] { (s.words()) " " span.n { (n) } }
            } }
        }
        @if list.is_empty() { p.empty { @if words.is_empty() { "There is no ware here." } @else { "Nothing here has all of these words." } } }
        @if state == Some(State::Made) && v.may(Act::LookOver) && !list.is_empty() { (to_look_over(&list, &v)) }
        @else { ul.rows { @for w in &list { (line(&w.body, &v)) } } }
        (pages(page, all, PAGE, &link))
    };
    let title = state.map_or_else(|| "Ware".to_owned(), |s| format!("Ware: {}", s.words()));
    Ok(v.page(Here::Ware, &title, &body))
}

/// What has come in, to be ticked by whoever looks it over; what is not fit as it is has to be opened.
fn to_look_over(list: &[Kept<Ware>], v: &Visit) -> Markup {
    let any = list
        .iter()
        .any(|w| verdict(&v.given, &w.body.piece).answer != Answer::No);
    html! {
        form method="post" action="/ware/looked-over" {
            @if any { p { "Look at each piece beside its slip, and tick those that may be fired." } }
            @else { p { "None of these is fit to fire as it is. Open each: change what was written down, or say what it needs." } }
            ul.ticks { @for w in list { @let w = &w.body; @let p = &w.piece; @let fit = verdict(&v.given, p); li.turn {
                @if fit.answer == Answer::No {
                    p { strong.code { (p.id) } " " (p.what) ", " (p.maker) span.small { "Not fit as it is" @if let Some(f) = fit.findings.first() { ": " (f.why) } "." } }
                } @else { label.tick-line {
                    input type="checkbox" name="code" value=(p.id) autocomplete="off";
                    span { strong.code { (p.id) } " " (p.what) ", " (p.maker)
                        span.small { (p.clay) @if !p.glazes.is_empty() { ", " (p.glazes.join(", ")) } @if let Some(c) = fit.cone { ", cone " (c) } @if !w.note.is_empty() { ". " (w.note) } } }
                } }
                a.step href={ "/ware/" (crate::app::escaped(&p.id)) } { "Open" span.skip { " " (p.id) } }
            } } }
            @if any { div.steps { button.main type="submit" { "Looked over: they may be fired" } } }
        }
    }
}

/// Notes what was looked over.
pub async fn looked_over(
    v: Visit,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let turn = v
        .app
        .desk
        .look_over(v.actor(), &Typed(sent).all("code"))
        .await?;
    Ok(v.done("/ware?state=made", turn))
}

/// One piece in a list.
pub fn line(w: &Ware, v: &Visit) -> Markup {
    let p = &w.piece;
    html! { li { a href={ "/ware/" (crate::app::escaped(&p.id)) } {
        strong.code { (p.id) } " " (p.what) ", " (p.maker)
        span.small {
            (p.clay) @if !p.glazes.is_empty() { ", " (p.glazes.join(", ")) }
            @if let Some(c) = p.asked_cone { ", cone " (c) }
            ". " (called::sentence(w.state.words())) @if w.state.here() { " since " } @else { " on " } (v.local(w.since).strftime("%-d %b"))
            @if let Some(due) = p.due { ". Due " (due.strftime("%-d %b")) }
            @if let Some(by) = w.fetch_by.filter(|_| matches!(w.state, State::Ready | State::Bisqued)) { ". Fetch by " (by.strftime("%-d %b")) }
            @if !w.note.is_empty() { ". " (w.note) }
        }
    } } }
}

/// Ways to the other pages of a list.
pub fn pages(page: u32, all: u64, each: u32, link: &dyn Fn(u32) -> String) -> Markup {
    let last = u32::try_from(all.div_ceil(u64::from(each)))
        .unwrap_or(u32::MAX)
        .max(1);
    html! { @if last > 1 { nav.pages aria-label="Pages" {
        @if page > 1 { a.step rel="prev" href=(link(page - 1)) { "Before" } }
        span { "Page " (page) " of " (last) }
        @if page < last { a.step rel="next" href=(link(page + 1)) { "After" } }
    } } }
}
