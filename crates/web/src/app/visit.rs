//! Who visits, and what a page needs to know of them.

use std::sync::Arc;

use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::http::{HeaderMap, header};
use axum::response::{Html, IntoResponse, Redirect, Response};
use glost_model::book::{Act, Person, Raised};
use glost_model::shown::Shown;
use glost_studio::desk::{Actor, DeskError, Given, SignedIn};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use maud::Markup;

use super::{App, Clash, Here, Trouble, frame};

/// Name of the cookie.
pub const COOKIE: &str = "glost";

/// Anybody, signed in or not.
#[derive(Debug)]
pub struct Visitor {
    /// The app.
    pub app: App,
    /// Signed in as.
    pub who: Option<SignedIn>,
    /// When.
    pub now: Timestamp,
}

/// Somebody who has signed in.
#[derive(Debug)]
pub struct Visit {
    /// The app.
    pub app: App,
    /// Who.
    pub who: SignedIn,
    /// When.
    pub now: Timestamp,
    /// The studio without its ware.
    pub given: Arc<Given>,
    /// The studio's time zone.
    pub zone: TimeZone,
    /// The turn that brought the visitor here, which can be undone.
    pub did: Option<i64>,
    /// What it was, in a few words.
    pub done: Option<String>,
    /// Path of the page.
    pub path: String,
    /// Notices that nobody is on, for those who fire and look at a page.
    pub notices: Arc<Vec<Raised>>,
}

impl FromRequestParts<App> for Visitor {
    type Rejection = Trouble;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Trouble> {
        let now = app.now();
        let who = match cookie(&parts.headers) {
            Some(secret) => app.desk.who(&secret, now).await?,
            None => None,
        };
        Ok(Self {
            app: app.clone(),
            who,
            now,
        })
    }
}

impl FromRequestParts<App> for Visit {
    type Rejection = Trouble;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Trouble> {
        let Visitor { app, who, now } = Visitor::from_request_parts(parts, app).await?;
        let Some(who) = who else {
            if app.desk.is_new().await? {
                return Err(Trouble::NotSetUp);
            }
            let to = parts.uri.path_and_query().map_or("/", |p| p.as_str());
            let to = if parts.method == axum::http::Method::GET {
                to
            } else {
                "/"
            };
            return Err(Trouble::SignIn(to.to_owned()));
        };
        if !parts.method.is_safe() && !app.limits.may_change(&who.session) {
            return Err(Trouble::TooOften);
        }
        let given = app.desk.given().await?;
        let zone = zone_of(&given);
        let notices = if parts.method.is_safe() && who.person.role.may(Act::Fire) {
            app.desk.open_notices().await?
        } else {
            Arc::default()
        };
        let query = parts.uri.query().unwrap_or("");
        let did = query
            .split('&')
            .find_map(|p| p.strip_prefix("did="))
            .and_then(|n| n.parse().ok());
        let done = match did {
            // What others did is not told by a number that anybody can type.
            Some(turn) => {
                let row = app.desk.store.turn_row(turn).await?;
                row.filter(|t| t.who == who.person.id).map(|t| t.verb)
            }
            None => None,
        };
        Ok(Self {
            app,
            who,
            now,
            given,
            zone,
            did,
            done,
            path: parts.uri.path().to_owned(),
            notices,
        })
    }
}

/// The zone of the studio; that of the machine when none is set.
pub fn zone_of(given: &Given) -> TimeZone {
    let named = given.settings.hours.time_zone.as_deref();
    named
        .and_then(|z| TimeZone::get(z).ok())
        .unwrap_or_else(TimeZone::system)
}

/// The secret of a session.
pub fn cookie(headers: &HeaderMap) -> Option<String> {
    let all = headers.get_all(header::COOKIE);
    all.iter()
        .filter_map(|v| v.to_str().ok())
        .flat_map(|v| v.split(';'))
        .find_map(|pair| {
            let (name, value) = pair.trim().split_once('=')?;
            (name == COOKIE && !value.is_empty()).then(|| value.to_owned())
        })
}

impl Visit {
    /// The person.
    pub fn person(&self) -> &Person {
        &self.who.person
    }
    /// The person at work.
    pub fn actor(&self) -> Actor<'_> {
        Actor {
            person: &self.who.person,
            at: self.now,
        }
    }
    /// Whether they may.
    pub fn may(&self, act: Act) -> bool {
        self.who.person.role.may(act)
    }
    /// Refuses a page that is not for them.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub fn must(&self, act: Act) -> Result<(), DeskError> {
        self.actor().must(act)
    }
    /// Their units.
    pub fn shown(&self) -> Shown {
        self.who.person.shown.unwrap_or(self.given.studio.shown)
    }
    /// A moment in the studio's zone.
    pub fn local(&self, at: Timestamp) -> ZonedDateTime {
        at.to_zoned_datetime(self.zone.clone())
    }
    /// Today in the studio.
    pub fn today(&self) -> Date {
        self.local(self.now).date()
    }
    /// A moment as people say it: `Thu 26 Nov 2026, 14:05`.
    pub fn when(&self, at: Timestamp) -> String {
        self.local(at).strftime("%a %-d %b %Y, %H:%M").to_string()
    }
    /// The page.
    pub fn page(&self, here: Here, title: &str, body: &Markup) -> Response {
        Html(frame(self, here, title, body).into_string()).into_response()
    }
    /// The page again, with what is wrong.
    pub fn again(&self, here: Here, title: &str, body: &Markup) -> Response {
        (
            axum::http::StatusCode::UNPROCESSABLE_ENTITY,
            self.page(here, title, body),
        )
            .into_response()
    }
    /// The page again, with what somebody else stored in the meantime.
    pub fn clashed(&self, here: Here, title: &str, clash: &Clash, body: &Markup) -> Response {
        let body = maud::html! { (clash.section(self)) (body) };
        (
            axum::http::StatusCode::CONFLICT,
            self.page(here, title, &body),
        )
            .into_response()
    }
    /// On to another page, where what was done can be undone.
    pub fn done(&self, to: &str, turn: i64) -> Response {
        let joint = if to.contains('?') { '&' } else { '?' };
        Redirect::to(&format!("{to}{joint}did={turn}")).into_response()
    }
}
