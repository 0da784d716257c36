//! Cautions: short, and deferring to those who decide.

use glost_model::plan_file::PlanFile;
use maud::{Markup, html};

use super::frame;

/// Common practice; local law, the nameplate and employers' rules decide.
const CAUTIONS: [(&str, &str); 9] = [
    (
        "Fumes",
        "Every firing gives off fumes, carbon monoxide among them. Ventilate outdoors; fit a carbon monoxide alarm.",
    ),
    (
        "Fire",
        "Keep combustibles as far away as the nameplate says, and nothing on or under the kiln.",
    ),
    (
        "Burns",
        "The case can pass 100 °C and stays hot for a day. Use gloves made for heat.",
    ),
    (
        "Eyes",
        "Look into a peephole only through glasses made for infra-red; sunglasses are not enough.",
    ),
    (
        "Electricity",
        "Elements may be live with the lid up. Isolate before reaching in. Repairs are for a competent electrician.",
    ),
    (
        "The end",
        "Be there when the firing should stop, and see that it did. Controls and relays can stick.",
    ),
    (
        "A stop of its own",
        "Glost only advises and records. The kiln needs its own independent over-temperature cut-out.",
    ),
    (
        "Dust and lifting",
        "Wet-clean, no dry sweeping. Two people for large shelves.",
    ),
    (
        "Food",
        "Fired is not the same as safe for food. Only a laboratory can say.",
    ),
];

/// The page.
pub fn page(plan: &PlanFile) -> Markup {
    let body = html! {
        p { "Follow local law, the nameplate and your employer's rules first." }
        dl { @for (what, words) in CAUTIONS { dt { (what) } dd { (words) } } }
    };
    frame(plan, "/cautions", "Cautions", &body)
}
