//! Who calls.

use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode, header};
use glost_model::book::{Act, Person};
use glost_model::shown::Shown;
use glost_store::PassUse;
use glost_studio::desk::Actor;
use jiff::Timestamp;
use jiff::civil::Date;

use super::Problem;
use crate::app::{App, zone_of};

/// A program with the token of a person.
#[derive(Debug)]
pub struct Caller {
    /// The app.
    pub app: App,
    /// Whose token it is. Their numbers are metric here, whatever they like on pages.
    pub person: Person,
    /// When.
    pub now: Timestamp,
    /// Today in the studio.
    pub today: Date,
}

impl FromRequestParts<App> for Caller {
    type Rejection = Problem;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Problem> {
        let no = |why: &str| Problem::new(StatusCode::UNAUTHORIZED, why);
        let Some(secret) = bearer(&parts.headers) else {
            return Err(no(
                "Send a token in the head 'Authorization: Bearer …'. It is made on your own page.",
            ));
        };
        let now = app.now();
        let who = app.desk.who_by(PassUse::Token, secret, now).await?;
        let Some(who) = who else {
            return Err(no(
                "This token is unknown or over. Make a new one on your own page.",
            ));
        };
        if !app.limits.may_call(&who.session) {
            return Err(Problem::new(
                StatusCode::TOO_MANY_REQUESTS,
                "Too many calls with this token. Wait a minute.",
            ));
        }
        let given = app.desk.given().await?;
        let today = now.to_zoned_datetime(zone_of(&given)).date();
        Ok(Self {
            app: app.clone(),
            person: Person {
                shown: Some(Shown::default()),
                ..who.person
            },
            now,
            today,
        })
    }
}

/// The token of a call.
pub fn bearer(headers: &HeaderMap) -> Option<&str> {
    let text = headers.get(header::AUTHORIZATION)?.to_str().ok()?;
    let (scheme, secret) = text.split_once(' ')?;
    (scheme.eq_ignore_ascii_case("bearer")).then_some(secret.trim())
}

impl Caller {
    /// The person at work.
    pub fn actor(&self) -> Actor<'_> {
        Actor {
            person: &self.person,
            at: self.now,
        }
    }
    /// Refuses what is not for them.
    ///
    /// # Errors
    /// 403.
    pub fn must(&self, act: Act) -> Result<(), Problem> {
        Ok(self.actor().must(act)?)
    }
}
