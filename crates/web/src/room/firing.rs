//! One firing: where it is, and what is to be done next.

use axum::response::Response;
use glost_model::book::{Act, Firing, FiringState, Purpose, Role};
use glost_model::plan_file::PlanFile;
use glost_model::shown::hours;
use glost_sheets::{CAUTIONS, step_letter};
use glost_store::Kept;
use glost_studio::desk::DeskError;
use maud::{Markup, html};

use super::accounts::cost;
use super::before::{before, not_now};
use super::draft::progress;
use super::read_back;
use super::wishes;
use crate::app::fields::{Fields, Look, hidden};
use crate::app::{Here, Path, Trouble, Typed, Visit, called};
use crate::page::cautions::list;

/// The page.
pub async fn show(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let kept = v.app.desk.firing(&id).await?;
    let body = page(&v, &kept, &Typed::default(), &[]).await?;
    Ok(v.page(Here::Firings, &title(&kept.body), &body))
}

/// Number, kiln and cone, with its range in words.
pub fn title(f: &Firing) -> String {
    format!(
        "Firing {}: {}, cone {} ({})",
        f.id,
        f.kiln,
        f.cone,
        f.cone.range_name()
    )
}

/// What the page shows, with what was typed and is wrong.
pub async fn page(
    v: &Visit,
    kept: &Kept<Firing>,
    typed: &Typed,
    faults: &[glost_model::fault::Fault],
) -> Result<Markup, DeskError> {
    let f = &kept.body;
    // Asked before the plan is read: a job that ends in between has stored its plan.
    let busy = v.app.jobs.watch(&f.id).is_some();
    let plan = plan_of(v, &f.id).await?;
    let names = v.app.desk.names().await?;
    let name = |id: &Option<String>| {
        id.as_ref()
            .and_then(|i| names.get(i))
            .cloned()
            .unwrap_or_else(|| "nobody yet".to_owned())
    };
    let fields = Fields { typed, faults };
    Ok(html! {
        @let ready = f.state == FiringState::Draft && plan.is_some();
        p.lead { @if ready { "Planned, and not accepted yet." } @else { (called::sentence(called::how_far(f))) @if f.short { ": its ware waits again" } "." } }
        (fields.summary())
        @if f.purpose != Purpose::Ware { p { "It was no firing of ware: " (f.purpose.words()) "." } }
        @if let Some(plan) = &plan {
            (facts(v, f, plan))
            @if !f.wished.missed.is_empty() { p.warn { "Not as wished: " (f.wished.missed) "." } }
            (ways(f))
        }
        @else if f.started.is_some() { p.steps { a.step href={ "/firings/" (f.id) "/watch" } { "Its readings and its log" } } }
        @match f.state {
            FiringState::Draft => (draft(v, kept, plan.as_ref(), busy, fields)),
            FiringState::Accepted | FiringState::Loading => (before(v, kept, plan.as_ref(), fields, &names, (&v.app.desk.who_fires().await?, v.app.desk.loaded(&f.id).await?))),
            FiringState::Firing => (during(v, kept, plan.as_ref(), fields, &names)),
            FiringState::Cooling => (cooling(v, kept, plan.as_ref(), fields)),
            FiringState::Opened => (super::opening::part(v, kept, plan.as_ref(), fields).await?),
            FiringState::Done | FiringState::CalledOff => {},
        }
        h2 { "Who and when" }
        table.facts { tbody {
            tr { th scope="row" { "Planned by" } td { (name(&Some(f.by.clone()))) } }
            @if let Some(words) = wishes::words(v, &f.wished) { tr { th scope="row" { "Wished" } td { (words) } } }
            @if let Some(at) = f.starts { tr { th scope="row" { "To be started" } td { (v.when(at)) } } }
            tr { th scope="row" { "Loaded by" } td { (name(&f.loaded_by)) } }
            @if let Some(n) = &f.read_back { tr { th scope="row" { "Programme read back" } td { (name(&Some(n.who.clone()))) ", " (v.when(n.at)) } } }
            @if let Some(at) = f.started { tr { th scope="row" { "Started" } td { (v.when(at)) ", by " (name(&f.started_by)) @if let Some(set) = f.set_going { "; its controller was set going " (v.when(set)) } } } }
            tr { th scope="row" { "Who may stop it" } td { "a technician" @if f.started_by.is_some() { ", " (name(&f.started_by)) } @for p in &f.may_stop { ", " (name(&Some(p.clone()))) } "; anybody in danger, at the isolator" } }
            @if let Some(at) = f.ended { tr { th scope="row" { "Ended" } td { (v.when(at)) ", seen by " (name(&f.ended_by)) } } }
            @if let Some(at) = f.opened { tr { th scope="row" { "Opened" } td { (v.when(at)) } } }
            @if let Some(e) = f.metered() { tr { th scope="row" { "Energy by the meter" } td { (format!("{:.1} kWh", e.to_kwh())) } } }
            @if let Some(c) = f.hottest_c { tr { th scope="row" { "Hottest on the display" } td { (v.shown().temperature(glost_model::Temperature::c(c))) } } }
        } }
        @let dials = super::cones::dials(v, f).await?;
        @if !f.cones.is_empty() { h2 { "Cones as read" } (dials) (super::opening::cones_table(v, f)) }
        @if !f.next_time.is_empty() { h2 { "Next time" } p.note { (f.next_time) } }
        h2 { "Notes" }
        @if f.notes.is_empty() { p.empty { "No notes." } }
        ul { @for n in &f.notes { li { (v.when(n.at)) ", " (name(&Some(n.who.clone()))) ": " (n.words) } } }
        @if v.may(Act::Fire) {
            form method="post" action={ "/firings/" (f.id) "/note" } {
                (hidden("version", &kept.version.to_string()))
                (fields.lines("words", "Add a note", ""))
                button type="submit" { "Note it" }
            }
        }
        p { a href={ "/ware?firing=" (f.id) } { "Its ware" } @if matches!(f.state, FiringState::Opened | FiringState::Done) { " · " a href={ "/firings/" (f.id) "/causes" } { "Its faults and why" } } @if f.started.is_some() { " · " a href={ "/firings/" (f.id) "/readings" } { "Its readings" } } @if plan.is_some() && v.may(Act::Charge) { " · " a href={ "/firings/" (f.id) "/cost" } { "What it really costs" } } }
    })
}

