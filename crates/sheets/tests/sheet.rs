//! The load sheet says all that a loader needs, whole and in order. Read back with pdftotext
//! (scripts/test installs it).

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by panicking"
)]

mod made;

use std::io::Write as _;
use std::process::{Command, Stdio};

use glost_sheets::{SheetError, load_sheet_pdf};

/// The text of a PDF as one line of words.
fn text(pdf: &[u8]) -> String {
    let mut run = Command::new("pdftotext")
        .args(["-raw", "-", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("pdftotext, which scripts/test installs");
    let mut stdin = run.stdin.take().unwrap();
    let pdf = pdf.to_vec();
    let feed = std::thread::spawn(move || stdin.write_all(&pdf));
    let out = run.wait_with_output().unwrap();
    feed.join().unwrap().unwrap();
    let text = String::from_utf8(out.stdout).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn whole() -> Vec<u8> {
    load_sheet_pdf(
        &made::studio(),
        &made::load(),
        Some(&made::firing()),
        Some(&made::forecast()),
    )
    .unwrap()
}

#[test]
fn the_whole_sheet_says_it_all_in_order() {
    let text = text(&whole());
    let mut from = 0;
    for wanted in [
        "Load sheet",
        "cone 06",
        "low fire",
        "not cone 6",
        "Fetch",
        "disc, 16 mm thick, 5 kg",
        "125 mm",
        "Electricity:",
        "Lifting:",
        "licensed trades",
        "The stack",
        "Tier 1",
        "25 mm at",
        "on the floor",
        "12 · hinge",
        "Witness cones for cone 06 at 4:15, 150 mm",
        "Ana #1 *Li*",
        "12:00, 60 mm",
        "no longer listed",
        "Tier 2L",
        "100 + 25 mm at",
        "on tier 1",
        "as drawn",
        "Tier 2R",
        "No ware on this tier",
        "carbon monoxide",
        "80 °C/h",
        "as fast as the thickest piece stands",
        "Eyes:",
        "cooling, at 120 °C 18 h 58 min",
        "60 kWh",
        "18.60 EUR",
        "2L, 2R",
        "06 +0.1",
        "ware less sensor, °C",
        "Cone of each tier",
        "Where the energy goes",
        "through walls, floor and lid: 30.0 kWh, 50 %",
        "drawn in all: 60.0 kWh",
        "Do not leave",
        "200 °C 16 h after the start",
        "The kiln across",
        "Hottest",
        "10 h after the start",
        "Not in this load",
        "no room is left for it",
    ] {
        let at = text[from..].find(wanted);
        let at = at.unwrap_or_else(|| panic!("{wanted} after:\n{}", &text[from..]));
        from += at;
    }
    // The four moments share one page.
    let page = &text[text.find("The kiln across").unwrap()..text.find("Not in this load").unwrap()];
    assert_eq!(page.matches("This sheet advises").count(), 1, "{page}");
    assert!(text.contains("Page 1 of") && text.contains("own, tested as its maker says"));
}

#[test]
fn ware_on_other_ware_says_what_it_stands_on() {
    let mut load = made::load();
    made::pile(&mut load);
    let text = text(&load_sheet_pdf(&made::studio(), &load, None, None).unwrap());
    let at = |wanted: &str| {
        let at = text.find(wanted);
        at.unwrap_or_else(|| panic!("{wanted} in {text}"))
    };
    // The lower one is listed before what it carries.
    assert!(at("12:00, 60 mm") < at("in A1") && at("in A1") < at("upside down on A5, rim to rim"));
}

#[test]
fn it_works_without_firing_and_forecast() {
    let (studio, load, firing) = (made::studio(), made::load(), made::firing());
    let bare = text(&load_sheet_pdf(&studio, &load, None, None).unwrap());
    assert!(bare.contains("Tier 2L") && !bare.contains("Set on the controller"));
    assert!(bare.contains("only advises") && bare.contains("licensed trades"));
    let planned = text(&load_sheet_pdf(&studio, &load, Some(&firing), None).unwrap());
    assert!(planned.contains("Set on the controller") && !planned.contains("kWh"));
}

#[test]
fn it_works_for_an_empty_load_in_inches_and_fahrenheit() {
    let (mut studio, mut load) = (made::studio(), made::load());
    studio.shown.inches = true;
    studio.shown.fahrenheit = true;
    let forecast = made::forecast();
    let inches = text(&load_sheet_pdf(&studio, &load, None, Some(&forecast)).unwrap());
    assert!(
        inches.contains("4:15, 6 in") && inches.contains("1823 °F"),
        "{inches}"
    );
    load.tiers.clear();
    load.left_out.clear();
    assert!(load_sheet_pdf(&studio, &load, None, None).is_ok());
}

#[test]
fn the_same_load_gives_the_same_sheet() {
    assert!(whole() == whole());
}

#[test]
fn a_kiln_that_is_gone_is_an_error_with_a_remedy() {
    let mut load = made::load();
    load.kiln = "Kite".into();
    let err = load_sheet_pdf(&made::studio(), &load, None, None).unwrap_err();
    assert_eq!(err, SheetError::NoKiln("Kite".into()));
    assert!(err.to_string().contains("plan the load again"));
}
