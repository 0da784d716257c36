//! The kiln across, with a slider for the time. Without script a few telling moments are shown instead.

use glost_model::Span;
use glost_model::across::{Across, Telling};
use glost_model::shown::Shown;
use glost_sheets::{STEP_C, across_svg, moment_words, number, palette, parts, sensor, when};
use maud::{Markup, PreEscaped, html};

use super::narrow;

/// The part of the page.
pub fn section(across: &Across, shown: Shown, dry: Option<Span>) -> Markup {
    let telling = across.telling(dry);
    let hottest = |t: &Telling| across.moments.get(t.at).map(|m| m.sensor_c.to_k());
    let Some(Telling { at, .. }) = telling.iter().copied().max_by(|a, b| {
        hottest(a)
            .unwrap_or(0.0)
            .total_cmp(&hottest(b).unwrap_or(0.0))
    }) else {
        return html! {};
    };
    let (Some(drawn), Some(moment)) = (across_svg(across, at, shown), across.moments.get(at))
    else {
        return html! {};
    };
    let last = across.moments.len().saturating_sub(1);
    let words = moment_words(moment, shown);
    html! {
        p { "Darker is hotter; the numbers say how hot." }
        div #across hidden {
            p.when { output #across-when for="across-time" { (words) } }
            label for="across-time" { "Time in the firing" }
            div.slide {
                input #across-time type="range" min="0" max=(last) step="1" value=(at) aria-valuetext=(words);
                button type="button" #across-earlier { "Earlier" }
                button type="button" #across-later { "Later" }
            }
            (narrow(drawn, "The kiln across at the time of the slider"))
            script type="application/json" #across-data { (PreEscaped(data(across, shown))) }
            script src="/asset/across.js" defer {}
        }
        noscript { div.stills { @for t in &telling { @if let Some(svg) = across_svg(across, t.at, shown) {
            div { h3 { (t.what) } (narrow(svg, &format!("The kiln across, {}", t.what))) }
        } } } }
    }
}

/// What the script needs: the words of each moment, and of each part its number and its tone.
fn data(across: &Across, shown: Shown) -> String {
    let tones = palette();
    let moments: Vec<serde_json::Value> = across
        .moments
        .iter()
        .map(|m| {
            let part = |p: glost_sheets::Part| {
                let tone = (p.heat.to_c().max(0.0) / STEP_C).floor() as usize;
                let tone = tone.min(tones.len().saturating_sub(1));
                (p.id, serde_json::json!([number(p.heat, shown), tone]))
            };
            let parts: serde_json::Map<String, serde_json::Value> =
                parts(m).into_iter().map(part).collect();
            serde_json::json!({
                "words": moment_words(m, shown),
                "told": { "when": when(m), "sensor": sensor(m, shown) },
                "parts": parts,
            })
        })
        .collect();
    let tones: Vec<[&str; 2]> = tones.iter().map(|t| [t.fill.as_str(), t.ink]).collect();
    let all = serde_json::json!({ "tones": tones, "moments": moments });
    // Nothing in it may end the element that it stands in.
    all.to_string().replace('<', "\\u003c")
}