/// The plan in the visitor's units.
pub async fn plan_of(v: &Visit, id: &str) -> Result<Option<PlanFile>, DeskError> {
    let plan = v.app.desk.plan(id).await?;
    Ok(plan.map(|mut p| {
        p.studio.shown = v.shown();
        p
    }))
}

fn facts(v: &Visit, f: &Firing, plan: &PlanFile) -> Markup {
    let s = &f.summary;
    html! {
        ul.facts-line {
            li { strong { (called::several(s.pieces.into(), "piece")) } " on " (called::several(s.tiers.into(), "tier")) }
            li { strong { (format!("{:.0} %", s.fill * 100.0)) } " of the shelves covered" }
            @if s.at_most > 0.0 { li { strong { (format!("{:.0} %", (s.value / s.at_most * 100.0).min(100.0))) } " of the most that any load could be worth" } }
            @if let Some(t) = s.takes_s { li { strong { (hours(t)) } " for the programme" } }
            @if let Some(t) = s.open_after_s { li { "may be opened after " strong { (hours(t)) } @if let Some(at) = f.started.or(f.starts) { ", " (v.when(later(at, t))) } } }
            @if let Some(e) = s.energy_j { li { strong { (format!("{:.0} kWh", e.to_kwh())) } @if let Some(c) = s.cost_cents { ", " (cost(v, &plan.studio.tariff, c)) } } }
            @if plan.forecast.as_ref().is_some_and(|f| !f.feasible) { li.warn { "This kiln is not foreseen to do it. Read the notes of the firing." } }
        }
    }
}

/// A moment so long after another.
pub fn later(at: jiff::Timestamp, by: glost_model::Span) -> jiff::Timestamp {
    let seconds = by.to_s().round().clamp(0.0, 1e9) as i64;
    at.checked_add(jiff::SignedDuration::from_secs(seconds))
        .unwrap_or(at)
}

