//! What comes with a call, read with care: every fault is told as a problem.

use axum::body::Bytes;
use axum::extract::{FromRequest, FromRequestParts, Path, Query, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

use super::Problem;
use super::problem::FieldFault;
use crate::app::App;

/// Most bytes of a body.
const MOST_BYTES: usize = 64 * 1024;
/// Most things on a page.
const MOST_EACH: u32 = 200;

/// A name in the address.
#[derive(Debug)]
pub struct Named(pub String);

impl FromRequestParts<App> for Named {
    type Rejection = Problem;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Problem> {
        match Path::<String>::from_request_parts(parts, app).await {
            Ok(Path(name)) if name.contains('\0') => Err(Problem::missing()),
            Ok(Path(name)) => Ok(Self(name)),
            Err(_) => Err(Problem::missing()),
        }
    }
}

/// The query.
#[derive(Debug)]
pub struct Asked<T>(pub T);

impl<T: DeserializeOwned> FromRequestParts<App> for Asked<T> {
    type Rejection = Problem;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Problem> {
        if parts.uri.query().is_some_and(|q| q.contains("%00")) {
            return Err(Problem::bad(
                "query",
                "it holds a zero byte",
                "Leave it out",
            ));
        }
        match Query::<T>::from_request_parts(parts, app).await {
            Ok(Query(asked)) => Ok(Self(asked)),
            Err(e) => Err(Problem::bad(
                "query",
                e.body_text(),
                "Look at /api/v1/openapi.json",
            )),
        }
    }
}

/// Which part of a list.
#[derive(Debug, Clone, Copy, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct Paging {
    /// Page, from 1.
    #[serde(default = "one")]
    #[param(minimum = 1, maximum = 10000, default = 1)]
    pub page: u32,
    /// Things on a page.
    #[serde(default = "fifty")]
    #[param(minimum = 1, maximum = 200, default = 50)]
    pub each: u32,
}

pub fn one() -> u32 {
    1
}
pub fn fifty() -> u32 {
    50
}

/// How many are left out, and how many come.
///
/// # Errors
/// 400 for a page that there cannot be.
pub fn part(page: u32, each: u32) -> Result<(u32, u32), Problem> {
    if !(1..=10_000).contains(&page) {
        return Err(Problem::bad("page", page.to_string(), "Ask for 1 to 10000"));
    }
    if !(1..=MOST_EACH).contains(&each) {
        return Err(Problem::bad("each", each.to_string(), "Ask for 1 to 200"));
    }
    Ok(((page - 1) * each, each))
}

/// A page of a list.
#[derive(Debug, Serialize, ToSchema)]
pub struct Listed<T> {
    /// The things on this page.
    pub items: Vec<T>,
    /// How many there are in all.
    pub total: u64,
    /// This page, from 1.
    pub page: u32,
    /// Things on a page.
    pub each: u32,
}

/// What was changed.
#[derive(Debug, Serialize, ToSchema)]
pub struct Done {
    /// Number of the change; it can be undone on the pages.
    pub turn: i64,
    /// The version that there is now.
    pub version: i64,
}

/// A body in JSON.
#[derive(Debug)]
pub struct Sent<T>(pub T);

impl<T: DeserializeOwned> FromRequest<App> for Sent<T> {
    type Rejection = Problem;
    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        let kind = request
            .headers()
            .get(header::CONTENT_TYPE)
            .and_then(|v| v.to_str().ok());
        let kind = kind.and_then(|k| k.split(';').next()).unwrap_or("").trim();
        if !kind.eq_ignore_ascii_case("application/json") {
            return Err(Problem::new(
                StatusCode::UNSUPPORTED_MEDIA_TYPE,
                "Send JSON, with the head 'Content-Type: application/json'.",
            ));
        }
        let bytes = Bytes::from_request(request, app).await.map_err(|_e| {
            Problem::new(
                StatusCode::PAYLOAD_TOO_LARGE,
                "The body is too long or did not arrive.",
            )
        })?;
        if bytes.len() > MOST_BYTES {
            return Err(Problem::new(
                StatusCode::PAYLOAD_TOO_LARGE,
                "The body is longer than anything that is taken here.",
            ));
        }
        read(&bytes).map(Self)
    }
}

fn read<T: DeserializeOwned>(bytes: &[u8]) -> Result<T, Problem> {
    let value: serde_json::Value = serde_json::from_slice(bytes)
        .map_err(|e| Problem::bad("body", e.to_string(), "Send JSON as RFC 8259 has it"))?;
    let wrong = |field: &str, what: String| Problem {
        faults: vec![FieldFault {
            field: field.to_owned(),
            what: what.clone(),
            remedy: "Look at /api/v1/openapi.json".to_owned(),
        }],
        ..Problem::new(StatusCode::UNPROCESSABLE_ENTITY, what)
    };
    if has_zero(&value) {
        return Err(wrong("body", "a text holds a zero byte".to_owned()));
    }
    serde_json::from_value(value).map_err(|e| {
        let what = e.to_string();
        // `serde` names the field in backquotes.
        let field = what.split('`').nth(1).unwrap_or("body").to_owned();
        wrong(&field, what)
    })
}

/// Databases keep no zero bytes in texts.
fn has_zero(value: &serde_json::Value) -> bool {
    use serde_json::Value::{Array, Object, String};
    match value {
        String(text) => text.contains('\0'),
        Array(all) => all.iter().any(has_zero),
        Object(all) => all.iter().any(|(k, v)| k.contains('\0') || has_zero(v)),
        _ => false,
    }
}

/// A thing with its version as an entity tag; 304 when the caller has it already.
pub fn tagged(asked: &HeaderMap, version: i64, body: impl Serialize) -> Response {
    let tag = format!("\"{version}\"");
    let known = asked
        .get(header::IF_NONE_MATCH)
        .is_some_and(|t| t.as_bytes() == tag.as_bytes());
    let heads = [(header::ETAG, tag)];
    if known {
        (StatusCode::NOT_MODIFIED, heads).into_response()
    } else {
        (heads, axum::Json(body)).into_response()
    }
}
