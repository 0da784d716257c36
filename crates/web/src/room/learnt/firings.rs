//! A kiln's firings: how far off each was foretold, and whether it is learnt from.

use glost_model::book::Act;
use glost_studio::desk::lessons::{Known, Looked, Over};
use maud::{Markup, html};

use super::day;
use crate::app::called::several;
use crate::app::fields::hidden;
use crate::app::{Visit, escaped};
use crate::page::wide;

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
pub(super) fn table(v: &Visit, known: &Known, version: i64, at: &str) -> Markup {
    if known.over.is_empty() {
        return html! { p.empty { "None is over yet." } };
    }
    let stands = |o: &Over| -> String {
        if known.is_left_out(&o.firing.id) {
            return "Left out by hand".to_owned();
        }
        if let Some(lacks) = o.lacks {
            return format!("Not used: {lacks}");
        }
        match known.learnt.firings.iter().find(|l| l.id == o.firing.id) {
            None if known.has_looked_at(o) => "In the edition that is not in force".to_owned(),
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
            tbody { @for o in known.over.iter().rev() {
                @let f = &o.firing;
                @let looked = known.learnt.firings.iter().find(|l| l.id == f.id);
                @let (cones, peak, energy) = looked.map_or_else(|| ("–".into(), "–".into(), "–".into()), miss);
                tr {
                    th scope="row" { a href={ "/firings/" (escaped(&f.id)) } { (f.id) } }
                    td { @if let Some(on) = f.started { (day(v, on)) } @else { "–" } }
                    td { (cones) } td { (peak) } td { (energy) }
                    td { (stands(o))
                        @if o.lacks.is_none() { p { a.step href={ "/firings/" (escaped(&f.id)) "/readings" } {
                            @if o.bad.is_empty() { "Readings of firing " (f.id) } @else { (several(o.bad.len() as u64, "part")) " of the readings of firing " (f.id) " left out" }
                        } } }
                        @if v.may(Act::Keep) && known.kept.is_some() && o.lacks.is_none() {
                            form.one method="post" action={ (at) "/leave-out" } {
                                (hidden("version", &version.to_string()))
                                (hidden("firing", &f.id))
                                (hidden("out", if known.is_left_out(&f.id) { "no" } else { "yes" }))
                                button type="submit" { @if known.is_left_out(&f.id) { "Take firing " (f.id) " in" } @else { "Leave firing " (f.id) " out" } }
                            }
                        }
                    }
                }
            } }
        } }))
        p.hint { "Happened less foretold: + is later, or more. Leave a firing out when it was not as planned: another load, mains that failed. When only some readings are wrong, mark those instead." }
    }
}
