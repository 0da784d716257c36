//! The kiln is open: cones, faults, and everything out.

use axum::response::Response;
use glost_model::book::{Act, Edges, FaultKind, Firing, State, Ware};
use glost_model::cone::Cone;
use glost_model::plan_file::PlanFile;
use glost_sheets::CAUTIONS;
use glost_store::Kept;
use glost_studio::desk::DeskError;
use glost_studio::desk::open::{FaultSeen, Reading, clock_field};
use maud::{Markup, html};

use super::fire_day::{answer, hottest, number};
use crate::app::fields::{Fields, Look, hidden, options};
use crate::app::{Form, Parts, Path, Trouble, Typed, Visit, escaped};
use crate::page::cautions::list;
use crate::page::wide;

/// The part of the firing's page.
pub async fn part(
    v: &Visit,
    kept: &Kept<Firing>,
    plan: Option<&PlanFile>,
    fields: Fields<'_>,
) -> Result<Markup, DeskError> {
    let f = &kept.body;
    let at = format!("/firings/{}", f.id);
    let version = kept.version.to_string();
    if !v.may(Act::Fire) {
        return Ok(html! {});
    }
    let ware = v.app.desk.in_firing(&f.id).await?;
    // Slips burn: what it is, whose and where it stood tell it too.
    let pieces: Vec<(String, String)> = ware.iter().map(|w| piece(&w.body)).collect();
    let kinds = options(FaultKind::ALL.iter().map(|k| (k.key(), k.look())));
    Ok(html! {
        (list(CAUTIONS.open))
        h2 { "Read the cones" }
        (read_cones(f, plan, &version, fields))
        (super::cones::photo_form(f, fields))
        h2 { "Faults" }
        p { "Which shelf, which side, how: it helps to find the cause. Edges of a crack tell: rounded, it came while heating; sharp, while cooling." }
        form method="post" action={ (at) "/fault" } enctype="multipart/form-data" {
            (fields.select("piece", "Piece", "", &pieces))
            (fields.select("kind", "What is seen", "", &kinds))
            (fields.choice("edges", "If it is a crack: its edges", &edges()))
            (fields.lines("words", "In words", "Which side it faced, how bad"))
            div.field {
                label for="f-photo" { "A photo of it " span.optional { "(optional)" } }
                input #f-photo type="file" name="photo" accept="image/jpeg,image/png,image/webp" capture="environment";
            }
            (fields.tick("spoilt", "It cannot be given back as good"))
            button type="submit" { "Note the fault" }
        }
        @let faulty: Vec<_> = ware.iter().filter(|w| w.body.faults.iter().any(|x| x.firing.as_ref() == Some(&f.id))).collect();
        @if !faulty.is_empty() { ul { @for w in faulty { li { a href={ "/ware/" (escaped(w.body.code())) } { (w.body.code()) } ": "
            (w.body.faults.iter().filter(|x| x.firing.as_ref() == Some(&f.id)).map(|x| x.kind.look()).collect::<Vec<_>>().join("; ")) @if w.body.state == State::Accident { ". Came to harm" } " " a href={ (at) "/causes/" (escaped(w.body.code())) } { "Why?" } } } }
            p.steps { a.step.main href={ (at) "/causes" } { "Why they came about" } } }
        h2 { "Everything out" }
        form method="post" action={ (at) "/emptied" } {
            (hidden("version", &version))
            (fields.lines("next_time", "What to do otherwise next time", ""))
            p { @if ware.len() == 1 { "Its piece may then be fetched by its maker, and is charged." } @else { "All " (ware.len()) " pieces may then be fetched by their makers and are charged, those that came to harm too." } }
            button.main type="submit" { "The kiln is empty" }
        }
        details open[fields.wrong("short").is_some() || !fields.typed.get("short").is_empty()] { summary { "It did not reach its cone" }
            p { "Its ware then waits again, each piece with a note of what happened to it. Nothing is charged." }
            form method="post" action={ (at) "/short" } {
                (hidden("version", &version))
                (fields.lines("short", "What happened", "As: the power failed at night"))
                (fields.text("hottest", "Hottest on the display", Look { keys: "decimal", unit: v.shown().degree_sign(), optional: true, ..Look::default() }))
                button type="submit" { "The kiln is empty, its ware waits again" }
            }
        }
    })
}

