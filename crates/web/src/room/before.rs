//! A firing before it is on: it is loaded, its programme set and read back, and then it is started.

use std::collections::BTreeMap;

use glost_model::book::{Act, Firing, FiringState, Person, Role};
use glost_model::plan_file::PlanFile;
use glost_sheets::CAUTIONS;
use glost_store::Kept;
use maud::{Markup, html};

use super::firing::call_off;
use super::read_back;
use crate::app::Visit;
use crate::app::fields::{Fields, Look, hidden, options};
use crate::page::cautions::list;

/// Loading, reading back, starting.
pub fn before(
    v: &Visit,
    kept: &Kept<Firing>,
    plan: Option<&PlanFile>,
    fields: Fields<'_>,
    names: &BTreeMap<String, String>,
    (fires, (ticked, all)): (&[Person], (u32, u32)),
) -> Markup {
    let f = &kept.body;
    let at = format!("/firings/{}", f.id);
    let version = kept.version.to_string();
    let shown = v.shown();
    if !v.may(Act::Fire) {
        return html! {};
    }
    html! {
        h2 { "1. Load the kiln" }
        (list(CAUTIONS.first))
        @if f.state == FiringState::Accepted {
            form method="post" action={ (at) "/begin" } { (hidden("version", &version)) button.main type="submit" { "Begin to load" } }
        }
        p.steps { a.step.main href={ (at) "/at-kiln" } { "Load sheet for the phone" } }
        h2 { "2. Set the programme" }
        (list(CAUTIONS.start))
        @if let Some(firing) = plan.and_then(|p| p.firing.as_ref()) {
            p.cone-call { "Cone " strong { (firing.cone) } ", " (firing.cone.range_name()) ". Not to be mixed up: " (mix_up(firing.cone)) }
            (read_back::table(firing, shown))
        } @else { p.warn { "No firing could be planned for this load. Set one of your own, and read the notes first." } }
        h2 { "3. Read it back" }
        (read_back::part(v, f, &version, plan, fields, names))
        h2 { "4. Start" }
        (list(CAUTIONS.hand))
        form method="post" action={ (at) "/start" } {
            (hidden("version", &version))
            (fields.text("meter", "Meter before the start", Look { keys: "decimal", unit: "kWh", optional: true, ..Look::default() }))
            @let others: Vec<(String, String)> = fires.iter().filter(|p| p.id != v.person().id && p.role != Role::Technician).map(|p| (p.id.clone(), p.name.clone())).collect();
            @if !others.is_empty() { (fields.many("may_stop", "Who may stop it besides you and a technician?", "", &others)) }
            @if ticked < all { (fields.many("loaded", &format!("{ticked} of {all} pieces are ticked on the load sheet"), "", &options([("yes", "I looked: the kiln stands as on the sheet")]))) }
            (when(fields, "It is on since another time, or its controller waits", html! {
                (fields.text("at", "When it was switched on, if not now", Look { kind: "datetime-local", optional: true, ..Look::default() }))
                (fields.text("begins", "Its controller starts later, at", Look { kind: "datetime-local", hint: "For a delayed start. The watch and the calendar go by it", optional: true, ..Look::default() }))
            }))
            p { "You switch the kiln on at its own switch. Glost writes down that you did." }
            button.main type="submit" { "The kiln is on" }
        }
        (call_off(kept))
    }
}

/// Times that are not now, folded away until somebody needs them.
fn when(fields: Fields<'_>, title: &str, times: Markup) -> Markup {
    let typed = ["at", "begins"]
        .iter()
        .any(|n| !fields.typed.get(n).is_empty());
    html! { details open[typed] { summary { (title) } (times) } }
}

/// When something was done that is written down later.
pub fn not_now(fields: Fields<'_>, label: &str) -> Markup {
    let look = Look {
        kind: "datetime-local",
        optional: true,
        ..Look::default()
    };
    when(
        fields,
        "It was not just now",
        html! { (fields.text("at", label, look)) },
    )
}

/// What the cone is taken for.
fn mix_up(cone: glost_model::cone::Cone) -> String {
    let name = cone.to_string();
    let other = name
        .strip_prefix('0')
        .map_or_else(|| format!("0{name}"), str::to_owned);
    match glost_model::cone::Cone::parse(&other) {
        Ok(o) => format!("cone {o} is {}.", o.range_name()),
        Err(_) => "look at every digit.".to_owned(),
    }
}
