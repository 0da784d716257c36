//! Editions of what a kiln taught: the one in force, one that is held back, those before, and how the next comes.

use std::collections::BTreeMap;

use glost_model::book::{Act, Held, Lessons};
use glost_studio::desk::lessons::{Known, Over};
use maud::{Markup, html};

use super::{day, firings_word};
use crate::app::fields::hidden;
use crate::app::{Visit, escaped};

fn taught_words(l: &Lessons) -> String {
    match &l.taught {
        None => "no firing could be learnt from".to_owned(),
        Some(t) if t.foretold.is_empty() => format!("from {}", firings_word(t.firings as usize)),
        Some(t) => format!("from {}, {}", firings_word(t.firings as usize), t.foretold),
    }
}

/// Whether plans use it.
pub(super) fn in_use(v: &Visit, l: &Lessons, version: i64, at: &str) -> Markup {
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

/// An edition that is kept and not in force.
pub(super) fn held_back(v: &Visit, h: &Held, version: i64, at: &str) -> Markup {
    let l = &h.lessons;
    html! { section.panel {
        h2 { "Edition " (l.edition) " is kept and not in force" }
        p.warn { strong { "It foretells worse. " } (h.why) "." }
        p { "Worked out " (day(v, l.at)) ", " (taught_words(l)) ". Look at that firing first: another load than planned, a cone that was misread, a sensor that slipped. Put right what was misread, mark what is wrong of its log, or leave it out below and learn anew." }
        @if v.may(Act::Keep) { form.one method="post" action={ (at) "/back" } {
            (hidden("version", &version.to_string()))
            (hidden("edition", &l.edition.to_string()))
            button type="submit" { "Plan by edition " (l.edition) " all the same" }
        } }
    } }
}

/// Whether it is learnt anew by itself.
pub(super) fn by_itself(v: &Visit, known: &Known, at: &str) -> Markup {
    let on = known.learning.body.after_firings;
    let waits: Vec<(&Over, Vec<&str>)> = known
        .over
        .iter()
        .filter(|o| on && o.lacks.is_none() && !known.is_left_out(&o.firing.id))
        .filter(|o| !known.has_looked_at(o))
        .map(|o| (o, o.unread()))
        .filter(|(_, unread)| !unread.is_empty())
        .collect();
    let choice = |value: &str, words: &str, checked: bool| {
        html! { label { input type="radio" name="after" autocomplete="off" value=(value) checked[checked]; span { (words) } } }
    };
    html! { section.panel {
        h2 { "How the next edition comes" }
        @if v.may(Act::Keep) {
            form method="post" action={ (at) "/after" } {
                (hidden("version", &known.learning.version.to_string()))
                fieldset.choice {
                    legend { "Learn after each firing" }
                    div.choices { (choice("yes", "Yes, by itself", on)) (choice("no", "No, only when somebody asks", !on)) }
                }
                button type="submit" { "Store this choice" }
            }
        } @else { p { "It is learnt anew " @if on { "by itself after each firing." } @else { "only when somebody asks." } } }
        p.hint { "When a firing was emptied, its log is there and the cones that were set are read, Glost learns anew and keeps an edition. When one of the new firings makes it foretell others worse, it is kept and not put in force. Every edition has a way back." }
        @for (o, unread) in &waits { p.note { "Firing " (o.firing.id) " waits until its cones are read: tier " (unread.join(", ")) ". " a href={ "/firings/" (escaped(&o.firing.id)) } { "To the firing" } "." } }
    } }
}

/// Editions that there is a way back to.
pub(super) fn before(
    v: &Visit,
    known: &Known,
    version: i64,
    at: &str,
    names: &BTreeMap<String, String>,
) -> Markup {
    html! {
        @if !known.editions.is_empty() {
            h2 { "Editions before" }
            ul.rows { @for e in &known.editions { li {
                strong { "Edition " (e.lessons.edition) }
                span.small { "worked out " (day(v, e.lessons.at)) " by " (names.get(&e.by.0).map_or(e.by.0.as_str(), String::as_str)) ": " (taught_words(&e.lessons)) }
                @if v.may(Act::Keep) { form method="post" action={ (at) "/back" } {
                    (hidden("version", &version.to_string()))
                    (hidden("edition", &e.lessons.edition.to_string()))
                    button type="submit" { "Plan by edition " (e.lessons.edition) }
                } }
            } } }
        }
    }
}
