//! What people owe and have paid.

use axum::response::Response;
use glost_model::Money;
use glost_model::book::{Act, Person};
use glost_model::charge::{By, Scheme};
use glost_model::fault::Fault;
use glost_model::tariff::Tariff;
use glost_sheets::{AccountLine, accounts_csv};
use glost_store::Look as Listed;
use glost_studio::charge::real_cost;
use glost_studio::desk::DeskError;
use maud::{Markup, html};

use super::fire_day::number;
use super::plan_pages::file;
use crate::app::fields::{Fields, Look};
use crate::app::{Form, Here, Path, Trouble, Typed, Visit, escaped};
use crate::page::wide;

/// An amount with its currency.
pub fn money(v: &Visit, m: Money) -> String {
    v.given.studio.tariff.told(m)
}

/// What energy costs, with the way to the prices where none is set.
pub fn cost(v: &Visit, tariff: &Tariff, m: Money) -> Markup {
    let told = tariff.cost_told(m);
    html! {
        @if tariff.has_price() || m != Money::ZERO { (told) }
        @else if v.may(Act::Govern) { a href="/studio#f-energy-price-per-kwh" { (told) } }
        @else { (told) }
    }
}

/// Whether ware costs anything: a measure without a price does not.
fn priced(scheme: &Scheme) -> bool {
    let price = scheme.price.bisque > 0.0 || scheme.price.glaze > 0.0 || scheme.each > Money::ZERO;
    scheme.by != By::Nothing && price
}

/// What everybody owes.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Charge)?;
    let balances = v.app.desk.balances(v.actor()).await?;
    let names = v.app.desk.names().await?;
    let mut rows: Vec<(&str, &str, Money)> = balances
        .iter()
        .map(|(id, m)| {
            (
                names.get(id).map_or("somebody", String::as_str),
                id.as_str(),
                *m,
            )
        })
        .collect();
    rows.sort_unstable();
    let owed = rows
        .iter()
        .filter(|r| r.2 > Money::ZERO)
        .fold(Money::ZERO, |a, r| a + r.2);
    let body = html! {
        @let priced = priced(&v.given.settings.scheme);
        @if priced || !rows.is_empty() { p.lead { "Owed in all: " (money(&v, owed)) "." } }
        p.steps { a.step href="/accounts.csv" { "All lines as CSV" } @if v.may(Act::Report) { a.step href="/log" { "What firings cost" } } }
        @if rows.is_empty() { p.empty { "Nothing has been charged or paid."
            @if !priced { " No price for ware is set" @if v.may(Act::Govern) { ": " a href="/studio#f-scheme-measure" { "set one" } } "." } } }
        @else { (wide("Accounts", html! { table { thead { tr { th scope="col" { "Who" } th scope="col" { "Owes" } } }
            tbody { @for (name, id, m) in &rows { tr { th scope="row" { a href={ "/accounts/" (escaped(id)) } { (name) } } td { (money(&v, *m)) @if *m < Money::ZERO { " (in credit)" } } } } } } })) }
    };
    Ok(v.page(Here::Back, "Accounts", &body))
}

/// One account.
pub async fn one(v: Visit, Path(person): Path<String>) -> Result<Response, Trouble> {
    let (name, body) = account(&v, &person, &Typed::default(), &[]).await?;
    Ok(v.page(
        if v.person().id == person {
            Here::Me
        } else {
            Here::Back
        },
        &format!("Account of {name}"),
        &body,
    ))
}

async fn account(
    v: &Visit,
    person: &str,
    typed: &Typed,
    faults: &[Fault],
) -> Result<(String, Markup), DeskError> {
    let lines = v.app.desk.account(v.actor(), person).await?;
    let who = v.app.desk.store.get::<Person>(person).await?.body;
    let sum = lines
        .iter()
        .fold(Money::ZERO, |a, l| a + l.body.amount_cents);
    let f = Fields { typed, faults };
    let body = html! {
        p.lead { @if sum > Money::ZERO { "Owes " (money(v, sum)) } @else if sum < Money::ZERO { "In credit by " (money(v, Money::cents(-sum.to_cents()))) } @else { "Owes nothing" } "." }
        (f.summary())
        @if v.may(Act::Charge) {
            form method="post" action={ "/accounts/" (escaped(person)) } {
                (f.text("amount", "Paid", Look { keys: "decimal", unit: &v.given.studio.tariff.currency, hint: "With a minus: a charge by hand", ..Look::default() }))
                (f.text("words", "What for", Look { optional: true, ..Look::default() }))
                button.main type="submit" { "Write it down" }
            }
        }
        h2 { "Lines" }
        @if lines.is_empty() { p.empty { "Nothing yet." } }
        @else { (wide("Lines of the account", html! { table { thead { tr { th scope="col" { "When" } th scope="col" { "What" } th scope="col" { "Amount" } } }
            tbody { @for l in &lines { @let e = &l.body; tr { td { (v.local(e.at).strftime("%-d %b %Y")) } td { @if let Some(c) = &e.ware { a href={ "/ware/" (escaped(c)) } { (c) } ": " } (e.words) @if let Some(x) = &e.firing { ", " @if v.may(Act::Charge) { a href={ "/firings/" (escaped(x)) "/cost" } { "firing " (x) } } @else { "firing " (x) } } } td { (money(v, e.amount_cents)) } } } } } })) }
    };
    Ok((who.name, body))
}

