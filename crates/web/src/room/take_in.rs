//! Hand a piece in: made for a phone, and quick for the next one like it.

use axum::response::Response;
use glost_model::book::{Act, Person};
use glost_model::fault::Fault;
use glost_model::text;
use glost_store::Look as Listed;
use glost_studio::desk::DeskError;
use glost_studio::desk::take_in::{HandIn, MOST_ALIKE};
use glost_studio::desk::ware::WareLook;
use maud::{Markup, html};

use crate::app::fields::{Fields, Look, options, said};
use crate::app::{Here, Parts, Query, Trouble, Typed, Visit, called, escaped};

/// Fields of the form that are not the piece's own.
const OTHER: [&str; 6] = ["owner", "count", "note", "looked_over", "version", "then"];

/// The form, filled with what the last piece had, or with that of `like`.
pub async fn show(v: Visit, Query(q): Query<Vec<(String, String)>>) -> Result<Response, Trouble> {
    let q = Typed(q);
    let desk = &v.app.desk;
    let mine = WareLook {
        owner: Some(&v.person().id),
        latest: true,
        most: 1,
        ..WareLook::default()
    };
    let like = match q.get("like") {
        "" => desk
            .wares(v.person(), &mine)
            .await?
            .0
            .into_iter()
            .next()
            .map(|k| k.body),
        code => desk.ware(v.person(), code).await.ok().map(|k| k.body),
    };
    let mut typed = Typed::default();
    typed.set("count", "1");
    typed.set("stage", "greenware");
    typed.set("shape", "circle");
    typed.set("foot", "bare");
    typed.set("dryness", "doubtful");
    if let Some(ware) = &like {
        for (name, value) in text::piece_fields(&ware.piece, v.shown()) {
            if !["id", "maker", "came_in", "due", "held", "group"].contains(&name.as_str()) {
                typed.set(&name, value);
            }
        }
        typed.set("owner", ware.owner.clone());
    }
    spread_glazes(&mut typed);
    if v.may(Act::LookOver) {
        typed.set("looked_over", "yes");
    }
    let body = html! {
        (to_write(&v, q.get("new")).await?)
        (form(&v, &typed, &[], like.is_some()).await?)
    };
    Ok(v.page(Here::Ware, "Hand in a piece", &body))
}

/// Codes that were just given, to be copied onto slips; only those of pieces that the visitor may see.
pub async fn to_write(v: &Visit, new: &str) -> Result<Markup, DeskError> {
    let mut codes = Vec::new();
    for code in new.split_whitespace().take(MOST_ALIKE.into()) {
        if v.app.desk.ware(v.person(), code).await.is_ok() {
            codes.push(code);
        }
    }
    Ok(html! { @if !codes.is_empty() {
        div.panel.big-code role="status" {
            p { @if codes.len() == 1 { "Write this code on the slip:" } @else { "Write one of these codes on each slip:" } }
            ul { @for code in codes { li.code { (code) } } }
        }
    } })
}

/// Takes it in.
pub async fn done(v: Visit, sent: Parts) -> Result<Response, Trouble> {
    let mut typed = Typed(sent.fields);
    let owner = typed.get("owner").to_owned();
    let hand_in = HandIn {
        fields: piece_fields(&typed),
        owner: (!owner.is_empty()).then_some(owner),
        count: typed.get("count").trim().parse().unwrap_or(0),
        note: typed.get("note").to_owned(),
        looked_over: typed.on("looked_over"),
        photo: sent.files.into_iter().next().map(|f| f.bytes.to_vec()),
    };
    match v.app.desk.take_in(v.actor(), &hand_in, v.today()).await {
        Ok((ware, turn)) => {
            let first = ware.first().map_or("", |w| w.code());
            let codes: Vec<&str> = ware.iter().map(|w| w.code()).collect();
            let new = escaped(&codes.join(" "));
            let to = match (typed.get("then"), ware.len()) {
                ("next", _) => format!("/ware/new?like={}&new={new}", escaped(first)),
                (_, 1) => format!("/ware/{}?new=yes", escaped(first)),
                _ => format!(
                    "/ware?owner={}&new={new}",
                    escaped(&ware.first().map_or(String::new(), |w| w.owner.clone()))
                ),
            };
            Ok(v.done(&to, turn))
        }
        Err(DeskError::Faults(faults)) => {
            typed.set("again", "yes");
            let body = form(&v, &typed, &faults, false).await?;
            Ok(v.again(Here::Ware, "Hand in a piece", &body))
        }
        Err(e) => Err(e.into()),
    }
}

