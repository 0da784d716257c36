//! The kiln in 3D that turns. A part of a page: on one with the bench it shows the bench's load, on
//! its own the one that it fetches.

use maud::{Markup, html};

use super::bench::FILES;

/// The part. `scene` is the address of a scene (`{base}/scene`), and nothing beside the bench.
pub fn part(scene: Option<&str>) -> Markup {
    let turn = |way: &str, words: &str| html! { button type="button" data-turn=(way) { (words) } };
    html! {
        link rel="stylesheet" href={ (FILES) "/bench.css" };
        @if scene.is_some() { script type="module" src={ (FILES) "/view-alone.js" } {} }
        section #kiln-view.kiln-view data-scene=[scene] aria-labelledby="view-head" {
            h2 #view-head { "The kiln in 3D" }
            p { "For a look around. The drawings of the tiers and the lists hold the same and more, and can be read aloud and printed. "
                "Of each piece only foot, widest part and height are known; the curve between is a guess." }
            p #view-say role="status" { "The view needs a browser that runs scripts." }
            div.view-works hidden {
                canvas #view-canvas tabindex="0" role="img" aria-label="The kiln with its shelves and ware in 3D; turn it with the arrow keys" {}
                p.bench-hint { "Lines at the wall: the chamber, and where its elements are. The dark rod is the sensor; light posts are packs of cones." }
                div.bench-row role="group" aria-label="Turn the kiln" {
                    (turn("1 0", "Turn left")) (turn("-1 0", "Turn right")) (turn("0 1", "Tip forward")) (turn("0 -1", "Tip back"))
                    button type="button" #view-above { "From above" }
                    button type="button" #view-front { "From the front" }
                }
                div.bench-field {
                    label for="view-tiers" { "Shelves shown, from the floor up" }
                    input type="range" #view-tiers min="1" max="1" step="1" value="1";
                    p #view-lifted {}
                }
                div.bench-field { label for="view-piece" { "Piece to find" } select #view-piece {} }
            }
        }
    }
}
