//! Screens, a file each, and the frame around them.

mod across;
pub mod bench;
pub mod cautions;
pub mod compare;
pub mod firing;
pub mod kiln_view;
pub mod load;
pub mod stays;
pub mod tier;

use glost_model::plan_file::PlanFile;
use glost_sheets::Paper;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const ROOMS: [(&str, &str); 4] = [
    ("/", "Load"),
    ("/firing", "Firing"),
    ("/stays", "Stays out"),
    ("/cautions", "Cautions"),
];

/// The frame: title, rooms, what is shown, and the reminder that Glost only advises.
pub fn frame(plan: &PlanFile, here: &str, title: &str, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " · " (plan.load.kiln) " · " (plan.studio.name) }
                link rel="stylesheet" href="/glost.css";
                link rel="icon" href="data:,";
            }
            body {
                a.skip href="#main" { "Skip to the page" }
                header {
                    p.studio { (plan.studio.name) }
                    p.job {
                        "Kiln " strong { (plan.load.kiln) } ", cone " strong { (plan.load.cone) } " (" (plan.load.cone.range_name()) ")"
                    }
                    nav aria-label="Rooms" {
                        @for (path, name) in ROOMS {
                            a href=(path) aria-current=[(path == here).then_some("page")] { (name) }
                        }
                    }
                }
                main #main { h1 { (title) } (body) }
                footer {
                    p { "Glost advises; it never switches a kiln on. The nameplate, makers' instructions, local codes and licensed trades outrank it." }
                    p.files { a href="/load-sheet.pdf" { "Load sheet to print (PDF)" } " " a href="/plan.json" { "Plan as data (JSON)" } }
                }
            }
        }
    }
}

/// A drawing of ours, which is already markup, as it is made for each paper: a screen shows the one that fits it.
pub fn drawing(made: impl Fn(Paper) -> String, label: &str) -> Markup {
    html! {
        figure.wide role="img" aria-label=(label) { (PreEscaped(bare(made(Paper::Sheet)))) }
        figure.narrow.phone role="img" aria-label=(label) { (PreEscaped(bare(made(Paper::Phone)))) }
    }
}

/// The declaration of a file has no place inside a page.
fn bare(svg: String) -> String {
    let from = svg.find("<svg").unwrap_or(0);
    svg.get(from..).map(str::to_owned).unwrap_or(svg)
}

/// A drawing made for phones, which stays narrow on a wide screen.
pub fn narrow(svg: String, label: &str) -> Markup {
    html! { figure.narrow role="img" aria-label=(label) { (PreEscaped(bare(svg))) } }
}

/// A table that may be wider than the screen: it moves to the side by itself, also by the keyboard.
pub fn wide(label: &str, table: Markup) -> Markup {
    html! { div.scroll tabindex="0" role="region" aria-label=(label) { (table) } }
}

/// What is shown for an address that leads nowhere.
pub fn missing(plan: &PlanFile) -> Markup {
    let body = html! { p { "There is no such page. " a href="/" { "Back to the load" } } };
    frame(plan, "", "Not here", &body)
}
