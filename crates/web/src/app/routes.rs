//! All routes on one page.

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::from_fn;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::trace::TraceLayer;

use super::{App, Trouble, asset, guard};
use crate::room;

/// Most bytes of a form; a sheet of 20 000 pieces or a photo fits.
const MOST_BYTES: usize = 14 << 20;

/// The studio's app.
pub fn routes(app: App) -> Router {
    Router::new()
        // Coming in.
        .route("/set-up", get(room::set_up::show).post(room::set_up::done))
        .route("/enter", get(room::enter::show).post(room::enter::done))
        .route("/leave", post(room::enter::leave))
        .route(
            "/join/{secret}",
            get(room::enter::join).post(room::enter::joined),
        )
        .route("/me", get(room::me::show).post(room::me::change))
        .route("/me/password", post(room::me::password))
        // Ware.
        .route("/", get(room::today::show))
        .route("/ware", get(room::ware::show))
        .route(
            "/ware/new",
            get(room::take_in::show).post(room::take_in::done),
        )
        .route(
            "/ware/sheet",
            get(room::sheet::show).post(room::sheet::look),
        )
        .route("/ware/sheet/take-in", post(room::sheet::take_in))
        .route("/ware/{code}", get(room::ware_one::show))
        .route(
            "/ware/{code}/change",
            get(room::ware_one::edit).post(room::ware_one::change),
        )
        .route("/ware/{code}/move", post(room::ware_one::move_on))
        .route("/ware/{code}/glazed", post(room::ware_one::glazed))
        .route("/ware/{code}/photo", post(room::photo::add))
        .route("/photo/{id}", get(room::photo::show))
        // Everything.
        .route("/undo/{turn}", post(room::undo::done))
        .route("/asset/{name}", get(asset::asset))
        .route("/healthz", get(room::today::health))
        .fallback(async || Trouble::Missing.into_response())
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .layer(from_fn(guard::same_origin))
        .layer(CatchPanicLayer::new())
        .layer(CompressionLayer::new())
        .layer(from_fn(guard::headers))
        .layer(TraceLayer::new_for_http())
        .with_state(app)
}
