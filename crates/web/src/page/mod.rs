//! Screens, a file each, and the frame around them.

mod across;
pub mod cautions;
pub mod firing;
pub mod load;
pub mod stays;
pub mod tier;

use glost_model::plan_file::PlanFile;
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

/// A drawing of ours, which is already markup.
pub fn drawing(svg: String, label: &str) -> Markup {
    // The declaration of a file has no place inside a page.
    let from = svg.find("<svg").unwrap_or(0);
    // A narrow screen shows part of a wide drawing at a size that can be read; the rest is scrolled to.
    html! { figure role="img" aria-label=(label) tabindex="0" { (PreEscaped(svg[from..].to_owned())) } }
}

/// A drawing made for phones, which stays narrow on a wide screen.
pub fn narrow(svg: String, label: &str) -> Markup {
    let from = svg.find("<svg").unwrap_or(0);
    html! { figure.narrow role="img" aria-label=(label) { (PreEscaped(svg[from..].to_owned())) } }
}

/// What is shown for an address that leads nowhere.
pub fn missing(plan: &PlanFile) -> Markup {
    let body = html! { p { "There is no such page. " a href="/" { "Back to the load" } } };
    frame(plan, "", "Not here", &body)
}
