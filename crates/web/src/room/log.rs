//! The log: all firings, searched, and two beside one another.

use std::collections::BTreeSet;

use axum::response::Response;
use glost_model::Money;
use glost_model::book::{Act, ConeRead, Firing, FiringState, Ware};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::tariff::NO_PRICE;
use glost_studio::desk::DeskError;
use glost_studio::desk::log::{FaultCount, LogLook};
use glost_studio::report;
use jiff::civil::Date;
use maud::{Markup, html};

use super::ware::pages;
use crate::app::fields::{Fields, Look, options};
use crate::app::{Here, Query, Trouble, Typed, Visit, called, escaped};
use crate::page::wide;

/// Firings on one page.
const PAGE: usize = 40;

/// The list.
pub async fn show(v: Visit, Query(q): Query<Vec<(String, String)>>) -> Result<Response, Trouble> {
    let q = Typed(q);
    let text = |name: &str| Some(q.get(name).trim()).filter(|t| !t.is_empty());
    let mut faults = Vec::new();
    let mut date = |name: &str| {
        let read = text(name).map(str::parse::<Date>);
        if let Some(Err(_)) = read {
            faults.extend(fault(name, "is no day", "Write it as 2026-11-26"));
        }
        read.and_then(Result::ok)
    };
    let (from, to) = (date("from"), date("to"));
    let cone = text("cone").map(Cone::parse);
    if let Some(Err(_)) = &cone {
        faults.extend(fault("cone", "is no cone", "Write it as 6 or 04"));
    }
    let look = LogLook {
        words: text("words"),
        kiln: text("kiln"),
        kind: kind_of(q.get("kind")),
        cone: cone.and_then(Result::ok),
        from,
        to,
    };
    let desk = &v.app.desk;
    let all = desk.log(v.actor(), &look, &v.zone).await?;
    let page: usize = q.get("page").parse().unwrap_or(1).clamp(1, 10_000);
    let counts = desk.fault_counts().await?;
    let link = |page: u32| {
        let mut to = format!("/log?page={page}");
        for name in ["words", "kiln", "kind", "cone", "from", "to"] {
            if let Some(t) = text(name) {
                to.push_str(&format!("&{name}={}", escaped(t)));
            }
        }
        to
    };
    let rows = all.iter().skip((page - 1) * PAGE).take(PAGE);
    let f = Fields {
        typed: &q,
        faults: &faults,
    };
    let searched = ["words", "kiln", "kind", "cone", "from", "to"]
        .iter()
        .any(|n| text(n).is_some());
    let body = html! {
        p.steps { a.step href="/log/report" { "Reports" } @if v.may(Act::Govern) { a.step href="/studio/export" { "Export" } } }
        (f.summary())
        details.search open[searched] {
            summary { "Search the log" }
            form method="get" action="/log" role="search" {
                (f.text("words", "Words", Look { hint: "Number, kiln, notes", optional: true, kind: "search", ..Look::default() }))
                (f.select("kiln", "Kiln", "", &kilns(&v)))
                (f.select("kind", "Kind", "", &options([("", "any"), ("bisque", "bisque"), ("glaze", "glaze")])))
                (f.text("cone", "Cone", Look { optional: true, ..Look::default() }))
                (f.text("from", "From", Look { kind: "date", optional: true, ..Look::default() }))
                (f.text("to", "To", Look { kind: "date", optional: true, ..Look::default() }))
                div.steps { button.main type="submit" { "Search" } a.step href="/log" { "All firings" } }
            }
        }
        @if searched || !all.is_empty() { p role="status" { (called::several(all.len() as u64, "firing")) @if searched { " found" } "." } }
        @if all.is_empty() { p.empty { @if searched { "No firing is so." } @else { "Nothing was fired yet." } } }
        @else {
            form method="get" action="/log/compare" {
                (wide("Firings", html! { table.log.rowed {
                    thead { tr {
                        th scope="col" { "No." } th scope="col" { "Kiln" } th scope="col" { "Cone" } th scope="col" { "Kind" }
                        th scope="col" { "When" } th scope="col" { "Pieces" } th scope="col" { "Fill" } th scope="col" { "Hours" }
                        th scope="col" { "kWh" } th scope="col" { "Cost" } th scope="col" { "Faults" } th scope="col" { "Compare" }
                    } }
                    tbody { @for k in rows { (row(&v, &k.body, counts.get(&k.body.id).copied().unwrap_or_default())) } }
                } }))
                p.hint { "kWh and cost are by the meter where it was read, else as foreseen, marked ~." }
                div.steps { button type="submit" { "Compare the two that are ticked" } }
            }
        }
        (pages(u32::try_from(page).unwrap_or(1), all.len() as u64, PAGE as u32, &link))
    };
    if faults.is_empty() {
        Ok(v.page(Here::Log, "Log of firings", &body))
    } else {
        Ok(v.again(Here::Log, "Log of firings", &body))
    }
}

