//! What the studio has: one set of pages for every kind of thing. What each kind asks is in `stock_forms.rs`.

use axum::response::Response;
use glost_model::book::{Act, Stock};
use glost_model::fault::Fault;
use glost_store::Kept;
use glost_studio::desk::DeskError;
use maud::{Markup, html};

use super::stock_forms::{Ask, Keeps, of_shape};
use crate::app::fields::{Fields, Look, hidden, said};
use crate::app::{Form, Here, Path, Side, Trouble, Typed, Visit, called, clash, escaped};

type Sent = Form<Vec<(String, String)>>;

/// Clays and glazes.
pub async fn materials(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Report)?;
    let body = html! {
        p { "Slips may name only what is listed here: ware of another clay or glaze is kept back until somebody has asked." }
        @if v.may(Act::Keep) { p.steps { a.step href="/studio/lists" { "Bring a list in" } a.step href="/studio/away" { "Put away" } } }
        (super::today::next_step(&v))
        (section::<glost_model::clay::Clay>(&v).await?)
        (section::<glost_model::clay::Glaze>(&v).await?)
    };
    Ok(v.page(Here::Studio, "Clays and glazes", &body))
}

/// Shelves, posts and supports.
pub async fn furniture(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let body = html! {
        p { "What loads are built from: plans use no more than there is." }
        p.steps { a.step href="/furniture/losses" { "Broken, lost or worn" } @if v.may(Act::Keep) { a.step href="/studio/lists" { "Bring a list in" } a.step href="/studio/away" { "Put away" } } }
        (super::today::next_step(&v))
        (section::<glost_model::furniture::ShelfStock>(&v).await?)
        (section::<glost_model::furniture::PostStock>(&v).await?)
        (section::<glost_model::furniture::SupportStock>(&v).await?)
    };
    Ok(v.page(Here::Kilns, "Furniture", &body))
}

/// Kilns.
pub async fn kilns(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let body = html! {
        p.steps { a.step href="/furniture" { "Furniture" } @if v.may(Act::Keep) { a.step href="/studio/lists" { "Bring a list in" } a.step href="/studio/away" { "Put away" } } }
        (super::today::next_step(&v))
        (section::<glost_model::kiln::Kiln>(&v).await?)
        (super::upkeep::work_list(&v).await?)
    };
    Ok(v.page(Here::Kilns, "Kilns", &body))
}

/// All of a kind.
async fn section<T: Keeps>(v: &Visit) -> Result<Markup, DeskError> {
    let all = v.app.desk.stock::<T>().await?;
    Ok(html! {
        h2 { (T::MANY) }
        @if all.is_empty() { p.empty { "None yet." } }
        ul.rows { @for k in &all { li { a href={ (T::PATH) "/" (escaped(&k.body.id)) } { strong { (k.body.thing.called(v.shown())) } span.small { (k.body.thing.about(v.shown())) } } } } }
        @if v.may(Act::Keep) { p.steps { a.step href={ (T::PATH) "/new" } { "Add " (T::ONE) } } }
    })
}

/// The form of a new one.
pub async fn new<T: Keeps>(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let typed = Typed(T::usual(v.shown()));
    let body = form::<T>(&v, None, &typed, &[]);
    Ok(v.page(T::HERE, &format!("Add {}", T::ONE), &body))
}

/// Adds it.
pub async fn add<T: Keeps>(v: Visit, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let typed = Typed(sent);
    let done = match T::read(&of_shape(typed.but(&["version"])), v.shown()) {
        Ok(thing) => v.app.desk.add_thing(v.actor(), thing).await,
        Err(faults) => Err(DeskError::Faults(faults)),
    };
    match done {
        Ok((_, turn)) => Ok(v.done(T::LIST, turn)),
        Err(DeskError::Faults(faults)) => {
            let body = form::<T>(&v, None, &typed, &faults);
            Ok(v.again(T::HERE, &format!("Add {}", T::ONE), &body))
        }
        Err(e) => Err(e.into()),
    }
}

/// One of them.
pub async fn show<T: Keeps>(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Report)?;
    let kept = v.app.desk.store.get::<Stock<T>>(&id).await?;
    let body = page(&v, &kept, None, &[]);
    Ok(v.page(T::HERE, &kept.body.thing.called(v.shown()), &body))
}

