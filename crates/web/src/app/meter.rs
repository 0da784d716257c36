//! What the program does, in numbers for a watching machine and in lines for its log. Routes are told by their pattern:
//! codes of ware, names and secrets in addresses stay out of both.

use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::extract::{MatchedPath, Request, State};
use axum::http::header;
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use glost_model::book::Act;
use metrics::{counter, gauge, histogram, with_local_recorder};
use metrics_exporter_prometheus::{Matcher, PrometheusBuilder, PrometheusRecorder};

use super::App;
use crate::api::{Caller, Problem};

const REQUESTS: &str = "glost_requests_total";
const SECONDS: &str = "glost_request_seconds";
const WARE: &str = "glost_ware";
const WATCHED: &str = "glost_plans_being_made";
/// Upper edges of the classes of answering times, s; pages are to answer within 0.05.
const CLASSES: [f64; 9] = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1.0, 5.0, 30.0];
/// Slower answers are told of in the log, whatever they are.
const SLOW: Duration = Duration::from_secs(1);

/// The counters of one app. Cloning shares them.
#[derive(Clone)]
pub struct Meter(Arc<PrometheusRecorder>);

impl std::fmt::Debug for Meter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Meter")
    }
}

impl Default for Meter {
    fn default() -> Self {
        let plain = PrometheusBuilder::new;
        // The only fault is an empty list of classes.
        let built = plain().set_buckets_for_metric(Matcher::Full(SECONDS.to_owned()), &CLASSES);
        let recorder = built.unwrap_or_else(|_empty| plain()).build_recorder();
        with_local_recorder(&recorder, || {
            metrics::describe_counter!(
                REQUESTS,
                "Answers by method, pattern of the route and status"
            );
            metrics::describe_histogram!(SECONDS, "Time to answer, by pattern of the route");
            metrics::describe_gauge!(WARE, "Pieces in the book by state");
            metrics::describe_gauge!(WATCHED, "Plans being made or waiting for their turn");
        });
        Self(Arc::new(recorder))
    }
}

impl Meter {
    /// Counts something that happened, by the name that it has in `docs/handbook/api.md`.
    pub fn count(&self, name: &'static str, of: &'static str, which: &str, by: u64) {
        let which = which.to_owned();
        with_local_recorder(self.0.as_ref(), || {
            counter!(name, of => which).increment(by)
        });
    }
}

/// Counts an answer and writes it into the log.
pub async fn count(State(app): State<App>, request: Request, next: Next) -> Response {
    let began = Instant::now();
    let method = request.method().as_str().to_owned();
    let route = request
        .extensions()
        .get::<MatchedPath>()
        .map_or("none", MatchedPath::as_str)
        .to_owned();
    let answer = next.run(request).await;
    let (took, status) = (began.elapsed(), answer.status());
    let code = status.as_str().to_owned();
    with_local_recorder(app.meter.0.as_ref(), || {
        counter!(REQUESTS, "method" => method.clone(), "route" => route.clone(), "status" => code)
            .increment(1);
        histogram!(SECONDS, "route" => route.clone()).record(took.as_secs_f64());
    });
    let (status, ms) = (status.as_u16(), took.as_secs_f64() * 1e3);
    if status >= 500 || took > SLOW {
        tracing::warn!(method, route, status, ms, "answered");
    } else if method == "GET" {
        tracing::debug!(method, route, status, ms, "answered");
    } else {
        tracing::info!(method, route, status, ms, "answered");
    }
    answer
}

/// `/api/v1/metrics` in the text format of OpenMetrics' forerunner that Prometheus reads; for a program with the token of
/// somebody who governs the studio.
pub async fn show(caller: Caller) -> Result<Response, Problem> {
    caller.must(Act::Govern)?;
    let app = &caller.app;
    let ware = app.desk.ware_counts(&caller.person).await?;
    with_local_recorder(app.meter.0.as_ref(), || {
        for (state, n) in ware {
            gauge!(WARE, "state" => state).set(n as f64);
        }
        gauge!(WATCHED).set(app.jobs.count() as f64);
    });
    let text = app.meter.0.handle().render();
    let kind = [(header::CONTENT_TYPE, "text/plain; version=0.0.4")];
    Ok((kind, text).into_response())
}
