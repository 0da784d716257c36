//! Two people at one thing: what the other stored, what one typed oneself, and how to go on without losing either.

use glost_store::{Record, StoreError};
use glost_studio::desk::DeskError;
use jiff::Timestamp;
use maud::{Markup, html};

use super::fields::Fields;
use super::{Trouble, Typed, Visit, called};

/// A record as one side of a clash.
#[derive(Debug, Default)]
pub struct Side {
    /// As its form would have it. Only fields that the form asks.
    pub form: Typed,
    /// What else is told of it: name and words.
    pub besides: Vec<(&'static str, String)>,
}

/// Who of the two changed something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Who {
    They,
    You,
    Both,
    /// It is not known how it was before.
    Unknown,
}

impl Who {
    fn words(self, asked: bool) -> &'static str {
        match (self, asked) {
            (Self::They, true) => "They changed it, you did not: the form has theirs",
            (Self::They, false) => "They changed it",
            (Self::You, _) => "You changed it, they did not: the form has yours",
            (Self::Both, _) => "Both of you changed it: the form has yours",
            (Self::Unknown, _) => "It differs: the form has yours",
        }
    }
}

#[derive(Debug)]
struct Row {
    name: String,
    was: Option<Vec<String>>,
    theirs: Vec<String>,
    /// Nothing for what the form does not ask.
    yours: Option<Vec<String>>,
    who: Who,
}

/// What two people made of one thing.
#[derive(Debug)]
pub struct Clash {
    /// The form filled anew: one's own where one changed something, theirs elsewhere, with the version that is stored
    /// now, so that it can be sent again on top.
    pub typed: Typed,
    rows: Vec<Row>,
    since: Vec<(String, Timestamp, String)>,
}

/// Fields of forms that are no part of what is stored.
const NOT_STORED: [&str; 4] = ["version", "to", "then", "step"];

/// Makes of an edit that came second what both need to see; other errors go on.
///
/// # Errors
/// The error itself when it is another, or one of the store.
pub async fn clash<T: Record>(
    v: &Visit,
    error: DeskError,
    mine: &Typed,
    side: impl Fn(&T) -> Side,
) -> Result<Clash, Trouble> {
    let DeskError::Store(StoreError::Stale { id, yours, .. }) = &error else {
        return Err(error.into());
    };
    let store = &v.app.desk.store;
    let base = store.at_version::<T>(id, *yours).await?.map(|t| side(&t));
    let now = store.get::<T>(id).await?;
    let names = v.app.desk.names().await?;
    let since = store.history(T::KIND, id).await?.into_iter();
    let since = since.filter(|c| c.version > *yours && base.is_some());
    let mut since: Vec<_> = since
        .map(|c| {
            (
                names.get(&c.turn.who).unwrap_or(&c.turn.who).clone(),
                c.turn.at,
                c.turn.verb,
            )
        })
        .collect();
    since.reverse();
    let (mut typed, rows) = compared(base.as_ref(), &side(&now.body), mine);
    typed.set("version", now.version.to_string());
    Ok(Clash { typed, rows, since })
}

/// The values of a field that say something; ends of lines as browsers send them are no difference.
fn values(form: &Typed, name: &str) -> Vec<String> {
    let mut all: Vec<String> = form
        .all(name)
        .iter()
        .map(|t| t.trim().replace("\r\n", "\n"))
        .collect();
    all.retain(|t| !t.is_empty());
    all.sort_unstable();
    all
}

fn compared(base: Option<&Side>, theirs: &Side, mine: &Typed) -> (Typed, Vec<Row>) {
    let mut typed = mine.clone();
    let mut rows = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    for (name, _) in mine.0.iter().chain(&theirs.form.0) {
        if !names.contains(&name.as_str()) && !NOT_STORED.contains(&name.as_str()) {
            names.push(name);
        }
    }
    for name in names {
        let was = base.map(|b| values(&b.form, name));
        let (now, typed_here) = (values(&theirs.form, name), values(mine, name));
        if now == typed_here {
            continue;
        }
        let who = match &was {
            None => Who::Unknown,
            Some(was) if *was == typed_here => Who::They,
            Some(was) if *was == now => Who::You,
            Some(_) => Who::Both,
        };
        if who == Who::They {
            typed.0.retain(|f| f.0 != name);
            typed
                .0
                .extend(theirs.form.0.iter().filter(|f| f.0 == name).cloned());
        }
        rows.push(Row {
            name: name.to_owned(),
            was,
            theirs: now,
            yours: Some(typed_here),
            who,
        });
    }
    for (name, now) in &theirs.besides {
        let was = base.and_then(|b| b.besides.iter().find(|f| f.0 == *name));
        if was.is_some_and(|w| w.1 != *now) {
            rows.push(Row {
                name: (*name).to_owned(),
                was: was.map(|w| vec![w.1.clone()]),
                theirs: vec![now.clone()],
                yours: None,
                who: Who::They,
            });
        }
    }
    (typed, rows)
}

