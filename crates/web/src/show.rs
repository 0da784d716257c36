//! All routes on one page, and the server on the loopback address.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use glost_model::plan_file::PlanFile;
use glost_studio::edit::Bench;

use crate::bench::Hold as _;
use crate::demo_bench::DemoBench;
use crate::{bench, bench_files, page};

/// What the pages show.
#[derive(Debug)]
pub struct Shown {
    /// The plan with its studio, firing and forecast.
    pub plan: PlanFile,
    /// The same plan as `plan.json`.
    pub json: String,
    /// The load sheet, a PDF.
    pub sheet: Vec<u8>,
    /// The same load, to be changed by hand.
    pub bench: Bench,
}

/// The pages cannot be served.
#[derive(Debug, thiserror::Error)]
#[error(
    "cannot serve pages on 127.0.0.1:{port}: {source}. Choose another port with --port, or 0 for any free one"
)]
pub struct ServeError {
    /// Asked for.
    pub port: u16,
    /// Why not.
    pub source: std::io::Error,
}

type Plan = State<Arc<Shown>>;

fn routes(shown: Arc<Shown>) -> Router {
    Router::new()
        .route(
            "/",
            get(async |State(s): Plan| Html(page::load::page(&s.plan).into_string())),
        )
        .route("/tier/{name}", get(tier))
        .route(
            "/firing",
            get(async |State(s): Plan| Html(page::firing::page(&s.plan).into_string())),
        )
        .route(
            "/stays",
            get(async |State(s): Plan| Html(page::stays::page(&s.plan).into_string())),
        )
        .route(
            "/cautions",
            get(async |State(s): Plan| Html(page::cautions::page(&s.plan).into_string())),
        )
        .route(
            "/plan.json",
            get(async |State(s): Plan| file("application/json", s.json.clone().into_bytes())),
        )
        .route(
            "/load-sheet.pdf",
            get(async |State(s): Plan| file("application/pdf", s.sheet.clone())),
        )
        .route(
            "/glost.css",
            get(async || {
                file(
                    "text/css; charset=utf-8",
                    include_bytes!("../assets/glost.css").to_vec(),
                )
            }),
        )
        .route(
            "/asset/across.js",
            get(async || {
                file(
                    "text/javascript; charset=utf-8",
                    include_bytes!("../assets/across.js").to_vec(),
                )
            }),
        )
        .fallback(async |State(s): Plan| {
            (
                StatusCode::NOT_FOUND,
                Html(page::missing(&s.plan).into_string()),
            )
        })
        .nest_service("/bench-files", bench_files::routes::<()>())
        .with_state(shown.clone())
        .merge(by_hand(shown))
}

/// The demo's bench, under the policy that scripts and style come from here alone.
fn by_hand(shown: Arc<Shown>) -> Router {
    let demo = DemoBench::new(shown.bench.clone());
    let policy = [(
        header::CONTENT_SECURITY_POLICY,
        HeaderValue::from_static("default-src 'self'; img-src 'self' data:"),
    )];
    let same = shown.clone();
    Router::new()
        .route(
            "/bench",
            get(async move || {
                let parts = maud::html! { (page::bench::part("/bench", None, same.plan.studio.shown)) p { a.step href="/bench/compare" { "Compare with the load as planned" } } (page::kiln_view::part(None)) };
                let page = page::frame(&same.plan, "", "Change by hand", &parts);
                (policy, Html(page.into_string()))
            }),
        )
        .route(
            "/bench/compare",
            get(async move |hold: DemoBench| {
                let now = hold.give().await.map(|held| held.bench.finished());
                let body = now.map(|now| {
                    let named = ("As planned", "As changed by hand");
                    page::compare::part(&glost_studio::compare(&shown.plan, &now), named)
                });
                let body = body.unwrap_or_else(|_| maud::html! { p.empty { "The bench cannot be read: try again." } });
                Html(page::frame(&shown.plan, "", "Two plans", &body).into_string())
            }),
        )
        .nest("/bench", bench::routes::<DemoBench, DemoBench>())
        .with_state(demo)
}

async fn tier(State(s): Plan, Path(name): Path<String>) -> Response {
    match page::tier::page(&s.plan, &name) {
        Some(page) => Html(page.into_string()).into_response(),
        None => (
            StatusCode::NOT_FOUND,
            Html(page::missing(&s.plan).into_string()),
        )
            .into_response(),
    }
}

fn file(kind: &'static str, bytes: Vec<u8>) -> impl IntoResponse {
    let mut headers = HeaderMap::new();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(
        header::X_CONTENT_TYPE_OPTIONS,
        HeaderValue::from_static("nosniff"),
    );
    (headers, bytes)
}

/// Serves until interrupted. `ready` hears the address once the pages can be opened.
///
/// # Errors
/// [`ServeError`] when the port cannot be had.
pub async fn serve(
    shown: Shown,
    port: u16,
    ready: impl FnOnce(SocketAddr),
) -> Result<(), ServeError> {
    let fail = |source| ServeError { port, source };
    let listener = tokio::net::TcpListener::bind((Ipv4Addr::LOCALHOST, port))
        .await
        .map_err(fail)?;
    ready(listener.local_addr().map_err(fail)?);
    axum::serve(listener, routes(Arc::new(shown)))
        .with_graceful_shutdown(async {
            // Without a signal handler there is nothing to wait for; the server then runs on.
            if tokio::signal::ctrl_c().await.is_err() {
                std::future::pending::<()>().await;
            }
        })
        .await
        .map_err(fail)
}