/// Cones that a form has room for besides those of the plan's packs.
const OTHERS: usize = 3;

/// The form for cones: on each tier with a pack the firing's own with a guide and a guard, and any other one.
fn read_cones(f: &Firing, plan: Option<&PlanFile>, version: &str, fields: Fields<'_>) -> Markup {
    let clock = Look {
        keys: "decimal",
        unit: "o'clock",
        optional: true,
        ..Look::default()
    };
    let [guide, guard] = f.cone.neighbours();
    let one = |tier: &str, cone: Option<Cone>, what: &str| {
        html! { @if let Some(cone) = cone {
            (fields.text(&clock_field(tier, cone, f.cone), &format!("{what} {cone} on tier {tier}"), clock))
        } }
    };
    let tiers: Vec<&str> = plan.map_or_else(
        || f.tiers_with_cones(),
        |p| p.load.tiers.iter().map(|t| t.name.as_str()).collect(),
    );
    let packs: Vec<&str> = f.cone_tiers.iter().map(String::as_str).collect();
    let typed = |n: usize, part: &str| fields.typed.on(&format!("other.{n}.{part}"));
    let open = packs.is_empty() || (0..OTHERS).any(|n| typed(n, "clock") || typed(n, "cone"));
    html! {
        p { "Where does the tip point, on a clock? 12 is upright, 3 level, 6 down. Leave a cone empty that cannot be read. A guide that lies flat and a guard that stands say something, too: the tier got no less, or no more." }
        form method="post" action={ "/firings/" (f.id) "/cones" } {
            (hidden("version", version))
            @for tier in packs { fieldset.choice { legend { "Tier " (tier) }
                div.row { (one(tier, guide, "Guide cone")) (one(tier, Some(f.cone), "Cone")) (one(tier, guard, "Guard cone")) }
            } }
            details open[open] { summary { "Another cone, or one on another tier" }
                @for n in 0..OTHERS { fieldset.choice { legend { "Another cone " (n + 1) }
                    div.row {
                        @let name = |part: &str| format!("other.{n}.{part}");
                        @if tiers.is_empty() { (fields.text(&name("tier"), "On tier", Look { optional: true, ..Look::default() })) }
                        @else { (fields.select(&name("tier"), "On tier", "", &options(tiers.iter().map(|t| (*t, *t))))) }
                        (fields.text(&name("cone"), "Which cone", Look { optional: true, ..Look::default() }))
                        (fields.text(&name("clock"), "Its tip", clock))
                    }
                } }
            }
            button type="submit" { "Write them down" }
        }
    }
}

/// The cones that were typed.
fn typed_cones(f: &Firing, typed: &Typed) -> Result<Vec<Reading>, DeskError> {
    let mut readings = Vec::new();
    let mut read = |tier: &str, cone: Cone, clock: &str| {
        readings.push(Reading {
            tier: tier.to_owned(),
            cone,
            clock: number(clock).unwrap_or(f64::NAN),
        });
    };
    for (name, value) in typed.0.iter().filter(|t| !t.1.trim().is_empty()) {
        let Some(place) = name.strip_prefix("clock ") else {
            continue;
        };
        // A tier may be called anything: what follows has to be a cone.
        let named = place.rsplit_once(" cone ");
        let named = named.and_then(|(tier, cone)| Some((tier, Cone::parse(cone).ok()?)));
        let (tier, cone) = named.unwrap_or((place, f.cone));
        read(tier, cone, value);
    }
    for n in 0..OTHERS {
        let field = |part: &str| format!("other.{n}.{part}");
        let of = |part: &str| typed.get(&field(part)).trim();
        if of("cone").is_empty() && of("clock").is_empty() {
            continue;
        }
        let cone = Cone::parse(of("cone")).map_err(|e| {
            DeskError::field(
                &field("cone"),
                e.to_string(),
                "Write it with its zero, as 06 or 6",
            )
        })?;
        if of("tier").is_empty() || of("tier").chars().count() > 60 {
            return Err(DeskError::field(
                &field("tier"),
                "no tier is named",
                "Name it as the plan does",
            ));
        }
        let clock = number(of("clock")).filter(|c| (0.0..=12.0).contains(c) && c % 12.0 <= 6.0);
        if clock.is_none() {
            return Err(DeskError::field(
                &field("clock"),
                format!("'{}' is no place of a tip", of("clock")),
                "Write 12 for upright, 3 for level, 6 for down, or between",
            ));
        }
        read(of("tier"), cone, of("clock"));
    }
    Ok(readings)
}

