//! The cases of `glost_heat::validation`.

use std::fs;
use std::path::{Path, PathBuf};

use glost_heat::validation::{Group, facts, markdown, published, small_equations, whole_kiln};

fn hold(groups: &[Group]) {
    let mut off = Vec::new();
    for c in groups.iter().flat_map(|g| &g.cases) {
        println!(
            "{}: {} against {}, {:+.2e} of {:.2e}",
            c.name,
            c.ours,
            c.answer,
            c.error(),
            c.tolerance
        );
        if !c.holds() {
            off.push(format!("{}: {} against {}", c.name, c.ours, c.answer));
        }
    }
    assert!(off.is_empty(), "{off:#?}");
}

#[test]
fn published_answers() {
    let groups = published();
    assert!(groups.iter().map(|g| g.cases.len()).sum::<usize>() > 80);
    hold(&groups);
}

#[test]
fn the_whole_kiln() {
    let groups = whole_kiln();
    let tiers = groups[0].cases.len() - 2;
    assert_eq!(tiers, 3, "the answers of the outside solver are not there");
    hold(&groups);
}

#[test]
fn facts_of_studio_kilns() {
    for f in facts() {
        println!("{}: {:.1} {} in {:?}", f.name, f.ours, f.unit, f.band());
        assert!(f.holds(), "{f:?}");
    }
}

fn beside(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The answers of the outside solver are for the equations as they are.
#[test]
fn the_outside_solver_was_given_these_equations() {
    let kept = fs::read_to_string(beside("tests/outside/small_kiln.txt")).unwrap();
    let now = small_equations().unwrap();
    let differ = kept.lines().zip(now.lines()).position(|(a, b)| a != b);
    assert!(
        differ.is_none() && kept.len() == now.len(),
        "the equations of the small kiln changed (line {differ:?}): run crates/heat/tests/outside/renew.sh"
    );
}

#[test]
fn the_page_is_up_to_date() {
    let kept = fs::read_to_string(beside("../../docs/validation.md")).unwrap();
    let now = markdown();
    let differ = kept.lines().zip(now.lines()).find(|(a, b)| a != b);
    assert!(
        kept == now,
        "docs/validation.md is not up to date ({differ:?}): run glost figures heat --write docs/validation.md"
    );
}