/// The piece's own fields as the reader of the ware sheet wants them.
pub fn piece_fields(typed: &Typed) -> text::Fields {
    let glazes: Vec<String> = typed
        .all("glazes")
        .into_iter()
        .chain([typed.get("glaze_other").to_owned()])
        .filter(|g| !g.trim().is_empty())
        .collect();
    let mut fields: text::Fields = typed
        .but(&OTHER)
        .into_iter()
        .filter(|f| {
            !matches!(
                f.0.as_str(),
                "glazes" | "glaze_other" | "again" | "clay_other"
            ) && !f.1.trim().is_empty()
        })
        .collect();
    if !glazes.is_empty() {
        fields.push(("glazes".to_owned(), glazes.join(";")));
    }
    if typed.get("clay") == "other" {
        fields.retain(|f| f.0 != "clay");
        let other = typed.get("clay_other").trim();
        fields.push((
            "clay".to_owned(),
            if other.is_empty() {
                "unknown".to_owned()
            } else {
                other.to_owned()
            },
        ));
    }
    fields
}

/// One value for each box of a glaze.
pub fn spread_glazes(typed: &mut Typed) {
    let all = typed.get("glazes").to_owned();
    typed.0.retain(|f| f.0 != "glazes");
    for glaze in all.split(';').map(str::trim).filter(|g| !g.is_empty()) {
        typed.0.push(("glazes".to_owned(), glaze.to_owned()));
    }
}

async fn form(v: &Visit, typed: &Typed, faults: &[Fault], like: bool) -> Result<Markup, DeskError> {
    let f = Fields { typed, faults };
    let people = people(v).await?;
    Ok(html! {
        @if like { p { "Filled in with the last piece: change what differs." } }
        (f.summary())
        form.piece method="post" action="/ware/new" enctype="multipart/form-data" {
            // One that differs in nothing is a single press.
            @if like { div.steps { button type="submit" name="then" value="next" { "The same again" } } }
            @if people.len() > 1 { (f.select("owner", "Whose is it?", "", &people)) }
            (piece(v, f))
            (f.text("count", "How many alike?", Look { keys: "numeric", ..Look::default() }))
            (f.lines("note", "Anything to know?", "Your words for whoever loads the kiln"))
            (photo(f))
            @if v.may(Act::LookOver) { (f.tick("looked_over", "Looked over: it may wait for a firing if it is fit")) }
            div.steps {
                button.main type="submit" name="then" value="next" { "Hand in, then one like it" }
                button type="submit" name="then" value="one" { "Hand in" }
            }
        }
    })
}

/// A photo, taken as it is handed in.
fn photo(f: Fields<'_>) -> Markup {
    let faulty = f.faults.iter().any(|x| x.field == "photo");
    html! {
        div.field {
            label for="f-photo" { "A photo of it " span.optional { "(optional)" } }
            p.hint id="f-photo-hint" { "Of the first, when several are alike" }
            input #f-photo type="file" name="photo" accept="image/jpeg,image/png,image/webp" capture="environment" aria-describedby="f-photo-hint" aria-invalid=[faulty.then_some("true")];
            @for x in f.faults.iter().filter(|x| x.field == "photo") { p.fault { strong { "Mend: " } (x.what) ". " (x.remedy) "." } }
            // A browser does not send a file twice.
            @if !f.faults.is_empty() && !faulty { p.hint { "A photo that you took has to be chosen again." } }
        }
    }
}

/// People for whom the visitor may hand in.
async fn people(v: &Visit) -> Result<Vec<(String, String)>, DeskError> {
    let me = v.person();
    if !v.may(Act::HandInForOthers) && !v.may(Act::LookOver) {
        return Ok(Vec::new());
    }
    let all = v.app.desk.store.list::<Person>(&Listed::default()).await?;
    let mut out = vec![(me.id.clone(), format!("{} (you)", me.name))];
    let everybody = v.may(Act::LookOver);
    out.extend(
        all.into_iter()
            .map(|k| k.body)
            .filter(|p| p.id != me.id && (everybody || me.sees(p)))
            .map(|p| {
                let class = p
                    .class
                    .as_deref()
                    .map_or_else(String::new, |c| format!(", {c}"));
                (p.id, format!("{}{class}", p.name))
            }),
    );
    Ok(out)
}

