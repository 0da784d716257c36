//! The bench: a load changed by hand, with the judge beside it. A part of a page; its script fetches
//! the load from `{base}/scene` and sends each step to `{base}/edit` and its neighbours.

use glost_model::shown::Shown;
use maud::{Markup, html};

/// Where scripts and style of the bench are served, see [`crate::bench_files`].
pub const FILES: &str = "/bench-files";

/// The part. `base` is the address below which [`crate::bench::routes`] are mounted; `token` is sent
/// back as the header `x-csrf-token` with each step, when there is one. Steps by arrow keys are round ones in the
/// visitor's units.
pub fn part(base: &str, token: Option<&str>, shown: Shown) -> Markup {
    let [(far, far_said), (fine, fine_said)] = shown.hand_steps();
    html! {
        link rel="stylesheet" href={ (FILES) "/bench.css" };
        script type="module" src={ (FILES) "/bench.js" } {}
        noscript { p.empty { "Changing a load by hand needs a browser that runs scripts. The load itself is on the other pages." } }
        section #bench.bench data-base=(base) data-token=[token] data-step=(far.to_m()) data-fine=(fine.to_m()) hidden {
            p #bench-worth.bench-worth {}
            div.bench-row {
                button type="button" #bench-undo { "Undo" }
                button type="button" #bench-redo { "Redo" }
                button type="button" #bench-settle { "Settle the rest around it" }
            }
            p #bench-say.bench-say role="status" aria-live="polite" aria-atomic="true" {}
            div.bench-sides {
                div #bench-reach {
                    div #bench-tiers.bench-row role="group" aria-label="Tier that is shown" {}
                    (drawing(far_said, fine_said))
                    (pad(fine_said))
                }
                div { (judge()) (piece()) (stays_out()) }
                (forecast())
            }
        }
    }
}

fn drawing(far: &str, fine: &str) -> Markup {
    html! {
        p.bench-hint #bench-hint { "Drag a piece, or choose it and press the arrow keys: " (far) " a step, with Shift " (fine) ". Escape puts a dragged piece back." }
        svg #bench-drawing.bench-drawing role="group" aria-label="The tier from above" aria-describedby="bench-hint" {}
    }
}

fn pad(fine: &str) -> Markup {
    html! {
        div.bench-row.bench-pad role="group" aria-label="Move the chosen piece" {
            button type="button" data-nudge="-1 0" { "← Left" }
            button type="button" data-nudge="1 0" { "→ Right" }
            button type="button" data-nudge="0 1" { "↑ Back" }
            button type="button" data-nudge="0 -1" { "↓ Front" }
            label.bench-check { input type="checkbox" #bench-fine; " " (fine) " steps" }
        }
    }
}

fn judge() -> Markup {
    html! {
        div #bench-judge.bench-judge {
            h2 #bench-judge-head { "The judge" }
            ul #bench-breaches {}
        }
    }
}

fn forecast() -> Markup {
    html! {
        div #bench-forecast.bench-forecast {
            h2 { "The forecast" }
            p #bench-forecast-of role="status" aria-live="polite" {}
            p #bench-forecast-warning.warn hidden {}
            table { tbody #bench-forecast-lines {} }
            p #bench-forecast-band.small { "The smaller numbers hold in eight of ten kilns like this one, by what nobody has measured." }
            button type="button" #bench-foresee hidden { "Foresee it as it is now" }
        }
    }
}

fn piece() -> Markup {
    html! {
        h2 { "Piece" }
        div.bench-field { label for="bench-piece" { "Chosen piece" } select #bench-piece {} }
        p #bench-about {}
        div.bench-row {
            button type="button" #bench-turn-left { "Turn left" }
            button type="button" #bench-turn-right { "Turn right" }
            button type="button" #bench-lock { "Lock" }
            button type="button" #bench-take-out { "Take out" }
        }
        div.bench-field {
            label for="bench-swap-with" { "Change places with" } select #bench-swap-with {}
            button type="button" #bench-swap { "Swap" }
        }
        div.bench-field {
            label for="bench-tier" { "To another tier" } select #bench-tier {}
            button type="button" #bench-to-tier { "Move there" }
        }
    }
}

fn stays_out() -> Markup {
    html! {
        h2 { "Stays out" }
        div.bench-field { label for="bench-out" { "Ware that waits" } select #bench-out {} }
        p #bench-why {}
        div.bench-field {
            label for="bench-out-tier" { "Put it on" } select #bench-out-tier {}
            button type="button" #bench-put-in { "Put in" }
        }
    }
}
