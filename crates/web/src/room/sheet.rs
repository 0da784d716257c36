//! Many pieces from a sheet, looked through before anything is stored.

use axum::response::Response;
use glost_model::fault::Fault;
use glost_model::shown::Shown;
use glost_studio::desk::DeskError;
use glost_studio::desk::from_sheet::Preview;
use maud::{Markup, html};

use crate::app::fields::{Fields, hidden};
use crate::app::{Files, Form, Here, Trouble, Typed, Visit, called};
use crate::page::wide;

/// Lines of the preview that are shown; faults are shown all.
const SHOWN: usize = 200;
/// Title of the page on which a sheet is chosen.
const TITLE: &str = "Many from a sheet";

/// Where a sheet is chosen.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    Ok(v.page(Here::Ware, TITLE, &form(&v, &[])))
}

fn form(v: &Visit, faults: &[Fault]) -> Markup {
    let typed = Typed::default();
    let f = Fields {
        typed: &typed,
        faults,
    };
    html! {
        (f.summary())
        p { "A sheet in CSV, with one piece a line, as every spreadsheet saves. Nothing is stored before you have seen what is in it." }
        form method="post" action="/ware/sheet" enctype="multipart/form-data" {
            div.field { label for="f-sheet" { "The sheet" } p.hint #file-hint { "CSV with commas, semicolons or tabs" }
                input #f-sheet type="file" name="sheet" accept=".csv,text/csv,text/plain" aria-describedby="file-hint"; }
            (f.lines("text", "Or its text", ""))
            div.steps { button.main type="submit" { "Look it through" } }
        }
        h2 { "Its columns" }
        p { "The first line names them, in any order. These are needed: " code { "id, what, maker, shape, size, height, mass, wall, clay, foot, dryness, stage" } ". These may be there: "
            code { "foot_size, glazes, glaze_margin, delicacy, cone, due, came_in, priority, group, held, inside" } ". Lengths are in " @if v.shown().inches { "inches" } @else { "mm" } ", masses in " @if v.shown().pounds { "pounds" } @else { "kg" } "." }
        pre.example tabindex="0" { "id,what,maker,shape,size,height,mass,wall,clay,glazes,foot,glaze_margin,dryness,stage,cone\n" (example(v.shown())) "\n" }
    }
}

/// A line as somebody here would write it.
fn example(shown: Shown) -> String {
    let s = |mm: f64| shown.example_size(mm);
    let mass = if shown.pounds { "0.9" } else { "0.43" };
    format!(
        "T001,mug,Nia Corran,circle,{},{},{mass},{},Heatherstone,Tarn;Mist,wiped,{},bone-dry,glazed,6",
        s(94.0),
        s(110.0),
        s(5.0),
        s(8.0)
    )
}

/// The sheet as text.
fn read(bytes: &[u8]) -> Result<String, DeskError> {
    let remedy = "Save it as CSV in UTF-8; a spreadsheet's own file will not do";
    // Some spreadsheets save text with two bytes a letter; half of them are zeros then.
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) || bytes.contains(&0) {
        return Err(DeskError::field(
            "sheet",
            "the sheet is UTF-16, or no text",
            remedy,
        ));
    }
    String::from_utf8(bytes.to_vec()).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        let line = bytes.iter().take(at).filter(|b| **b == b'\n').count() + 1;
        DeskError::field(
            "sheet",
            format!("line {line} of the sheet is not UTF-8 text"),
            remedy,
        )
    })
}

/// Looks a sheet through.
pub async fn look(v: Visit, mut sent: Files) -> Result<Response, Trouble> {
    let mut sheet = Vec::new();
    while let Some((name, bytes)) = sent.next().await? {
        let here = matches!(name.as_str(), "sheet" | "text");
        if here && sheet.is_empty() && !bytes.iter().all(u8::is_ascii_whitespace) {
            sheet = bytes.to_vec();
        }
    }
    let text = match read(&sheet) {
        Ok(text) => text,
        Err(DeskError::Faults(faults)) => {
            return Ok(v.again(Here::Ware, TITLE, &form(&v, &faults)));
        }
        Err(e) => return Err(e.into()),
    };
    let preview = v.app.desk.preview(v.actor(), &text, v.today()).await?;
    Ok(v.page(
        Here::Ware,
        "Look it through",
        &preview_page(&preview, &text),
    ))
}

fn preview_page(p: &Preview, text: &str) -> Markup {
    html! {
        @let faults: Vec<&Fault> = p.faults.iter().chain(p.lines.iter().flat_map(|l| &l.faults)).collect();
        p.lead role="status" { (p.good()) " of " (p.lines.len()) " lines can be stored" @if p.bad() > 0 { ", " (p.bad()) " have faults" } "." }
        @if !faults.is_empty() {
            h2 { (faults.len()) " to mend" }
            p { @if p.good() > 0 { "Mend them in the sheet and look it through again, or store the good lines now." } @else { "Mend them in the sheet and look it through again." } }
            (wide("To mend", html! { table.stack.by-line { thead { tr { th scope="col" { "Line" } th scope="col" { "Field" } th scope="col" { "What is wrong" } th scope="col" { "What to do" } } }
                tbody { @for f in &faults {
                    tr { th scope="row" { @match f.line { Some(n) => (n), None => "all" } } td { @if f.field.is_empty() { "–" } @else { (f.field) } } td { (f.what) } td { (f.remedy) } }
                } } } }))
        }
        @if !p.new_makers.is_empty() { p.note { "New people, who will be written down as makers: " (p.new_makers.join(", ")) "." } }
        @let unfit: Vec<_> = p.lines.iter().filter(|l| l.unfit.is_some()).collect();
        @if !unfit.is_empty() {
            h2 { (unfit.len()) " not fit to fire as they are" }
            p { "They can be stored, and will need attention first." }
            ul { @for l in unfit.iter().take(SHOWN) { li { "Line " (l.line) ": " (l.unfit.as_deref().unwrap_or("")) } } }
        }
        @if p.good() > 0 {
            form method="post" action="/ware/sheet/take-in" {
                (hidden("text", text))
                div.steps { button.main type="submit" { "Store " (called::several(p.good() as u64, "piece")) } a.step href="/ware/sheet" { "Another sheet" } }
            }
            h2 { "Good lines" }
            (wide("Good lines", html! { table { thead { tr { th scope="col" { "Line" } th scope="col" { "Code" } th scope="col" { "What" } th scope="col" { "Maker" } th scope="col" { "Clay" } } }
                tbody { @for l in p.lines.iter().filter(|l| l.ware.is_some()).take(SHOWN) { @if let Some(w) = &l.ware {
                    tr { th scope="row" { (l.line) } td { (w.piece.id) } td { (w.piece.what) } td { (w.piece.maker) } td { (w.piece.clay) } }
                } } } } }))
            @if p.good() > SHOWN { p { "And " (p.good() - SHOWN) " more." } }
        } @else { p.steps { a.step href="/ware/sheet" { "Another sheet" } } }
    }
}

/// Stores its good lines.
pub async fn take_in(
    v: Visit,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let (_, turn) = v
        .app
        .desk
        .import(v.actor(), Typed(sent).get("text"), v.today())
        .await?;
    Ok(v.done("/ware", turn))
}
