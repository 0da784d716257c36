//! A studio in use: firings in every state, with faults, payments and notes, so that its pages have something on them.

use std::time::{Duration, Instant};

use crate::studio::{Studio, between, form, hidden};

/// The studio and what is in it.
pub struct LivedIn {
    pub studio: Studio,
    /// A firing that is over, with faults.
    pub done: String,
    /// A kiln that is on, with readings.
    pub on: String,
    /// A plan that nobody has accepted.
    pub draft: String,
    /// A piece with a fault.
    pub faulty: String,
    /// A piece that waits.
    pub waiting: String,
}

/// A stop on the way of the first firing.
pub type Stop<'a> = &'a mut dyn FnMut(&Studio, &str, &str);

impl LivedIn {
    /// Makes it. `stop` is called with each state that the first firing comes to.
    pub fn new(name: &str, stop: Stop<'_>) -> Self {
        let studio = Studio::start(false, name);
        let done = plan(&studio, "Heron", "6", "glaze");
        stop(&studio, &done, "draft");
        step(&studio, &done, "accept", &[("starts", "")]);
        stop(&studio, &done, "accepted");
        light(&studio, &done, stop);
        step(
            &studio,
            &done,
            "end",
            &[("hottest", "1220"), ("meter", "1290"), ("why", "")],
        );
        stop(&studio, &done, "cooling");
        step(&studio, &done, "open", &[("display", "35"), ("why", "")]);
        let page = studio.get(&studio.nia, &at(&done)).text();
        let cones: Vec<(String, &str)> = page
            .split("name=\"clock ")
            .skip(1)
            .map(|p| (format!("clock {}", p.split('"').next().unwrap()), "5.5"))
            .collect();
        let read: Vec<(&str, &str)> = cones.iter().map(|c| (c.0.as_str(), c.1)).collect();
        step(&studio, &done, "cones", &read);
        let pieces = between(&page, "name=\"piece\"", "</select>");
        // Of others: the technician of the tests stays one.
        let mut others = pieces
            .split("value=\"")
            .filter(|p| !p.contains("Nia Corran"));
        let mut faulty = String::new();
        for (kind, edges) in [
            ("shivering", ""),
            ("crack", "sharp"),
            ("running", ""),
            ("stuck", ""),
        ] {
            let piece = others.nth(1).unwrap().split('"').next().unwrap();
            if faulty.is_empty() {
                piece.clone_into(&mut faulty);
            }
            let fault = [
                ("piece", piece),
                ("kind", kind),
                ("edges", edges),
                ("words", "toward the wall"),
            ];
            step(&studio, &done, "fault", &fault);
        }
        stop(&studio, &done, "opened");
        step(
            &studio,
            &done,
            "emptied",
            &[("next_time", "Slower to red heat")],
        );
        step(&studio, &done, "note", &[("words", "The door was warm")]);
        let on = plan(&studio, "Badger", "6", "glaze");
        step(&studio, &on, "accept", &[("starts", "")]);
        light(&studio, &on, &mut |_, _, _| {});
        for reading in ["20", "24"] {
            step(
                &studio,
                &on,
                "watch/reading",
                &[("reading", reading), ("at", "")],
            );
        }
        let draft = plan(&studio, "Heron", "06", "bisque");
        let waiting = studio.get(&studio.nia, "/ware?state=waiting").text();
        let waiting = between(&waiting, "<li><a href=\"/ware/", "\"");
        let me = between(&studio.get(&studio.nia, "/me").text(), "/accounts/", "\"");
        let paid = form(&[("amount", "12.50"), ("words", "cash")]);
        studio.post(&studio.nia, &format!("/accounts/{me}"), &paid);
        studio.post(&studio.nia, "/me/tokens", "label=logger");
        put_away(&studio, "/clays");
        Self {
            studio,
            done,
            on,
            draft,
            faulty,
            waiting,
        }
    }
}

