//! The studio itself: settings, prices, charges, rules; and who did what.

use axum::response::Response;
use glost_model::book::{Act, Settings};
use glost_model::fault::Fault;
use glost_model::shown::trimmed;
use glost_model::text;
use glost_rules::{Setting, value};
use glost_studio::desk::DeskError;
use maud::{Markup, html};

use super::set_up::units;
use crate::app::fields::{Fields, Look, hidden};
use crate::app::{Form, Here, Side, Trouble, Typed, Visit, called, clash};

/// The page.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Report)?;
    let body = html! {
        p.steps {
            @if v.may(Act::Govern) { a.step href="/studio/people" { "People" } }
            a.step href="/clays" { "Clays and glazes" }
            @if v.may(Act::Plan) { a.step href="/kilns" { "Kilns and furniture" } }
            @if v.may(Act::Charge) { a.step href="/accounts" { "Accounts" } }
            @if v.may(Act::Keep) { a.step href="/studio/lists" { "Bring lists in" } a.step href="/studio/away" { "Put away" } }
            @if v.may(Act::Govern) { a.step href="/studio/log" { "Who did what" } }
        }
        @if v.may(Act::Govern) {
            @let mut typed = Typed(text::settings_fields(&v.given.settings, v.shown()));
            @let () = typed.set("version", v.given.settings_version.to_string());
            (form(&v, &typed, &[]))
        } @else { p.empty { "A technician sets the studio's units, prices and rules." } }
    };
    Ok(v.page(Here::Studio, &v.given.studio.name.clone(), &body))
}

const DAYS: [(&str, &str); 7] = [
    ("monday", "Monday"),
    ("tuesday", "Tuesday"),
    ("wednesday", "Wednesday"),
    ("thursday", "Thursday"),
    ("friday", "Friday"),
    ("saturday", "Saturday"),
    ("sunday", "Sunday"),
];

fn form(v: &Visit, typed: &Typed, faults: &[Fault]) -> Markup {
    let f = Fields { typed, faults };
    let currency = v.given.studio.tariff.currency.as_str();
    let number = |hint: &'static str| Look {
        keys: "decimal",
        hint,
        ..Look::default()
    };
    let price = Look {
        keys: "decimal",
        unit: currency,
        ..Look::default()
    };
    html! {
        (f.summary())
        form method="post" action="/studio" {
            (hidden("version", typed.get("version")))
            (f.text("name", "Name of the studio", Look::default()))
            (units(f))
            (f.text("keep_days", "Days that fired ware is kept for its maker", number("")))
            (f.text("post_section", "Width of the posts", Look { unit: v.shown().length_unit(), ..number("") }))
            h2 { "Energy" }
            (f.text("energy.currency", "Currency", Look::default()))
            (f.text("energy.price_per_kwh", "Price of a kilowatt hour", price))
            (f.text("energy.price_per_kw", "Price of a kilowatt of the highest draw", Look { hint: "Mean over a quarter of an hour; 0 where it is not charged", ..price }))
            details open[has(typed, "energy.times.") || faults.iter().any(|x| x.field.starts_with("energy.times"))] { summary { "Hours when current has another price" } @for n in 0..rows(typed) {
                (f.text(&format!("energy.times.{n}.hours"), &format!("Hours with a price of their own, {}", n + 1), Look { hint: "As 22:00-06:00", optional: true, ..Look::default() }))
                (f.text(&format!("energy.times.{n}.days"), "On these days", Look { hint: "As monday, tuesday; none for every day", optional: true, ..Look::default() }))
                (f.text(&format!("energy.times.{n}.price_per_kwh"), "Price in those hours", Look { optional: true, ..price }))
            } }
            h2 { "When somebody is there" }
            @for (key, label) in DAYS { (f.text(&format!("hours.{key}"), label, Look { hint: "As 09:00-17:00; nothing when nobody is there", optional: true, ..Look::default() })) }
            (f.text("hours.closed", "Days off", Look { hint: "As 2026-12-25, with spaces between", optional: true, ..Look::default() }))
            (f.text("hours.time_zone", "Time zone", Look { hint: "As America/Denver or Europe/Dublin. Without one, that of this machine counts", optional: true, ..Look::default() }))
            (f.text("hours.loading_hours", "Hours to load a kiln", number("")))
            (f.text("hours.unloading_hours", "Hours to unload it", number("")))
            (f.choice("hours.delayed_start", "Can the controllers start later by themselves?", &[("true", "yes"), ("false", "no")]))
            h2 { "Charges" }
            (f.choice("scheme.measure", "Ware is charged by", called::MEASURE))
            // What nobody is charged by needs no price.
            div class=[(!faults.iter().any(|x| x.field.starts_with("scheme."))).then_some("priced")] {
            @let shelves: Vec<(String, String)> = std::iter::once((String::new(), "none".to_owned())).chain(v.given.studio.furniture.shelves.iter().map(|s| (text::shelf_area(s.shape.area()), s.name.clone()))).collect();
            (f.select("scheme.shelf_area", "Shelf that the price is for", "For a share of a shelf", &shelves))
            (f.choice("scheme.measured", "Prices are for", called::MEASURED))
            (f.text("scheme.bisque", "Price of one in a bisque firing", price))
            (f.text("scheme.glaze", "Price of one in a glaze firing", price))
            (f.text("scheme.each", "On top for each piece", Look { optional: true, ..price }))
            (f.text("scheme.stilted", "On top for a piece on a stilt", Look { optional: true, ..price }))
            (f.text("scheme.least", "Least for a piece", Look { optional: true, ..price }))
            (f.text("scheme.low_counts_as", "A lower piece counts as this high", Look { unit: v.shown().length_unit(), optional: true, hint: "For plates", ..Look::default() }))
            (f.choice("scheme.supports_counted", "Are stilts and trays measured with the piece?", &[("true", "yes"), ("false", "no")]))
            }
            @for (name, value) in &typed.0 { @if name.starts_with("scheme.kilns.") { (hidden(name, value)) } }
            (super::ways::fields(f))
            h2 { "Rules that are numbers" }
            p { "Where you write nothing, Glost's own number counts. Yours is written with its unit, as " code { (v.shown().example_length(8.0)) } ". A smaller gap is your own risk: ware moves, glaze spits, and glazed ware that touches is one piece." }
            details open[faults.iter().any(|x| x.field.starts_with("rules"))] { summary { (value::ALL.len()) " rules, each with its reason and source" }
                @for r in value::ALL { (f.text(&format!("rules.{}", r.id), r.title, Look { hint: &format!("Glost: {}. {} Source: {}", default(v, r.default), r.reason, r.source), optional: true, ..Look::default() })) }
            }
            div.steps { button.main type="submit" { "Store" } }
        }
        (super::ways::trial())
    }
}