/// A piece to be chosen: its code with what can be seen of it.
fn piece(w: &Ware) -> (String, String) {
    let tier = w.stood.last().map(|s| format!(", tier {}", s.tier));
    let told = format!(
        "{} {}, {}{}",
        w.code(),
        w.piece.what,
        w.piece.maker,
        tier.unwrap_or_default()
    );
    (w.code().to_owned(), told)
}

/// Answers about the edges of a crack.
fn edges() -> [(&'static str, &'static str); 5] {
    let [a, b, c, d] = Edges::ALL.map(|e| (e.key(), e.words()));
    [("", "no crack"), a, b, c, d]
}

/// Cones as read.
pub fn cones_table(v: &Visit, f: &Firing) -> Markup {
    wide(
        "Cones as read",
        html! { table {
            thead { tr { th scope="col" { "Tier" } th scope="col" { "Cone" } th scope="col" { "Tip at" } th scope="col" { "Bent" } th scope="col" { "Read" } } }
            tbody { @for c in &f.cones { tr { th scope="row" { (c.tier) } td { (c.cone) } td { (c.clock) " o'clock" } td { (format!("{:.0} %", c.bent() * 100.0)) } td { (v.when(c.at)) } } } }
        } },
    )
}

/// Writes the cones down.
pub async fn cones(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let f = v.app.desk.firing(&id).await?.body;
    let readings = match typed_cones(&f, &typed) {
        Ok(readings) => readings,
        Err(e) => return answer(&v, &id, &typed, Err(e)).await,
    };
    let done = v
        .app
        .desk
        .read_cones(v.actor(), &id, typed.version(), &readings)
        .await;
    answer(&v, &id, &typed, done).await
}

/// Notes a fault, with a photo if there is one.
pub async fn fault(
    v: Visit,
    Path(id): Path<String>,
    sent: Result<Parts, Trouble>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let sent = sent?;
    let photo = sent.files.first().map(|f| f.bytes.to_vec());
    let typed = Typed(sent.fields);
    let kind = FaultKind::of_key(typed.get("kind"))
        .ok_or_else(|| DeskError::cannot("there is no such fault", "Choose one of the list"))?;
    let done = v
        .app
        .desk
        .note_fault(
            v.actor(),
            &id,
            FaultSeen {
                code: typed.get("piece").to_owned(),
                kind,
                words: typed.get("words").to_owned(),
                edges: Edges::of_key(typed.get("edges")),
                spoilt: typed.on("spoilt"),
                photo,
            },
        )
        .await;
    answer(&v, &id, &typed, done).await
}

/// Everything is out, and nothing was fired as it should be.
pub async fn short(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let done = match hottest(&v, &typed) {
        Ok(hottest) => {
            let (version, why) = (typed.version(), typed.get("short"));
            let hottest = hottest.map(glost_model::Temperature::c);
            let desk = &v.app.desk;
            desk.fell_short(v.actor(), &id, version, hottest, why, v.today())
                .await
        }
        Err(e) => Err(e),
    };
    answer(&v, &id, &typed, done).await
}

/// Everything is out.
pub async fn emptied(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let done = v
        .app
        .desk
        .emptied(
            v.actor(),
            &id,
            typed.version(),
            typed.get("next_time"),
            v.today(),
        )
        .await;
    answer(&v, &id, &typed, done).await
}
