//! The programme is read back off the display, number by number.

use std::collections::BTreeMap;

use axum::response::Response;
use glost_model::book::{Act, Firing, FiringState};
use glost_model::firing::FiringPlan;
use glost_model::plan_file::PlanFile;
use glost_model::shown::{Shown, hours};
use glost_studio::desk::DeskError;
use glost_studio::programme::{TypedSegment, differs, read};
use maud::{Markup, html};

use super::fire_day::answer;
use super::firing::plan_of;
use crate::app::fields::{Fields, Look, hidden};
use crate::app::{Form, Path, Trouble, Typed, Visit};

/// Most segments that are asked for; no controller of a studio kiln takes more.
pub const MOST: usize = 32;

/// Rows for a programme of which nothing is planned.
const OWN: usize = 6;

/// Who set what is read.
const SET_BY: [(&str, &str); 2] = [("other", "somebody else did"), ("me", "I did")];

/// What is planned, as a table.
pub fn table(firing: &FiringPlan, shown: Shown) -> Markup {
    html! { table.segments { thead { tr { th scope="col" { "Segment" } th scope="col" { "Rate" } th scope="col" { "To" } th scope="col" { "Hold" } } }
    tbody { @for (i, s) in firing.segments.iter().enumerate() { tr {
        th scope="row" { (i + 1) } td { (shown.ramp(s.rate)) } td { (shown.temperature(s.target)) } td { (hours(s.hold)) }
    } } } } }
}

/// A row of fields for each segment: rate, target, hold, as a display shows them.
pub fn rows(fields: Fields<'_>, shown: Shown, many: usize) -> Markup {
    let degree = shown.degree_sign();
    let cell = |name: &str, i: usize, label: &str, keys: &str| {
        let name = format!("{name}.{i}");
        html! { div {
            label for=(Fields::id(&name)) { (label) }
            input id=(Fields::id(&name)) name=(name) type="text" inputmode=(keys) autocomplete="off" value=(fields.typed.get(&name))
                aria-invalid=[fields.wrong(&name)] aria-describedby=[fields.described(&name, "")];
        } }
    };
    html! {
        @for i in 0..many { fieldset.segment { legend { "Segment " (i + 1) }
            div.three {
                (cell("rate", i, &format!("Rate, {degree}/h"), "decimal"))
                (cell("target", i, &format!("To, {degree}"), "decimal"))
                (cell("hold", i, "Hold", "decimal"))
            }
            @for name in ["rate", "target", "hold"] { (fields.faults(&format!("{name}.{i}"))) }
        } }
    }
}

/// What was typed into such rows.
pub fn typed_rows(typed: &Typed) -> Vec<TypedSegment> {
    let get = |name: &str, i: usize| typed.get(&format!("{name}.{i}")).to_owned();
    let row = |i| TypedSegment {
        rate: get("rate", i),
        target: get("target", i),
        hold: get("hold", i),
    };
    (0..MOST).map(row).collect()
}

/// How a display's numbers are typed.
pub fn how() -> Markup {
    html! { p.hint { "Rates without a sign, up or down; 9999 where the display shows full speed. A hold as 0:30 or 0.30, or in minutes. Empty is no hold." } }
}

/// The part of a firing's page.
pub fn part(
    v: &Visit,
    f: &Firing,
    version: &str,
    plan: Option<&PlanFile>,
    fields: Fields<'_>,
    names: &BTreeMap<String, String>,
) -> Markup {
    let to = format!("/firings/{}/read-back", f.id);
    let planned = plan.is_some();
    let programme = plan.and_then(|p| p.firing.as_ref());
    html! {
        @if let Some(n) = &f.read_back {
            p.note { "Read back by " (names.get(&n.who).map_or("somebody", String::as_str)) ", " (v.when(n.at)) ": " (n.words) "." }
            @if f.read_alone { p.warn { "Set and read back by the same person. Who made a slip overlooks it: let somebody else read it, if anybody is there." } }
        }
        form method="post" action=(to) {
            (hidden("version", version))
            (fields.choice("set_by", "Who set the programme?", &SET_BY))
            @if let Some(firing) = programme {
                p { "Step through the display and type what it shows, best by somebody who did not set it. It is compared with the plan number by number." }
                (how())
                (rows(fields, v.shown(), many(fields.typed, firing.segments.len())))
                (fields.text("count", "How many segments in all", Look { keys: "numeric", ..Look::default() }))
                div.steps { button.main type="submit" name="how" value="planned" { "It is as planned" } }
                details open[faulty(fields) || fields.wrong("differs").is_some() || !fields.typed.get("differs").is_empty()] { summary { "It differs on purpose" }
                    (fields.lines("differs", "What differs, and why", "Which segment, and how"))
                    p { "With the numbers typed above, forecast, alarms and calendar follow them from now on." }
                    div.steps { button type="submit" name="how" value="own" { "Follow the programme typed above" } }
                    p { "With words alone, they still go by the plan." }
                    div.steps { button type="submit" name="how" value="differs" { "Read back, and it differs on purpose" } }
                }
            } @else {
                (fields.lines("differs", "The programme that you set", "Each segment as it stands on the display: rate, target, hold"))
                div.steps { button.main type="submit" { "It is set and read back" } }
                @if planned { details open[faulty(fields)] { summary { "Or segment by segment, to be foreseen and watched" }
                    (how())
                    (rows(fields, v.shown(), many(fields.typed, OWN)))
                    div.steps { button type="submit" name="how" value="own" { "Follow this programme" } }
                } }
            }
        }
    }
}

