//! What is asked of a studio while it is measured: pages that people open, and what they send.

use super::lit::Lit;

/// What is sent with a request.
#[derive(Debug, Clone, Copy)]
pub enum Sent {
    /// Nothing: a page is opened.
    Nothing,
    /// A form, which answers with the way to the next page.
    Form(&'static str),
    /// JSON of a script of the page.
    Json(&'static str),
}
use Sent::{Form, Json, Nothing};

/// Who asks, for what, with what. `{code}` is a piece that waits, `{firing}` a firing of the log, each time another;
/// `{on}` a kiln that is on, `{loading}` one being loaded, `{draft}` a plan, `{kiln}` a kiln, `{calendar}` a feed.
pub const MIX: [(&str, &str, Sent); 39] = [
    ("nia", "/", Nothing),
    ("nia", "/ware", Nothing),
    ("nia", "/ware?state=waiting", Nothing),
    ("nia", "/ware?state=made", Nothing),
    ("nia", "/ware?state=handed-back&page=50", Nothing),
    ("nia", "/ware?words=mug+maker+123", Nothing),
    ("nia", "/ware/{code}", Nothing),
    ("nia", "/ware/new", Nothing),
    ("nia", "/firings", Nothing),
    ("nia", "/firings/{firing}", Nothing),
    ("nia", "/firings/new", Nothing),
    ("nia", "/firings/{on}", Nothing),
    ("nia", "/firings/{on}/watch", Nothing),
    ("nia", "/firings/{on}/load", Nothing),
    ("nia", "/firings/{loading}/at-kiln", Nothing),
    ("nia", "/firings/{draft}/bench", Nothing),
    ("nia", "/firings/{firing}/causes", Nothing),
    ("nia", "/kilns/{kiln}", Nothing),
    ("nia", "/kilns/{kiln}/upkeep", Nothing),
    ("nia", "/kilns/{kiln}/learnt", Nothing),
    ("nia", "/log", Nothing),
    ("nia", "/log?words=heron&page=3", Nothing),
    ("nia", "/log/compare?with={on}&with={firing}", Nothing),
    ("nia", "/log/report", Nothing),
    ("nia", "/studio/log", Nothing),
    ("nia", "/studio/people", Nothing),
    ("nia", "/kilns", Nothing),
    ("ilse", "/accounts", Nothing),
    ("wen", "/ware?words=bowl", Nothing),
    ("wen", "/help", Nothing),
    ("ilse", "/back", Nothing),
    ("wen", "/", Nothing),
    ("wen", "/ware", Nothing),
    ("wen", "/me", Nothing),
    ("nia", FLOOR, Nothing),
    ("nia", "{calendar}", Nothing),
    (
        "nia",
        "/firings/{loading}/ticks",
        Json(r#"{"fetch/0":{"done":true,"at":"2026-01-01T08:00:00Z"}}"#),
    ),
    // Each firing is noted once, as its first version.
    (
        "nia",
        "/firings/{firing}/note",
        Form("version=1&words=Looked+at+the+cones"),
    ),
    (
        "nia",
        "/firings/{on}/watch/reading",
        Form("reading=301&at="),
    ),
];
/// What is only a file of the program: the least that any answer takes.
pub const FLOOR: &str = "/asset/glost.css";

/// The path that the `n`th request asks for.
pub fn path(page: &str, n: usize, firings: u32, lit: &Lit) -> String {
    let each = (n * 31) as u32 % firings.max(1);
    page.replace("{code}", &format!("Z{:05}", (n * 7919) % 20_000 % 1000))
        .replace("{firing}", &format!("{:04}", 1 + each))
        .replace("{on}", &lit.on)
        .replace("{loading}", &lit.loading)
        .replace("{draft}", &lit.draft)
        .replace("{kiln}", &lit.kiln)
        .replace("{calendar}", &lit.calendar)
}
