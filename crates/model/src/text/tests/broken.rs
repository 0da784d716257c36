//! Broken inputs, each with file, line, field, what and remedy of its fault.

use super::sample::sample;
use crate::fault::Fault;
use crate::text::{CLAYS, FILES, FURNITURE, GLAZES, KILNS, PIECES, STUDIO, Texts, read};

fn page<'t>(texts: &'t mut Texts, file: &str) -> &'t mut String {
    match file {
        STUDIO => &mut texts.studio,
        CLAYS => &mut texts.clays,
        GLAZES => &mut texts.glazes,
        FURNITURE => &mut texts.furniture,
        KILNS => &mut texts.kilns,
        _ => &mut texts.pieces,
    }
}

fn faults(file: &str, find: &str, put: &str) -> Vec<Fault> {
    let mut texts = sample(false);
    let text = page(&mut texts, file);
    assert!(text.contains(find), "{file} has no {find}");
    *text = text.replacen(find, put, 1);
    read(&texts).unwrap_err()
}

/// One break a line: file, text found, text put there (`\n` for a line's end), then line, field,
/// part of what and part of the remedy of the one fault, with bars between.
const BREAKS: &str = include_str!("breaks.txt");

#[test]
fn every_break_has_its_fault() {
    for broken in BREAKS.lines() {
        let cells: Vec<String> = broken.split('|').map(|c| c.replace("\\n", "\n")).collect();
        let [file, find, put, line, field, what, remedy] = &cells[..] else {
            panic!("{broken}")
        };
        let line = line.parse().unwrap();
        let found = faults(file, find, put);
        let hit = found
            .iter()
            .find(|f| f.field == *field && f.line == Some(line));
        let hit = hit.unwrap_or_else(|| panic!("{put}: {found:#?}"));
        assert_eq!(&hit.file, file);
        assert!(hit.what.contains(&**what), "{put}: {hit}");
        assert!(hit.remedy.contains(&**remedy), "{put}: {hit}");
        assert_eq!(found.len(), 1, "{put}: told once: {found:#?}");
    }
}

#[test]
fn every_file_of_nothing_is_told() {
    let found = read(&Texts::default()).unwrap_err();
    let files: Vec<&str> = found.iter().map(|f| f.file.as_str()).collect();
    assert_eq!(files, FILES);
    assert!(
        found
            .iter()
            .all(|f| f.what.contains("empty") && !f.remedy.is_empty())
    );
}

#[test]
fn faults_of_all_files_and_rows_come_at_once() {
    let mut texts = sample(false);
    texts.clays = texts
        .clays
        .replace("\"5\"", "5")
        .replace("\"02\"", "\"no\"");
    texts.glazes = "[[glaze]]\nname = \"x\"\n".to_owned();
    texts.pieces = texts
        .pieces
        .replace("mug,Ada,circle,90", ",,round,x")
        .replace("0.9", "-1");
    texts.studio = texts.studio.replace("\"kg\"", "\"stone\"");
    let found = read(&texts).unwrap_err();
    let at: Vec<_> = found
        .iter()
        .map(|f| (f.file.as_str(), f.line, f.field.as_str()))
        .collect();
    assert_eq!(
        at,
        [
            (STUDIO, Some(5), "units.mass"),
            (CLAYS, Some(3), "cone_from"),
            (CLAYS, Some(10), "cone_to"),
            (GLAZES, Some(1), "cone_from"),
            (GLAZES, Some(1), "cone_to"),
            (GLAZES, Some(1), "lead"),
            (PIECES, Some(2), "what"),
            (PIECES, Some(2), "maker"),
            (PIECES, Some(2), "shape"),
            (PIECES, Some(3), "mass"),
        ]
    );
}

#[test]
fn without_units_sizes_are_not_judged() {
    let mut texts = sample(true);
    texts.studio = texts.studio.replace("\"in\"", "\"inch\"");
    let found = read(&texts).unwrap_err();
    assert_eq!(found.len(), 1, "{found:#?}");
}

#[test]
fn an_unknown_clay_or_glaze_is_left_to_the_rules() {
    let mut texts = sample(false);
    texts.pieces = texts
        .pieces
        .replace("Buff", "Nobody's")
        .replace("Mist", "Nothing");
    assert!(read(&texts).is_ok());
}

#[test]
fn several_errors_of_grammar_are_told_together() {
    let found = faults(
        CLAYS,
        "cone_from = \"5\"\ncone_to = \"7\"",
        "cone_from = 05\ncone_to = ",
    );
    assert_eq!(
        found.iter().map(|f| f.line).collect::<Vec<_>>(),
        [Some(3), Some(4)]
    );
}
