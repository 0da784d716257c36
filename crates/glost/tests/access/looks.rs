//! Every page, on a phone and at a desk, in light and in dark: audited by axe-core for WCAG 2.2 AA, nothing wider than
//! the screen, and a picture of each left in `target/pages/` to be looked at.

use serde_json::{Value, json};

use crate::browser::{Browser, DESK, PHONE, Screen};
use crate::lived_in::{LivedIn, at};
use crate::roles::{KEPT, ROUTES, Who};
use crate::studio::{Studio, between};

/// What is no page: files, events, and what a program or a script asks for.
const NO_PAGE: [&str; 19] = [
    "/photo/{id}",
    "/ware/labels.pdf",
    "/firings/{id}/progress",
    "/firings/{id}/load-sheet.pdf",
    "/firings/{id}/plan.json",
    "/firings/{id}/bench/scene",
    "/firings/{id}/watch/events",
    "/kilns/{id}/learnt/progress",
    "/back/list.pdf",
    "/accounts.csv",
    "/calendar/{name}",
    "/bench-files/{name}",
    "/keeper.js",
    "/studio/export/{name}",
    "/asset/{name}",
    "/healthz",
    // Those who are in are sent on from these; they are looked at before.
    "/set-up",
    "/enter",
    "/join/{secret}",
];

/// The rules that are looked at.
const RULES: &str = "['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']";

/// What was found wrong.
type Wrong = Vec<String>;

async fn ask(browser: &Browser, command: &str, with: Value) -> Value {
    browser.driver.cdp().send_raw(command, with).await.unwrap()
}

/// Looks at the page that is open, in all four ways.
async fn look(browser: &Browser, name: &str, wrong: &mut Wrong) {
    browser.driver.execute(&browser.axe, vec![]).await.unwrap();
    for screen in [PHONE, DESK] {
        browser.take(screen).await;
        for scheme in ["light", "dark"] {
            let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
            ask(
                browser,
                "Emulation.setEmulatedMedia",
                json!({ "features": features }),
            )
            .await;
            let found = audit(browser, scheme).await;
            for fault in found["faults"].as_array().unwrap() {
                wrong.push(format!("{name}, {} px, {scheme}: {fault}", screen.width));
            }
            let over = found["over"].as_i64().unwrap();
            if over > 0 && scheme == "light" {
                wrong.push(format!("{name}: {over} px wider than {} px", screen.width));
            }
            browser
                .picture_as(screen, &file(screen, scheme, name))
                .await;
        }
    }
}

fn file(screen: Screen, scheme: &str, name: &str) -> String {
    let name = name.trim_matches('/').replace(['/', '?', '=', '&'], "-");
    let name = if name.is_empty() { "today" } else { &name };
    format!("{}-{scheme}-{name}", screen.width)
}

