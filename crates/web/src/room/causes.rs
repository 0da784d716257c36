//! Why faults came about: all of a firing, and those of one piece.

use axum::response::Response;
use glost_model::book::{Act, Edges, Ware};
use glost_model::shown::Shown;
use glost_rules::cause::{self, Belief, Cause, HeatBy, Ranked, SOMETHING_ELSE, caution};
use glost_studio::causes::TierHeat;
use glost_studio::desk::DeskError;
use glost_studio::desk::causes::{FaultCauses, FiringCauses};
use maud::{Markup, html};

use crate::app::called::{sentence, several};
use crate::app::fields::{Fields, hidden};
use crate::app::{Form, Here, Path, Side, Trouble, Typed, Visit, clash, escaped};
use crate::page::wide;

/// All faults of a firing.
pub async fn show(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    let told = v.app.desk.causes(v.person(), &id, v.shown()).await?;
    let f = &told.firing;
    let at = format!("/firings/{}/causes", escaped(&f.id));
    let pieces = told.pieces();
    let body = html! {
        @if told.faults.is_empty() { p.empty { "No fault was noted of this firing." } }
        @else {
            p.lead { (several(told.faults.len() as u64, "fault")) " on " (several(pieces as u64, "piece")) @if !v.may(Act::SeeAllWare) { " of yours" } "." }
            (not_known(&v, &told))
            @for group in &told.common {
                section.cause {
                    h2 { (heading(group.explains.len(), &told, group.cause, v.shown())) }
                    ul.rows { @for i in &group.explains { @if let Some(x) = told.faults.get(*i) { (line(&at, x, group.cause.id)) } } }
                    @if let Some(first) = group.explains.first().and_then(|i| told.faults.get(*i)) {
                        @for words in ranked_of(first, group.cause.id).into_iter().flat_map(|r| r.of(cause::Side::For)).take(3) { p.pro { strong { "For: " } (sentence(words)) "." } }
                    }
                    p.change { strong { "To change: " } (group.cause.change(v.shown())) "." }
                }
            }
            (order())
        }
        h2 { "What its tiers reached" }
        @if !told.left_out.is_empty() {
            p.note { "Readings that are marked as not to be believed are left out of paces and heat-work:" }
            ul { @for s in &told.left_out { li { (super::readings::told(&v, s)) } } }
        }
        (super::cones::dials(&v, f).await?)
        (heats(&told.heats))
        (ways(&v, &f.id))
    };
    Ok(v.page(here(&v), &format!("Faults of firing {}", f.id), &body))
}

/// The faults of one piece.
pub async fn one(v: Visit, Path((id, code)): Path<(String, String)>) -> Result<Response, Trouble> {
    let body = piece(&v, &id, &code, &Typed::default()).await?;
    Ok(v.page(here(&v), &heading_of(&code), &body))
}

fn heading_of(code: &str) -> String {
    format!("Why: {code}")
}

/// What the page of one piece shows; `typed` is how edges were told that are not stored yet.
async fn piece(v: &Visit, id: &str, code: &str, typed: &Typed) -> Result<Markup, DeskError> {
    let told = v
        .app
        .desk
        .causes_of(v.person(), id, code, v.shown())
        .await?;
    let f = &told.firing;
    let tier = told.faults.first().map_or("", |x| x.tier.as_str());
    Ok(html! {
        p { "Firing " (f.id) ", " (f.kiln) ", cone " (f.cone) " (" (f.cone.range_name()) ")" @if !tier.is_empty() { ", tier " (tier) } ". " a href={ "/ware/" (escaped(code)) } { "The piece" } "." }
        @if told.faults.is_empty() { p.empty { "No fault was noted on it after this firing." } }
        @else {
            (not_known(v, &told))
            @for x in &told.faults { (fault(v, id, x, typed)) }
            (order())
        }
        p.steps { a.step href={ "/firings/" (escaped(id)) "/causes" } { "All faults of this firing" } }
    })
}