/// Whether a field whose name begins so is filled in.
fn has(typed: &Typed, start: &str) -> bool {
    typed
        .0
        .iter()
        .any(|f| f.0.starts_with(start) && !f.1.trim().is_empty())
}

/// Rows of hours with a price of their own: one more than there are, so that none is lost.
fn rows(typed: &Typed) -> usize {
    let number = |name: &str| {
        let rest = name.strip_prefix("energy.times.")?;
        rest.split('.').next()?.parse::<usize>().ok()
    };
    let filled = typed.0.iter().filter(|f| !f.1.trim().is_empty());
    let last = filled.filter_map(|f| number(&f.0)).max();
    last.map_or(3, |n| (n + 2).clamp(3, 64))
}

fn default(v: &Visit, s: Setting) -> String {
    match s {
        Setting::Length(l) => v.shown().length(l),
        Setting::Cones(c) => format!("{} cones", trimmed(c, 1)),
        Setting::Mass(m) => v.shown().mass(m),
        Setting::Count(n) => format!("{n} pieces"),
        Setting::Several(n) => n.to_string(),
        Setting::Times(t) => format!("{} times", trimmed(t, 2)),
    }
}

/// Stores the settings.
pub async fn change(
    v: Visit,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let typed = Typed(sent);
    let done = match text::read_settings(&typed.but(&["version"]), v.shown()) {
        Ok(settings) => {
            v.app
                .desk
                .change_settings(v.actor(), typed.version(), &settings)
                .await
        }
        Err(faults) => Err(DeskError::Faults(faults)),
    };
    match done {
        Ok(turn) => Ok(v.done("/studio", turn)),
        Err(DeskError::Faults(mut faults)) => {
            for fault in &mut faults {
                // The rules name themselves by their id alone.
                if value::ALL.iter().any(|r| r.id == fault.field) {
                    fault.field = format!("rules.{}", fault.field);
                }
            }
            let body = form(&v, &typed, &faults);
            Ok(v.again(Here::Studio, &v.given.studio.name.clone(), &body))
        }
        Err(e) => {
            let side = |s: &Settings| Side {
                form: Typed(text::settings_fields(s, v.shown())),
                ..Side::default()
            };
            let clash = clash(&v, e, &typed, side).await?;
            let body = form(&v, &clash.typed, &[]);
            Ok(v.clashed(Here::Studio, &v.given.studio.name.clone(), &clash, &body))
        }
    }
}