fn ways(f: &Firing) -> Markup {
    let at = format!("/firings/{}", f.id);
    html! { p.steps {
        a.step href={ (at) "/load" } { "Load, tier by tier" }
        a.step href={ (at) "/programme" } { "Firing and forecast" }
        a.step href={ (at) "/stays" } { "What stays out" }
        a.step href={ (at) "/load-sheet.pdf" } { "Load sheet (PDF)" }
        @if f.started.is_some() { a.step.main[matches!(f.state, FiringState::Firing | FiringState::Cooling)] href={ (at) "/watch" } { "Watch it" } }
    } }
}

fn draft(
    v: &Visit,
    kept: &Kept<Firing>,
    plan: Option<&PlanFile>,
    busy: bool,
    fields: Fields<'_>,
) -> Markup {
    let f = &kept.body;
    let again = wishes::again(v, f, fields.typed);
    let fields = Fields {
        typed: &again,
        ..fields
    };
    let at = format!("/firings/{}", f.id);
    html! {
        @if busy { (progress(&f.id)) }
        @else {
            @if let Some(why) = v.app.jobs.lost(&f.id) { p.warn role="status" { "The last try made no plan: " (why) } }
            @if let Some(plan) = plan {
                @if plan.load.placed().next().is_none() { p.empty { "Nothing that waits can go in this firing. See why under 'What stays out'." } }
                @else if v.may(Act::Accept) {
                    h2 { "Accept it" }
                    p { "Its ware is then kept for this firing. The judge looks at the load once more." }
                    form method="post" action={ (at) "/accept" } {
                        (hidden("version", &kept.version.to_string()))
                        (Fields { typed: &starts(v, f), faults: &[] }.text("starts", "To be started", Look { kind: "datetime-local", optional: true, ..Look::default() }))
                        div.steps { button.main type="submit" { "Accept" } a.step href={ (at) "/bench" } { "Change it by hand" } }
                    }
                }
            } @else { p.empty { "There is no plan yet." } }
            details open[wishes::wrong(fields.faults)] { summary { "Plan it again" }
                form method="post" action={ (at) "/plan" } {
                    (hidden("version", &kept.version.to_string()))
                    (hidden("seed", &seed(plan)))
                    p { "With the ware that waits now. Try another arrangement: each time the search begins anew, and may find a better load or a worse one." }
                    (wishes::part(fields, v.shown()))
                    div.steps {
                        button type="submit" name="effort" value="usual" { "Try another arrangement (half a minute)" }
                        button type="submit" name="effort" value="long" { "Seek longer (some minutes)" }
                    }
                }
                p { "To see two plans beside one another, plan another draft and " a href={ (at) "/beside" } { "choose it here" } "." }
            }
        }
        (call_off(kept))
    }
}

/// The seed of the next search: another than that of the plan.
fn seed(plan: Option<&PlanFile>) -> String {
    plan.map_or(1, |p| p.load.seed.saturating_add(1))
        .to_string()
}

fn starts(v: &Visit, f: &Firing) -> Typed {
    let mut t = Typed::default();
    if let Some(at) = f.starts {
        t.set("starts", v.local(at).strftime("%Y-%m-%dT%H:%M").to_string());
    }
    t
}

/// The form that calls it off.
pub fn call_off(kept: &Kept<Firing>) -> Markup {
    html! {
        details { summary { "Call it off" }
            form method="post" action={ "/firings/" (kept.body.id) "/call-off" } {
                (hidden("version", &kept.version.to_string()))
                p { "Its ware waits again." }
                label for="why" { "Why" } textarea #why name="why" rows="2" {}
                div.steps { button type="submit" { "Call it off" } }
            }
        }
    }
}

