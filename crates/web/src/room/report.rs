//! Reports over months.

use axum::response::Response;
use glost_model::book::Act;
use glost_model::tariff::NO_PRICE;
use glost_model::{Mass, Money};
use glost_studio::desk::DeskError;
use glost_studio::report::{By, Gathered, Losses, Month, Waits, share};
use jiff::ToSpan;
use jiff::civil::Date;
use maud::{Markup, html};

use crate::app::fields::{Fields, Look};
use crate::app::{Here, Query, Trouble, Typed, Visit, called};
use crate::page::wide;

/// Fewer pieces than this say little; a convention of this program.
const FEW: usize = 10;
/// Most lines of where faults gather.
const MOST: usize = 20;

/// The page.
pub async fn show(v: Visit, Query(q): Query<Vec<(String, String)>>) -> Result<Response, Trouble> {
    v.must(Act::Report)?;
    let mut q = Typed(q);
    let year_ago = v.today().saturating_sub(1.year()).to_string();
    if q.get("from").is_empty() {
        q.set("from", year_ago);
    }
    if q.get("to").is_empty() {
        q.set("to", v.today().to_string());
    }
    let mut faults = Vec::new();
    for name in ["from", "to"] {
        if q.get(name).parse::<Date>().is_err()
            && let DeskError::Faults(all) =
                DeskError::field(name, "this is no day", "Write it as 2026-11-26")
        {
            faults.extend(all);
        }
    }
    let within = (q.get("from").parse().ok(), q.get("to").parse().ok());
    let told = v.app.desk.report(v.actor(), within, &v.zone).await?;
    let f = Fields {
        typed: &q,
        faults: &faults,
    };
    let body = html! {
        (f.summary())
        form method="get" action="/log/report" {
            (f.text("from", "From", Look { kind: "date", ..Look::default() }))
            (f.text("to", "To", Look { kind: "date", ..Look::default() }))
            div.steps { button.main type="submit" { "Show" } a.step href="/log" { "To the log" } }
        }
        @if told.firings == 0 { p.empty role="status" { "No firing was started in these days." } }
        @else {
            p role="status" { (told.firings) @if told.firings == 1 { " firing was" } @else { " firings were" } " started in these days." }
            (by_month(&v, &told.months))
            (lost(&told.losses))
            (waited(told.waits))
            h2 { "Where faults gather" }
            p.hint { "Of few pieces a share says little: those with fewer than " (FEW) " are marked." }
            @for (by, all) in &told.gathered { (gathered(*by, all)) }
        }
    };
    if faults.is_empty() {
        Ok(v.page(Here::Log, "Reports", &body))
    } else {
        Ok(v.again(Here::Log, "Reports", &body))
    }
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

fn by_month(v: &Visit, all: &[Month]) -> Markup {
    let dash = || "–".to_owned();
    // Firings of before there was a price cost nothing that is known.
    let cost = |c: Money| match c {
        Money::ZERO => NO_PRICE.to_owned(),
        c => v.given.studio.tariff.told(c),
    };
    let (unit, kg) = if v.shown().pounds {
        ("lb", Mass::pounds(1.0).to_kg())
    } else {
        ("kg", 1.0)
    };
    let month = |m: &Month| {
        let name = usize::try_from(m.month.1 - 1)
            .ok()
            .and_then(|i| MONTHS.get(i));
        format!("{} {}", name.unwrap_or(&""), m.month.0)
    };
    html! {
        h2 { "By month and kiln" }
        (wide("By month and kiln", html! { table.log.rowed {
            thead { tr {
                th scope="col" { "Month" } th scope="col" { "Kiln" } th scope="col" { "Firings" } th scope="col" { "Pieces" } th scope="col" { "Mass" }
                th scope="col" { "Fill" } th scope="col" { "kWh a firing" } th scope="col" { "kWh a " (unit) } th scope="col" { "Metered" }
                th scope="col" { "Cost a firing" } th scope="col" { "Cost a " (unit) }
            } }
            tbody { @for m in all { tr {
                th scope="row" { (month(m)) } td { (m.kiln) } td data-label="Firings" { (m.firings) } td data-label="Pieces" { (m.pieces) } td data-label="Mass" { (v.shown().mass(m.mass)) }
                td data-label="Fill" { (m.fill.map_or_else(dash, |f| format!("{:.0} %", f * 100.0))) }
                td data-label="kWh a firing" { (m.energy_each().map_or_else(dash, |e| format!("{:.1}", e.to_kwh()))) }
                td data-label={ "kWh a " (unit) } { (m.energy_a_kg().map_or_else(dash, |e| format!("{:.2}", e.to_kwh() * kg))) }
                td data-label="Metered" { (m.metered) " of " (m.with_energy) }
                td data-label="Cost a firing" { (m.cost_each().map_or_else(dash, cost)) }
                td data-label={ "Cost a " (unit) } { (m.cost_a_kg().map_or_else(dash, |c| cost(Money::units(c.to_units() * kg)))) }
            } } }
        } }))
        p.hint { "Energy is by the meter where it was read, else as foreseen. A cost is the one foreseen, in the measure in which the meter differs." }
    }
}

fn of(part: usize, whole: usize) -> String {
    share(part, whole).map_or_else(
        || "–".to_owned(),
        |s| format!("{part} of {whole} ({:.1} %)", s * 100.0),
    )
}

fn lost(l: &Losses) -> Markup {
    html! {
        h2 { "Losses" }
        p { "Spoilt: " strong { (of(l.spoilt, l.fired)) } " fired pieces. With any fault: " (of(l.faulty, l.fired)) "." }
        @if l.by_kind.is_empty() { p.empty { "No fault was written down." } }
        @else { (wide("Losses by cause", html! { table.rowed {
            thead { tr { th scope="col" { "Fault" } th scope="col" { "Pieces" } th scope="col" { "Spoilt" } th scope="col" { "Spoilt of all fired" } } }
            tbody { @for k in &l.by_kind { tr { th scope="row" { (k.kind.look()) } td data-label="Pieces" { (k.pieces) } td data-label="Spoilt" { (k.spoilt) } td data-label="Spoilt of all fired" { (of(k.spoilt, l.fired)) } } } }
        } })) }
    }
}

fn waited(w: Option<Waits>) -> Markup {
    html! {
        h2 { "Waiting" }
        @match w {
            None => p.empty { "No piece tells when it came in." },
            Some(w) => p { "From coming in to the start of the first firing: half of the ware waited " strong { (days(w.median)) } " or less, nine in ten "
                strong { (days(w.nine_in_ten)) } " or less (" (called::several(w.pieces as u64, "piece")) ")." },
        }
    }
}

fn days(s: glost_model::Span) -> String {
    match (s.to_h() / 24.0).round() as i64 {
        ..1 => "a day".to_owned(),
        1 => "1 day".to_owned(),
        days => format!("{days} days"),
    }
}

fn gathered(by: By, all: &[Gathered]) -> Markup {
    let name = by.word();
    html! {
        h3 { "By " (name.to_lowercase()) }
        @if all.is_empty() { p.empty { "None of these pieces tells its " (name.to_lowercase()) "." } }
        @else { (wide(&format!("Faults by {}", name.to_lowercase()), html! { table.rowed {
            thead { tr { th scope="col" { (name) } th scope="col" { "Pieces fired" } th scope="col" { "With a fault" } th scope="col" { "Spoilt" } } }
            tbody { @for g in all.iter().take(MOST) { tr {
                th scope="row" { (g.name) }
                td data-label="Pieces fired" { (g.pieces) @if g.pieces < FEW { span.small { "few" } } }
                td data-label="With a fault" { (of(g.faulty, g.pieces)) } td data-label="Spoilt" { (of(g.spoilt, g.pieces)) }
            } } }
        } }))
        @if all.len() > MOST { p.hint { "And " (all.len() - MOST) " more with fewer faults." } } }
    }
}
