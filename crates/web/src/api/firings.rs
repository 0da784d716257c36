//! Firings.

use axum::Json;
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Response};
use glost_model::book::{Act, Firing, FiringState};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_store::{Kept, Look};
use glost_studio::desk::DeskError;
use glost_studio::desk::open::Reading;
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

use super::parts::{Asked, Done, Listed, Named, Sent, fifty, one as first, part, tagged};
use super::problem::{AnyProblem, NoSuchThing, NotChanged};
use super::{Caller, Problem};

/// A firing.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = Firing)]
pub struct FiringOut {
    /// Its number.
    id: String,
    /// Goes up with each change; send it back with yours.
    version: i64,
    /// Kiln.
    kiln: String,
    /// Cone.
    cone: String,
    /// `bisque` or `glaze`.
    kind: String,
    /// How far it has come: `draft`, `accepted`, `loading`, `firing`, `cooling`, `opened`, `done` or `called-off`.
    state: String,
    /// Pieces in the load.
    pieces: u32,
    /// Tiers.
    tiers: u32,
    /// Share of shelf area that ware covers.
    fill: f64,
    /// Energy foreseen, J.
    energy_j: Option<f64>,
    /// Energy by the meter, J.
    metered_j: Option<f64>,
    /// Cost foreseen, in hundredths of the studio's currency.
    cost_cents: Option<i64>,
    /// When it is to start.
    #[schema(format = DateTime)]
    starts: Option<String>,
    /// When it was started.
    #[schema(format = DateTime)]
    started: Option<String>,
    /// When the kiln was off.
    #[schema(format = DateTime)]
    ended: Option<String>,
    /// When it was opened.
    #[schema(format = DateTime)]
    opened: Option<String>,
    /// Hottest that the display showed, °C.
    hottest_c: Option<f64>,
    /// Cones as they were read.
    cones: Vec<ConeOut>,
    /// Notes.
    notes: Vec<NoteOut>,
    /// What to do otherwise next time.
    next_time: String,
}

/// A cone as it was read.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = ConeRead)]
struct ConeOut {
    /// Tier.
    tier: String,
    /// Cone.
    cone: String,
    /// Where its tip points on a clock face: 12 is upright, 6 is down.
    clock: f64,
}

/// Something that was noted.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = Note)]
struct NoteOut {
    /// When.
    #[schema(format = DateTime)]
    at: String,
    /// Id of the person.
    who: String,
    /// What.
    words: String,
}

fn out(kept: Kept<Firing>) -> FiringOut {
    let version = kept.version;
    let f = kept.body;
    let metered = f.metered();
    FiringOut {
        id: f.id,
        version,
        kiln: f.kiln,
        cone: f.cone.to_string(),
        kind: match f.kind {
            FiringKind::Bisque => "bisque",
            FiringKind::Glaze => "glaze",
        }
        .to_owned(),
        state: f.state.key().to_owned(),
        pieces: f.summary.pieces,
        tiers: f.summary.tiers,
        fill: f.summary.fill,
        energy_j: f.summary.energy_j.map(|e| e.to_j()),
        metered_j: metered.map(|e| e.to_j()),
        cost_cents: f.summary.cost_cents.map(|c| c.to_cents()),
        starts: f.starts.map(|t| t.to_string()),
        started: f.started.map(|t| t.to_string()),
        ended: f.ended.map(|t| t.to_string()),
        opened: f.opened.map(|t| t.to_string()),
        hottest_c: f.hottest_c,
        cones: f
            .cones
            .into_iter()
            .map(|c| ConeOut {
                tier: c.tier,
                cone: c.cone.to_string(),
                clock: c.clock,
            })
            .collect(),
        notes: f
            .notes
            .into_iter()
            .map(|n| NoteOut {
                at: n.at.to_string(),
                who: n.who,
                words: n.words,
            })
            .collect(),
        next_time: f.next_time,
    }
}

/// How far a firing has come.
#[derive(Debug, Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
#[schema(as = FiringState)]
pub enum FiringStateWord {
    /// Being planned.
    Draft,
    /// To be loaded.
    Accepted,
    /// Being loaded.
    Loading,
    /// The kiln is on.
    Firing,
    /// Off, still hot.
    Cooling,
    /// Being emptied.
    Opened,
    /// Written up.
    Done,
    /// Called off.
    CalledOff,
}

/// Which firings.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct FiringsAsked {
    /// Only in this state.
    #[param(inline)]
    state: Option<FiringStateWord>,
    /// Only of this kiln.
    kiln: Option<String>,
    /// Only with all of these words.
    words: Option<String>,
    /// Page, from 1.
    #[serde(default = "first")]
    #[param(minimum = 1, maximum = 10000, default = 1)]
    page: u32,
    /// Firings on a page.
    #[serde(default = "fifty")]
    #[param(minimum = 1, maximum = 200, default = 50)]
    each: u32,
}

/// Firings, the latest first.
#[utoipa::path(get, path = "/firings", tag = "firings", params(FiringsAsked),
    responses((status = 200, description = "A page of them", body = Listed<FiringOut>), AnyProblem))]
