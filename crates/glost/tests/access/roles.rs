//! Every route, and each role at it.

use glost_model::book::{Act, Role};

use crate::studio::{Studio, call, token};

/// Who may ask for something. Whose thing it is comes on top of this.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Who {
    /// Signed in or not.
    Anyone,
    /// Whoever is signed in.
    Signed,
    /// Whose role may do this.
    May(Act),
}
use Who::{Anyone, May, Signed};

/// Path, who may look, who may send; nothing where the method is not served. Each from what a role is for.
pub type Route = (&'static str, Option<Who>, Option<Who>);

const fn look(path: &'static str, who: Who) -> Route {
    (path, Some(who), None)
}
const fn send(path: &'static str, who: Who) -> Route {
    (path, None, Some(who))
}
const fn both(path: &'static str, look: Who, send: Who) -> Route {
    (path, Some(look), Some(send))
}

pub const ROUTES: &[Route] = &[
    both("/set-up", Anyone, Anyone),
    both("/enter", Anyone, Anyone),
    send("/leave", Signed),
    both("/join/{secret}", Anyone, Anyone),
    both("/me", Signed, Signed),
    send("/me/password", Signed),
    look("/", Signed),
    look("/ware", Signed),
    both("/ware/new", Signed, May(Act::HandIn)),
    both("/ware/sheet", Signed, May(Act::HandIn)),
    send("/ware/sheet/take-in", May(Act::HandIn)),
    send("/ware/looked-over", May(Act::LookOver)),
    // One's own ware: see `leaks`.
    look("/ware/{code}", Signed),
    both("/ware/{code}/change", Signed, Signed),
    send("/ware/{code}/move", Signed),
    send("/ware/{code}/glazed", Signed),
    send("/ware/{code}/photo", Signed),
    look("/photo/{id}", Signed),
    look("/ware/labels", May(Act::LookOver)),
    look("/ware/labels.pdf", May(Act::LookOver)),
    look("/firings", May(Act::Plan)),
    both("/firings/new", May(Act::Plan), May(Act::Plan)),
    both("/firings/all", May(Act::Plan), May(Act::Plan)),
    both("/firings/written", May(Act::Fire), May(Act::Fire)),
    look("/firings/{id}", May(Act::Plan)),
    send("/firings/{id}/plan", May(Act::Plan)),
    look("/firings/{id}/progress", May(Act::Plan)),
    send("/firings/{id}/stop", May(Act::Plan)),
    look("/firings/{id}/load", May(Act::Plan)),
    look("/firings/{id}/tier/{name}", May(Act::Plan)),
    look("/firings/{id}/programme", May(Act::Plan)),
    look("/firings/{id}/stays", May(Act::Plan)),
    look("/firings/{id}/beside", May(Act::Plan)),
    look("/firings/{id}/load-sheet.pdf", May(Act::Plan)),
    look("/firings/{id}/plan.json", May(Act::Plan)),
    look("/firings/{id}/bench", May(Act::Plan)),
    send("/firings/{id}/bench/keep", May(Act::Plan)),
    look("/firings/{id}/bench/scene", May(Act::Plan)),
    send("/firings/{id}/bench/edit", May(Act::Plan)),
    send("/firings/{id}/bench/try", May(Act::Plan)),
    send("/firings/{id}/bench/undo", May(Act::Plan)),
    send("/firings/{id}/bench/redo", May(Act::Plan)),
    send("/firings/{id}/bench/settle", May(Act::Plan)),
    send("/firings/{id}/bench/foresee", May(Act::Plan)),
    send("/firings/{id}/accept", May(Act::Accept)),
    send("/firings/{id}/call-off", May(Act::Plan)),
    send("/firings/{id}/begin", May(Act::Fire)),
    look("/firings/{id}/at-kiln", May(Act::Fire)),
    send("/firings/{id}/ticks", May(Act::Fire)),
    send("/firings/{id}/ticks-form", May(Act::Fire)),
    send("/firings/{id}/leave-out", May(Act::Fire)),
    send("/firings/{id}/read-back", May(Act::Fire)),
    send("/firings/{id}/start", May(Act::Fire)),
    send("/firings/{id}/step", May(Act::Fire)),
    send("/firings/{id}/note", May(Act::Fire)),
    send("/firings/{id}/end", May(Act::Fire)),
    send("/firings/{id}/open", May(Act::Fire)),
    send("/firings/{id}/cones", May(Act::Fire)),
    send("/firings/{id}/cones/photo", May(Act::Fire)),
    send("/firings/{id}/fault", May(Act::Fire)),
    // As far as one's own ware was in it: see `leaks`.
    look("/firings/{id}/causes", Signed),
    both("/firings/{id}/causes/{code}", Signed, May(Act::Fire)),
    send("/firings/{id}/emptied", May(Act::Fire)),
    send("/firings/{id}/short", May(Act::Fire)),
    look("/firings/{id}/cost", May(Act::Charge)),
    look("/firings/{id}/watch", May(Act::Plan)),
    look("/firings/{id}/watch/events", May(Act::Plan)),
    send("/firings/{id}/watch/reading", May(Act::Fire)),
    send("/firings/{id}/watch/log", May(Act::Fire)),
    send("/firings/{id}/watch/log/read", May(Act::Fire)),
    both("/firings/{id}/readings", May(Act::Plan), May(Act::Keep)),
    send("/firings/{id}/readings/{stretch}/believe", May(Act::Keep)),
    send("/kilns/draw", May(Act::Keep)),
    both("/kilns/{id}/learnt", May(Act::Plan), May(Act::Keep)),
    look("/kilns/{id}/learnt/progress", May(Act::Plan)),
    send("/kilns/{id}/learnt/after", May(Act::Keep)),
    send("/kilns/{id}/learnt/use", May(Act::Keep)),
    send("/kilns/{id}/learnt/leave-out", May(Act::Keep)),
    send("/kilns/{id}/learnt/back", May(Act::Keep)),
    both("/kilns/{id}/upkeep", May(Act::Plan), May(Act::Fire)),
    send("/kilns/{id}/ageing", May(Act::Keep)),
    both("/kilns/{id}/source", May(Act::Govern), May(Act::Govern)),
    both("/furniture/losses", May(Act::Plan), May(Act::Fire)),
    both("/studio/lists", May(Act::Keep), May(Act::Keep)),
    send("/studio/lists/store", May(Act::Keep)),
    look("/notices", May(Act::Fire)),
    send("/notices/{id}/on-it", May(Act::Fire)),
    send("/me/notices/test", May(Act::Fire)),
    send("/studio/notices/test", May(Act::Govern)),
    look("/furniture", May(Act::Plan)),
    both("/studio", May(Act::Report), May(Act::Govern)),
    look("/studio/away", May(Act::Keep)),
    send("/studio/away/{kind}/{id}", May(Act::Keep)),
    look("/studio/log", May(Act::Govern)),
    look("/studio/log/{turn}", May(Act::Govern)),
    both("/studio/people", May(Act::Govern), May(Act::Govern)),
    send("/studio/people/invite", May(Act::Govern)),
    send("/studio/people/withdraw", May(Act::Govern)),
    both("/studio/people/{id}", May(Act::Govern), May(Act::Govern)),
    send("/studio/people/{id}/away", May(Act::Govern)),
    // Makers fetch their own: see `leaks`.
    both("/back", May(Act::HandBack), Signed),
    look("/back/list.pdf", May(Act::HandBack)),
    look("/back/notice/{person}", May(Act::HandBack)),
    look("/accounts", May(Act::Charge)),
    look("/accounts.csv", May(Act::Charge)),
    // Of somebody else; one's own is anybody's to see.
    both("/accounts/{person}", May(Act::Charge), May(Act::Charge)),
    send("/me/calendar", May(Act::Plan)),
    // By the secret in its name.
    look("/calendar/{name}", Anyone),
    look("/help", Signed),
    look("/bench-files/{name}", Anyone),
    look("/keeper.js", Anyone),
    look("/log", May(Act::Report)),
    look("/log/compare", May(Act::Report)),
    look("/log/report", May(Act::Report)),
    look("/studio/export", May(Act::Govern)),
    look("/studio/export/{name}", May(Act::Govern)),
    both("/me/tokens", Signed, Signed),
    send("/me/tokens/{digest}", Signed),
    send("/undo/{turn}", Signed),
    look("/asset/{name}", Anyone),
    look("/healthz", Anyone),
];

/// What the studio has: list, new, one, put away.
pub const KEPT: [(&str, Act); 6] = [
    ("/kilns", Act::Plan),
    ("/clays", Act::Report),
    ("/glazes", Act::Report),
    ("/furniture/shelves", Act::Plan),
    ("/furniture/posts", Act::Plan),
    ("/furniture/supports", Act::Plan),
];

/// For programs, by their token.
const API: &[Route] = &[
    look("/openapi.json", Anyone),
    both("/ware", Signed, May(Act::HandIn)),
    look("/ware/{code}", Signed),
    send("/ware/{code}/state", Signed),
    look("/waiting", Signed),
    look("/firings", May(Act::Plan)),
    look("/firings/{id}", May(Act::Plan)),
    look("/firings/{id}/plan", May(Act::Plan)),
    send("/firings/{id}/notes", May(Act::Fire)),
    send("/firings/{id}/cones", May(Act::Fire)),
    both("/firings/{id}/readings", May(Act::Plan), May(Act::Fire)),
    look("/metrics", May(Act::Govern)),
    look("/people", May(Act::Govern)),
    look("/kilns", May(Act::Plan)),
    // Names of clays and glazes are asked of everybody who hands ware in.
    look("/clays", Signed),
    look("/glazes", Signed),
    look("/furniture", May(Act::Plan)),
];

/// Paths and methods as a source of routes has them.
fn written(source: &str, before: &str) -> Vec<(String, bool, bool)> {
    let source = source.split("#[cfg(test)]").next().unwrap();
    let mut all = Vec::new();
    for part in source.split(".route(").skip(1) {
        let part = part.trim_start();
        let Some(part) = part.strip_prefix('"') else {
            continue;
        };
        let (path, rest) = part.split_once('"').unwrap();
        let rest = rest.split(".nest(").next().unwrap();
        let has = |verb: &str| rest.contains(&format!("{verb}("));
        all.push((format!("{before}{path}"), has("get"), has("post")));
    }
    all
}

#[test]
fn no_route_is_missing_from_the_table() {
    let main = include_str!("../../../web/src/app/routes.rs");
    let bench = include_str!("../../../web/src/bench.rs");
    let files = include_str!("../../../web/src/bench_files.rs");
    let api = include_str!("../../../web/src/api/mod.rs");
    let mut all = written(main, "");
    all.extend(written(bench, "/firings/{id}/bench"));
    all.extend(written(files, "/bench-files"));
    assert!(
        all.len() > 80,
        "the source is written otherwise: {}",
        all.len()
    );
    let tabled = |table: &[Route]| -> Vec<(String, bool, bool)> {
        let one = |r: &Route| (r.0.to_owned(), r.1.is_some(), r.2.is_some());
        table.iter().map(one).collect()
    };
    let sorted = |mut all: Vec<(String, bool, bool)>| {
        all.sort();
        all
    };
    assert_eq!(sorted(all), sorted(tabled(ROUTES)));
    assert_eq!(sorted(written(api, "")), sorted(tabled(API)));
    assert_eq!(main.matches("kept::<").count(), KEPT.len());
    assert_eq!(
        main.matches(".nest(").count(),
        3,
        "bench, its files, and the API"
    );
}

/// All pages with those of what is kept.
fn pages() -> Vec<(String, Option<Who>, Option<Who>)> {
    let mut all: Vec<_> = ROUTES.iter().map(|r| (r.0.to_owned(), r.1, r.2)).collect();
    for (path, list) in KEPT {
        all.push((path.to_owned(), Some(May(list)), Some(May(Act::Keep))));
        all.push((format!("{path}/new"), Some(May(Act::Keep)), None));
        all.push((
            format!("{path}/{{id}}"),
            Some(May(Act::Report)),
            Some(May(Act::Keep)),
        ));
        all.push((format!("{path}/{{id}}/away"), None, Some(May(Act::Keep))));
    }
    all
}

/// A path of nothing that there is: whoever may ask is told so, others not even that.
fn filled(path: &str) -> String {
    let mut out = String::new();
    for part in path.split_inclusive('/') {
        let part = if part.starts_with('{') {
            if part.ends_with('/') { "none/" } else { "none" }
        } else {
            part
        };
        out.push_str(part);
    }
    out
}

fn may(who: Who, role: Option<Role>) -> bool {
    match (who, role) {
        (Anyone, _) | (Signed, Some(_)) => true,
        (May(act), Some(role)) => role.may(act),
        (_, None) => false,
    }
}

#[test]
fn each_role_gets_what_it_is_for_and_nothing_else() {
    let studio = Studio::start(false, "roles");
    let mut who: Vec<(Option<Role>, String)> = vec![(None, String::new())];
    who.extend(Role::ALL.map(|r| (Some(r), studio.someone(r))));
    let mut wrong = Vec::new();
    for (path, look, send) in pages() {
        for (method, allowed) in [("GET", look), ("POST", send)] {
            let Some(allowed) = allowed else { continue };
            for (role, cookie) in &who {
                let may = may(allowed, *role);
                // Signing out ends the test's own session; planning everything takes a while.
                let heavy = method == "POST" && matches!(path.as_str(), "/leave" | "/firings/all");
                if may && heavy {
                    continue;
                }
                let kind = if path.ends_with("/ticks") {
                    crate::served::JSON
                } else {
                    crate::served::FORM
                };
                let body: &[u8] = if path.ends_with("/ticks") { b"{}" } else { b"" };
                let to = filled(&path);
                let kind = if method == "GET" { "" } else { kind };
                let answer =
                    studio
                        .served
                        .send(method, &to, &crate::studio::head(cookie), body, kind);
                let sent_away = answer
                    .header("location")
                    .is_some_and(|l| l.starts_with("/enter?to="));
                let right = match (may, role) {
                    (true, _) => answer.code != 403 && !sent_away && answer.code < 500,
                    (false, Some(_)) => answer.code == 403,
                    (false, None) => sent_away,
                };
                if !right {
                    wrong.push(format!(
                        "{method} {to} as {role:?}: {} instead of {may}",
                        answer.code
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn a_program_may_what_its_person_may() {
    let studio = Studio::start(false, "programs");
    for role in Role::ALL {
        let cookie = studio.someone(role);
        let token = token(&studio, &cookie);
        for (path, look, send) in API {
            for (method, allowed) in [("GET", look), ("POST", send)] {
                let Some(allowed) = allowed else { continue };
                let to = format!("/api/v1{}", filled(path));
                let answer = call(&studio, method, &to, &token);
                let right = match may(*allowed, Some(role)) {
                    true => !matches!(answer.code, 401 | 403 | 500..),
                    // What is wrong with the body may be told first: it says nothing of the studio.
                    false => answer.code == 403 || (method == "POST" && answer.code == 422),
                };
                assert!(
                    right,
                    "{method} {to} as {role:?}: {} {}",
                    answer.code,
                    answer.text()
                );
                if *path != "/openapi.json" {
                    assert_eq!(call(&studio, method, &to, "Bearer 00").code, 401, "{to}");
                }
            }
        }
    }
}
