//! The studio for programs: JSON over HTTP, with the same roles and checks as its pages.

mod caller;
#[expect(unused_qualifications, reason = "the macros write them")]
mod firings;
mod given;
mod parts;
mod problem;
#[expect(unused_qualifications, reason = "the macros write them")]
mod readings;
#[expect(unused_qualifications, reason = "the macros write them")]
mod ware;

use axum::routing::{get, post};
use axum::{Json, Router};
use utoipa::openapi::security::{Http, HttpAuthScheme, SecurityScheme};
use utoipa::{Modify, OpenApi};

use crate::app::App;

pub use caller::Caller;
pub use problem::Problem;

/// Where it is.
pub const API: &str = "/api/v1";

/// All routes of it. Programs sign in by a token, never by a cookie.
pub fn routes() -> Router<App> {
    Router::new()
        .route("/openapi.json", get(async || Json(document())))
        .route("/ware", get(ware::list).post(ware::hand_in))
        .route("/ware/{code}", get(ware::one_ware))
        .route("/ware/{code}/state", post(ware::move_on))
        .route("/waiting", get(ware::waiting))
        .route("/firings", get(firings::list))
        .route("/firings/{id}", get(firings::one))
        .route("/firings/{id}/plan", get(firings::plan))
        .route("/firings/{id}/notes", post(firings::note))
        .route("/firings/{id}/cones", post(firings::cones))
        .route(
            "/firings/{id}/readings",
            get(readings::list).post(readings::take),
        )
        .route("/metrics", get(crate::app::meter::show))
        .route("/people", get(given::people))
        .route("/kilns", get(given::kilns))
        .route("/clays", get(given::clays))
        .route("/glazes", get(given::glazes))
        .route("/furniture", get(given::furniture))
        .fallback(async || Problem::missing())
        .method_not_allowed_fallback(async || Problem::no_such_method())
}

/// What it offers, as an OpenAPI 3.1 document.
pub fn document() -> utoipa::openapi::OpenApi {
    Document::openapi()
}

/// The document, put together from the handlers.
#[derive(OpenApi)]
#[openapi(
    info(
        title = "Glost, a studio's book",
        description = "Ware, firings and stock of a studio. Lengths are in millimetres, masses in kilograms, temperatures in °C, energy in joules, moments in RFC 3339. A token is made on one's own page; it may do what its person may.",
        license(name = "MIT OR Apache-2.0")
    ),
    servers((url = "/api/v1")),
    security(("token" = [])),
    components(schemas(Problem, problem::FieldFault)),
    modifiers(&Token),
    paths(
        ware::list, ware::hand_in, ware::one_ware, ware::move_on, ware::waiting,
        firings::list, firings::one, firings::plan, firings::note, firings::cones,
        readings::list, readings::take,
        given::people, given::kilns, given::clays, given::glazes, given::furniture,
    )
)]
struct Document;

/// How programs sign in.
struct Token;

impl Modify for Token {
    fn modify(&self, doc: &mut utoipa::openapi::OpenApi) {
        let scheme = SecurityScheme::Http(Http::new(HttpAuthScheme::Bearer));
        let parts = doc.components.get_or_insert_with(Default::default);
        parts.add_security_scheme("token", scheme);
    }
}