/// The kiln is on.
fn during(
    v: &Visit,
    kept: &Kept<Firing>,
    plan: Option<&PlanFile>,
    fields: Fields<'_>,
    names: &std::collections::BTreeMap<String, String>,
) -> Markup {
    let f = &kept.body;
    let at = format!("/firings/{}", f.id);
    let version = kept.version.to_string();
    let started = f.started.unwrap_or(v.now);
    html! {
        @if f.set_going.is_some() && v.now < started { p.lead { "Its controller waits and starts it " (v.when(started)) ". Be there for the first half hour." } }
        @if let (Some(firing), Some(forecast)) = (plan.and_then(|p| p.firing.as_ref()), plan.and_then(|p| p.forecast.as_ref())) {
            @if let Some(t) = forecast.peak_over(firing) { p.lead { "Its peak is foreseen to be over " (v.when(later(started, t))) ". Be there: relays and controllers stick." } }
            h2 { "By hand" }
            (list(CAUTIONS.hand))
            ul.rows { @for (i, h) in firing.hand_steps.iter().enumerate() {
                @let done = f.done_steps.iter().find(|(s, _)| *s == i);
                li { p { strong { (step_letter(i)) " " (h.when(v.shown())) } @if let Some(t) = forecast.due(h) { ", foreseen " (v.when(later(started, t))) } ": " (h.step) }
                    @match done {
                        Some((_, n)) => { p { "Done: " (v.when(n.at)) ", " (names.get(&n.who).map_or("", String::as_str)) } }
                        None => { @if v.may(Act::Fire) { form method="post" action={ (at) "/step" } { (hidden("version", &version)) (hidden("step", &i.to_string())) button type="submit" { "Done: step " (step_letter(i)) } } } }
                    }
                }
            } }
        }
        @if v.may(Act::Fire) {
            @if let Some(firing) = plan.and_then(|p| p.firing.as_ref()) { (read_back::while_on(v, f, &version, firing, fields)) }
            h2 { "The end" }
            (list(CAUTIONS.end))
            form method="post" action={ (at) "/end" } {
                (hidden("version", &version))
                (fields.text("hottest", "Hottest on the display", Look { keys: "decimal", unit: v.shown().degree_sign(), optional: true, ..Look::default() }))
                (fields.text("meter", "Meter at the end", Look { keys: "decimal", unit: "kWh", optional: true, ..Look::default() }))
                @let own = v.person().role == Role::Technician || f.started_by.as_ref() == Some(&v.person().id);
                (fields.lines("why", if own { "How it ended" } else { "Why you stopped it" }, "Its programme was over, or something else"))
                (not_now(fields, "When it went off, if not now"))
                button.main type="submit" { "The kiln is off" }
            }
        }
    }
}

fn cooling(v: &Visit, kept: &Kept<Firing>, plan: Option<&PlanFile>, fields: Fields<'_>) -> Markup {
    let f = &kept.body;
    let started = f.started.unwrap_or(v.now);
    html! {
        h2 { "When may it be opened?" }
        (list(CAUTIONS.open))
        @if let Some(forecast) = plan.and_then(|p| p.forecast.as_ref()) {
            ul { @for (i, c) in forecast.cooled.iter().enumerate() { li {
                strong { (["Plugs out", "Ajar", "Open", "Unload"].get(i).copied().unwrap_or("Then")) } ": below " (v.shown().temperature(c.below_c)) ", foreseen "
                @match c.time_s { Some(t) => (v.when(later(started, t))), None => "later than the forecast reaches" }
            } } }
            p { "The display counts, not the clock." }
        }
        @if v.may(Act::Fire) {
            @let early = f.open_from().is_some_and(|from| v.now < from);
            @if early { p.warn { "It is early: by the plan it may be opened from " (f.open_from().map_or_else(String::new, |t| v.when(t))) " on. Ware, shelves and people come to harm by opening too soon." } }
            form method="post" action={ "/firings/" (f.id) "/open" } {
                (hidden("version", &kept.version.to_string()))
                (fields.text("display", "The display shows", Look { keys: "decimal", unit: v.shown().degree_sign(), optional: !early, ..Look::default() }))
                @if early { (fields.text("why", "Why it is open so soon", Look { hint: "Only when it shows more than it should", optional: true, ..Look::default() })) }
                (not_now(fields, "When it was opened, if not now"))
                button.main type="submit" { "It is open" }
            }
        }
    }
}
