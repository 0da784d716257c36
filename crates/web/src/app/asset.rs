//! Styles and scripts, which are part of the program.

use axum::extract::Path;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};

/// Name, kind, bytes.
type Asset = (&'static str, &'static str, &'static [u8]);

const CSS: &str = "text/css; charset=utf-8";
const JS: &str = "text/javascript; charset=utf-8";

const ALL: &[Asset] = &[
    ("glost.css", CSS, include_bytes!("../../assets/glost.css")),
    ("rooms.css", CSS, include_bytes!("../../assets/rooms.css")),
    ("log.css", CSS, include_bytes!("../../assets/log.css")),
    ("causes.css", CSS, include_bytes!("../../assets/causes.css")),
    ("stock.css", CSS, include_bytes!("../../assets/stock.css")),
    (
        "kiln-draw.js",
        JS,
        include_bytes!("../../assets/kiln-draw.js"),
    ),
    ("rooms.js", JS, include_bytes!("../../assets/rooms.js")),
    ("at-kiln.js", JS, include_bytes!("../../assets/at-kiln.js")),
    (
        "progress.js",
        JS,
        include_bytes!("../../assets/progress.js"),
    ),
    ("watch.js", JS, include_bytes!("../../assets/watch.js")),
    ("across.js", JS, include_bytes!("../../assets/across.js")),
];

/// One of them; a browser that has it already is told so.
pub async fn asset(Path(name): Path<String>, asked: HeaderMap) -> Response {
    let Some((_, kind, bytes)) = ALL.iter().find(|a| a.0 == name) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    // Changes with the bytes; the program is the only one who writes them.
    let sum = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3)
    });
    let tag = format!("\"{sum:016x}\"");
    let known = asked
        .get(header::IF_NONE_MATCH)
        .is_some_and(|t| t.as_bytes() == tag.as_bytes());
    let mut answer = if known {
        StatusCode::NOT_MODIFIED.into_response()
    } else {
        bytes.into_response()
    };
    let h = answer.headers_mut();
    h.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    h.insert(
        header::CACHE_CONTROL,
        HeaderValue::from_static("public, max-age=0, must-revalidate"),
    );
    if let Ok(tag) = HeaderValue::from_str(&tag) {
        h.insert(header::ETAG, tag);
    }
    answer
}