/// Puts the first of a list away.
fn put_away(studio: &Studio, list: &str) {
    let page = studio.get(&studio.nia, list).text();
    let first = between(&page, &format!("<li><a href=\"{list}/"), "\"");
    let at = format!("{list}/{first}");
    let version = hidden(&studio.get(&studio.nia, &at).text(), "version");
    let away = studio.post(
        &studio.nia,
        &format!("{at}/away"),
        &form(&[("version", version)]),
    );
    assert_eq!(away.code, 303, "{}", away.text());
}

/// The page of a firing.
pub fn at(firing: &str) -> String {
    format!("/firings/{firing}")
}

/// A plan of a firing, made.
fn plan(studio: &Studio, kiln: &str, cone: &str, kind: &str) -> String {
    let body = form(&[
        ("kiln", kiln),
        ("cone", cone),
        ("kind", kind),
        ("starts", ""),
        ("effort", "short"),
    ]);
    let answer = studio.post(&studio.nia, "/firings/new", &body);
    assert_eq!(answer.code, 303, "{}", answer.text());
    let id = answer.header("location").unwrap().replace("/firings/", "");
    let until = Instant::now() + Duration::from_secs(180);
    while studio
        .get(&studio.nia, &at(&id))
        .text()
        .contains("Being planned")
    {
        assert!(Instant::now() < until, "firing {id} is never planned");
        std::thread::sleep(Duration::from_millis(100));
    }
    id
}

/// From an accepted plan to a kiln that is on.
fn light(studio: &Studio, id: &str, stop: Stop<'_>) {
    step(studio, id, "begin", &[]);
    stop(studio, id, "loading");
    let page = studio.get(&studio.nia, &at(id)).text();
    let form = between(&page, "3. Read it back", "</form>");
    assert!(form.contains("name=\"target.0\""), "{form}");
    let read = as_on_the_display(&page);
    let read: Vec<(&str, &str)> = read.iter().map(|f| (f.0.as_str(), f.1.as_str())).collect();
    step(studio, id, "read-back", &read);
    step(studio, id, "start", &[("meter", "1200"), ("loaded", "yes")]);
    stop(studio, id, "firing");
}

/// The planned programme as a display would show it, read off the page.
fn as_on_the_display(page: &str) -> Vec<(String, String)> {
    let table = between(page, "<table class=\"segments\">", "</table>");
    let digits = |text: &str| -> String {
        let number = text.trim_start_matches("down ");
        number.chars().take_while(char::is_ascii_digit).collect()
    };
    let mut read = vec![("set_by".to_owned(), "other".to_owned())];
    let rows: Vec<&str> = table.split("<tr>").skip(2).collect();
    for (i, row) in rows.iter().enumerate() {
        let cells: Vec<&str> = row
            .split("<td>")
            .skip(1)
            .map(|c| c.split('<').next().unwrap())
            .collect();
        let rate = match digits(cells[0]) {
            none if none.is_empty() => "9999".to_owned(),
            rate => rate,
        };
        let (hours, minutes) = match cells[2].split_once(" h") {
            Some((hours, minutes)) => (hours, minutes.trim()),
            None => ("0", cells[2]),
        };
        let minutes: u32 = digits(minutes).parse().unwrap_or(0);
        read.push((format!("rate.{i}"), rate));
        read.push((format!("target.{i}"), digits(cells[1])));
        read.push((format!("hold.{i}"), format!("{hours}:{minutes:02}")));
    }
    read.push(("count".to_owned(), rows.len().to_string()));
    read
}

/// One thing that somebody does with a firing, at the version that its page shows.
fn step(studio: &Studio, id: &str, verb: &str, fields: &[(&str, &str)]) {
    let page = studio.get(&studio.nia, &at(id)).text();
    let version = hidden(&page, "version");
    let mut all: Vec<(&str, &str)> = fields
        .iter()
        .copied()
        .filter(|f| f.0 != "version")
        .collect();
    all.push(("version", &version));
    let answer = studio.post(&studio.nia, &format!("{}/{verb}", at(id)), &form(&all));
    assert_eq!(answer.code, 303, "{verb} of {id}: {}", answer.text());
}