pub async fn list(
    c: Caller,
    Asked(q): Asked<FiringsAsked>,
) -> Result<Json<Listed<FiringOut>>, Problem> {
    c.must(Act::Plan)?;
    let (skip, most) = part(q.page, q.each)?;
    let state = q.state.map(|s| {
        FiringState::ALL
            .get(s as usize)
            .map_or("", |state| state.key())
    });
    let states: Vec<&str> = state.into_iter().collect();
    let look = Look {
        states: &states,
        link: q.kiln.as_deref().filter(|k| !k.is_empty()),
        words: q.words.as_deref(),
        order: glost_store::Order::Last,
        skip,
        most,
        ..Look::default()
    };
    let store = &c.app.desk.store;
    let total = store.count::<Firing>(&look).await?;
    let items = store.list::<Firing>(&look).await?;
    Ok(Json(Listed {
        items: items.into_iter().map(out).collect(),
        total,
        page: q.page,
        each: q.each,
    }))
}

/// One firing.
#[utoipa::path(get, path = "/firings/{id}", tag = "firings", params(("id" = String, Path, description = "Its number")),
    responses((status = 200, description = "The firing", body = FiringOut, headers(("ETag" = String, description = "Its version"))), AnyProblem, NoSuchThing))]
pub async fn one(c: Caller, Named(id): Named, heads: HeaderMap) -> Result<Response, Problem> {
    c.must(Act::Plan)?;
    let kept = c.app.desk.firing(&id).await?;
    Ok(tagged(&heads, kept.version, out(kept)))
}

/// The plan of a firing, as `glost plan` writes it; `glost schema` tells its form.
#[utoipa::path(get, path = "/firings/{id}/plan", tag = "firings", params(("id" = String, Path, description = "Its number")),
    responses((status = 200, description = "plan.json", body = serde_json::Value), AnyProblem, NoSuchThing))]
pub async fn plan(c: Caller, Named(id): Named) -> Result<Response, Problem> {
    c.must(Act::Plan)?;
    c.app.desk.firing(&id).await?;
    match c.app.desk.plan(&id).await? {
        Some(plan) => Ok(Json(plan).into_response()),
        None => Err(Problem::missing()),
    }
}

/// A note.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = NewNote)]
pub struct NoteBody {
    /// What was seen.
    words: String,
    /// The version that was seen.
    version: i64,
}

/// Adds a note.
#[utoipa::path(post, path = "/firings/{id}/notes", tag = "firings", params(("id" = String, Path, description = "Its number")), request_body = NoteBody,
    responses((status = 200, description = "It is noted", body = Done), AnyProblem, NoSuchThing, NotChanged))]
pub async fn note(
    c: Caller,
    Named(id): Named,
    Sent(body): Sent<NoteBody>,
) -> Result<Json<Done>, Problem> {
    let desk = &c.app.desk;
    let turn = desk
        .add_note(c.actor(), &id, body.version, &body.words)
        .await?;
    Ok(Json(Done {
        turn,
        version: body.version + 1,
    }))
}

/// Cones as they were read.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = Cones)]
pub struct ConesBody {
    /// The version that was seen.
    version: i64,
    /// Each cone.
    #[schema(max_items = 200)]
    readings: Vec<ReadingBody>,
}

/// One cone as it was read.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = Reading)]
struct ReadingBody {
    /// Tier.
    tier: String,
    /// Cone, such as `6` or `04`.
    cone: String,
    /// Where its tip points on a clock face: 12 is upright, 3 is level, 6 is down.
    #[schema(minimum = 0, maximum = 12)]
    clock: f64,
}

/// Writes down how cones bent; a cone that was read before is read anew.
#[utoipa::path(post, path = "/firings/{id}/cones", tag = "firings", params(("id" = String, Path, description = "Its number")), request_body = ConesBody,
    responses((status = 200, description = "They are written down", body = Done), AnyProblem, NoSuchThing, NotChanged))]
pub async fn cones(
    c: Caller,
    Named(id): Named,
    Sent(body): Sent<ConesBody>,
) -> Result<Json<Done>, Problem> {
    if body.readings.len() > 200 {
        return Err(
            DeskError::field("readings", "there are more than 200", "Send fewer at once").into(),
        );
    }
    let mut readings = Vec::new();
    for (i, r) in body.readings.into_iter().enumerate() {
        let cone = Cone::parse(&r.cone).map_err(|e| {
            DeskError::field(
                &format!("readings[{i}].cone"),
                e.to_string(),
                "Write it as 6 or 04",
            )
        })?;
        if r.tier.trim().is_empty() || r.tier.chars().count() > 60 {
            let field = format!("readings[{i}].tier");
            return Err(DeskError::field(
                &field,
                "the tier has no name, or a very long one",
                "Name it as the plan does",
            )
            .into());
        }
        readings.push(Reading {
            tier: r.tier,
            cone,
            clock: r.clock,
        });
    }
    let desk = &c.app.desk;
    let turn = desk
        .read_cones(c.actor(), &id, body.version, &readings)
        .await?;
    Ok(Json(Done {
        turn,
        version: body.version + 1,
    }))
}