/// Rows that are needed: of the plan, or as many as were typed.
fn many(typed: &Typed, planned: usize) -> usize {
    let counted = typed.get("count").trim().parse().unwrap_or(0);
    planned.max(counted).clamp(1, MOST)
}

/// Something was read otherwise than planned.
fn faulty(fields: Fields<'_>) -> bool {
    let of_a_number = |f: &str| {
        ["rate.", "target.", "hold.", "count"]
            .iter()
            .any(|n| f.starts_with(n))
    };
    fields.faults.iter().any(|f| of_a_number(&f.field))
}

/// While the kiln is on: what its controller runs now, for one that was changed on purpose.
pub fn while_on(
    v: &Visit,
    f: &Firing,
    version: &str,
    programme: &FiringPlan,
    fields: Fields<'_>,
) -> Markup {
    let mut typed = fields.typed.clone();
    let asked = faulty(fields);
    if !asked {
        for (name, text) in as_typed(programme, v.shown()) {
            typed.set(&name, text);
        }
    }
    let fields = Fields {
        typed: &typed,
        ..fields
    };
    html! { details open[asked] { summary { "Its programme was changed" }
        p { "Write all segments as the controller has them now. Forecast, alarms and calendar follow them from then on." }
        form method="post" action={ "/firings/" (f.id) "/read-back" } {
            (hidden("version", version))
            (how())
            (rows(fields, v.shown(), (programme.segments.len() + 2).min(MOST)))
            (fields.lines("differs", "Why", ""))
            div.steps { button type="submit" name="how" value="own" { "Follow this programme" } }
        }
    } }
}

/// A programme as it would be typed.
fn as_typed(programme: &FiringPlan, shown: Shown) -> Vec<(String, String)> {
    let rate = |r: glost_model::Rate| {
        let size = if shown.fahrenheit {
            r.to_f_per_h()
        } else {
            r.to_c_per_h()
        };
        format!("{:.0}", size.abs())
    };
    let mut all = Vec::new();
    for (i, s) in programme.segments.iter().enumerate() {
        let minutes = s.hold.to_minutes().round().max(0.0) as u64;
        all.push((
            format!("rate.{i}"),
            s.rate.map_or_else(|| "9999".to_owned(), rate),
        ));
        all.push((
            format!("target.{i}"),
            format!("{:.0}", shown.degrees(s.target)),
        ));
        all.push((
            format!("hold.{i}"),
            format!("{}:{:02}", minutes / 60, minutes % 60),
        ));
    }
    all
}

/// A second look at the programme. What was read off the display must be what was planned, or differ on purpose.
pub async fn send(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    if typed.get("how") == "own" {
        let done = own(&v, &id, &typed).await;
        return answer(&v, &id, &typed, done).await;
    }
    let plan = plan_of(&v, &id).await?;
    let programme = plan.as_ref().and_then(|p| p.firing.as_ref());
    let words = typed.get("differs").trim();
    let on_purpose = typed.get("how") != "planned" && !words.is_empty();
    let mut faults = match programme {
        Some(firing) if !on_purpose => {
            differs(firing, typed.get("count"), &typed_rows(&typed), v.shown())
        }
        _ => Vec::new(),
    };
    let mut more = vec![who_set(&typed)];
    if programme.is_some() && !on_purpose && !words.is_empty() {
        more.push(Err(DeskError::field(
            "differs",
            "you wrote that something differs",
            "Say that it differs on purpose, or take the words out",
        )));
    }
    if programme.is_some() && typed.get("how") == "differs" && words.is_empty() {
        faults.clear();
        more.push(Err(DeskError::field(
            "differs",
            "nothing is told",
            "Write which segment differs, how, and why",
        )));
    }
    let desk = &v.app.desk;
    let otherwise = !faults.is_empty();
    if let Err(DeskError::Faults(all)) = DeskError::together(more) {
        faults.extend(all);
    }
    let done = if faults.is_empty() {
        let alone = typed.get("set_by") == "me";
        desk.read_back(v.actor(), &id, typed.version(), words, alone)
            .await
    } else {
        let kept = desk.firing(&id).await?;
        if otherwise && kept.body.read_back.is_some() {
            // Who looked last counts: an earlier yes must not start the kiln.
            desk.read_otherwise(v.actor(), &id, kept.version).await?;
        }
        Err(DeskError::Faults(faults))
    };
    answer(&v, &id, &typed, done).await
}

/// The programme that was typed is followed from now on.
async fn own(v: &Visit, id: &str, typed: &Typed) -> Result<i64, DeskError> {
    let desk = &v.app.desk;
    let segments = read(&typed_rows(typed), v.shown());
    let filled = match &segments {
        Ok(all) if all.is_empty() => Err(DeskError::field(
            "rate.0",
            "nothing was typed",
            "Type what the display shows, segment by segment",
        )),
        _ => Ok(()),
    };
    let on = desk.firing(id).await?.body.state == FiringState::Firing;
    let set_by = if on { Ok(()) } else { who_set(typed) };
    match (segments, filled, set_by) {
        (Ok(segments), Ok(()), Ok(())) => {
            let alone = !on && typed.get("set_by") == "me";
            let (version, why) = (typed.version(), typed.get("differs"));
            desk.follow_own(v.actor(), id, version, segments, why, alone)
                .await
        }
        (segments, filled, set_by) => Err(DeskError::all_of([segments.map(drop), filled, set_by])),
    }
}

fn who_set(typed: &Typed) -> Result<(), DeskError> {
    if SET_BY.iter().any(|s| s.0 == typed.get("set_by")) {
        return Ok(());
    }
    Err(DeskError::field(
        "set_by",
        "nobody is chosen",
        "Say whether you set it yourself",
    ))
}