/// Somebody has looked at the edges of a crack.
pub async fn edges(
    v: Visit,
    Path((id, code)): Path<(String, String)>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let mut fields = typed.0.iter();
    let answer = fields.find_map(|(name, value)| {
        let index = name.strip_prefix("edges ")?.parse().ok()?;
        Some((index, Edges::of_key(value)?))
    });
    let Some(answer) = answer else {
        return Err(DeskError::cannot(
            "nothing was chosen of how the edges look",
            "Go back and choose one",
        )
        .into());
    };
    let done = v
        .app
        .desk
        .tell_edges(v.actor(), &id, &code, typed.version(), answer)
        .await;
    match done {
        Ok(turn) => {
            let to = format!("/firings/{}/causes/{}", escaped(&id), escaped(&code));
            Ok(v.done(&to, turn))
        }
        Err(e) => {
            // Each fault has a form of its own: that of another crack is not at stake.
            let side = |w: &Ware| side(w, answer.0);
            let clash = clash(&v, e, &typed, side).await?;
            let body = piece(&v, &id, &code, &clash.typed).await?;
            Ok(v.clashed(here(&v), &heading_of(&code), &clash, &body))
        }
    }
}

/// What telling the edges of a crack may run against.
fn side(w: &Ware, index: usize) -> Side {
    let mut form = Typed::default();
    if let Some(told) = w.faults.get(index).and_then(|f| f.told_edges()) {
        form.set(&edges_field(index), told.key().to_owned());
    }
    Side {
        form,
        besides: vec![
            ("state", w.state.words().to_owned()),
            ("note", w.note.clone()),
        ],
    }
}

fn edges_field(index: usize) -> String {
    format!("edges {index}")
}

fn here(v: &Visit) -> Here {
    if v.may(Act::Plan) {
        Here::Firings
    } else {
        Here::Ware
    }
}

fn ranked_of<'a>(x: &'a FaultCauses, id: &str) -> Option<&'a Ranked> {
    x.ranked.iter().find(|r| r.cause.id == id)
}

fn heading(n: usize, told: &FiringCauses, cause: &Cause, shown: Shown) -> String {
    if cause.id == SOMETHING_ELSE.id {
        return "No cause stands out".to_owned();
    }
    let title = cause.title(shown);
    if told.faults.len() > 1 {
        format!("{title}: may explain {n} of {}", told.faults.len())
    } else {
        title
    }
}

fn line(at: &str, x: &FaultCauses, cause: &str) -> Markup {
    let belief = ranked_of(x, cause).map(|r| r.belief);
    html! { li { a href={ (at) "/" (escaped(&x.code)) } {
        strong.code { (x.code) } " " (x.what) ": " (x.fault.kind.look())
        span.small { @if !x.tier.is_empty() { "Tier " (x.tier) ". " } @if x.fault.spoilt { "Spoilt. " }
            @if let Some(b) = belief.filter(|_| cause != SOMETHING_ELSE.id) { "This cause: " (b.words()) "." } }
    } } }
}

/// What would make all of it surer.
fn not_known(v: &Visit, told: &FiringCauses) -> Markup {
    let id = &told.firing.id;
    html! {
        @if !told.has_log {
            p.note { "No log of this firing is kept. Paces are those of the plan, which a kiln does not always keep. "
                @if v.may(Act::Fire) && told.firing.started.is_some() { a href={ "/firings/" (escaped(id)) "/watch" } { "Bring its log in" } ", and look again." } }
        }
        @if !told.has_plan { p.note { "No plan of this firing is kept: places and paces are not known." } }
        @if told.firing.cones.is_empty() { p.note { "No cone was read: how hot each tier was is only reckoned." } }
    }
}

fn order() -> Markup {
    html! { p.hint { "The order follows from weights that this program proposes for what is written in the book; nobody has counted how often each is right. A hand and an eye at the piece know more." } }
}

