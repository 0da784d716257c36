//! Errors as programs read them: RFC 9457.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use glost_model::fault::Fault;
use glost_studio::desk::DeskError;
use serde::Serialize;
use utoipa::{IntoResponses, ToSchema};

use crate::app::Trouble;

/// Why something was not done (RFC 9457).
#[derive(Debug, Serialize, ToSchema)]
pub struct Problem {
    /// Always `about:blank`: the status tells the kind.
    #[serde(rename = "type")]
    pub kind: String,
    /// The status in words.
    pub title: String,
    /// The status.
    #[schema(minimum = 400, maximum = 599)]
    pub status: u16,
    /// What is wrong and what to do.
    pub detail: String,
    /// Each field that is wrong.
    pub faults: Vec<FieldFault>,
}

/// One field that is wrong.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct FieldFault {
    /// Name of the field.
    pub field: String,
    /// What is wrong, with the value that was found.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl Problem {
    /// Of a status.
    pub fn new(status: StatusCode, detail: impl Into<String>) -> Self {
        Self {
            kind: "about:blank".to_owned(),
            title: status.canonical_reason().unwrap_or("Problem").to_owned(),
            status: status.as_u16(),
            detail: detail.into(),
            faults: Vec::new(),
        }
    }
    /// There is nothing at this address, or it is not for this caller.
    pub fn missing() -> Self {
        Self::new(
            StatusCode::NOT_FOUND,
            "There is nothing here, or it is not for you. /api/v1/openapi.json tells what there is.",
        )
    }
    /// Not by this method.
    pub fn no_such_method() -> Self {
        Self::new(
            StatusCode::METHOD_NOT_ALLOWED,
            "This cannot be done here. The head 'allow' tells what can.",
        )
    }
    /// Something in the address or the query is not as it should be.
    pub fn bad(field: &str, what: impl Into<String>, remedy: &str) -> Self {
        let fault = FieldFault {
            field: field.to_owned(),
            what: what.into(),
            remedy: remedy.to_owned(),
        };
        Self {
            faults: vec![fault.clone()],
            ..Self::new(
                StatusCode::BAD_REQUEST,
                format!("{}: {}. {}", fault.field, fault.what, fault.remedy),
            )
        }
    }
    /// Calls faults by the names that fields have here.
    pub fn renamed(mut self, names: &[(&str, &str)]) -> Self {
        for fault in &mut self.faults {
            if let Some((_, here)) = names.iter().find(|n| n.0 == fault.field) {
                fault.field = (*here).to_owned();
            }
        }
        self
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let body = serde_json::to_vec(&self).unwrap_or_default();
        let kind = [(header::CONTENT_TYPE, "application/problem+json")];
        let mut answer = (status, kind, body).into_response();
        let mut set = |name, value| {
            answer
                .headers_mut()
                .insert(name, HeaderValue::from_static(value))
        };
        if status == StatusCode::UNAUTHORIZED {
            set(header::WWW_AUTHENTICATE, "Bearer realm=\"glost\"");
        }
        if status == StatusCode::TOO_MANY_REQUESTS {
            set(header::RETRY_AFTER, "60");
        }
        answer
    }
}

impl<E: Into<DeskError>> From<E> for Problem {
    fn from(e: E) -> Self {
        let e = e.into();
        let faults = match &e {
            DeskError::Faults(all) => all.iter().map(field_fault).collect(),
            _ => Vec::new(),
        };
        let (status, detail) = Trouble::Desk(e).told();
        Self {
            faults,
            ..Self::new(status, detail)
        }
    }
}

fn field_fault(f: &Fault) -> FieldFault {
    FieldFault {
        field: f.field.clone(),
        what: f.what.clone(),
        remedy: f.remedy.clone(),
    }
}

/// What any call may answer instead.
#[derive(IntoResponses)]
#[expect(dead_code, reason = "describes answers; `Problem` makes them")]
pub enum AnyProblem {
    /// The query, address or body cannot be read.
    #[response(status = 400, content_type = "application/problem+json")]
    Bad(Problem),
    /// No token, or one that is over.
    #[response(status = 401, content_type = "application/problem+json")]
    NoToken(Problem),
    /// The person of the token may not do this.
    #[response(status = 403, content_type = "application/problem+json")]
    NotAllowed(Problem),
    /// Too many calls; wait a minute.
    #[response(status = 429, content_type = "application/problem+json")]
    TooOften(Problem),
}

/// What a call for one thing may answer instead.
#[derive(IntoResponses)]
#[expect(dead_code, reason = "describes answers; `Problem` makes them")]
pub enum NoSuchThing {
    /// There is no such thing, or it is not for this person.
    #[response(status = 404, content_type = "application/problem+json")]
    Missing(Problem),
}

/// What a call that changes something may answer instead.
#[derive(IntoResponses)]
#[expect(dead_code, reason = "describes answers; `Problem` makes them")]
pub enum NotChanged {
    /// Somebody changed it since that version, or it cannot be done as things stand.
    #[response(status = 409, content_type = "application/problem+json")]
    Conflict(Problem),
    /// Longer than anything that is taken here.
    #[response(status = 413, content_type = "application/problem+json")]
    TooLong(Problem),
    /// The body is not JSON.
    #[response(status = 415, content_type = "application/problem+json")]
    NotJson(Problem),
    /// Fields of the body are wrong.
    #[response(status = 422, content_type = "application/problem+json")]
    Faults(Problem),
}
