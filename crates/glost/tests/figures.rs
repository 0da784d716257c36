//! The measuring of the planner runs, is bounded, and says what it does.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::process::{Command, Output};

fn figures(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_glost"))
        .args(["figures", "placing"])
        .args(args)
        .output()
        .unwrap()
}

fn heat(args: &[&str]) -> Output {
    let glost = env!("CARGO_BIN_EXE_glost");
    let args = ["figures", "heat"].iter().chain(args);
    Command::new(glost).args(args).output().unwrap()
}

fn json(run: &Output) -> serde_json::Value {
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    serde_json::from_slice(&run.stdout).unwrap()
}

#[test]
fn a_quick_run_measures_every_row_and_none_is_refused() {
    let all = json(&figures(&["--quick", "--json"]));
    assert!(all["at_most_s"].as_f64().unwrap() < 20.0, "{all}");
    let rows = all["rows"].as_array().unwrap();
    let names: Vec<&str> = rows.iter().map(|r| r["name"].as_str().unwrap()).collect();
    assert_eq!(
        names,
        [
            "equal-circles",
            "rising-circles",
            "round-shelf",
            "strip",
            "rectangle-shelf",
            "loads",
            "bins",
            "growth"
        ]
    );
    for row in rows {
        let lines = row["lines"].as_array().unwrap();
        assert!(!lines.is_empty(), "{row}");
        assert!(!row.to_string().contains("refused:"), "{row}");
        assert!(!row["values"].as_object().unwrap().is_empty(), "{row}");
    }
    assert_eq!(rows[5]["values"]["failed"], 0.0, "{}", rows[5]);
}

#[test]
fn circles_give_their_ratio() {
    // By hand: seven equal circles lie in one of three times their radius; radii 1 to 4 lie in one of 7.
    for (which, n, least) in [("--circles", "7", 3.0), ("--radii", "4", 7.0)] {
        let one = json(&figures(&[which, n, "--seconds", "1", "--json"]));
        assert_eq!(one["n"].to_string(), n);
        let ratio = one["ratio"].as_f64().unwrap();
        assert!((1.0 - 1e-9..1.005).contains(&(ratio / least)), "{one}");
    }
}

#[test]
fn instances_are_written_for_others() {
    let shelf = json(&figures(&["--instance", "mixed-30", "--json"]));
    assert_eq!(shelf["shapes"].as_array().unwrap().len(), 30);
    assert_eq!(shelf["container"]["form"], "circle");
    assert_eq!(shelf["posts"].as_array().unwrap().len(), 3);
}

#[test]
fn what_cannot_be_measured_is_said() {
    for (args, word) in [
        (["--circles", "0"], "give 1 to"),
        (["--only", "nothing"], "equal-circles"),
        (["--seconds", "0"], "above 0"),
    ] {
        let run = figures(&args);
        assert_eq!(run.status.code(), Some(2), "{args:?}");
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(said.contains(word), "{said}");
    }
}

#[test]
fn a_quick_run_measures_the_heat_model() {
    let all = json(&heat(&["--quick", "--json"]));
    let rows = all["rows"].as_array().unwrap();
    let names: Vec<&str> = rows.iter().map(|r| r["name"].as_str().unwrap()).collect();
    let wanted = [
        "validation",
        "accuracy",
        "speed",
        "growth",
        "ensemble",
        "tables",
    ];
    assert_eq!(names, wanted);
    // The others are speeds, which depend on the machine.
    for row in rows {
        if ["validation", "accuracy", "tables"].contains(&row["name"].as_str().unwrap()) {
            assert_eq!(row["reached"], true, "{row}");
        }
    }
    for row in rows {
        assert!(!row["lines"].as_array().unwrap().is_empty(), "{row}");
    }
}

#[test]
fn the_page_of_validation_and_equations_are_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("page.md");
    assert!(heat(&["--write", file.to_str().unwrap()]).status.success());
    let page = std::fs::read_to_string(&file).unwrap();
    assert!(page.contains("## Whole kiln") && !page.contains("NOT HELD"));
    let run = heat(&["--equations", "timed"]);
    let lines = String::from_utf8(run.stdout).unwrap();
    assert!(lines.lines().filter(|l| l.starts_with("zone ")).count() == 5);
    let nowhere = folder.path().join("none").join("page.md");
    let run = heat(&["--write", nowhere.to_str().unwrap()]);
    assert_eq!(run.status.code(), Some(2));
}

#[test]
fn a_small_run_measures_learning_and_watching() {
    let glost = env!("CARGO_BIN_EXE_glost");
    let learn = |args: &[&str]| {
        let args = ["figures", "learn"].iter().chain(args);
        Command::new(glost).args(args).output().unwrap()
    };
    let few = ["--kilns", "1", "--clean", "1", "--faults", "1", "--json"];
    let watched = [&few[..], &["--only", "alarms", "--seed", "101"]].concat();
    let all = json(&learn(&watched));
    let rows = all["rows"].as_array().unwrap();
    let names: Vec<&str> = rows.iter().map(|r| r["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["false-alarms", "alarm-delays"]);
    // Twelve faults, each as three watches saw it.
    assert_eq!(rows[1]["lines"].as_array().unwrap().len(), 36);
    assert_eq!(rows[1]["values"]["sensor-open_learnt_right"], 1.0);
    let foretold = [&few[..], &["--only", "forecasts"]].concat();
    let all = json(&learn(&foretold));
    assert_eq!(all["rows"][0]["name"], "cones");
    for (args, word) in [
        (["--kilns", "0"], "give 1 to"),
        (["--clean", "9999"], "give 0 to"),
        (["--only", "nothing"], "alarms"),
    ] {
        let run = learn(&args);
        assert_eq!(run.status.code(), Some(2), "{args:?}");
        assert!(
            String::from_utf8_lossy(&run.stderr).contains(word),
            "{args:?}"
        );
    }
}