/// One fault with its causes.
fn fault(v: &Visit, id: &str, x: &FaultCauses, typed: &Typed) -> Markup {
    let last = x.ranked.len().saturating_sub(1);
    // Those that lead, and of the others at least as many as make three.
    let shown = x.ranked.iter().take(last).enumerate();
    let shown = shown
        .filter(|(i, r)| *i < 3 || r.belief >= Belief::Maybe)
        .count();
    html! { section.why-so {
        h2 { (sentence(x.fault.kind.look())) }
        @if !x.fault.words.is_empty() { p.note { (x.fault.words) } }
        @if let Some(c) = caution(x.fault.kind) { (crate::page::cautions::list(&[c])) }
        @if x.fault.kind.is_crack() { (edges_form(v, id, x, typed)) }
        ol.causes { @for r in x.ranked.iter().take(shown) { li { (cause(r, v.shown())) } } }
        @if shown < last {
            details { summary { "Causes for which little speaks (" (last - shown) ")" }
                ol.causes start=(shown + 1) { @for r in x.ranked.iter().take(last).skip(shown) { li { (cause(r, v.shown())) } } }
            }
        }
        @if let Some(r) = x.ranked.get(last) { div.cause { h3 { (r.cause.title(v.shown())) } p.change { (r.cause.change(v.shown())) "." } } }
    } }
}

fn cause(r: &Ranked, shown: Shown) -> Markup {
    let say = |label: &str, class: &str, side: cause::Side| {
        html! { @for words in r.of(side) { li class=(class) { strong { (label) } (sentence(words)) "." } } }
    };
    html! { div.cause {
        h3 { (r.cause.title(shown)) }
        p.belief { strong { (sentence(r.belief.words())) } }
        ul.reasons {
            (say("For: ", "pro", cause::Side::For))
            (say("Against: ", "con", cause::Side::Against))
            (say("Not known: ", "open", cause::Side::Unknown))
        }
        p.change { strong { "To change: " } (r.cause.change(shown)) "." }
        p.hint { "Source: " (r.cause.source) "." }
    } }
}

/// How the edges look: the tell between heating and cooling.
fn edges_form(v: &Visit, id: &str, x: &FaultCauses, typed: &Typed) -> Markup {
    let told = x.fault.told_edges();
    let name = edges_field(x.index);
    let mut typed = typed.clone();
    if let Some(e) = told.filter(|_| typed.get(&name).is_empty()) {
        typed.set(&name, e.key().to_owned());
    }
    let choices = Edges::ALL.map(|e| (e.key(), e.words()));
    html! {
        p { "Glaze that melted after the crack was there rounds its edges or runs into it: then it came on the way up or before. Glaze cut through like glass came when it was hard again: in cooling." }
        @if v.may(Act::Fire) {
            form method="post" action={ "/firings/" (escaped(id)) "/causes/" (escaped(&x.code)) } {
                (hidden("version", &x.version.to_string()))
                (Fields { typed: &typed, faults: &[] }.choice(&name, "Edges of the crack", &choices))
                button type="submit" { "Write the edges down" }
            }
        } @else {
            p { strong { "Edges of the crack: " } (told.map_or("nobody has looked yet", Edges::words)) "." }
        }
    }
}

/// Tiers that no cone tells of.
fn heats(all: &[TierHeat]) -> Markup {
    let by = |by: HeatBy| match by {
        HeatBy::Cones => "its witness cone",
        HeatBy::OtherCones => {
            "cones of other tiers, and how the tier differs from them in the forecast"
        }
        HeatBy::Log => "the log, and how the tier differs from the sensor in the forecast",
        HeatBy::Forecast => "the forecast alone",
    };
    html! { @if all.is_empty() { p.empty { "Nothing is known of its tiers." } } @else {
        (wide("What each tier reached", html! { table {
            thead { tr { th scope="col" { "Tier" } th scope="col" { "Reached" } th scope="col" { "Told by" } } }
            tbody { @for t in all { tr { th scope="row" { (t.tier) } td { "cone " (t.heat.said) } td { (by(t.heat.by)) } } } }
        } }))
    } }
}

fn ways(v: &Visit, id: &str) -> Markup {
    html! { p.steps {
        @if v.may(Act::Plan) { a.step href={ "/firings/" (escaped(id)) } { "To the firing" } }
        @else { a.step href="/ware" { "To your ware" } }
        @if v.may(Act::Report) { a.step href="/log/report" { "Where faults gather over months" } }
    } }
}
