//! What a kiln's own firings taught of it: how well they were foretold, what plans use, the way back.

mod editions;
mod firings;

use axum::response::IntoResponse as _;
use axum::response::{Redirect, Response};
use glost_model::book::{Act, Lessons};
use glost_studio::desk::lessons::{Known, MOST, THREADS, left_words};
use glost_studio::desk::{Actor, DeskError};
use maud::{Markup, html};

use crate::app::called::{sentence, several};
use crate::app::jobs::Teller;
use crate::app::{Form, Here, Path, Trouble, Typed, Visit, escaped};

type Sent = Form<Vec<(String, String)>>;

/// Its job's name among those of firings.
pub fn job(kiln: &str) -> String {
    format!("kiln {kiln}")
}

/// Tells how many firings of all were looked at; false when it is to stop.
pub fn looked_at(tell: &Teller, done: usize, all: usize) -> bool {
    let share = done as f64 / all.max(1) as f64;
    tell.tell(
        &format!("{done} of {} looked at", firings_word(all)),
        share,
        String::new(),
    )
}

fn at(kiln: &str) -> String {
    format!("/kilns/{}/learnt", escaped(kiln))
}

/// The page.
pub async fn show(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    let known = v.app.desk.known(v.actor(), &id).await?;
    let names = v.app.desk.names().await?;
    let at = at(&known.kiln.body.id);
    let kept = known.kept.as_ref();
    let version = kept.map_or(0, |k| k.version);
    let busy = v.app.jobs.watch(&job(&id)).is_some();
    let body = html! {
        p.steps { a.step href={ "/kilns/" (escaped(&id)) } { "The kiln" } }
        (standing(&known))
        @if let Some(h) = kept.and_then(|k| k.body.held.as_ref()) { (editions::held_back(&v, h, version, &at)) }
        @if busy { (progress(&at)) }
        @else if v.may(Act::Keep) { (work(&v, &known, &at)) }
        (editions::by_itself(&v, &known, &at))
        @if let Some(k) = kept.filter(|k| k.body.edition > 0) { (editions::in_use(&v, &k.body, version, &at)) (weakens(&k.body)) }
        @if known.learnt.used() > 0 {
            h2 { "What is known of it" }
            ul { @for p in known.learnt.parameters(v.shown()) { li { (p.words) } } }
            p.hint { "± is one standard deviation: two of three kilns that look like this one lie within. What no firing tells stays as it is for all such kilns." }
        }
        h2 { "Its firings" }
        (firings::table(&v, &known, version, &at))
        (editions::before(&v, &known, version, &at, &names))
    };
    let title = format!("What {} taught", known.kiln.body.thing.name);
    Ok(v.page(Here::Kilns, &title, &body))
}

fn day(v: &Visit, at: jiff::Timestamp) -> String {
    v.local(at).strftime("%-d %b %Y").to_string()
}

fn firings_word(n: usize) -> String {
    several(n as u64, "firing")
}

/// How good forecasts are, in one sentence.
fn standing(known: &Known) -> Markup {
    let used = known.learnt.used();
    html! {
        @match known.learnt.foretold() {
            Some(f) => p.lead { (sentence(&f.words())) "." },
            None if used > 0 => p.lead { "Learnt from " (firings_word(used)) ". How well it foretells shows with the next one." },
            None => p.lead { "Nothing is learnt of this kiln yet: its firings are foretold as those of any kiln built like it." },
        }
        @if used > 0 { p.hint { "Each firing was foretold by those before it only, so this is an error on firings that were not yet learnt from." } }
    }
}

/// What can be done now.
fn work(v: &Visit, known: &Known, at: &str) -> Markup {
    let with_log = known
        .over
        .iter()
        .filter(|o| o.lacks.is_none() && !known.is_left_out(&o.firing.id));
    let (logs, fresh) = (with_log.count(), known.fresh());
    let lost = v.app.jobs.lost(&job(&known.kiln.body.id));
    html! {
        @if let Some(why) = lost { p.warn role="alert" { "It could not be worked out: " (why) } }
        @if logs == 0 {
            p.empty { "No firing of it that is over has a log. Keep its readings on the page where a firing is watched, by hand, from a file or by a program." }
        } @else {
            @if fresh > 0 { p { (firings_word(fresh)) @if fresh == 1 { " is" } @else { " are" } " new, or otherwise than when it was looked at." } }
            @if known.stale() { p { "Firings were left out since; it is to be worked out anew." } }
            form.one method="post" action=(at) {
                button.main[fresh > 0 || known.stale()] type="submit" { "Learn from " (firings_word(logs)) }
            }
            p.hint { "Takes some seconds for each firing. Of more than " (MOST) " the latest count. Witness cones tell most: read them on every tier." }
        }
    }
}

