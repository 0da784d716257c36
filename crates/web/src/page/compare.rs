//! Two plans beside one another; one under the other on a phone.

use glost_model::shown::{hours, trimmed};
use glost_studio::{Comparison, Side};
use maud::{Markup, html};

/// The part. `named` are the headings of the two.
pub fn part(c: &Comparison, named: (&str, &str)) -> Markup {
    let both = c.same + c.shifted.len() + c.other_tier.len();
    let list = |ids: &[String]| html! { @if ids.is_empty() { p { "None." } } @else { p { (ids.join(", ")) } } };
    html! {
        link rel="stylesheet" href={ (super::bench::FILES) "/bench.css" };
        div.compare { (side(&c.a, named.0)) (side(&c.b, named.1)) }
        h2 { "What differs" }
        p.lead {
            (both) " pieces go in both: " (c.same) " stay where they are, " (c.shifted.len()) " stand elsewhere on their tier, "
            (c.other_tier.len()) " stand on another tier."
        }
        div.compare {
            section { h3 { "Only in: " (named.0) } (list(&c.only_a)) }
            section { h3 { "Only in: " (named.1) } (list(&c.only_b)) }
        }
        h3 { "On another tier" }
        @if c.other_tier.is_empty() { p { "None." } }
        @else { ul { @for p in &c.other_tier { li { strong { (p.piece) } ": tier " (p.a) ", then tier " (p.b) } } } }
        h3 { "Elsewhere on their tier" }
        (list(&c.shifted))
    }
}

fn side(s: &Side, name: &str) -> Markup {
    let or = |words: Option<String>| words.unwrap_or_else(|| "not foreseen yet".to_owned());
    html! {
        section {
            h2 { (name) }
            p { (s.job) }
            table {
                caption.skip { (name) }
                tbody {
                    tr { th scope="row" { "Pieces that go" } td { (s.pieces) } }
                    tr { th scope="row" { "Stay out" } td { (s.left_out) } }
                    tr { th scope="row" { "Tiers" } td { (s.tiers) } }
                    tr { th scope="row" { "Value" } td { (trimmed(s.value, 1)) } }
                    tr { th scope="row" { "Peak over after" } td { (or(s.peak_over.map(hours))) } }
                    tr { th scope="row" { "Energy" } td { (or(s.energy.map(|e| format!("{:.1} kWh", e.to_kwh())))) } }
                    tr { th scope="row" { "Cost" } td { @match (s.cost, s.energy) { (None, Some(_)) => "no price set", (cost, _) => (or(cost.map(|m| format!("{:.2} {}", m.to_units(), s.currency)))) } } }
                    tr { th scope="row" { "Spread of the tiers" } td { (or(s.spread.map(|c| format!("{c:.2} cones")))) } }
                    tr { th scope="row" { "The judge" } td { (judged(s)) } }
                }
            }
        }
    }
}

fn judged(s: &Side) -> Markup {
    match &s.breaches {
        None => html! { "The studio's rules cannot be read." },
        Some(all) if all.is_empty() => html! { "Accepts it." },
        Some(all) => html! {
            strong { (all.len()) " broken:" }
            ul { @for b in all { li { (b) } } }
        },
    }
}
