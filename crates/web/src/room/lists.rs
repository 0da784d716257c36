//! Lists of clays, glazes, furniture and kilns from files, looked through before anything is stored.

use axum::response::Response;
use glost_model::book::Act;
use glost_model::fault::Fault;
use glost_model::shown::Shown;
use glost_studio::desk::audit::FieldChange;
use glost_studio::desk::lists::{ListFile, ListLine, ListPreview, MOST_FILES};
use maud::{Markup, html};

use super::set_up::{shown, units};
use crate::app::fields::{Fields, hidden};
use crate::app::{Form, Here, Parts, Trouble, Typed, Visit, called};
use crate::page::wide;

const TITLE: &str = "Bring lists in";

/// Where lists are chosen.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    Ok(v.page(Here::Studio, TITLE, &start(&v)))
}

fn start(v: &Visit) -> Markup {
    let mut typed = Typed::default();
    for (name, value) in units_of(v.given.studio.shown) {
        typed.set(name, value);
    }
    let f = Fields {
        typed: &typed,
        faults: &[],
    };
    html! {
        p { "Clays, glazes, furniture and kilns from the text files of a studio's folder. Nothing is stored before you have seen what would be new and what would change." }
        form method="post" action="/studio/lists" enctype="multipart/form-data" {
            div.field { label for="files" { "Files" } p.hint #files-hint { (format!("clays.toml, glazes.toml, furniture.toml, kilns.toml; up to {MOST_FILES}, one of a kind")) }
                input #files type="file" name="files" multiple accept=".toml,.txt,text/plain" aria-describedby="files-hint"; }
            div.field { label for="text" { "Or the text of one" } textarea #text name="text" rows="6" autocomplete="off" {} }
            h2 { "Units that they are written in" }
            (units(f))
            div.steps { button.main type="submit" { "Look them through" } }
        }
        h2 { "How they are written" }
        p { "Words stand in quotes, numbers do not. Cones always stand in quotes: " code { "\"06\"" } " and " code { "\"6\"" } " are very different. What has the name of something that the studio has changes it; all else is new. What is not in a list stays as it is." }
        pre.example tabindex="0" { "[[clay]]\nname = \"Heatherstone\"\ncone_from = \"5\"\ncone_to = \"7\"\nslumps_on_points = true\n" }
    }
}

fn units_of(s: Shown) -> [(&'static str, &'static str); 3] {
    [
        ("length", if s.inches { "in" } else { "mm" }),
        ("mass", if s.pounds { "lb" } else { "kg" }),
        ("temperature", if s.fahrenheit { "F" } else { "C" }),
    ]
}

/// Looks lists through.
pub async fn look(v: Visit, sent: Result<Parts, Trouble>) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let sent = sent?;
    let typed = Typed(sent.fields);
    let mut files: Vec<ListFile> = Vec::new();
    let mut faults: Vec<Fault> = Vec::new();
    let text = typed.get("text");
    if !text.trim().is_empty() {
        files.push(ListFile {
            name: "the text".to_owned(),
            text: text.to_owned(),
        });
    }
    for file in sent.files {
        match String::from_utf8(file.bytes.to_vec()) {
            Ok(text) if text.trim().is_empty() => {}
            Ok(text) => files.push(ListFile {
                name: file.name,
                text,
            }),
            Err(_) => faults.push(Fault {
                file: file.name,
                line: None,
                field: String::new(),
                what: "is not UTF-8 text".to_owned(),
                remedy: "Save it as UTF-8".to_owned(),
            }),
        }
    }
    let units = shown(&typed);
    let mut preview = if files.is_empty() && !faults.is_empty() {
        ListPreview::default()
    } else {
        v.app
            .desk
            .look_lists_through(v.actor(), &files, units)
            .await?
    };
    preview.faults.extend(faults);
    let body = preview_page(&preview, &files, units);
    if preview.faults.is_empty() {
        Ok(v.page(Here::Studio, "Look them through", &body))
    } else {
        Ok(v.again(Here::Studio, "Look them through", &body))
    }
}

fn preview_page(p: &ListPreview, files: &[ListFile], units: Shown) -> Markup {
    let new: Vec<&ListLine> = p.lines.iter().filter(|l| l.new).collect();
    let other: Vec<&ListLine> = p.lines.iter().filter(|l| !l.new && l.changes()).collect();
    let same = p.lines.len() - new.len() - other.len();
    html! {
        p.lead role="status" { (new.len()) " new, " (other.len()) " to change, " (same) " as they are" @if !p.faults.is_empty() { "; " (p.faults.len()) " faults to mend first" } ". Nothing is stored yet." }
        @if !p.faults.is_empty() {
            h2 { "To mend" }
            (wide("To mend", html! { table { thead { tr { th scope="col" { "File" } th scope="col" { "Line" } th scope="col" { "Field" } th scope="col" { "What is wrong" } th scope="col" { "What to do" } } }
                tbody { @for f in &p.faults {
                    tr { th scope="row" { (f.file) } td { @match f.line { Some(n) => (n), None => "–" } } td { (f.field) } td { (f.what) } td { (f.remedy) } }
                } } } }))
        }
        @if p.good() {
            form method="post" action="/studio/lists/store" {
                @for (name, value) in units_of(units) { (hidden(name, value)) }
                (hidden("state", &p.state.to_string()))
                @for file in files { (hidden("name", &file.name)) (hidden("text", &file.text)) }
                div.steps { button.main type="submit" { "Store " (p.changes()) " of them" } a.step href="/studio/lists" { "Other lists" } }
            }
        } @else { p.steps { a.step href="/studio/lists" { "Other lists" } } }
        @if !other.is_empty() {
            h2 { "Would change" }
            @for line in other { h3 { (called::thing(line.kind)) " " (line.name) } (changes(&line.fields)) }
        }
        @if !new.is_empty() {
            h2 { "New" }
            @for line in new { details { summary { (called::thing(line.kind)) " " (line.name) } (filled(&line.fields)) } }
        }
    }
}

/// Fields before and after.
pub fn changes(fields: &[FieldChange]) -> Markup {
    let or = |field: &str, text: &str| {
        if text.is_empty() {
            "–".to_owned()
        } else {
            called::value(field, text)
        }
    };
    wide(
        "Before and after",
        html! { table { thead { tr { th scope="col" { "Field" } th scope="col" { "Before" } th scope="col" { "After" } } }
        tbody { @for f in fields { tr { th scope="row" { (called::field(&f.field)) } td { (or(&f.field, &f.before)) } td { (or(&f.field, &f.after)) } } } } } },
    )
}

/// What a new thing holds.
pub fn filled(fields: &[FieldChange]) -> Markup {
    html! { ul.filled { @for f in fields { @if !f.after.is_empty() { li { (called::field(&f.field)) ": " strong { (called::value(&f.field, &f.after)) } } } } } }
}

/// Stores lists that were looked through.
pub async fn store(v: Visit, Form(sent): Form<Vec<(String, String)>>) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let names = typed.all("name").into_iter();
    let files: Vec<ListFile> = names
        .zip(typed.all("text"))
        .map(|(name, text)| ListFile { name, text })
        .collect();
    let state = typed.get("state").parse().unwrap_or(-1);
    let turn = v
        .app
        .desk
        .store_lists(v.actor(), &files, shown(&typed), state)
        .await?;
    Ok(v.done("/studio/lists", turn))
}