fn progress(at: &str) -> Markup {
    html! {
        section #progress.panel data-events={ (at) "/progress" } data-failed="It could not be worked out" {
            h2 { "Being worked out" }
            p #progress-words role="status" aria-live="polite" { "Firings are looked at one by one." }
            progress #progress-bar max="1" value="0" aria-label="Share done" {}
            p { "You may leave this page. " a href="" { "Look again" } }
            script type="module" src="/asset/progress.js" {}
        }
    }
}

/// When its elements will be too weak.
fn weakens(l: &Lessons) -> Markup {
    let Some(w) = &l.weakens else { return html! {} };
    html! {
        h2 { "Its elements" }
        ul {
            li { "It no longer reaches cone " (w.cone) ": " strong { (left_words(&w.short)) } "." }
            li { "It no longer keeps the programme's times: " strong { (left_words(&w.late)) } "." }
            li { "Power changes by " (format!("{:+.1} % ± {:.1} %", w.each.0 * 100.0, w.each.1 * 100.0)) " with each firing, by " (firings_word(w.firings as usize)) "." }
        }
        p.hint { "In brackets: one in ten such kilns comes to it before the first number, nine in ten before the last. Readings of the resistances make it surer." }
    }
}

/// Begins to learn.
pub async fn learn(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let known = v.app.desk.known(v.actor(), &id).await?;
    let left_out = known.kept.map(|k| k.body.left_out).unwrap_or_default();
    let gathered = v
        .app
        .desk
        .gather_lessons(&known.kiln.body, &left_out)
        .await?;
    if gathered.pasts.is_empty() {
        return Err(DeskError::cannot(
            "no firing of this kiln that is over has a log and a plan",
            "Keep the readings of its next firing",
        )
        .into());
    }
    let (desk, person, now) = (v.app.desk.clone(), v.person().clone(), v.app.clock);
    v.app.jobs.begin(
        &job(&id),
        move |tell| {
            let all = gathered.pasts.len();
            let found = gathered.work_out(THREADS, &mut |done| looked_at(tell, done, all));
            Ok((gathered, found))
        },
        move |(gathered, found)| async move {
            let actor = Actor {
                person: &person,
                at: now(),
            };
            let kept = desk.keep_lessons(actor, &gathered, &found).await;
            kept.map(|_turn| ()).map_err(|e| e.to_string())
        },
    );
    Ok(Redirect::to(&at(&id)).into_response())
}

/// How far it is, as events of the server.
pub async fn events(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    Ok(super::draft::follow(&v, &job(&id)))
}

/// Has plans use it, or not.
pub async fn set_use(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let used = typed.get("used") == "yes";
    let desk = &v.app.desk;
    let turn = desk
        .use_lessons(v.actor(), &id, used, typed.version())
        .await?;
    Ok(v.done(&at(&id), turn))
}

/// Has it learnt anew by itself after each firing, or not.
pub async fn after(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let typed = Typed(sent);
    let yes = match typed.get("after") {
        "yes" => true,
        "no" => false,
        _ => {
            return Err(
                DeskError::cannot("nothing was chosen", "Go back and choose yes or no").into(),
            );
        }
    };
    let desk = &v.app.desk;
    let turn = desk
        .set_learning(v.actor(), &id, yes, typed.version())
        .await?;
    Ok(v.done(&at(&id), turn))
}

/// Leaves a firing out, or takes it in.
pub async fn leave_out(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let (firing, out) = (typed.get("firing"), typed.get("out") == "yes");
    let desk = &v.app.desk;
    let turn = desk
        .learn_without(v.actor(), &id, firing, out, typed.version())
        .await?;
    Ok(v.done(&at(&id), turn))
}

/// Goes back to an edition before.
pub async fn back(v: Visit, Path(id): Path<String>, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let typed = Typed(sent);
    let edition = typed.get("edition").parse().map_err(|_e| {
        DeskError::field("edition", "this is no edition", "Choose one of the list")
    })?;
    let desk = &v.app.desk;
    let turn = desk
        .back_to(v.actor(), &id, edition, typed.version())
        .await?;
    Ok(v.done(&at(&id), turn))
}
