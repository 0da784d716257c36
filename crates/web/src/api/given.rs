//! What the studio has, and its people.

use axum::Json;
use glost_model::book::{Act, Person, Stock, Thing};
use glost_model::clay::{Clay, Glaze};
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_model::kiln::Kiln;
use glost_store::{Kept, Look};
use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

use super::parts::{Asked, Listed, Paging, part};
use super::problem::AnyProblem;
use super::{Caller, Problem};

/// A person of the studio.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = Person)]
pub struct PersonOut {
    /// Id.
    id: String,
    /// Goes up with each change.
    version: i64,
    /// Name.
    name: String,
    /// `technician`, `loader`, `teacher`, `maker` or `office`.
    role: String,
    /// Class or group.
    class: Option<String>,
    /// Mark on the foot of their ware.
    mark: String,
    /// How to reach them.
    reach: String,
}

/// People; for technicians.
#[utoipa::path(get, path = "/people", tag = "studio", params(Paging),
    responses((status = 200, description = "A page of them", body = Listed<PersonOut>), AnyProblem))]
pub async fn people(
    c: Caller,
    Asked(q): Asked<Paging>,
) -> Result<Json<Listed<PersonOut>>, Problem> {
    c.must(Act::Govern)?;
    let (skip, most) = part(q.page, q.each)?;
    let look = Look {
        skip,
        most,
        ..Look::default()
    };
    let store = &c.app.desk.store;
    let total = store.count::<Person>(&look).await?;
    let items = store.list::<Person>(&look).await?;
    let items = items.into_iter().map(
        |Kept {
             version, body: p, ..
         }| PersonOut {
            id: p.id,
            version,
            name: p.name,
            role: p.role.word().to_owned(),
            class: p.class,
            mark: p.mark,
            reach: p.reach,
        },
    );
    Ok(Json(Listed {
        items: items.collect(),
        total,
        page: q.page,
        each: q.each,
    }))
}

/// A thing of the studio.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = Thing)]
pub struct ThingOut {
    /// Id.
    id: String,
    /// Goes up with each change.
    version: i64,
    /// What people call it.
    name: String,
    /// `kiln`, `clay`, `glaze`, `shelf`, `post` or `support`.
    kind: String,
    /// All that is known of it, in metres, kilograms, watts, seconds and °C; `glost schema` tells its form.
    #[schema(value_type = Object)]
    about: Value,
}

async fn things<T: Thing>(c: &Caller) -> Result<Vec<ThingOut>, Problem> {
    let all = c.app.desk.stock::<T>().await?;
    let out = |kept: Kept<Stock<T>>| ThingOut {
        version: kept.version,
        name: kept.body.thing.name(),
        kind: T::KIND.to_owned(),
        about: serde_json::to_value(&kept.body.thing).unwrap_or_default(),
        id: kept.body.id,
    };
    Ok(all.into_iter().map(out).collect())
}

/// Kilns.
#[utoipa::path(get, path = "/kilns", tag = "studio",
    responses((status = 200, description = "All of them", body = Vec<ThingOut>), AnyProblem))]
pub async fn kilns(c: Caller) -> Result<Json<Vec<ThingOut>>, Problem> {
    c.must(Act::Plan)?;
    Ok(Json(things::<Kiln>(&c).await?))
}

/// Clays.
#[utoipa::path(get, path = "/clays", tag = "studio",
    responses((status = 200, description = "All of them", body = Vec<ThingOut>), AnyProblem))]
pub async fn clays(c: Caller) -> Result<Json<Vec<ThingOut>>, Problem> {
    Ok(Json(things::<Clay>(&c).await?))
}

/// Glazes.
#[utoipa::path(get, path = "/glazes", tag = "studio",
    responses((status = 200, description = "All of them", body = Vec<ThingOut>), AnyProblem))]
pub async fn glazes(c: Caller) -> Result<Json<Vec<ThingOut>>, Problem> {
    Ok(Json(things::<Glaze>(&c).await?))
}

/// Shelves, posts and supports.
#[utoipa::path(get, path = "/furniture", tag = "studio",
    responses((status = 200, description = "All of them", body = Vec<ThingOut>), AnyProblem))]
pub async fn furniture(c: Caller) -> Result<Json<Vec<ThingOut>>, Problem> {
    c.must(Act::Plan)?;
    let mut all = things::<ShelfStock>(&c).await?;
    all.extend(things::<PostStock>(&c).await?);
    all.extend(things::<SupportStock>(&c).await?);
    Ok(Json(all))
}
