//! What every request passes through: where it comes from, and what browsers may do with the answer.

use axum::extract::Request;
use axum::http::{HeaderValue, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::Trouble;

/// Nothing from other places, no scripts or styles inside pages.
const POLICY: &str = "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// Refuses changes that another site asks a visitor's browser for, coming in among them. Programs say nothing of sites,
/// and send no cookie.
pub async fn same_origin(request: Request, next: Next) -> Response {
    let safe = matches!(
        *request.method(),
        Method::GET | Method::HEAD | Method::OPTIONS
    );
    let h = request.headers();
    if !safe {
        let text = |name: header::HeaderName| h.get(name).and_then(|v| v.to_str().ok());
        let site = h.get("sec-fetch-site").and_then(|v| v.to_str().ok());
        // Some pages of others hide theirs behind the word `null`.
        let origin = text(header::ORIGIN).map(|o| o.split_once("://").map_or("", |o| o.1));
        let own = match (site, origin) {
            (Some(site), _) => site == "same-origin",
            (None, Some(origin)) => Some(origin) == text(header::HOST),
            // A browser sends one or the other.
            (None, None) => !h.contains_key(header::COOKIE),
        };
        if !own {
            return Trouble::Refused("This was sent from another site and is not done. Open the studio's own page and try there.").into_response();
        }
    }
    next.run(request).await
}

/// Headers of every answer.
pub async fn headers(request: Request, next: Next) -> Response {
    let mut answer = next.run(request).await;
    let h = answer.headers_mut();
    let mut set = |name: &'static str, value: &'static str| {
        h.insert(name, HeaderValue::from_static(value));
    };
    set("content-security-policy", POLICY);
    set("x-content-type-options", "nosniff");
    set("referrer-policy", "same-origin");
    set("x-frame-options", "DENY");
    set("cross-origin-opener-policy", "same-origin");
    set("cross-origin-resource-policy", "same-origin");
    set(
        "permissions-policy",
        "camera=(self), microphone=(), geolocation=()",
    );
    if !h.contains_key(header::CACHE_CONTROL) {
        // Pages hold people's names, and a studio's tablet has many hands: nothing is left behind on it.
        h.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    answer
}
