//! A load changed by hand over HTTP. Where the bench is kept is the caller's matter: see [`Hold`].

use std::future::Future;

use axum::Router;
use axum::body::Bytes;
use axum::extract::FromRequestParts;
use axum::http::{HeaderName, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use glost_studio::edit::{Answer, Bench, Edit, EditFault, Foreseen, Step};
use serde_json::{Map, Value, json};

/// A bench with the number of its state: every change gives it a new one.
#[derive(Debug, Clone)]
pub struct Held {
    /// The bench.
    pub bench: Bench,
    /// Its version.
    pub version: u64,
}

/// Why a bench cannot be had or kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HoldFault {
    /// Somebody else was quicker; this is the version now.
    Changed(u64),
    /// There is none.
    Gone,
    /// Whoever asks may not.
    Barred,
    /// It cannot be read or written; in words.
    Trouble(String),
}

/// Gives and keeps the bench of one request. It is made from the request, so that it knows whose
/// bench is meant and who asks.
pub trait Hold: Send + Sync {
    /// The bench as it is.
    fn give(&self) -> impl Future<Output = Result<Held, HoldFault>> + Send;
    /// Keeps a bench that was made of version `was`, and answers with its new version; with
    /// [`HoldFault::Changed`] when there is a newer one.
    fn keep(&self, bench: Bench, was: u64) -> impl Future<Output = Result<u64, HoldFault>> + Send;
}