impl Clash {
    /// The part of the page above the form.
    pub fn section(&self, v: &Visit) -> Markup {
        let cell = |name: &str, value: Option<&Vec<String>>| {
            html! { td { @match value {
                None => "–",
                Some(all) if all.is_empty() || all.iter().all(String::is_empty) => "nothing",
                Some(all) => (all.iter().map(|v| called::value(name, v)).collect::<Vec<_>>().join(", ")),
            } } }
        };
        html! {
            section.faults.clash role="alert" tabindex="-1" {
                h2 { "Somebody else was quicker: yours is not stored yet" }
                @if !self.since.is_empty() {
                    p { "Stored while you were at it:" }
                    ul { @for (who, at, verb) in &self.since { li { strong { (who) } ", " (v.when(*at)) ": " (verb) } } }
                }
                p { "What you typed is kept. The form below has yours where you changed something, and theirs where only they did. Look at it, then store it on top of theirs." }
                @if self.rows.is_empty() { p { "Nothing that this form asks differs." } }
                @else { div.scroll tabindex="0" role="region" aria-label="Theirs and yours" { table {
                    thead { tr { th scope="col" { "What" } th scope="col" { "When you opened it" } th scope="col" { "Theirs, stored now" } th scope="col" { "Yours, as typed" } th scope="col" { "Difference" } } }
                    tbody { @for r in &self.rows { tr {
                        th scope="row" { @if r.yours.is_some() { a href={ "#" (Fields::id(&r.name)) } { (called::field(&r.name)) } } @else { (called::field(&r.name)) } }
                        (cell(&r.name, r.was.as_ref())) (cell(&r.name, Some(&r.theirs)))
                        (cell(&r.name, r.yours.as_ref()))
                        td { (r.who.words(r.yours.is_some())) }
                    } } }
                } } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn side(form: &[(&str, &str)]) -> Side {
        Side {
            form: typed(form),
            besides: Vec::new(),
        }
    }
    fn typed(form: &[(&str, &str)]) -> Typed {
        Typed(
            form.iter()
                .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
                .collect(),
        )
    }

    #[test]
    fn nobodys_change_is_lost() {
        let base = side(&[
            ("name", "A"),
            ("height", "10"),
            ("glazes", "Mist"),
            ("glazes", "Tarn"),
            ("note", ""),
        ]);
        let theirs = side(&[
            ("name", "B"),
            ("height", "10"),
            ("glazes", "Mist"),
            ("note", "theirs"),
        ]);
        let mine = typed(&[
            ("version", "1"),
            ("name", "A"),
            ("height", "12"),
            ("glazes", "Tarn"),
            ("glazes", "Mist"),
            ("note", "mine\r\nlong"),
        ]);
        let (form, rows) = compared(Some(&base), &theirs, &mine);
        assert_eq!(
            (form.get("name"), form.get("height"), form.get("note")),
            ("B", "12", "mine\r\nlong")
        );
        assert_eq!(form.all("glazes"), ["Mist"]);
        let who: Vec<_> = rows.iter().map(|r| (r.name.as_str(), r.who)).collect();
        assert_eq!(
            who,
            [
                ("name", Who::They),
                ("height", Who::You),
                ("glazes", Who::They),
                ("note", Who::Both)
            ]
        );
    }

    #[test]
    fn without_a_known_beginning_all_that_differs_is_told_and_mine_stays() {
        let (form, rows) = compared(
            None,
            &side(&[("name", "B"), ("mark", "x")]),
            &typed(&[("name", "A"), ("mark", " x ")]),
        );
        assert_eq!(form.get("name"), "A");
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].who, Who::Unknown);
    }
}
