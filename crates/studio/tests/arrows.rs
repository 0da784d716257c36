//! Dependencies point one way; see docs/architecture.md.

use std::collections::BTreeMap;
use std::process::Command;

/// What each crate of ours may use, tests aside.
const ALLOWED: &[(&str, &[&str])] = &[
    ("glost-model", &[]),
    ("glost-heat", &["glost-model"]),
    ("glost-feed", &["glost-model"]),
    ("glost-rules", &["glost-model"]),
    ("glost-placing", &["glost-model", "glost-rules"]),
    ("glost-check", &["glost-model", "glost-rules"]),
    ("glost-sheets", &["glost-model"]),
    ("glost-store", &["glost-model"]),
    (
        "glost-studio",
        &[
            "glost-model",
            "glost-rules",
            "glost-placing",
            "glost-check",
            "glost-heat",
            "glost-feed",
            "glost-sheets",
            "glost-store",
        ],
    ),
    (
        "glost-web",
        &[
            "glost-check",
            "glost-model",
            "glost-rules",
            "glost-sheets",
            "glost-store",
            "glost-studio",
        ],
    ),
    (
        "glost",
        &[
            "glost-model",
            "glost-rules",
            "glost-placing",
            "glost-check",
            "glost-heat",
            "glost-feed",
            "glost-store",
            "glost-studio",
            "glost-web",
        ],
    ),
];

#[test]
fn arrows_point_down() {
    let run = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--no-deps",
            "--format-version",
            "1",
            "--offline",
        ])
        .output()
        .unwrap();
    let all: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    let allowed: BTreeMap<_, _> = ALLOWED.iter().copied().collect();
    let packages = all["packages"].as_array().unwrap();
    assert_eq!(
        packages.len(),
        allowed.len(),
        "a new crate needs its row here"
    );
    for package in packages {
        let name = package["name"].as_str().unwrap();
        for d in package["dependencies"].as_array().unwrap() {
            let to = d["name"].as_str().unwrap();
            let ours = to.starts_with("glost");
            assert!(
                !ours || allowed[name].contains(&to),
                "{name} may not use {to}"
            );
        }
    }
}