fn fault(name: &str, what: &str, remedy: &str) -> Vec<glost_model::fault::Fault> {
    match DeskError::field(name, what, remedy) {
        DeskError::Faults(all) => all,
        _ => Vec::new(),
    }
}

fn kind_of(text: &str) -> Option<FiringKind> {
    match text {
        "bisque" => Some(FiringKind::Bisque),
        "glaze" => Some(FiringKind::Glaze),
        _ => None,
    }
}

fn kind(f: &Firing) -> &'static str {
    called::purpose(f)
}

fn kilns(v: &Visit) -> Vec<(String, String)> {
    let mut all = options([("", "any")]);
    all.extend(
        v.given
            .studio
            .kilns
            .iter()
            .map(|k| (k.name.clone(), k.name.clone())),
    );
    all
}

/// Number with a sign before it when it is only foreseen.
fn told(value: Option<String>, sure: bool) -> String {
    match value {
        Some(value) if sure => value,
        Some(value) => format!("~{value}"),
        None => "–".to_owned(),
    }
}

fn hours_of(f: &Firing) -> String {
    let ran = match (f.started, f.ended) {
        (Some(a), Some(b)) => Some(b.duration_since(a).as_secs_f64() / 3600.0),
        _ => None,
    };
    let foreseen = f.summary.takes_s.map(|s| s.to_h());
    told(ran.or(foreseen).map(|h| format!("{h:.1}")), ran.is_some())
}

fn kwh(f: &Firing) -> String {
    let e = report::energy(f);
    told(
        e.map(|e| format!("{:.1}", e.0.to_kwh())),
        e.is_some_and(|e| e.1),
    )
}

fn cost(v: &Visit, f: &Firing) -> String {
    let tariff = &v.given.studio.tariff;
    match report::cost(f) {
        // It used energy, so it was planned while there was no price.
        Some(c) if c == Money::ZERO => NO_PRICE.to_owned(),
        c => told(c.map(|c| tariff.told(c)), f.metered().is_some()),
    }
}

fn fill(f: &Firing) -> String {
    if f.summary.tiers == 0 {
        "–".to_owned()
    } else {
        format!("{:.0} %", f.summary.fill * 100.0)
    }
}

fn count(c: FaultCount) -> String {
    match (c.faulty, c.spoilt) {
        (0, _) => "none".to_owned(),
        (n, 0) => n.to_string(),
        (n, s) => format!("{n}, {s} spoilt"),
    }
}

/// The way to a firing, for those who may go there.
fn to(v: &Visit, f: &Firing, words: &str) -> Markup {
    html! { @if v.may(Act::Plan) { a href={ "/firings/" (escaped(&f.id)) } { (words) } } @else { (words) } }
}

fn row(v: &Visit, f: &Firing, faults: FaultCount) -> Markup {
    let done = f.state == FiringState::Done;
    html! { tr {
        th scope="row" { (to(v, f, &f.id)) }
        td { (f.kiln) } td data-label="Cone" { (f.cone) } td { (kind(f)) }
        td { @match f.started.or(f.starts) { Some(at) => (v.local(at).strftime("%-d %b %Y").to_string()), None => "–" }
            @if !done || f.short { span.small { (called::how_far(f)) } } }
        td data-label="Pieces" { (f.summary.pieces) } td data-label="Fill" { (fill(f)) } td data-label="Hours" { (hours_of(f)) } td data-label="kWh" { (kwh(f)) }
        td data-label="Cost" { @if v.may(Act::Charge) && f.summary.pieces > 0 { a href={ "/firings/" (escaped(&f.id)) "/cost" } { (cost(v, f)) } } @else { (cost(v, f)) } }
        td data-label="Faults" { @if f.started.is_none() { "–" } @else { (count(faults)) } }
        td data-label="Compare" { label.tick { input type="checkbox" name="with" value=(f.id); span.skip { "Compare firing " (f.id) } } }
    } }
}

