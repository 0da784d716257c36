//! What was put away, in one list, each with a way back.

use axum::response::Response;
use glost_model::book::{Act, Person, Stock};
use glost_model::clay::{Clay, Glaze};
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_model::kiln::Kiln;
use glost_store::{Kept, Record};
use glost_studio::desk::DeskError;
use maud::{Markup, html};

use super::stock_forms::Keeps;
use crate::app::fields::hidden;
use crate::app::{Form, Here, Path, Trouble, Typed, Visit, called, escaped};

/// Where it is.
const PATH: &str = "/studio/away";

/// The list.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let people = if v.may(Act::Govern) {
        v.app.desk.put_away::<Person>().await?
    } else {
        Vec::new()
    };
    let parts = [
        things::<Kiln>(&v).await?,
        things::<ShelfStock>(&v).await?,
        things::<PostStock>(&v).await?,
        things::<SupportStock>(&v).await?,
        things::<Clay>(&v).await?,
        things::<Glaze>(&v).await?,
    ];
    let none = people.is_empty() && parts.iter().all(Option::is_none);
    let body = html! {
        p { "Nothing is deleted. What was put away is planned with no more, and comes back as it was." }
        @if none { p.empty { "Nothing is put away." } }
        @for part in parts.into_iter().flatten() { (part) }
        @if !people.is_empty() {
            h2 { "People" }
            p { "Who is brought back has no password: make them a new link on their page." }
            ul.rows { @for k in &people { (one(&v, k, &k.body.name, called::role(k.body.role))) } }
        }
        p.steps { a.step href="/studio" { "The studio" } }
    };
    Ok(v.page(Here::Studio, "Put away", &body))
}

/// All of a kind; nothing where there is none.
async fn things<T: Keeps>(v: &Visit) -> Result<Option<Markup>, DeskError> {
    let all = v.app.desk.put_away::<Stock<T>>().await?;
    let shown = v.shown();
    Ok((!all.is_empty()).then(|| {
        html! {
            h2 { (T::MANY) }
            ul.rows { @for k in &all { (one(v, k, &k.body.thing.called(shown), &k.body.thing.about(shown))) } }
        }
    }))
}

fn one<T: Record>(v: &Visit, k: &Kept<T>, name: &str, about: &str) -> Markup {
    html! { li {
        form.turn method="post" action={ (PATH) "/" (T::KIND) "/" (escaped(k.body.id())) } {
            (hidden("version", &k.version.to_string()))
            p { strong { (name) } span.small { (about) @if let Some(at) = k.archived { ". Put away " (v.when(at)) } } }
            button type="submit" aria-label={ "Bring back " (name) } { "Bring back" }
        }
    } }
}

/// Brings one back.
pub async fn back(
    v: Visit,
    Path((kind, id)): Path<(String, String)>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let version = Typed(sent).version();
    let (desk, actor) = (&v.app.desk, v.actor());
    let turn = match kind.as_str() {
        Stock::<Kiln>::KIND => desk.bring_thing_back::<Kiln>(actor, &id, version).await,
        Stock::<ShelfStock>::KIND => {
            desk.bring_thing_back::<ShelfStock>(actor, &id, version)
                .await
        }
        Stock::<PostStock>::KIND => {
            desk.bring_thing_back::<PostStock>(actor, &id, version)
                .await
        }
        Stock::<SupportStock>::KIND => {
            desk.bring_thing_back::<SupportStock>(actor, &id, version)
                .await
        }
        Stock::<Clay>::KIND => desk.bring_thing_back::<Clay>(actor, &id, version).await,
        Stock::<Glaze>::KIND => desk.bring_thing_back::<Glaze>(actor, &id, version).await,
        Person::KIND => desk.bring_person_back(actor, &id, version).await,
        _ => {
            v.must(Act::Keep)?;
            return Err(Trouble::Missing);
        }
    };
    Ok(v.done(PATH, turn?))
}