/// Writes a payment.
pub async fn pay(
    v: Visit,
    Path(person): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Charge)?;
    let typed = Typed(sent);
    let done = match number(typed.get("amount")).filter(|n| n.abs() < 1e7) {
        Some(n) => {
            v.app
                .desk
                .pay(v.actor(), &person, Money::units(n), typed.get("words"))
                .await
        }
        None => Err(DeskError::field(
            "amount",
            format!("'{}' is no amount", typed.get("amount")),
            "Write it as 12.50",
        )),
    };
    match done {
        Ok(turn) => Ok(v.done(&format!("/accounts/{}", escaped(&person)), turn)),
        Err(DeskError::Faults(faults)) => {
            let (name, body) = account(&v, &person, &typed, &faults).await?;
            Ok(v.again(Here::Back, &format!("Account of {name}"), &body))
        }
        Err(e) => Err(e.into()),
    }
}

/// All lines as CSV.
pub async fn csv(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Charge)?;
    let names = v.app.desk.names().await?;
    let all = v
        .app
        .desk
        .store
        .list::<glost_model::book::Entry>(&Listed::default())
        .await?;
    let lines: Vec<AccountLine> = all
        .into_iter()
        .map(|k| k.body)
        .map(|e| AccountLine {
            date: v.local(e.at).date(),
            maker: names.get(&e.person).cloned().unwrap_or_default(),
            code: e.ware.unwrap_or_default(),
            what: e.words,
            firing: e.firing.unwrap_or_default(),
            amount: e.amount_cents,
            currency: v.given.studio.tariff.currency.clone(),
            note: String::new(),
        })
        .collect();
    Ok(file(
        "text/csv; charset=utf-8",
        "accounts.csv",
        accounts_csv(&lines).into_bytes(),
    ))
}

/// What a firing really cost, and whose share.
pub async fn real(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Charge)?;
    let plan = super::firing::plan_of(&v, &id)
        .await?
        .ok_or_else(|| DeskError::cannot("there is no plan", "It was fired without one"))?;
    let f = v.app.desk.firing(&id).await?.body;
    let metered = f.metered();
    let start = f.started.or(f.starts).map(|at| v.local(at));
    let body = match real_cost(&plan, start.as_ref(), Money::ZERO) {
        Ok(shares) => html! {
            @if plan.studio.tariff.has_price() { p { (shares.words) "." } }
            @else { p { "No price of electricity was set when it was planned, so there is nothing to share out. Firings that are planned once there is one know it." @if v.may(Act::Govern) { " " a href="/studio#f-energy-price-per-kwh" { "Set a price" } "." } } }
            p { @if let Some(e) = metered { "The meter says " (format!("{:.1} kWh", e.to_kwh())) "." } }
            @if plan.studio.tariff.has_price() { p.lead { "In all " (cost(&v, &plan.studio.tariff, shares.whole())) "." } }
            @if plan.studio.tariff.has_price() { (wide("Shares", html! { table { thead { tr { th scope="col" { "Maker" } th scope="col" { "Pieces" } th scope="col" { "Share" } } }
                tbody { @for s in &shares.makers { tr { th scope="row" { (s.maker) } td { (s.pieces) } td { (plan.studio.tariff.cost_told(s.amount)) } } } } } })) }
            p.steps { @if v.may(Act::Plan) { a.step href={ "/firings/" (id) } { "Back to firing " (id) } } a.step href="/log" { "To the log" } a.step href="/accounts" { "Accounts" } }
        },
        Err(e) => html! { p.empty { (e) } },
    };
    Ok(v.page(Here::Back, &format!("What firing {id} really cost"), &body))
}
