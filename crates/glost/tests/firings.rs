//! Many firings from the command line.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

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

/// The demo with every `nth` piece only, and something added to `studio.toml`.
fn thinned(nth: usize, more: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for file in std::fs::read_dir(repo("demo")).unwrap() {
        let file = file.unwrap();
        std::fs::copy(file.path(), folder.path().join(file.file_name())).unwrap();
    }
    let pieces = folder.path().join("pieces.csv");
    let text = std::fs::read_to_string(&pieces).unwrap();
    let keep = text.lines().enumerate().filter(|(i, _)| i % nth == 0);
    let kept: Vec<&str> = keep.map(|(_, line)| line).collect();
    std::fs::write(&pieces, kept.join("\n") + "\n").unwrap();
    let studio = folder.path().join("studio.toml");
    let text = std::fs::read_to_string(&studio).unwrap();
    std::fs::write(
        &studio,
        text.replace("[rules]", &format!("{more}\n[rules]")),
    )
    .unwrap();
    folder
}

#[test]
fn each_firing_has_a_folder_with_a_plan_that_is_accepted() {
    let studio = thinned(7, "");
    let out = tempfile::tempdir().unwrap();
    let folder = studio.path().to_str().unwrap();
    let args = [
        "firings",
        folder,
        "--kilns",
        "Heron,Badger",
        "--from",
        "2026-11-25",
        "--rounds",
        "2",
        "--out",
        out.path().to_str().unwrap(),
        "--json",
    ];
    let run = glost(&args);
    let told = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.success(), "{told}");
    let answer: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    let firings = answer["firings"].as_array().unwrap();
    assert!(answer["at_least"].as_u64().unwrap() <= firings.len() as u64);
    // Glaze at cone 6 and greenware, both among every seventh piece.
    let kinds: Vec<&str> = firings
        .iter()
        .map(|f| f["kind"].as_str().unwrap())
        .collect();
    assert!(
        kinds.contains(&"glaze") && kinds.contains(&"bisque"),
        "{kinds:?}"
    );
    let mut seen = Vec::new();
    for (i, firing) in firings.iter().enumerate() {
        let own = out.path().join(format!("firing-{}", i + 1));
        for name in ["plan.json", "load-sheet.pdf", "stack.svg", "forecast.csv"] {
            assert!(own.join(name).exists(), "{name}");
        }
        let check = glost(&["check", own.join("plan.json").to_str().unwrap()]);
        let said = String::from_utf8_lossy(&check.stdout).into_owned();
        assert!(check.status.success(), "{said}");
        let order = ["load", "start", "peak", "open", "done"].map(|t| {
            let zoned = firing[t].as_str().unwrap().parse::<jiff::ZonedDateTime>();
            zoned.unwrap().timestamp()
        });
        assert!(order.is_sorted(), "{firing}");
        seen.extend(firing["pieces"].as_array().unwrap().clone());
    }
    seen.extend(
        answer["stay"]
            .as_array()
            .unwrap()
            .iter()
            .map(|s| s["piece"].clone()),
    );
    let sheet = std::fs::read_to_string(studio.path().join("pieces.csv")).unwrap();
    assert_eq!(seen.len(), sheet.lines().count() - 1);
    let list = std::fs::read_to_string(out.path().join("firings.txt")).unwrap();
    assert!(list.contains("are needed, proved by"), "{list}");
    assert!(list.contains("Firing 1: kiln "), "{list}");
    // The same question gets the same answer.
    assert_eq!(run.stdout, glost(&args).stdout);
}

#[test]
fn what_cannot_be_answered_says_what_to_do() {
    let studio = thinned(20, "");
    let folder = studio.path().to_str().unwrap();
    let refused = |args: &[&str], words: &str| {
        let run = glost(&[&["firings", folder], args].concat());
        let told = String::from_utf8(run.stderr).unwrap();
        assert_eq!(run.status.code(), Some(2), "{args:?}: {told}");
        assert!(told.contains(words), "{words}: {told}");
        assert!(run.stdout.is_empty());
    };
    refused(&["--kilns", "Otter"], "the studio has Heron, Badger");
    refused(&["--seconds", "0"], "above 0");
    refused(&["--from", "2026-02-30"], "2026-02-30");
    refused(&["--bisque-cone", "6.2"], "6.2");
    refused(&["--aim", "best"], "fewest");
    for (hours, words) in [
        ("[hours]\nmonday = \"nine\"", "hours.monday"),
        (
            "[hours]\nmonday = \"09:00-09:01\"\nloading_hours = 24",
            "[hours] in studio.toml",
        ),
    ] {
        let studio = thinned(20, hours);
        let run = glost(&["firings", studio.path().to_str().unwrap()]);
        let told = String::from_utf8(run.stderr).unwrap();
        assert_eq!(run.status.code(), Some(2), "{told}");
        assert!(told.contains(words), "{words}: {told}");
    }
}

#[test]
fn a_studio_where_nothing_waits_needs_no_firing() {
    let studio = thinned(1000, "");
    let run = glost(&[
        "firings",
        studio.path().to_str().unwrap(),
        "--from",
        "2026-11-25",
    ]);
    let told = String::from_utf8(run.stdout).unwrap();
    assert!(run.status.success(), "{told}");
    assert!(told.contains("0 firings"), "{told}");
}