/// All rules in light; in dark the colours alone are others.
async fn audit(browser: &Browser, scheme: &str) -> Value {
    let only = if scheme == "light" {
        RULES
    } else {
        "{ type: 'rule', values: ['color-contrast'] }"
    };
    let script = format!(
        "const done = arguments[0], root = document.documentElement;
         axe.run({{ runOnly: {only}, resultTypes: ['violations'] }}).then((r) => done({{
           over: root.scrollWidth - root.clientWidth,
           faults: r.violations.map((v) => v.id + ': ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 200)).join(' | ')) }}),
           (e) => done({{ over: 0, faults: [String(e)] }}))"
    );
    let found = browser.driver.execute_async(&script, vec![]).await;
    found.unwrap().json().clone()
}

/// Comes in as whoever has this cookie.
async fn come_in(browser: &Browser, studio: &Studio, cookie: &str) {
    let (name, value) = cookie.split_once('=').unwrap();
    let url = format!("http://{}", studio.served.host);
    ask(
        browser,
        "Network.setCookie",
        json!({ "name": name, "value": value, "url": url }),
    )
    .await;
}

/// A thing of that kind, from the list of its kind.
fn of_list(studio: &Studio, list: &str, path: &str) -> String {
    let page = studio.get(&studio.nia, list).text();
    between(&page, &format!("<li><a href=\"{path}/"), "\"")
}

/// The pages that a route stands for; nothing when it is no page.
fn pages(lived: &LivedIn, route: &str) -> Vec<String> {
    let studio = &lived.studio;
    let with = |id: &str| vec![route.replacen("{id}", id, 1)];
    let me = || between(&studio.get(&studio.nia, "/me").text(), "/accounts/", "\"");
    match route {
        _ if NO_PAGE.contains(&route) => Vec::new(),
        "/ware/{code}" => [&lived.faulty, &lived.waiting]
            .map(|c| format!("/ware/{c}"))
            .into(),
        "/ware/{code}/change" => vec![format!("/ware/{}/change", lived.waiting)],
        "/firings/{id}" => with(&lived.on),
        "/firings/{id}/watch" => [with(&lived.on), with(&lived.done)].concat(),
        "/firings/{id}/at-kiln" => with(&lived.on),
        "/firings/{id}/bench" | "/firings/{id}/beside" => with(&lived.draft),
        "/firings/{id}/tier/{name}" => vec![format!("{}/tier/1", at(&lived.done))],
        "/firings/{id}/causes/{code}" => {
            vec![format!("{}/causes/{}", at(&lived.done), lived.faulty)]
        }
        "/studio/log/{turn}" => vec!["/studio/log/12".to_owned()],
        "/studio/people/{id}" => with(&me()),
        "/back/notice/{person}" => {
            let page = studio.get(&studio.nia, "/back").text();
            vec![format!(
                "/back/notice/{}",
                between(&page, "/back/notice/", "\"")
            )]
        }
        "/accounts/{person}" => vec![format!("/accounts/{}", me())],
        "/log/compare" => vec![format!(
            "/log/compare?with={}&with={}",
            lived.done, lived.on
        )],
        _ if route.starts_with("/firings/{id}/") => with(&lived.done),
        _ if route.starts_with("/kilns/{id}") => with(&of_list(studio, "/kilns", "/kilns")),
        _ => {
            assert!(
                !route.contains('{'),
                "what is a page of {route}? Say it, or that it is none"
            );
            vec![route.to_owned()]
        }
    }
}

/// What a page's pictures are called, the same in every run: ids are drawn anew each time.
fn name(lived: &LivedIn, route: &str, path: &str) -> String {
    if route.starts_with("/firings") || route.starts_with("/ware") || route.starts_with("/log") {
        return path
            .replace(&lived.draft, "draft")
            .replace(&lived.on, "on")
            .replace(&lived.done, "done");
    }
    route.replace(['{', '}'], "")
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_can_be_read_on_a_phone_and_at_a_desk_in_light_and_in_dark() {
    let browser = Browser::start().await;
    let mut wrong = Wrong::new();
    let mut count = 0;
    let lived = tokio::task::block_in_place(|| {
        // Each state of a firing has its own page: it is looked at when it is there.
        let run = tokio::runtime::Handle::current();
        LivedIn::new("looks", &mut |studio, id, state| {
            run.block_on(async {
                if count == 0 {
                    for path in ["/enter", studio.invite("maker").as_str()] {
                        go(&browser, studio, path).await;
                        let name = path.split('/').nth(1).unwrap();
                        look(&browser, name, &mut wrong).await;
                    }
                    come_in(&browser, studio, &studio.nia).await;
                }
                go(&browser, studio, &at(id)).await;
                look(&browser, &format!("firing-{state}"), &mut wrong).await;
                count += 1;
            });
        })
    });
    assert_eq!(count, 6, "a state was not looked at");
    let mut all: Vec<(String, String)> = ROUTES
        .iter()
        .filter(|r| matches!(r.1, Some(Who::Signed | Who::May(_))))
        .flat_map(|r| {
            pages(&lived, r.0)
                .into_iter()
                .map(|p| (name(&lived, r.0, &p), p))
        })
        .collect();
    for (path, _) in KEPT {
        let list = match path {
            "/glazes" => "/clays",
            p if p.starts_with("/furniture") => "/furniture",
            p => p,
        };
        let one = of_list(&lived.studio, list, path);
        all.push((format!("{path}/one"), format!("{path}/{one}")));
        all.push((format!("{path}/new"), format!("{path}/new")));
    }
    for path in ["/clays", "/kilns", "/nowhere"] {
        all.push((path.to_owned(), path.to_owned()));
    }
    for (name, path) in &all {
        go(&browser, &lived.studio, path).await;
        look(&browser, name, &mut wrong).await;
    }
    assert!(all.len() > 60, "{} pages", all.len());
    browser.end().await;
    assert!(wrong.is_empty(), "{wrong:#?}");
}

async fn go(browser: &Browser, studio: &Studio, path: &str) {
    let to = format!("http://{}{path}", studio.served.host);
    browser.driver.goto(to).await.unwrap();
}
