//! What a kiln's own firings taught of it: how well they were foretold, what plans use, the way back.

use axum::response::IntoResponse as _;
use axum::response::{Redirect, Response};
use glost_model::book::{Act, Firing, Lessons};
use glost_studio::desk::lessons::{Known, Looked, MOST, left_words};
use glost_studio::desk::{Actor, DeskError};
use maud::{Markup, html};

use crate::app::fields::hidden;
use crate::app::{Form, Here, Path, Trouble, Typed, Visit, escaped};
use crate::page::wide;

type Sent = Form<Vec<(String, String)>>;

/// Its job's name among those of firings.
fn job(kiln: &str) -> String {
    format!("kiln {kiln}")
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
        @if busy { (progress(&at)) }
        @else if v.may(Act::Keep) { (work(&v, &known, &at)) }
        @if let Some(k) = kept { (in_use(&v, &k.body, version, &at)) (weakens(&k.body)) }
        @if known.learnt.used() > 0 {
            h2 { "What is known of it" }
            ul { @for p in known.learnt.parameters(v.shown()) { li { (p.words) } } }
            p.hint { "± is one standard deviation: two of three kilns that look like this one lie within. What no firing tells stays as it is for all such kilns." }
        }
        h2 { "Its firings" }
        (firings(&v, &known, version, &at))
        @if !known.editions.is_empty() {
            h2 { "Editions before" }
            ul.rows { @for e in &known.editions { li {
                strong { "Edition " (e.lessons.edition) }
                span.small { "worked out " (day(&v, e.lessons.at)) " by " (names.get(&e.by.0).map_or(e.by.0.as_str(), String::as_str)) ": " (taught_words(&e.lessons)) }
                @if v.may(Act::Keep) { form method="post" action={ (at) "/back" } {
                    (hidden("version", &version.to_string()))
                    (hidden("edition", &e.lessons.edition.to_string()))
                    button type="submit" { "Plan by edition " (e.lessons.edition) }
                } }
            } } }
        }
    };
    let title = format!("What {} taught", known.kiln.body.thing.name);
    Ok(v.page(Here::Kilns, &title, &body))
}

fn day(v: &Visit, at: jiff::Timestamp) -> String {
    v.local(at).strftime("%-d %b %Y").to_string()
}

fn firings_word(n: usize) -> String {
    match n {
        1 => "1 firing".to_owned(),
        n => format!("{n} firings"),
    }
}

