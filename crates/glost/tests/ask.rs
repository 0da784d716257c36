//! Asking about a firing from the command line.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use glost_heat::doubt::PRIORS;

fn glost(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_glost"))
        .args(args)
        .output()
        .unwrap()
}

fn repo(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .join(path)
}

/// A plan of a studio's folder, in Dublin, with nights that cost less.
fn planned(folder: &str, kiln: &str, hours: &str) -> (tempfile::TempDir, String) {
    let out = tempfile::tempdir().unwrap();
    let studio = out.path().join("studio");
    std::fs::create_dir(&studio).unwrap();
    for file in std::fs::read_dir(repo(folder)).unwrap() {
        let file = file.unwrap();
        std::fs::copy(file.path(), studio.join(file.file_name())).unwrap();
    }
    let text = std::fs::read_to_string(studio.join("studio.toml")).unwrap();
    let night =
        "price_per_kw = 4\n\n[[energy.times]]\nhours = \"23:00-07:00\"\nprice_per_kwh = 0.18\n";
    let text: String = text
        .lines()
        .map(|l| match l.starts_with("price_per_kwh") {
            true => format!("{l}\n{night}\n{hours}\n"),
            false => format!("{l}\n"),
        })
        .collect();
    std::fs::write(studio.join("studio.toml"), text).unwrap();
    let run = glost(&[
        "plan",
        studio.to_str().unwrap(),
        "--kiln",
        kiln,
        "--cone",
        "6",
        "--rounds",
        "40",
        "--today",
        "2026-11-25",
        "--out",
        out.path().join("out").to_str().unwrap(),
    ]);
    let err = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.success(), "{err}");
    let plan = out.path().join("out/plan.json");
    let plan = plan.to_str().unwrap().to_owned();
    (out, plan)
}

const DUBLIN: &str = "[hours]\ntime_zone = \"Europe/Dublin\"\ndelayed_start = true\n";

fn told(args: &[&str]) -> String {
    let run = glost(args);
    let err = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.success(), "{args:?}: {err}");
    String::from_utf8(run.stdout).unwrap()
}

#[test]
fn the_demo_is_answered_as_it_was() {
    let (_keep, plan) = planned("demo", "Badger", DUBLIN);
    let ask = |more: &[&str]| {
        let now = ["ask", &plan, "--now", "2026-11-25T18:30"];
        told(&[&now, more].concat())
    };
    insta::assert_snapshot!(
        "evening",
        ask(&[
            "--start",
            "22:00",
            "--hold-more",
            "20min",
            "--within",
            "48h"
        ])
    );
    insta::assert_snapshot!("open", ask(&["--open-by", "2026-11-30T09:00"]));
    // The same twice; other draws, other bands.
    assert_eq!(ask(&["--cheapest"]), ask(&["--cheapest"]));
    assert_ne!(
        ask(&["--cheapest"]),
        ask(&["--cheapest", "--seed", "2", "--draws", "12"])
    );
    let json: serde_json::Value =
        serde_json::from_str(&ask(&["--cheapest", "--hold-more", "20min", "--json"])).unwrap();
    assert_eq!(json["start"], json["cheapest"]["start"]);
    let answers = &json["answers"];
    for time in ["peak_over", "programme_over", "open"] {
        let at = |which: &str| -> jiff::ZonedDateTime {
            answers[time][which].as_str().unwrap().parse().unwrap()
        };
        assert!(
            at("low") <= at("about") && at("about") <= at("high"),
            "{answers}"
        );
        assert!(at("low") < at("high"), "{answers}");
    }
    let (low, high) = (
        &answers["cost_cents"]["low"],
        &answers["cost_cents"]["high"],
    );
    assert!(low.as_i64().unwrap() < high.as_i64().unwrap());
    assert!(json["hold_more"]["dearer_cents"].as_i64().unwrap() > 0);
    assert_eq!(json["cautions"].as_array().unwrap().len(), 2);
}

#[test]
fn degrees_are_those_of_the_studio() {
    let (_keep, plan) = planned("crates/model/tests/data/inches", "Marten", "");
    let told = told(&["ask", &plan, "--now", "2026-11-25T18:30", "--draws", "4"]);
    assert!(told.contains("°F") && !told.contains("°C"), "{told}");
    assert!(
        told.contains("kiln's maker") && told.contains("never switches"),
        "{told}"
    );
}

#[test]
fn questions_without_an_answer_say_why() {
    let (keep, plan) = planned("demo", "Badger", DUBLIN);
    for (args, words) in [
        (&["--start", "25:00"][..], "22:00"),
        (&["--start", "2026-12-01"], "2026-12-01T22:00"),
        (&["--start", "2027-03-28T01:30"], "2027-03-28T02:30"),
        (&["--open-by", "2026-11-26T09:00"], "is past"),
        (&["--hold-more", "20"], "20min"),
        (&["--hold-more", "-9h"], "at most that"),
        (&["--within", "1000h"], "168h"),
        (&["--draws", "1"], "2"),
        (&["--start", "22:00", "--cheapest"], "cannot be used"),
    ] {
        let now = ["ask", &plan, "--now", "2026-11-25T18:30"];
        let run = glost(&[&now, args].concat());
        assert_eq!(run.status.code(), Some(2), "{args:?}");
        let said = String::from_utf8(run.stderr).unwrap();
        assert!(said.contains(words), "{args:?}: {said}");
    }
    let none = keep.path().join("none.json");
    assert_eq!(
        glost(&["ask", none.to_str().unwrap()]).status.code(),
        Some(2)
    );
}

#[test]
fn the_handbook_lists_what_is_drawn() {
    let page = std::fs::read_to_string(repo("docs/handbook/asking.md")).unwrap();
    for p in PRIORS {
        let width = format!("{:.1} %", p.width * 100.0).replace(".0 %", " %");
        let row = format!(
            "| {} | {} | {width} | {} | {} |",
            p.id, p.what, p.reason, p.source
        );
        assert!(
            page.contains(&row),
            "docs/handbook/asking.md needs the row\n{row}"
        );
    }
}