/// The routes below the address of a bench: `GET scene`, and `POST` `edit`, `try`, `undo`, `redo`,
/// `settle`, `foresee`. Each `POST` takes JSON with the `version` that it was made for; `edit` and `try` an
/// [`Edit`] beside it. `try` judges and `foresee` foresees, and both keep nothing.
pub fn routes<S, H>() -> Router<S>
where
    S: Clone + Send + Sync + 'static,
    H: Hold + FromRequestParts<S> + 'static,
{
    Router::new()
        .route("/scene", get(scene::<H>))
        .route(
            "/edit",
            post(async |hold: H, body: Bytes| with(hold, &body, Verb::Edit).await),
        )
        .route(
            "/try",
            post(async |hold: H, body: Bytes| with(hold, &body, Verb::Try).await),
        )
        .route(
            "/undo",
            post(async |hold: H, body: Bytes| with(hold, &body, Verb::Undo).await),
        )
        .route(
            "/redo",
            post(async |hold: H, body: Bytes| with(hold, &body, Verb::Redo).await),
        )
        .route(
            "/settle",
            post(async |hold: H, body: Bytes| with(hold, &body, Verb::Settle).await),
        )
        .route(
            "/foresee",
            post(async |hold: H, body: Bytes| foresee(hold, &body).await),
        )
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verb {
    Edit,
    Try,
    Undo,
    Redo,
    Settle,
}

/// The whole picture: the kiln, every tier, and what the judge says.
async fn scene<H: Hold>(hold: H) -> Response {
    let Held { bench, version } = match hold.give().await {
        Ok(held) => held,
        Err(fault) => return refused(fault, 0),
    };
    let (studio, load) = (&bench.plan.studio, &bench.plan.load);
    let judged = match bench.judged() {
        Ok(judged) => judged,
        Err(fault) => return no(StatusCode::UNPROCESSABLE_ENTITY, &fault.to_string()),
    };
    let kiln = studio.kiln(&load.kiln);
    let kiln = kiln.map(|k| glost_sheets::kiln_scene(studio, k, load));
    let answer = Answer {
        breaches: judged,
        tiers: load.tiers.iter().map(|t| t.name.clone()).collect(),
        said: Vec::new(),
    };
    let mut all = state(&bench, version, &answer);
    all.insert("kiln".to_owned(), json!(kiln));
    all.insert("forecast".to_owned(), json!(Foreseen::of(&bench.plan)));
    ok(all)
}

async fn with<H: Hold>(hold: H, body: &Bytes, verb: Verb) -> Response {
    let (edit, asked) = match read(body, verb) {
        Ok(read) => read,
        Err(what) => return no(StatusCode::BAD_REQUEST, &what),
    };
    let Held { bench, version } = match hold.give().await {
        Ok(held) => held,
        Err(fault) => return refused(fault, asked),
    };
    if version != asked {
        return refused(HoldFault::Changed(version), asked);
    }
    // Settling may take a while; nobody else has to wait for it.
    let work = tokio::task::spawn_blocking(move || {
        let mut bench = bench;
        let done = match (verb, edit) {
            (Verb::Edit | Verb::Try, Some(edit)) => bench.apply(edit),
            (Verb::Redo, _) => bench.redo(),
            (Verb::Settle, _) => bench.settle(),
            (Verb::Edit | Verb::Try | Verb::Undo, _) => bench.undo(),
        };
        done.map(|answer| (bench, answer))
    });
    let (bench, answer) = match work.await {
        Ok(Ok(done)) => done,
        Ok(Err(fault)) => return faulty(&fault),
        Err(e) => return no(StatusCode::INTERNAL_SERVER_ERROR, &e.to_string()),
    };
    if verb == Verb::Try {
        return ok(state(&bench, version, &answer));
    }
    match hold.keep(bench.clone(), version).await {
        Ok(new) => ok(state(&bench, new, &answer)),
        Err(fault) => refused(fault, asked),
    }
}

/// What is foreseen of the load as it is now. It is kept only when the load is taken over as the plan.
async fn foresee<H: Hold>(hold: H, body: &Bytes) -> Response {
    let (_, asked) = match read(body, Verb::Settle) {
        Ok(read) => read,
        Err(what) => return no(StatusCode::BAD_REQUEST, &what),
    };
    let Held { bench, version } = match hold.give().await {
        Ok(held) => held,
        Err(fault) => return refused(fault, asked),
    };
    if version != asked {
        return refused(HoldFault::Changed(version), asked);
    }
    match tokio::task::spawn_blocking(move || bench.foreseen_anew()).await {
        Ok(Ok(forecast)) => {
            let mut all = Map::new();
            all.insert("version".to_owned(), json!(version));
            all.insert("forecast".to_owned(), json!(forecast));
            ok(all)
        }
        Ok(Err(fault)) => faulty(&fault),
        Err(e) => no(StatusCode::INTERNAL_SERVER_ERROR, &e.to_string()),
    }
}

/// The edit, where the verb has one, and the version that it was made for.
fn read(body: &[u8], verb: Verb) -> Result<(Option<Edit>, u64), String> {
    let what =
        |e: serde_json::Error| format!("this is no change of a load: {e}. Load the page again");
    let mut fields: Map<String, Value> = serde_json::from_slice(body).map_err(what)?;
    let version = fields.remove("version").and_then(|v| v.as_u64()).ok_or(
        "the change does not say for which version of the load it was made. Load the page again",
    )?;
    let edit = match verb {
        Verb::Edit | Verb::Try => {
            Some(serde_json::from_value(Value::Object(fields)).map_err(what)?)
        }
        _ => None,
    };
    Ok((edit, version))
}

/// What a page needs to show the load as it is now. Only the tiers that changed are drawn anew.
fn state(bench: &Bench, version: u64, answer: &Answer) -> Map<String, Value> {
    let (studio, load) = (&bench.plan.studio, &bench.plan.load);
    let tiers: Vec<_> = (0..load.tiers.len())
        .filter(|k| answer.tiers.contains(&load.tiers[*k].name))
        .filter_map(|k| glost_sheets::tier_scene(studio, load, k))
        .collect();
    let names: Vec<&str> = load.tiers.iter().map(|t| t.name.as_str()).collect();
    let value = json!({
        "version": version,
        "breaches": answer.breaches,
        "tiers": tiers,
        "tier_names": names,
        "left_out": glost_sheets::out_scene(load),
        "locked": bench.locked,
        "said": answer.said,
        "worth": [load.worth.value, load.worth.at_most],
        "forecast_holds": bench.forecast_holds(),
        "can_undo": !bench.done.is_empty(),
        "can_redo": !bench.undone.is_empty(),
        "undo": bench.done.last().map(Step::words),
        "redo": bench.undone.last().map(Step::words),
    });
    match value {
        Value::Object(fields) => fields,
        _ => Map::new(),
    }
}

fn faulty(fault: &EditFault) -> Response {
    no(StatusCode::UNPROCESSABLE_ENTITY, &fault.to_string())
}

fn refused(fault: HoldFault, asked: u64) -> Response {
    match fault {
        HoldFault::Changed(now) => no(
            StatusCode::CONFLICT,
            &format!(
                "somebody else changed this load: you saw version {asked}, it is now {now}. Look at the load as it is now, then do yours again"
            ),
        ),
        HoldFault::Gone => no(
            StatusCode::NOT_FOUND,
            "this load is not there any more: open it again from the list of loads",
        ),
        HoldFault::Barred => no(
            StatusCode::FORBIDDEN,
            "you may look at this load, and not change it: ask whoever runs the studio",
        ),
        HoldFault::Trouble(what) => no(
            StatusCode::SERVICE_UNAVAILABLE,
            &format!("the change could not be kept: {what}. Try again"),
        ),
    }
}

fn no(status: StatusCode, what: &str) -> Response {
    (status, headers(), json!({ "error": what }).to_string()).into_response()
}

fn ok(fields: Map<String, Value>) -> Response {
    (headers(), Value::Object(fields).to_string()).into_response()
}

fn headers() -> [(HeaderName, &'static str); 3] {
    [
        (header::CONTENT_TYPE, "application/json"),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ]
}
