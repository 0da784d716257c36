//! The server.

use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;

use glost_studio::notify::{self, sender::Sender};

use super::{App, routes};

/// Rounds of tidying, of five minutes each, between two times that the database looks at what it holds.
const TAKE_STOCK: u64 = 144;

/// The pages cannot be served.
#[derive(Debug, thiserror::Error)]
#[error(
    "cannot serve pages on {bind}: {source}. Choose another address or port, or 0 for any free port"
)]
pub struct AppError {
    /// Asked for.
    pub bind: SocketAddr,
    /// Why not.
    pub source: std::io::Error,
}

/// Serves until interrupted. `ready` hears the address once the pages can be opened.
///
/// # Errors
/// [`AppError`] when the port cannot be had.
pub async fn serve_app(
    app: App,
    bind: SocketAddr,
    ready: impl FnOnce(SocketAddr),
) -> Result<(), AppError> {
    let fail = |source| AppError { bind, source };
    let listener = tokio::net::TcpListener::bind(bind).await.map_err(fail)?;
    ready(listener.local_addr().map_err(fail)?);
    let (limits, stock, clock) = (app.limits.clone(), app.desk.store.clone(), app.clock);
    let tidy = tokio::spawn(async move {
        let mut often = tokio::time::interval(Duration::from_secs(300));
        for round in 0_u64.. {
            often.tick().await;
            limits.tidy(clock());
            if round % TAKE_STOCK == 1
                && let Err(e) = stock.take_stock().await
            {
                tracing::warn!(error = %e, "the database could not look at what it holds");
            }
        }
    });
    let desk = app.desk.clone();
    let warm = tokio::spawn(async move {
        if let Err(e) = desk.warm().await {
            tracing::warn!(error = %e, "the log will be read when somebody asks for it");
        }
    });
    let sender = Sender::new(app.desk.clone(), app.clock, notify::from_environment);
    let sender = tokio::spawn(sender.run());
    if let Err(e) = app.follow.begin().await {
        tracing::warn!(error = %e, "firings that are under way are not followed until somebody looks at them");
    }
    let hear = app.hear.clone();
    let hearing = hear.begin();
    let learning = app.learn_after_firings();
    let (store, closing) = (app.desk.store.clone(), Arc::clone(&app.closing));
    let served = axum::serve(
        listener,
        routes(app).into_make_service_with_connect_info::<SocketAddr>(),
    )
    .with_graceful_shutdown(async move {
        stop().await;
        closing.send_replace(true);
    })
    .await
    .map_err(fail);
    tidy.abort();
    warm.abort();
    // What was not kept is worked out by the next.
    learning.abort();
    // What is not in the book yet is read again by the next.
    hearing.abort();
    hear.end();
    // What it was at is kept, and sent by the next.
    sender.abort();
    store.close().await;
    served
}

/// Until somebody stops it: Ctrl-C, or a service manager.
async fn stop() {
    let interrupted = async {
        // Without a handler there is nothing to wait for; the server then runs on.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let told = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut s) => {
                s.recv().await;
            }
            Err(_) => std::future::pending::<()>().await,
        }
    };
    #[cfg(not(unix))]
    let told = std::future::pending::<()>();
    tokio::select! { () = interrupted => {}, () = told => {} }
}