/// Two firings beside one another.
pub async fn compare(
    v: Visit,
    Query(q): Query<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Report)?;
    let q = Typed(q);
    let ticked = q.all("with");
    let pick = |name: &str, at: usize| match q.get(name) {
        "" => ticked.get(at).cloned(),
        id => Some(id.to_owned()),
    };
    let (Some(a), Some(b)) = (pick("a", 0), pick("b", 1)) else {
        let body = html! {
            p { "Tick two firings of the log, then compare them." }
            p.steps { a.step href="/log" { "To the log" } }
        };
        return Ok(v.again(Here::Log, "Two firings", &body));
    };
    let desk = &v.app.desk;
    let both = [desk.firing(&a).await?.body, desk.firing(&b).await?.body];
    let counts = desk.fault_counts().await?;
    let plans = [desk.plan(&a).await?, desk.plan(&b).await?];
    let mut seen = Vec::new();
    for f in &both {
        let faulty = desk.faulty_of(v.actor(), &f.id).await?;
        seen.push(faults_in(&f.id, faulty.into_iter()));
    }
    let of = |f: &Firing| counts.get(&f.id).copied().unwrap_or_default();
    let line = |name: &str, told: &dyn Fn(&Firing) -> String| {
        html! { tr { th scope="row" { (name) } @for f in &both { td { (told(f)) } } } }
    };
    let curves = super::curves::two(&v, &both, &plans).await?;
    let when = |at: Option<jiff::Timestamp>| at.map_or_else(|| "–".to_owned(), |t| v.when(t));
    let body = html! {
        @if ticked.len() > 2 { p.note role="status" { "More than two were ticked; these are the first two." } }
        (wide("The two firings", html! { table {
            thead { tr { td {} @for (f, letter) in both.iter().zip(["A", "B"]) { th scope="col" { (letter) ": " (to(&v, f, &format!("firing {}", f.id))) } } } }
            tbody {
                (line("Kiln", &|f| f.kiln.clone()))
                (line("Cone", &|f| format!("{} {}", f.cone, f.cone.range_name())))
                (line("Kind", &|f| kind(f).to_owned()))
                (line("State", &|f| called::how_far(f).to_owned()))
                (line("Started", &|f| when(f.started)))
                (line("Hours", &hours_of))
                (line("Hottest shown", &|f| f.hottest_c.map_or_else(|| "–".to_owned(), |c| v.shown().temperature(glost_model::Temperature::c(c)))))
                (line("Pieces", &|f| f.summary.pieces.to_string()))
                (line("Tiers", &|f| f.summary.tiers.to_string()))
                (line("Fill", &fill))
                (line("kWh", &kwh))
                (line("Cost", &|f| cost(&v, f)))
                (line("Faults", &|f| count(of(f))))
                (line("Next time", &|f| if f.next_time.is_empty() { "–".to_owned() } else { f.next_time.clone() }))
            }
        } }))
        h2 { "Cones" }
        (cones(&both))
        h2 { "Faults" }
        (faults(&both, &seen))
        h2 { "Temperatures" }
        (curves)
        p.steps { a.step href="/log" { "To the log" } }
    };
    Ok(v.page(Here::Log, &format!("Firings {a} and {b}"), &body))
}

/// Kinds of fault after a firing, with how many pieces have them.
fn faults_in(firing: &str, ware: impl Iterator<Item = Ware>) -> Vec<(&'static str, usize)> {
    let mut all: Vec<(&'static str, usize)> = Vec::new();
    for w in ware {
        let kinds: BTreeSet<_> = w
            .faults
            .iter()
            .filter(|f| f.firing.as_deref() == Some(firing))
            .map(|f| f.kind)
            .collect();
        for kind in kinds {
            match all.iter_mut().find(|k| k.0 == kind.look()) {
                Some(k) => k.1 += 1,
                None => all.push((kind.look(), 1)),
            }
        }
    }
    all.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
    all
}

fn faults(both: &[Firing; 2], seen: &[Vec<(&'static str, usize)>]) -> Markup {
    html! { div.compare { @for (f, all) in both.iter().zip(seen) { section {
        h3 { "Firing " (f.id) }
        @if all.is_empty() { p { "None written down." } }
        @else { ul { @for (look, n) in all { li { (n) @if *n == 1 { " piece" } @else { " pieces" } ": " (look) } } } }
    } } } }
}

fn cones(both: &[Firing; 2]) -> Markup {
    let tiers: BTreeSet<&str> = both
        .iter()
        .flat_map(|f| &f.cones)
        .map(|c| c.tier.as_str())
        .collect();
    let read = |f: &Firing, tier: &str| {
        let told = |c: &ConeRead| {
            format!(
                "cone {} at {} o’clock, {:.0} % bent",
                c.cone,
                c.clock,
                c.bent() * 100.0
            )
        };
        let all: Vec<String> = f
            .cones
            .iter()
            .filter(|c| c.tier == tier)
            .map(told)
            .collect();
        if all.is_empty() {
            "not read".to_owned()
        } else {
            all.join("; ")
        }
    };
    html! {
        @if tiers.is_empty() { p.empty { "No cone was read in either." } }
        @else { (wide("Cones", html! { table {
            thead { tr { th scope="col" { "Tier" } @for f in both { th scope="col" { "Firing " (f.id) } } } }
            tbody { @for tier in &tiers { tr { th scope="row" { (tier) } @for f in both { td { (read(f, tier)) } } } } }
        } })) }
    }
}