/// The fields of a piece.
pub fn piece(v: &Visit, f: Fields<'_>) -> Markup {
    let shown = v.shown();
    let (length, mass) = (shown.length_unit(), if shown.pounds { "lb" } else { "kg" });
    let names = |all: Vec<&str>| options(all.into_iter().map(|n| (n, n)));
    let mut clays = names(
        v.given
            .studio
            .clays
            .iter()
            .map(|c| c.name.as_str())
            .collect(),
    );
    let known = f.typed.get("clay");
    if !known.is_empty() && known != "other" && !clays.iter().any(|c| c.0 == known) {
        clays.push((known.to_owned(), format!("{known} (not in the list)")));
    }
    clays.push(("other".to_owned(), "another, or not known".to_owned()));
    let mut glazes = names(
        v.given
            .studio
            .glazes
            .iter()
            .map(|c| c.name.as_str())
            .collect(),
    );
    for g in f.typed.all("glazes") {
        if !glazes.iter().any(|x| x.0 == g) {
            glazes.push((g.clone(), format!("{g} (not in the list)")));
        }
    }
    let size = Look {
        keys: "decimal",
        unit: length,
        ..Look::default()
    };
    let [one, two, corners] = shown.example_sizes();
    let as_size = |mm: f64| format!("As {}", shown.example_size(mm));
    let (high, thick, bare) = (as_size(100.0), as_size(6.0), as_size(8.0));
    html! {
        (f.text("what", "What is it?", Look { hint: "As mug, bowl, plate", list: "kinds", ..Look::default() }))
        datalist #kinds { @for k in ["mug", "bowl", "plate", "vase", "teapot", "jar and lid", "tile", "planter", "sculpture"] { option value=(k) {} } }
        (f.choice("stage", "Fired before?", called::STAGE))
        (f.select("clay", "Clay", "Never guess: the wrong clay melts onto shelves", &clays))
        @if !glazes.is_empty() { (f.many("glazes", "Glazes on it", "None for bare ware", &glazes)) }
        details open[f.typed.get("clay") == "other" || !f.typed.get("glaze_other").is_empty()] {
            summary { "A clay or glaze that is not listed" }
            (f.text("clay_other", "Name of another clay", Look { hint: "Choose 'another' above, and write it here if it is known", optional: true, ..Look::default() }))
            (f.text("glaze_other", "Another glaze", Look { optional: true, ..Look::default() }))
        }
        (f.text("cone", "Cone", Look { hint: "With its zero: 06 and 6 are very different. Without one, what suits clay and glaze is taken", optional: true, ..Look::default() }))
        (f.choice("shape", "Seen from above", called::FORM))
        (f.text("size", "Widest, handle and all", Look { hint: &format!("Round: {one}. Oval and rectangle: {two}. Corners: {corners}"), unit: length, ..Look::default() }))
        (f.text("foot_size", "What stands on the shelf", Look { hint: "Written in the same way; only where it is narrower", optional: true, unit: length, ..Look::default() }))
        (f.text("height", "Height", Look { hint: &high, ..size }))
        (f.text("wall", "Thickest wall or base", Look { hint: &thick, ..size }))
        (f.text("mass", "Mass", Look { keys: "decimal", unit: mass, hint: if shown.pounds { "As 0.9; kitchen scales will do" } else { "As 0.4; kitchen scales will do" }, ..Look::default() }))
        (f.choice("foot", "Foot", called::FOOT))
        (f.text("glaze_margin", "Bare above the foot", Look { hint: &format!("How far the glaze ends above the shelf, {}; for glazed ware with a bare foot", bare.to_lowercase()), optional: true, ..size }))
        (f.choice("dryness", "Dry?", called::DRYNESS))
        details open[!f.faults.is_empty()] {
            summary { "More: due day, set, delicate, priority, hollow" }
            (f.text("due", "Needed by", Look { kind: "date", optional: true, ..Look::default() }))
            (f.text("group", "Set", Look { hint: "Pieces with the same word go together: a jar and its lid", optional: true, ..Look::default() }))
            (f.select("delicacy", "How it bears handling", "", &said(called::DELICACY)))
            (f.text("priority", "Priority", Look { hint: "1 can wait, 5 first", keys: "numeric", optional: true, ..Look::default() }))
            (f.select("inside", "How it is hollow", "For bisque: what may stand in it", &said(called::INSIDE)))
            @if v.may(Act::LookOver) {
                (f.select("held", "Kept back", "Why it may not be fired as it is", &said(called::HELD)))
            }
        }
    }
}
