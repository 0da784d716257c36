//! Notices of kilns: the list, who is on which, and trying whether they come.

use axum::response::Response;
use glost_model::book::{Act, Errand, ErrandState, Raised, Standing, WayKind};
use glost_studio::notify::{Tried, from_environment};
use maud::{Markup, html};

use crate::app::call::call;
use crate::app::{Form, Here, Path, Trouble, Typed, Visit};

/// So many stand in the list.
const MOST: u32 = 100;

/// The list.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    let all = v.app.desk.notices(v.actor(), MOST).await?;
    let names = v.app.desk.names().await?;
    let name = |id: &str| names.get(id).cloned().unwrap_or_else(|| id.to_owned());
    let (mut open, rest): (Vec<_>, Vec<_>) =
        all.iter().partition(|(r, _)| r.standing == Standing::Open);
    open.sort_by_key(|(r, _)| !r.notice.urgent);
    let body = html! {
        p { "What Glost told of kilns. When none comes, all need not be well: a kiln needs its own cut-out and a person at its end." }
        h2 { "Nobody is on these" }
        @if open.is_empty() { p.empty { "None." } }
        @for (r, errands) in &open { (call(&v, r)) (told(&v, r, errands, &name)) }
        h2 { "Before" }
        @if rest.is_empty() { p.empty { "None." } }
        ul.rows { @for (r, errands) in &rest { li { (one(&v, r, &name)) (told(&v, r, errands, &name)) } } }
        @if all.len() == MOST as usize { p { "The latest " (MOST) " are shown." } }
    };
    Ok(v.page(Here::Firings, "Notices", &body))
}

fn one(v: &Visit, r: &Raised, name: &dyn Fn(&str) -> String) -> Markup {
    let n = &r.notice;
    html! {
        p {
            strong { @if n.urgent { "Urgent: " } (n.kiln) ", " (n.kind.words()) ". " }
            (n.words) " " (n.what_to_do)
            span.small { (v.when(n.at)) @if !n.firing.is_empty() { ", " a.inline href={ "/firings/" (n.firing) } { "firing " (n.firing) } } }
            @for s in &r.seen { span.small { (name(&s.who)) " is on it since " (v.when(s.at)) } }
            @if let Some(at) = r.past { span.small { "Past since " (v.when(at)) } }
        }
    }
}

/// How it was told.
fn told(v: &Visit, r: &Raised, errands: &[Errand], name: &dyn Fn(&str) -> String) -> Markup {
    let whom = |e: &Errand| match e.way {
        WayKind::Mail => format!("e-mail to {}", name(&e.person)),
        way => way.words().to_owned(),
    };
    html! {
        @if r.untold { p.small { "On the pages only: the same was told a short while ago, or many others were." } }
        @else if errands.is_empty() { p.small { "On the pages only: no way to tell it was set, or nobody wished it." } }
        ul.small { @for e in errands { li {
            (whom(e)) ": "
            @match e.state {
                ErrandState::Sent => { "sent" @if let Some(t) = e.tries.last() { " " (v.when(t.at)) } },
                ErrandState::Spared => { "not needed" },
                ErrandState::GivenUp => { strong { "not told" } },
                ErrandState::Waiting if e.tried == 0 => { "waits until " (v.when(e.next)) },
                ErrandState::Waiting => { strong { "not told yet" } ", tried " (e.tried) " times, again " (v.when(e.next)) },
            }
            @if e.state != ErrandState::Sent { @if let Some(why) = e.tries.last().and_then(|t| t.trouble.as_ref()) { ". " (why) "." } }
        } } }
    }
}

/// Somebody is on it.
pub async fn on_it(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let turn = v.app.desk.on_it(v.actor(), &id).await?;
    let to = typed.get("to");
    let own = to.starts_with('/') && !to.starts_with("//") && !to.contains(['\\', '?', '#']);
    Ok(v.done(if own { to } else { "/notices" }, turn))
}

/// Tries all ways that the studio has set.
pub async fn test_studio(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let ways = &v.given.settings.ways;
    let set = |kind: &WayKind| match kind {
        WayKind::Webhook => ways.webhook.is_some(),
        WayKind::Mqtt => ways.mqtt.is_some(),
        WayKind::Mail => ways.mail.is_some(),
    };
    let kinds: Vec<WayKind> = WayKind::ALL.into_iter().filter(set).collect();
    tried(&v, &kinds, "/studio").await
}

/// Tries one's own e-mail.
pub async fn test_me(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    tried(&v, &[WayKind::Mail], "/me").await
}

async fn tried(v: &Visit, kinds: &[WayKind], back: &str) -> Result<Response, Trouble> {
    let tried: Tried = v
        .app
        .desk
        .try_ways(v.actor(), kinds, from_environment)
        .await?;
    let body = html! {
        @if tried.is_empty() { p { "No way to tell people is set yet. Write one down and store it first." } }
        ul.rows role="status" { @for (kind, told) in &tried { li { p {
            strong { (kind.words()) ": " }
            @match told {
                Ok(()) => { "taken. See that it came" @if *kind == WayKind::Mail { ", to " (v.person().reach.trim()) } "." },
                Err(e) => { "not taken. " (e) "." },
            }
        } } } }
        p.steps { a.step href=(back) { "Back" } a.step href="/notices" { "Notices" } }
    };
    let here = if back == "/me" {
        Here::Me
    } else {
        Here::Studio
    };
    Ok(v.page(here, "A test notice", &body))
}