/// What the page of one of them shows.
pub fn page<T: Keeps>(
    v: &Visit,
    kept: &Kept<Stock<T>>,
    typed: Option<&Typed>,
    faults: &[Fault],
) -> Markup {
    let thing = &kept.body.thing;
    let at = format!("{}/{}", T::PATH, escaped(&kept.body.id));
    let mut filled = Typed(thing.written(v.shown()));
    filled.set("version", kept.version.to_string());
    html! {
        p.lead { (thing.about(v.shown())) }
        (thing.ways(&at, v.may(Act::Govern)))
        @if v.may(Act::Keep) {
            (form::<T>(v, Some(&kept.body), typed.unwrap_or(&filled), faults))
            details { summary { "Put it away" }
                form method="post" action={ (at) "/away" } {
                    (hidden("version", &kept.version.to_string()))
                    p { "Nothing is planned with it any more. Plans that have it keep it." }
                    button type="submit" { "Put it away" }
                }
            }
        } @else { (thing.drawn(v.shown())) }
    }
}

/// Changes it.
pub async fn change<T: Keeps>(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let typed = Typed(sent);
    let done = match T::read(&of_shape(typed.but(&["version"])), v.shown()) {
        Ok(thing) => {
            v.app
                .desk
                .change_thing(v.actor(), &id, typed.version(), thing)
                .await
        }
        Err(faults) => Err(DeskError::Faults(faults)),
    };
    match done {
        Ok(turn) => Ok(v.done(&format!("{}/{}", T::PATH, escaped(&id)), turn)),
        Err(DeskError::Faults(faults)) => {
            let kept = v.app.desk.store.get::<Stock<T>>(&id).await?;
            let body = page(&v, &kept, Some(&typed), &faults);
            Ok(v.again(T::HERE, &kept.body.thing.called(v.shown()), &body))
        }
        Err(e) => {
            let side = |s: &Stock<T>| Side {
                form: Typed(s.thing.written(v.shown())),
                ..Side::default()
            };
            let clash = clash(&v, e, &typed, side).await?;
            let kept = v.app.desk.store.get::<Stock<T>>(&id).await?;
            let body = page(&v, &kept, Some(&clash.typed), &[]);
            Ok(v.clashed(T::HERE, &kept.body.thing.name(), &clash, &body))
        }
    }
}

/// Puts it away.
pub async fn away<T: Keeps>(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let turn = v
        .app
        .desk
        .put_thing_away::<T>(v.actor(), &id, Typed(sent).version())
        .await?;
    Ok(v.done(T::LIST, turn))
}

/// The form of a new one, or of one that is kept.
pub fn form<T: Keeps>(
    v: &Visit,
    kept: Option<&Stock<T>>,
    typed: &Typed,
    faults: &[Fault],
) -> Markup {
    let f = Fields { typed, faults };
    let to = kept.map_or_else(
        || T::PATH.to_owned(),
        |k| format!("{}/{}", T::PATH, escaped(&k.id)),
    );
    let draw = T::DRAW.map(|path| match kept {
        Some(k) => format!("{path}?id={}", escaped(&k.id)),
        None => path.to_owned(),
    });
    let panel = T::panel(typed, kept.map(|k| &k.thing), v.shown());
    html! {
        (f.summary())
        div.sketched[panel.is_some()] {
            @if let Some(panel) = panel { (panel) }
            form method="post" action=(to) data-draw=[draw.as_deref()] {
                (hidden("version", typed.get("version")))
                @for part in parts(T::ASKS) { (asked_part(v, f, part)) }
                div.steps {
                    button.main type="submit" { "Store" }
                    // Without a script it draws by a page; Enter in a field stores, as Store comes first.
                    @if let Some(draw) = &draw { button type="submit" formaction=(draw) { "Draw it" } }
                    a.step href=(T::LIST) { "Back without storing" }
                }
            }
        }
    }
}

