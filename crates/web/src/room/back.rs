//! Hand back: what waits for whom.

use axum::response::Response;
use glost_model::Money;
use glost_model::book::{Act, State, Ware};
use glost_sheets::{HandBack, Ready, hand_back_pdf, notice};
use glost_studio::desk::DeskError;
use glost_studio::desk::hand_back::{ForMaker, Makers};
use maud::html;

use super::plan_pages::file;
use super::ware::pages;
use super::ware_one::cautions;
use crate::app::fields::to_copy;
use crate::app::{Form, Here, Path, Query, Trouble, Typed, Visit, called, escaped};

/// Makers on one page.
const PAGE: u32 = 12;

/// The lists by maker.
pub async fn show(v: Visit, Query(q): Query<Vec<(String, String)>>) -> Result<Response, Trouble> {
    v.must(Act::HandBack)?;
    let q = Typed(q);
    let page: u32 = q.get("page").parse().unwrap_or(1).clamp(1, 10_000);
    let of = Makers {
        words: q.get("words"),
        skip: ((page - 1) * PAGE) as usize,
        most: PAGE as usize,
    };
    let found = v.app.desk.to_fetch(v.actor(), &of).await?;
    let makers = found.shown;
    let today = v.today();
    let link = |page: u32| format!("/back?page={page}&words={}", escaped(q.get("words")));
    let body = html! {
        @if found.pieces > 0 { p.lead { (called::several(found.pieces as u64, "piece")) @if found.pieces == 1 { " waits for " } @else { " wait for " } (called::several(found.makers as u64, "maker")) "." } }
        form.find method="get" action="/back" role="search" {
            label for="words" { "Who is here to fetch?" }
            div { input #words type="search" name="words" value=(q.get("words")); button type="submit" { "Find" } }
        }
        p.steps { @if found.pieces > 0 { a.step href="/back/list.pdf" { "List to print (PDF)" } } @if v.may(Act::Charge) { a.step href="/accounts" { "Accounts" } } }
        @if makers.is_empty() { p.empty { @if q.get("words").is_empty() { "Nothing waits to be fetched." } @else { "Nothing waits for anybody of that name." } } }
        @for m in &makers {
            section.maker id={ "maker-" (m.person.id) } {
                h2 { (m.person.name) @if let Some(c) = &m.person.class { ", " (c) } }
                @if !m.person.reach.is_empty() { p { "Reach: " (m.person.reach) } }
                form method="post" action="/back" {
                    ul.ticks { @for w in &m.ware { @let w = &w.body; li { label.tick-line {
                        input type="checkbox" name="code" value=(w.code()) checked[w.state != State::Refused];
                        span { strong.code { (w.code()) } " " (w.piece.what) ": " (w.state.words())
                            @if let Some(s) = w.stood.last() { ", firing " (s.firing) ", tier " (s.tier) }
                            @if let Some(by) = w.fetch_by { ", by " (by.strftime("%-d %b")) @if by < today { strong { " (past its day)" } } }
                            @for x in &w.faults { br; (x.kind.look()) @if !x.words.is_empty() { ": " (x.words) } } }
                    } (cautions(w)) } } }
                    div.steps {
                        button.main type="submit" { "Handed back to " (m.person.name) }
                        a.step href={ "/back/notice/" (escaped(&m.person.id)) } { "Words of a notice" }
                    }
                }
            }
        }
        (pages(page, found.makers as u64, PAGE, &link))
    };
    Ok(v.page(Here::Back, "Hand back", &body))
}

/// Notes what was fetched.
pub async fn done(v: Visit, Form(sent): Form<Vec<(String, String)>>) -> Result<Response, Trouble> {
    let turn = v
        .app
        .desk
        .hand_back(v.actor(), &Typed(sent).all("code"))
        .await?;
    Ok(v.done("/back", turn))
}

fn ready(v: &Visit, w: &Ware) -> Ready {
    let charge = glost_studio::charge::charge(&v.given.settings.scheme, &w.piece, kind(w)).amount;
    Ready {
        maker: w.piece.maker.clone(),
        code: w.code().to_owned(),
        what: w.piece.what.clone(),
        firing: w
            .stood
            .last()
            .map_or_else(String::new, |s| format!("firing {}", s.firing)),
        place: w
            .stood
            .last()
            .map_or_else(String::new, |s| format!("tier {}", s.tier)),
        collect_by: w.fetch_by,
        charge: (charge != Money::ZERO).then_some(charge),
        faults: w.faults.iter().map(|f| f.kind.look().to_owned()).collect(),
    }
}

fn kind(w: &Ware) -> glost_model::load::FiringKind {
    match w.piece.stage {
        glost_model::piece::Stage::Greenware => glost_model::load::FiringKind::Bisque,
        glost_model::piece::Stage::Glazed => glost_model::load::FiringKind::Glaze,
    }
}

fn hand_back(v: &Visit, makers: &[ForMaker]) -> HandBack {
    HandBack {
        studio: v.given.studio.name.clone(),
        us_letter: v.given.studio.shown.inches,
        made_on: v.today(),
        currency: v.given.studio.tariff.currency.clone(),
        pieces: makers
            .iter()
            .flat_map(|m| &m.ware)
            .map(|w| ready(v, &w.body))
            .collect(),
    }
}

/// The list to print.
pub async fn list(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::HandBack)?;
    let makers = v
        .app
        .desk
        .to_fetch(v.actor(), &Makers::default())
        .await?
        .shown;
    let all = hand_back(&v, &makers);
    let pdf = tokio::task::spawn_blocking(move || hand_back_pdf(&all))
        .await
        .map_err(|e| DeskError::Machine(e.to_string()))?;
    let pdf = pdf.map_err(|e| DeskError::cannot(e.to_string(), "Print it when something waits"))?;
    Ok(file("application/pdf", "hand-back.pdf", pdf))
}

/// Words of a notice to one maker, to be copied.
pub async fn words(v: Visit, Path(person): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::HandBack)?;
    let makers = v
        .app
        .desk
        .to_fetch(v.actor(), &Makers::default())
        .await?
        .shown;
    let Some(m) = makers.into_iter().find(|m| m.person.id == person) else {
        return Err(
            DeskError::cannot("nothing waits for this maker", "Look at the list again").into(),
        );
    };
    let name = m.person.name.clone();
    let all = hand_back(&v, &[m]);
    let text = all
        .pieces
        .first()
        .and_then(|p| notice(&all, &p.maker))
        .unwrap_or_default();
    let body = html! {
        p { "Copy this into a message of your own: Glost does not write to makers." }
        (to_copy("words", "Words of the notice", 10, &text))
        p.steps { a.step href="/back" { "Back" } }
    };
    Ok(v.page(Here::Back, &format!("Notice to {name}"), &body))
}
