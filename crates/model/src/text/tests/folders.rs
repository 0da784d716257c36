//! The folders that come with Glost are read without a fault.

use std::collections::BTreeSet;
use std::path::Path;

use crate::Length;
use crate::shape::Chamber;
use crate::studio::Studio;
use crate::text::{FILES, Texts, read};

pub(super) fn folder(path: &str) -> Studio {
    let base = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let [studio, clays, glazes, furniture, kilns, pieces] =
        FILES.map(|file| std::fs::read_to_string(base.join(file)).unwrap());
    read(&Texts {
        studio,
        clays,
        glazes,
        furniture,
        kilns,
        pieces,
    })
    .unwrap_or_else(|faults| {
        let all: Vec<String> = faults.iter().map(ToString::to_string).collect();
        panic!("{path}:\n{}", all.join("\n"))
    })
}

#[test]
fn the_demo_is_a_whole_studio() {
    let studio = folder("../../demo");
    assert!(studio.pieces.len() >= 84);
    let makers: BTreeSet<_> = studio.pieces.iter().map(|p| &p.maker).collect();
    assert!(makers.len() >= 9);
    assert_eq!(studio.kilns.len(), 2);
    // Only the piece that is there to be refused has a clay or glaze that nobody knows.
    let strange = studio.pieces.iter().filter(|p| {
        studio.clay(&p.clay).is_none() || p.glazes.iter().any(|g| studio.glaze(g).is_none())
    });
    assert_eq!(strange.count(), 1);
    let mut groups = std::collections::BTreeMap::<&str, usize>::new();
    for group in studio.pieces.iter().filter_map(|p| p.group.as_deref()) {
        *groups.entry(group).or_default() += 1;
    }
    assert!(groups.len() >= 4 && groups.values().all(|n| *n >= 2));
}

#[test]
fn the_folder_in_inches_is_short_of_long_posts() {
    let studio = folder("tests/data/inches");
    assert_eq!(studio.pieces.len(), 150);
    assert!(matches!(studio.kilns[0].chamber, Chamber::Rectangle { .. }));
    let long: u16 = studio
        .furniture
        .posts
        .iter()
        .filter(|p| p.length >= Length::inches(8.0))
        .map(|p| p.count)
        .sum();
    assert_eq!(long, 4);
}

#[test]
fn the_examples_of_the_handbook_are_a_studio() {
    let path = "../../docs/handbook/studio-folder.md";
    let page = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap();
    let blocks: Vec<String> = ["```toml\n", "```csv\n"]
        .iter()
        .flat_map(|fence| page.split(fence).skip(1))
        .map(|rest| rest.split("```").next().unwrap().to_owned())
        .collect();
    let [studio, clays, glazes, furniture, kilns, pieces] = blocks.try_into().unwrap();
    let studio = read(&Texts {
        studio,
        clays,
        glazes,
        furniture,
        kilns,
        pieces,
    });
    assert_eq!(studio.map(|s| s.pieces.len()), Ok(3));
}
