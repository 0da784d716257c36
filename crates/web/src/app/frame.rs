//! What stands around every page.

use glost_model::book::Act;
use maud::{DOCTYPE, Markup, html};

use super::{Visit, called};
use crate::help;

/// Which room a page belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Here {
    /// First page.
    Today,
    /// Ware.
    Ware,
    /// Plans and firings.
    Firings,
    /// Hand-back.
    Back,
    /// Kilns.
    Kilns,
    /// Log and reports.
    Log,
    /// People, prices, clays, rules.
    Studio,
    /// One's own page.
    Me,
    /// Help.
    Help,
}

/// A room: where it is, what it is called, who may enter.
const ROOMS: [(Here, &str, &str, Option<Act>); 9] = [
    (Here::Today, "/", "Today", None),
    (Here::Ware, "/ware", "Ware", None),
    (Here::Firings, "/firings", "Firings", Some(Act::Plan)),
    (Here::Kilns, "/kilns", "Kilns", Some(Act::Plan)),
    (Here::Back, "/back", "Hand back", Some(Act::HandBack)),
    (Here::Log, "/log", "Log", Some(Act::Report)),
    (Here::Studio, "/studio", "Studio", Some(Act::Report)),
    (Here::Me, "/me", "Me", None),
    (Here::Help, "/help", "Help", None),
];

/// A page for somebody who has signed in.
pub fn frame(visit: &Visit, here: Here, title: &str, body: &Markup) -> Markup {
    let studio = &visit.given.studio.name;
    let rooms: Vec<(Here, &str, &str)> = ROOMS
        .iter()
        .filter(|r| r.3.is_none_or(|act| visit.may(act)))
        .map(|r| (r.0, r.1, r.2))
        .collect();
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("{title} · {studio}")))
            body {
                a.skip href="#main" { "Skip to the page" }
                header {
                    p.studio { (studio) span.who { (visit.person().name) ", " (called::role(visit.person().role)) } }
                    (tabs(&rooms, here))
                }
                (super::call::bar(visit))
                main #main tabindex="-1" {
                    @if let Some(turn) = visit.did {
                        form.did method="post" action={ "/undo/" (turn) } role="status" {
                            span { "Done." @if let Some(verb) = &visit.done { " Your step: " (verb) "." } }
                            input type="hidden" name="to" value=(visit.path);
                            button type="submit" { "Undo" }
                        }
                    }
                    h1 { (title) }
                    (help::screen(&visit.path))
                    (body)
                }
                (foot())
            }
        }
    }
}

/// So many tabs stand in a row of a phone.
const IN_A_ROW: usize = 5;

/// The rooms. A phone has one row of tabs, the last of which opens the rest, so that a page begins high up.
fn tabs(rooms: &[(Here, &str, &str)], here: Here) -> Markup {
    let first = if rooms.len() <= IN_A_ROW {
        rooms.len()
    } else {
        IN_A_ROW - 1
    };
    let (near, far) = rooms.split_at(first.min(rooms.len()));
    let tab = |(room, path, name): &(Here, &str, &str), far: bool| {
        html! { a class=[far.then_some("far")] href=(path) aria-current=[(*room == here).then_some("page")] { (name) } }
    };
    let open = far.iter().any(|r| r.0 == here);
    html! {
        nav.rooms aria-label="Rooms" {
            @for room in near { (tab(room, false)) }
            @for room in far { (tab(room, true)) }
            @if !far.is_empty() {
                details.more {
                    summary.here[open] { "More" }
                    div { @for room in far { (tab(room, false)) } }
                }
            }
        }
    }
}

/// A page for anybody.
pub fn plain_frame(title: &str, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("{title} · Glost")))
            body {
                a.skip href="#main" { "Skip to the page" }
                main #main tabindex="-1" { h1 { (title) } (body) }
                (foot())
            }
        }
    }
}

fn head(title: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            title { (title) }
            link rel="stylesheet" href="/asset/glost.css";
            link rel="stylesheet" href="/asset/rooms.css";
            link rel="stylesheet" href="/asset/log.css";
            link rel="stylesheet" href="/asset/stock.css";
            link rel="stylesheet" href="/asset/causes.css";
            link rel="icon" href="data:,";
            script src="/asset/rooms.js" type="module" {}
        }
    }
}

fn foot() -> Markup {
    html! {
        footer { p { "Glost advises and keeps the book; it never switches a kiln on or off. The nameplate, makers' instructions, local codes and licensed trades outrank it." } }
    }
}

/// A text as part of a path or query.
pub fn escaped(text: &str) -> String {
    let mut out = String::new();
    for b in text.bytes() {
        if b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.' | b'~') {
            out.push(char::from(b));
        } else {
            out.push_str(&format!("%{b:02X}"));
        }
    }
    out
}

/// Only paths of this site are gone on to.
pub fn own_path(to: &str) -> &str {
    let own = to.starts_with('/')
        && !to.starts_with("//")
        && !to.contains('\\')
        && !to.contains(|c: char| c.is_control());
    if own { to } else { "/" }
}

#[cfg(test)]
mod tests {
    use super::own_path;

    #[test]
    fn signing_in_leads_to_no_other_site() {
        for bad in [
            "https://elsewhere.example",
            "//elsewhere.example",
            "/\\elsewhere.example",
            "",
            "javascript:x",
            "/\r\nx",
        ] {
            assert_eq!(own_path(bad), "/", "{bad}");
        }
        assert_eq!(own_path("/ware?state=made"), "/ware?state=made");
    }
}
