//! Scripts and style of the bench and of the kiln in 3D. Plain modules, built by nothing.

use axum::Router;
use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;

const SCRIPT: &str = "text/javascript; charset=utf-8";

/// Name, kind and text of each file.
pub const FILES: &[(&str, &str, &str)] = &[
    (
        "bench.css",
        "text/css; charset=utf-8",
        include_str!("../assets/bench/bench.css"),
    ),
    ("bench.js", SCRIPT, include_str!("../assets/bench/bench.js")),
    ("draw.js", SCRIPT, include_str!("../assets/bench/draw.js")),
    ("gl.js", SCRIPT, include_str!("../assets/bench/gl.js")),
    ("hands.js", SCRIPT, include_str!("../assets/bench/hands.js")),
    ("mesh.js", SCRIPT, include_str!("../assets/bench/mesh.js")),
    ("panel.js", SCRIPT, include_str!("../assets/bench/panel.js")),
    ("shape.js", SCRIPT, include_str!("../assets/bench/shape.js")),
    ("view.js", SCRIPT, include_str!("../assets/bench/view.js")),
    (
        "view-alone.js",
        SCRIPT,
        include_str!("../assets/bench/view-alone.js"),
    ),
];

/// Serves them; to be nested at [`crate::page::bench::FILES`].
pub fn routes<S: Clone + Send + Sync + 'static>() -> Router<S> {
    Router::new().route("/{name}", get(file))
}

async fn file(Path(name): Path<String>) -> Response {
    match FILES.iter().find(|(n, ..)| *n == name) {
        Some((_, kind, text)) => (
            [
                (header::CONTENT_TYPE, *kind),
                (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
            ],
            *text,
        )
            .into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}