fn taught_words(l: &Lessons) -> String {
    match &l.taught {
        None => "no firing could be learnt from".to_owned(),
        Some(t) if t.foretold.is_empty() => format!("from {}", firings_word(t.firings as usize)),
        Some(t) => format!("from {}, {}", firings_word(t.firings as usize), t.foretold),
    }
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

fn sentence(words: &str) -> String {
    let mut all = words.chars();
    all.next()
        .map(|first| first.to_uppercase().chain(all).collect())
        .unwrap_or_default()
}

/// What can be done now.
fn work(v: &Visit, known: &Known, at: &str) -> Markup {
    let left_out = known.kept.as_ref().map(|k| &k.body.left_out);
    let with_log = known
        .over
        .iter()
        .filter(|(f, lacks)| lacks.is_none() && left_out.is_none_or(|l| !l.contains(&f.id)));
    let (logs, fresh) = (with_log.count(), known.fresh());
    let lost = v.app.jobs.lost(&job(&known.kiln.body.id));
    html! {
        @if let Some(why) = lost { p.warn role="alert" { "It could not be worked out: " (why) } }
        @if logs == 0 {
            p.empty { "No firing of it that is over has a log. Keep its readings on the page where a firing is watched, by hand, from a file or by a program." }
        } @else {
            @if fresh > 0 { p { (sentence(&firings_word(fresh))) " came since." } }
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

/// Whether plans use it.
fn in_use(v: &Visit, l: &Lessons, version: i64, at: &str) -> Markup {
    let to = |used: bool, words: &str| {
        html! { @if v.may(Act::Keep) { form.one method="post" action={ (at) "/use" } {
            (hidden("version", &version.to_string()))
            (hidden("used", if used { "yes" } else { "no" }))
            button type="submit" { (words) }
        } } }
    };
    html! { section.panel {
        h2 { "In plans" }
        @match (&l.taught, l.used) {
            (None, _) => p { "Edition " (l.edition) " could learn from no firing: plans take the kiln as its record says." },
            (Some(_), true) => { p { strong { "New plans and firings under watch use edition " (l.edition) } ", " (taught_words(l)) "." } (to(false, "Plan without it")) },
            (Some(_), false) => { p { strong { "Plans do not use it." } " They take the kiln as its record says." } (to(true, &format!("Plan by edition {}", l.edition))) },
        }
        p.hint { "Plans that were made keep what they were made with. The kiln's own record is never changed." }
    } }
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

fn miss(l: &Looked) -> (String, String, String) {
    let dash = || "–".to_owned();
    let Some(m) = &l.missed else {
        return (dash(), dash(), dash());
    };
    let root = |all: &[(String, f64)]| {
        let sum: f64 = all.iter().map(|c| c.1 * c.1).sum();
        (!all.is_empty()).then(|| (sum / all.len() as f64).sqrt())
    };
    (
        root(&m.cones).map_or_else(dash, |c| format!("{c:.1} cone")),
        m.peak_s
            .map_or_else(dash, |s| format!("{:+.0} min", s.to_minutes())),
        m.energy_j
            .map_or_else(dash, |e| format!("{:+.1} %", e.1 * 100.0)),
    )
}

/// Every firing that is over: how far off it was foretold, and whether it is learnt from.
fn firings(v: &Visit, known: &Known, version: i64, at: &str) -> Markup {
    if known.over.is_empty() {
        return html! { p.empty { "None is over yet." } };
    }
    let left_out = |id: &str| {
        known
            .kept
            .as_ref()
            .is_some_and(|k| k.body.left_out.contains(id))
    };
    let stands = |f: &Firing, lacks: Option<&str>| -> String {
        if left_out(&f.id) {
            return "Left out by hand".to_owned();
        }
        if let Some(lacks) = lacks {
            return format!("Not used: {lacks}");
        }
        match known.learnt.firings.iter().find(|l| l.id == f.id) {
            None => "Not looked at yet".to_owned(),
            Some(l) => match &l.refused {
                None => "Learnt from".to_owned(),
                Some(why) => format!("Not used: {why}"),
            },
        }
    };
    html! {
        (wide("Its firings, how far off they were foretold", html! { table {
            thead { tr { th scope="col" { "Firing" } th scope="col" { "On" } th scope="col" { "Cones off by" } th scope="col" { "End of the peak" } th scope="col" { "Energy" } th scope="col" { "Learnt from?" } } }
            tbody { @for (f, lacks) in known.over.iter().rev() {
                @let looked = known.learnt.firings.iter().find(|l| l.id == f.id);
                @let (cones, peak, energy) = looked.map_or_else(|| ("–".into(), "–".into(), "–".into()), miss);
                tr {
                    th scope="row" { a href={ "/firings/" (escaped(&f.id)) } { (f.id) } }
                    td { @if let Some(on) = f.started { (day(v, on)) } @else { "–" } }
                    td { (cones) } td { (peak) } td { (energy) }
                    td { (stands(f, *lacks))
                        @if v.may(Act::Keep) && known.kept.is_some() && lacks.is_none() {
                            form.one method="post" action={ (at) "/leave-out" } {
                                (hidden("version", &version.to_string()))
                                (hidden("firing", &f.id))
                                (hidden("out", if left_out(&f.id) { "no" } else { "yes" }))
                                button type="submit" { @if left_out(&f.id) { "Take firing " (f.id) " in" } @else { "Leave firing " (f.id) " out" } }
                            }
                        }
                    }
                }
            } }
        } }))
        p.hint { "Happened less foretold: + is later, or more. Leave a firing out when something was not as planned: a lid opened, another load, mains that failed." }
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
            let found = gathered.work_out(&mut |done| {
                let share = done as f64 / all as f64;
                tell.tell(
                    &format!("{done} of {} looked at", firings_word(all)),
                    share,
                    String::new(),
                )
            });
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
