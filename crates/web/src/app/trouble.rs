//! What a visitor is told when something does not go.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Redirect, Response};
use glost_store::StoreError;
use glost_studio::desk::DeskError;
use maud::html;

use super::plain_frame;

/// Why there is no page.
#[derive(Debug)]
pub enum Trouble {
    /// Somebody must sign in first, and then goes on to that page.
    SignIn(String),
    /// The studio is not set up yet.
    NotSetUp,
    /// There is no such page for this visitor.
    Missing,
    /// Tried too often.
    TooOften,
    /// Longer than anything that is taken here.
    TooLong,
    /// What was sent cannot be read.
    Unread,
    /// The request came from another site or is not well-formed.
    Refused(&'static str),
    /// The desk.
    Desk(DeskError),
}

impl<E: Into<DeskError>> From<E> for Trouble {
    fn from(e: E) -> Self {
        Self::Desk(e.into())
    }
}

impl Trouble {
    /// Code and words.
    pub fn told(&self) -> (StatusCode, String) {
        match self {
            Self::SignIn(_) => (StatusCode::UNAUTHORIZED, "Sign in first.".to_owned()),
            Self::NotSetUp => (
                StatusCode::SERVICE_UNAVAILABLE,
                "The studio is not set up yet.".to_owned(),
            ),
            Self::Missing => (
                StatusCode::NOT_FOUND,
                "There is no such page, or it is not for you.".to_owned(),
            ),
            Self::TooOften => (
                StatusCode::TOO_MANY_REQUESTS,
                "Tried too often. Wait a minute and try again.".to_owned(),
            ),
            Self::TooLong => (
                StatusCode::PAYLOAD_TOO_LARGE,
                "This is longer than anything that is taken here, which is 14 MB. Split the sheet, or send a smaller photo.".to_owned(),
            ),
            Self::Unread => (
                StatusCode::BAD_REQUEST,
                "What was sent did not arrive whole, or is no form. Nothing was stored. Open the page again and send it anew.".to_owned(),
            ),
            Self::Refused(why) => (StatusCode::FORBIDDEN, (*why).to_owned()),
            Self::Desk(e) => {
                let code = match e {
                    DeskError::Store(StoreError::Missing { .. }) => StatusCode::NOT_FOUND,
                    DeskError::Store(
                        StoreError::Stale { .. }
                        | StoreError::Taken { .. }
                        | StoreError::NotUndone { .. },
                    ) => StatusCode::CONFLICT,
                    DeskError::Store(_) | DeskError::Machine(_) => {
                        StatusCode::INTERNAL_SERVER_ERROR
                    }
                    DeskError::Faults(_) => StatusCode::UNPROCESSABLE_ENTITY,
                    DeskError::NotAllowed(_) => StatusCode::FORBIDDEN,
                    DeskError::Cannot { .. } => StatusCode::CONFLICT,
                    DeskError::WrongPassword => StatusCode::UNAUTHORIZED,
                };
                if code == StatusCode::INTERNAL_SERVER_ERROR {
                    // What a database says is for the log, not for a visitor.
                    tracing::error!(error = %e, "a page could not be answered");
                    let words = "The studio's program is in trouble. Nothing was stored. Try again, and tell a technician if it stays so.";
                    return (code, words.to_owned());
                }
                (code, e.to_string())
            }
        }
    }
}

/// A whole sentence: what a verb says of its fault begins within one.
fn whole(line: &str) -> String {
    let stop = if line.ends_with(['.', '?', '!', ':']) {
        ""
    } else {
        "."
    };
    format!("{}{stop}", super::called::sentence(line))
}

impl IntoResponse for Trouble {
    fn into_response(self) -> Response {
        match &self {
            Self::SignIn(to) => {
                return Redirect::to(&format!("/enter?to={}", super::frame::escaped(to)))
                    .into_response();
            }
            Self::NotSetUp => return Redirect::to("/set-up").into_response(),
            _ => {}
        }
        let (code, words) = self.told();
        let title = match code {
            StatusCode::NOT_FOUND => "Not here",
            StatusCode::FORBIDDEN => "Not yours to do",
            StatusCode::CONFLICT => "Not done",
            StatusCode::PAYLOAD_TOO_LARGE => "Too long",
            _ => "That did not work",
        };
        let body = html! {
            div.told role="alert" { @for line in words.lines() { p { (whole(line)) } } }
            p.steps { a.step href="/" { "To the first page" } }
        };
        let mut answer = (code, Html(plain_frame(title, &body).into_string())).into_response();
        if code == StatusCode::TOO_MANY_REQUESTS {
            answer
                .headers_mut()
                .insert(header::RETRY_AFTER, HeaderValue::from_static("60"));
        }
        answer
    }
}