/// Asks by their headings.
fn parts(asks: &'static [Ask]) -> Vec<&'static [Ask]> {
    let starts = asks
        .iter()
        .enumerate()
        .filter(|(i, a)| *i == 0 || matches!(a, Ask::Head(_) | Ask::Folded(_)))
        .map(|(i, _)| i);
    let mut ends: Vec<usize> = starts.collect();
    ends.push(asks.len());
    ends.windows(2)
        .filter_map(|w| asks.get(w[0]..w[1]))
        .collect()
}

/// A part under its heading, which folds it away.
fn asked_part(v: &Visit, f: Fields<'_>, part: &[Ask]) -> Markup {
    match part {
        [Ask::Head(words), rest @ ..] => html! {
            details.part open { summary { h2 { (words) } } @for ask in rest { (asked(v, f, ask)) } }
        },
        [Ask::Folded(words), rest @ ..] => html! {
            // What is to be mended is never folded away.
            details.part open[rest.iter().any(|ask| faulty(f, ask))] {
                summary { h2 { (words) } }
                p.hint { "What most kilns have is filled in. Look whether it fits yours." }
                @for ask in rest { (asked(v, f, ask)) }
            }
        },
        _ => html! { @for ask in part { (asked(v, f, ask)) } },
    }
}

/// Whether something is to be mended in what is asked.
fn faulty(f: Fields<'_>, ask: &Ask) -> bool {
    let at = |name: &str| {
        f.faults
            .iter()
            .any(|x| x.field == name || x.field.starts_with(&format!("{name}.")))
    };
    match *ask {
        Ask::Head(_) | Ask::Folded(_) => false,
        Ask::Shaped(_, name, ..)
        | Ask::Words(name, ..)
        | Ask::Length(name, ..)
        | Ask::Mass(name, ..)
        | Ask::Degrees(name, ..)
        | Ask::Number(name, ..)
        | Ask::YesNo(name, ..)
        | Ask::Choice(name, ..)
        | Ask::Rows { list: name, .. } => at(name),
    }
}

fn asked(v: &Visit, f: Fields<'_>, ask: &Ask) -> Markup {
    let shown = v.shown();
    let text = |name: &str, label: &str, hint: &str, unit: &str, optional: bool| {
        let keys = if unit.is_empty() { "" } else { "decimal" };
        f.text(
            name,
            label,
            Look {
                hint,
                unit,
                optional,
                keys,
                ..Look::default()
            },
        )
    };
    let mass = if shown.pounds { "lb" } else { "kg" };
    match *ask {
        Ask::Head(words) | Ask::Folded(words) => html! { h2 { (words) } },
        Ask::Shaped(shapes, name, label, length) => html! {
            div.shaped data-shape=(shapes) {
                (text(name, label, "", if length { shown.length_unit() } else { "" }, false))
            }
        },
        Ask::Words(name, label, hint) => text(name, label, hint, "", false),
        Ask::Length(name, label, hint) => text(name, label, hint, shown.length_unit(), false),
        Ask::Mass(name, label) => text(name, label, "", mass, false),
        Ask::Degrees(name, label) => text(name, label, "", shown.degree_sign(), false),
        Ask::Number(name, label, unit, hint) => f.text(
            name,
            label,
            Look {
                hint,
                unit,
                keys: "decimal",
                ..Look::default()
            },
        ),
        Ask::YesNo(name, label) => f.choice(name, label, &[("true", "yes"), ("false", "no")]),
        Ask::Choice(name, label, of) => f.choice(name, label, of),
        Ask::Rows {
            list,
            label,
            hint,
            near,
            most,
            of,
        } => {
            let row = |n: usize| {
                html! { div.row { @for (key, label, kind) in of {
                    @let name = format!("{list}.{n}.{key}");
                    @let label = format!("{label}, {}", n + 1);
                    @match kind {
                        // What unused rows lack is no matter; that each may stay empty is said once.
                        RowKind::Length => (text(&name, &label, "", shown.length_unit(), false)),
                        RowKind::Unit(unit) => (text(&name, &label, "", unit, false)),
                        RowKind::Lining => (f.select(&name, &label, "", &said(called::LINING))),
                    }
                } } }
            };
            let used = used(f.typed, list);
            let all = most.max(used + 1);
            // Rows that are filled in are in sight, however many a file brought.
            let near = near.max(used).min(all);
            html! {
                fieldset.choice { legend { (label) } @if !hint.is_empty() { p.hint { (hint) } }
                    @for n in 0..near { (row(n)) }
                    @if near < all { details { summary { "More rows" } @for n in near..all { (row(n)) } } }
                }
            }
        }
    }
}

/// Rows of a list that are filled in: a list from a file may have more than a form offers, and none may be lost.
fn used(typed: &Typed, list: &str) -> usize {
    let number = |name: &str| {
        let rest = name.strip_prefix(list)?.strip_prefix('.')?;
        rest.split('.').next()?.parse::<usize>().ok()
    };
    let rows = typed.0.iter().filter(|f| !f.1.trim().is_empty());
    // More rows than any file has are not offered, whatever a request names.
    rows.filter_map(|f| number(&f.0))
        .max()
        .map_or(0, |n| n + 1)
        .min(64)
}

pub use super::stock_forms::RowKind;
